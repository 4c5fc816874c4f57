import { cpSync, readFileSync, writeFileSync } from "node:fs";
import { readArchive } from "../../lib/archive/reading.js";
import type { Spoken } from "../cli/heard.js";
import {
  notebookOf,
  type TemporaryStudy,
  tautline,
  temporaryStudy,
} from "../notebook/temporary-study.js";

/** Cells that show every kind of result. */
const cells = [
  `import { op } from "arquero";
import { claim, figure, finding, openStudy, prose, summariseGrip, table } from "tautline";
import { describe, pairedChange } from "tautline/stats";
const study = openStudy("coach-nine");
const grip = summariseGrip(study, { rule: "mean3" }).filter((row) => op.is_finite(row.grip_kgf));
const values = grip.array("grip_kgf") as number[];
const { mean, n, min, max, sd, se } = describe(values);`,
  `finding({ id: "mean-grip", title: "Mean grip", value: mean, low: mean - 2 * se, high: mean + 2 * se, unit: "kgf", count: { n, of: "golfers" }, method: "mean of means" });
finding({ id: "spread", title: "SD of grip", value: sd, unit: "kgf", count: { n, of: "golfers" }, method: "SD" });`,
  `figure({ id: "grip", data: [{ type: "bar", x: ["lowest", "highest"], y: [min, max] }], layout: { xaxis: { title: "Value" }, yaxis: { title: "Grip (kgf)" } }, caption: "Lowest and highest grip.", alt: "Two bars." });`,
  `table({ id: "grip", rows: values.slice(0, 6).map((kgf, i) => ({ place: i + 1, kgf })), columns: [{ name: "place", label: "Place" }, { name: "kgf", label: "Grip", unit: "kgf", digits: 1 }], caption: "Grip by place." });
prose(\`The mean of \${n} values is \${mean.toFixed(1)} kgf.\`);`,
];

/** A study whose archive was made once, to be forged and judged many times without running a cell. */
export interface ForgeryStudy {
  readonly study: TemporaryStudy;
  readonly files: ReadonlyMap<string, Uint8Array>;
  judge(archive: Uint8Array): Promise<Spoken>;
}

export async function forgeryStudy(): Promise<ForgeryStudy> {
  const study = temporaryStudy([]);
  cpSync("data/coach-nine", study.path("data/coach-nine"), { recursive: true });
  const json = JSON.parse(notebookOf(...cells));
  json.metadata.tautline = {
    version: "1.0.0",
    study: "coach-nine",
    changes: [{ version: "1.0.0", date: "2026-02-01", what: "First version." }],
  };
  const heading = { cell_type: "markdown", id: "title", metadata: {}, source: "# How strong?" };
  json.cells.unshift(heading);
  study.write("notebooks/grip.ipynb", JSON.stringify(json));
  for (const args of [
    ["rebuild", "--no-report"],
    ["archive", "coach-nine"],
  ]) {
    const { code, err } = await tautline(study, ...args);
    if (code !== 0) throw new Error(`${args.join(" ")}: ${err}`);
  }
  const files = readArchive(readFileSync(study.path("out/coach-nine.zip")));
  const judge = async (archive: Uint8Array) => {
    writeFileSync(study.path("forged.zip"), archive);
    return await tautline(study, "verify", "--archive", "forged.zip");
  };
  return { study, files, judge };
}

/** Forgeries that a judgement without a run did not find, by kind and place. */
export async function missedBy(
  judge: ForgeryStudy["judge"],
  forged: readonly { bytes: Uint8Array; kind: string; what: string }[],
): Promise<string[]> {
  const missed: string[] = [];
  for (const { bytes, kind, what } of forged) {
    if ((await judge(bytes)).code === 0) missed.push(`${kind}: ${what}`);
  }
  return missed;
}
