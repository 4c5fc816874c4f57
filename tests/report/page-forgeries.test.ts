import { mkdtempSync, readFileSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import type { BrowserContext, Page } from "playwright-core";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import * as statistics from "../../lib/entries/stats.js";
import * as library from "../../lib/index.js";
import { anchorOf } from "../../lib/report/context.js";
import { addDrawings } from "../../lib/report/drawing.js";
import { slugsOf } from "../../lib/report/recorded.js";
import { writeReport } from "../../lib/report/site.js";
import { readStudyFiles } from "../../lib/study/files.js";
import { browserFile, openBrowser } from "./browser.js";
import { recordedIn, sampleAccount, sampleNotebook, sampleRoot } from "./sample.js";

const cell = `import { beforeAfter, changeStrip, figure, finding, openStudy, prose, sourceOf, summariseGrip, table } from "tautline";
import { leaveOneOut, pairedChange } from "tautline/stats";
const study = openStudy("coach-nine");
const place = { hand: "lead", position: "address" } as const;
const pairs = beforeAfter(study, summariseGrip(study, { rule: "mean3" }), { before: "before", after: "after", where: place });
const result = pairedChange(pairs.before, pairs.after);
const at = (column: ArrayLike<number>, rows: number[]) => rows.map((row) => Number(column[row]));
const left = leaveOneOut(pairs.participant, (rows) => pairedChange(at(pairs.before, rows), at(pairs.after, rows)).change);
const { leaving, low, high, changesConclusion } = left;
finding({
  id: "change", title: "Lead hand: change", estimate: result.change, method: "paired t", unit: "kgf", count: { n: result.n, of: "golfers" },
  source: sourceOf(study, { trials: "grip" }), leaveOneOut: { leaving, low, high, changesConclusion },
});
const changes: number[] = Array.from(pairs.before, (value, i) => Number(pairs.after[i]) - value);
const group = { name: "nine", changes, participants: pairs.participant, estimate: result.change };
figure({
  id: "dots", ...changeStrip({ groups: [group], quantity: "Change of grip force", unit: "kgf" }),
  caption: "Change of 9 golfers.", alt: "A row of 9 dots on a scale of change.",
});
table({
  id: "rows", rows: pairs.participant.map((code, i) => ({ code, change: changes[i] })), caption: "Change by golfer, in table 1.",
  columns: [{ name: "code", label: "Golfer" }, { name: "change", label: "Change", unit: "kgf", digits: 1 }],
});
prose("All 9 golfers came back.");`;

/** Shows what the cell shows, with the library as it is here. */
function shown(): void {
  const names = { ...library, ...statistics };
  const plain = cell
    .replace(/^import .*$/gm, "")
    .replace(/: ArrayLike<number>|: number\[\]| as const/g, "");
  new Function(...Object.keys(names), plain)(...Object.values(names));
}

interface Forgery {
  /** What a reader sees changed. */
  readonly what: string;
  /** The result that it belongs to. */
  readonly kind: "finding" | "figure" | "table" | "prose";
  readonly id: string;
  /** The text whose last digit changes, or the attribute whose first one does. */
  readonly text: RegExp;
  readonly attribute?: string;
}

const forgeries: readonly Forgery[] = [
  { what: "a cell of a table", kind: "table", id: "rows", text: /^\d+\.\d$/ },
  { what: "the caption of a table", kind: "table", id: "rows", text: /in table \d/ },
  {
    what: "the count of rows set aside",
    kind: "finding",
    id: "change",
    text: /: \d+ rows?$/,
  },
  {
    what: "the range with one left out",
    kind: "finding",
    id: "change",
    text: /between \d|^(?:and )?\d+\.\d kgf \(now/,
  },
  {
    what: "the value of the finding",
    kind: "finding",
    id: "change",
    text: /^\d+\.\d\skgf$/,
  },
  {
    what: "the end of the drawn interval",
    kind: "finding",
    id: "change",
    text: /^M[^v]*[HQC]/,
    attribute: "d",
  },
  { what: "the caption of a figure", kind: "figure", id: "dots", text: /Change of 9/ },
  {
    what: "the description of a figure",
    kind: "figure",
    id: "dots",
    text: /A row of 9/,
    attribute: "aria-label",
  },
  { what: "a number behind a figure", kind: "figure", id: "dots", text: /^-?\d+\.\d+$/ },
  { what: "a number in the text", kind: "prose", id: "", text: /All 9 golfers/ },
];

const out = mkdtempSync(join(tmpdir(), "forged-page-"));

describe.skipIf(!browserFile)("forged in a page (skipped where there is no Chromium)", () => {
  let context: BrowserContext;
  let page: Page;
  let slug: string;

  beforeAll(async () => {
    const cells = [{ markdown: "# Nine golfers" }, { code: cell, shows: shown }];
    const notebook = sampleNotebook("coach-nine", cells) as { cells: { cell_type: string }[] };
    const root = sampleRoot({ "nine.ipynb": await addDrawings(notebook) });
    const notebooks = recordedIn(root);
    slug = [...slugsOf(notebooks.map(({ path }) => path)).values()][0]!;
    const data = [readStudyFiles("coach-nine")];
    await writeReport({ notebooks, studies: [sampleAccount], data, out });
    context = await openBrowser();
    page = await context.newPage();
    await page.goto(`file://${join(out, `${slug}.html`)}`);
  });
  afterAll(() => context.close());

  /** Changes one digit of what the page shows; returns what it was and what it is. */
  function forge({ kind, id, text, attribute }: Forgery): Promise<string[]> {
    const place = kind === "prose" ? "[data-prose]" : `#${anchorOf({ slug }, kind, id)}`;
    const given = { place, pattern: text.source, attribute };
    return page.evaluate(({ place, pattern, attribute }) => {
      const home = document.querySelector(place)!;
      const isShown = (node: Node) => !node.parentElement?.closest("script");
      const wanted = new RegExp(pattern);
      const other = (was: string) =>
        was.replace(/\d(?=\D*$)/, (digit) => String((+digit + 1) % 10));
      if (attribute) {
        const owner = [home, ...home.querySelectorAll(`[${attribute}]`)].find((one) =>
          wanted.test(one.getAttribute(attribute) ?? ""),
        )!;
        const was = owner.getAttribute(attribute)!;
        const is = was.replace(/\d/, (digit) => String((+digit + 1) % 10));
        owner.setAttribute(attribute, is);
        Object.assign(globalThis, { undo: () => owner.setAttribute(attribute, was) });
        return [was, is];
      }
      const walker = document.createTreeWalker(home, NodeFilter.SHOW_TEXT);
      for (let node = walker.nextNode(); node; node = walker.nextNode()) {
        const was = node.textContent ?? "";
        if (!isShown(node) || !wanted.test(was.trim())) continue;
        const found = node;
        found.textContent = other(was);
        Object.assign(globalThis, { undo: () => Object.assign(found, { textContent: was }) });
        return [was, other(was)];
      }
      return [];
    }, given);
  }

  async function recomputed(): Promise<string> {
    await page.evaluate(() => {
      document.querySelector(".recompute [role=status]")!.textContent = "";
    });
    await page.click("[data-act=recompute]");
    await page.waitForFunction(
      () =>
        /results|could not/.test(document.querySelector(".recompute [role=status]")!.textContent!),
      undefined,
      { timeout: 90_000 },
    );
    return page.evaluate(() => {
      const panel = document.querySelector(".recompute")!;
      const rows = [...panel.querySelectorAll(".results tr")].map((row) =>
        [...row.children].map(({ textContent }) => textContent).join(" "),
      );
      return [panel.querySelector("[role=status]")!.textContent, ...rows].join("\n");
    });
  }

  it("nothing: all results come out as the page shows them, and it says what was compared", async () => {
    const words = await recomputed();
    expect(words).toMatch(/4 of 4 results reproduced/);
    expect(words).toMatch(
      /Compared: 1 finding with its interval and details, 1 table, 1 figure with its numbers and 1 text\. 2 drawings were drawn again and found the same\./,
    );
  });

  it.each(forgeries)("$what: the recomputation names it", async (forgery) => {
    const [was, is] = await forge(forgery);
    expect(is, `nothing on the page is ${forgery.text}`).not.toBe(was);
    const words = await recomputed();
    await page.evaluate(() => (globalThis as unknown as { undo(): void }).undo());
    expect(words).toMatch(/^1 of 4 results are not as this page shows them/);
    const name = {
      prose: "Text of cell 2",
      finding: "Lead hand: change",
      table: "Table: Change by golfer, in table 1.",
      figure: "Figure: Change of 9 golfers.",
    }[forgery.kind];
    expect(words).toMatch(new RegExp(`${name} .*the page reads “.*”, the record says “.*”`));
  });

  const drawingForgeries: readonly (readonly [what: string, from: RegExp, to: string])[] = [
    ["a mark elsewhere", /(class="point" transform="translate\()\d/, "$19"],
    ["a mark that is not seen", /(<path class="point"[^>]*style="opacity: )[\d.]+/, "$10"],
    ["a mark more", /(<g class="points">)/, '$1<path class="point" d="M0,0L9,9"/>'],
    ["a number on the axis", /(<text[^>]*>[^<\d]*)\d(\d*<\/text>)/, "$17$2"],
    ["a mark of another colour", /(<path class="point"[^>]* fill: (?:var\(--)?)\w+/, "$1paper"],
    ["a mark of the narrow drawing", /(narrow-drawing.*?translate\()\d/s, "$19"],
  ];
  it.each(drawingForgeries)("%s in a drawing: drawn again, it is named", async (_, from, to) => {
    const html = readFileSync(join(out, `${slug}.html`), "utf8");
    const forged = html.replace(from, to);
    expect(forged).not.toBe(html);
    writeFileSync(join(out, "forged.html"), forged);
    await page.goto(`file://${join(out, "forged.html")}`);
    const words = await recomputed();
    expect(words).toMatch(/^1 of 4 results are not as this page shows them/);
    expect(words).toMatch(
      /Figure: Change of 9 golfers\. .*the drawing has “.*”, the new run draws “.*”/,
    );
  });
});
