import { JSDOM } from "jsdom";
import { describe, expect, it } from "vitest";
import { exercise, learner, practiceTable } from "../../lib/learn/exercise.js";
import { practice } from "../../lib/learn/practice.js";
import { simulation } from "../../lib/learn/simulation.js";
import { playSqueeze } from "../../lib/learn/squeeze-model.js";
import type { SiteContext } from "../../lib/report/context.js";
import { notebookPage } from "../../lib/report/notebook-page.js";
import { recordedNotebook, unreadableOutputs } from "../../lib/report/recorded.js";
import { claim } from "../../lib/show/claim.js";
import { type DisplayBundle, mimeTypes, onDisplay } from "../../lib/show/display.js";
import { figure } from "../../lib/show/figure.js";
import { finding } from "../../lib/show/finding.js";
import { outputSchemas } from "../../lib/show/output-schemas.js";
import { prose } from "../../lib/show/prose.js";
import { question } from "../../lib/show/question.js";
import { table } from "../../lib/show/table.js";
import { terms } from "../../lib/show/terms.js";
import { sampleNotebook } from "./sample.js";

type Json = Record<string, unknown>;
type Kind = keyof typeof outputSchemas;
const kinds = Object.keys(outputSchemas) as Kind[];

/** One output of every kind, as its writer makes it. */
function outputs(): Record<Kind, Json> {
  const bundles: DisplayBundle[] = [];
  const restore = onDisplay((bundle) => bundles.push(bundle));
  const grip = finding({
    id: "grip",
    title: "Change of grip",
    value: 2.6,
    low: 1.9,
    high: 3.4,
    unit: "kgf",
    count: { n: 24, of: "golfers" },
    method: "paired t",
    tolerance: 0.1,
    source: {
      files: ["grip-trials.csv"],
      rowsUsed: 48,
      setAside: [{ reason: "pain-stop", rows: 1 }],
      participants: ["G01", "G02"],
    },
    leaveOneOut: { leaving: "person", low: 2.4, high: 2.8, changesConclusion: ["G02"] },
    references: [{ name: "smallest worthwhile change", value: 1.5 }],
  });
  claim({ statement: "Grip rose.", finding: grip, relation: "differs from", bound: 0 });
  figure({
    id: "f",
    data: [{ x: [1, 2], y: [3, 4], name: "lead", text: ["a", "b"] }],
    layout: { xaxis: { title: "Time (week)" }, yaxis: { title: "Grip (kgf)" } },
    caption: "Grip rises.",
    alt: "A line that rises.",
  });
  table({
    id: "t",
    rows: [{ golfer: "G01", grip: 41.2 }],
    columns: [
      { name: "golfer", label: "Golfer", means: "code" },
      { name: "grip", label: "Grip", unit: "kgf", digits: 1 },
    ],
    caption: "Grip by golfer.",
  });
  simulation({ id: "s", caption: "Squads tested twice.", ...playSqueeze({}, { seed: 1 }) });
  learner("class");
  practiceTable(practice("squeezes", "class"));
  exercise("squeeze-typical-error");
  terms("typical error");
  question({
    id: "q",
    asks: "Is this justified?",
    options: [
      { says: "Yes.", reply: "No: n is 3." },
      { says: "No.", reply: "Right." },
    ],
  });
  prose("Of 26 golfers 24 came back.");
  restore();
  const recordOf = (kind: Kind) => bundles.find(({ data }) => data[mimeTypes[kind]])!.data;
  return Object.fromEntries(kinds.map((kind) => [kind, { ...recordOf(kind) }])) as Record<
    Kind,
    Json
  >;
}

const output = (data: Json) => ({ output_type: "display_data", metadata: {}, data });

function notebookOf(data: Json) {
  const text = JSON.stringify(sampleNotebook("", [{ code: "1", outputs: [output(data)] }]));
  return recordedNotebook("notebooks/x.ipynb", text);
}

function pageOf(data: Json): Document {
  const notebook = notebookOf(data);
  const context: SiteContext = {
    notebooks: [notebook],
    studies: [],
    parts: [],
    drawings: new Map(),
    oneFile: false,
    recomputes: true,
    unable: new Map(),
  };
  return new JSDOM(String(notebookPage(context, notebook).html)).window.document;
}

/** Every way to a text or a number inside a record. */
function paths(
  value: unknown,
  type: string,
  path: (string | number)[] = [],
): (string | number)[][] {
  if (typeof value === type) return [path];
  if (value === null || typeof value !== "object") return [];
  const keys = Array.isArray(value) ? [...value.keys()].slice(0, 3) : Object.keys(value);
  return keys.flatMap((key) => paths((value as Json)[key], type, [...path, key]));
}

/** A copy of the output with another value at one place of its record. */
function changed(data: Json, kind: Kind, path: readonly (string | number)[], value: unknown): Json {
  const copy = structuredClone(data);
  let place = copy[mimeTypes[kind]] as Json;
  for (const key of path.slice(0, -1)) place = place[key] as Json;
  place[path.at(-1)!] = value;
  return copy;
}

const hostile = (words: string) =>
  `${words} </script><img src=x onerror="self.hit=1"><p onclick=x>.`;
const all = outputs();

describe("outputs read from a notebook", () => {
  it.each(kinds)("%s: read as its writer made it", (kind) => {
    const [cell] = notebookOf(all[kind]).cells;
    expect(cell!.shown.map((shown) => shown.kind)).toEqual([kind]);
    expect(Object.values(cell!.shown[0]!)).toContainEqual(all[kind][mimeTypes[kind]]);
  });

  it.each(kinds)(
    "%s: one that is not what its schema says is reported, and shown as nothing else",
    (kind) => {
      const broken = changed(all[kind], kind, ["kind"], "other");
      const [problem] = unreadableOutputs([notebookOf(broken)]);
      expect(problem).toMatch(
        new RegExp(`^notebooks/x\\.ipynb, cell 1, ${kind}, kind: expected .+, found "other"$`),
      );
      const extra = changed(all[kind], kind, ["surprise"], 1);
      expect(unreadableOutputs([notebookOf(extra)])[0]).toContain(
        `${kind}, surprise: expected no field of this name, found "surprise"`,
      );
      const page = pageOf(broken);
      expect(page.querySelector("pre.error")!.textContent).toContain("cannot be shown");
      expect(page.querySelectorAll(".cell section, .cell figure, .cell table")).toHaveLength(0);
    },
  );

  it.each(kinds)(
    "%s: a text where a number belongs, or the other way round, is refused",
    (kind) => {
      const record = all[kind][mimeTypes[kind]];
      const inside = (path: readonly unknown[]) =>
        /^(?:data|layout|settings)$/.test(String(path[0])) ||
        /^rows$/.test(String(path.at(-3) ?? ""));
      for (const path of paths(record, "number").filter((one) => !inside(one))) {
        const [problem] = unreadableOutputs([notebookOf(changed(all[kind], kind, path, "7"))]);
        expect(problem, path.join(".")).toContain(`cell 1, ${kind}`);
      }
      for (const path of paths(record, "string").filter((one) => !inside(one))) {
        const [problem] = unreadableOutputs([notebookOf(changed(all[kind], kind, path, 7))]);
        expect(problem, path.join(".")).toContain(`cell 1, ${kind}`);
      }
    },
  );

  it.each(kinds)("%s: markup in any of its texts makes no element in the page", (kind) => {
    const record = all[kind][mimeTypes[kind]];
    const plain = pageOf(all[kind]);
    const tags = (page: Document) =>
      page.querySelectorAll("img, script, p[onclick], [onerror]").length;
    let shown = 0;
    for (const path of paths(record, "string")) {
      const words = path.reduce((value: unknown, key) => (value as Json)[key], record) as string;
      const planted = changed(all[kind], kind, path, hostile(words));
      const page = pageOf(planted);
      expect(tags(page), path.join(".")).toBeLessThanOrEqual(tags(plain));
      if (unreadableOutputs([notebookOf(planted)]).length > 0) continue;
      shown++;
      // A unit that is not known loses its companion in newtons: fewer elements, never more.
      // Long words of a picture stand on more lines, each a text of its own.
      const elements = (one: Document) => one.querySelectorAll(":not(text, tspan)").length;
      expect(elements(page), path.join(".")).toBeLessThanOrEqual(elements(plain));
    }
    expect(shown).toBeGreaterThan(0);
  });
});
