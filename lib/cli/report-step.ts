import { createHash, type Hash } from "node:crypto";
import { existsSync, readdirSync, readFileSync, statSync } from "node:fs";
import { join, relative } from "node:path";
import { itemAt } from "../entry.js";
import { buildFolder } from "../notebook/build.js";
import type { Notebook } from "../notebook/nbformat.js";
import { writeAtomically } from "../whole-file.js";
import { completeDrawings } from "../workspace/drawings.js";
import { stateFolder } from "../workspace/lock.js";
import type { LedgerEntry } from "./ledger.js";
import type { ProgressLines } from "./progress.js";

/** Where the report goes in a study repository. */
export const reportFolder = "out";

let drawing: Promise<unknown> = Promise.resolve();

/** Adds a drawing to every figure that has none, one notebook after the other. */
export function addDrawings(notebook: Notebook): Promise<Notebook> {
  const drawn = drawing.then(() =>
    completeDrawings(notebook, async (outputs) => {
      const report = await import("../report/drawing.js");
      const cell = { cell_type: "code", outputs: structuredClone(outputs) as never[] };
      const { cells } = await report.addDrawings({ cells: [cell] });
      return itemAt(cells, 0).outputs as typeof outputs;
    }),
  );
  drawing = drawn.catch(() => {});
  return drawn;
}

/**
 * Makes the report, unless it is there and was made from the same record by the same programs.
 * @returns the page to open, relative to the root
 */
export async function makeReport(
  root: string,
  entries: readonly LedgerEntry[],
  lines: ProgressLines,
): Promise<string> {
  const page = join(root, reportFolder, "index.html");
  const remembered = join(stateFolder(root), "report-key");
  const key = reportKey(root);
  const upToDate =
    existsSync(page) && existsSync(remembered) && readFileSync(remembered, "utf8") === key;
  if (!upToDate) {
    lines.begin("report", "the record changed");
    const start = performance.now();
    const { report } = await import("./report.js");
    await report(root, join(root, reportFolder), { verdict: verdictOf(entries) });
    writeAtomically(remembered, key);
    lines.end("report", `made in ${((performance.now() - start) / 1000).toFixed(1)} s`);
  }
  return relative(root, page);
}

/** What this run said about the record; notebooks that did not run have no part in it. */
function verdictOf(entries: readonly LedgerEntry[]) {
  const ran = entries.filter(({ unchanged }) => !unchanged);
  if (ran.length === 0) return undefined;
  return {
    notebooks: ran.map(({ notebook, comparison }) => ({
      notebook,
      judgements: comparison.judgements,
    })),
  };
}

/** Everything that the pages are made from. Data are told by size and time: they may be large. */
function reportKey(root: string): string {
  const hash = createHash("sha256");
  // the whole library: the pages carry it, so that they can run their notebooks again
  addFolder(hash, buildFolder, (path) => readFileSync(path));
  addFolder(hash, join(root, "notebooks"), (path) => readFileSync(path));
  addFolder(hash, join(root, "data"), (path) => {
    const { size, mtimeMs } = statSync(path);
    return `${size} ${mtimeMs}`;
  });
  const lockfile = join(root, "package-lock.json");
  if (existsSync(lockfile)) hash.update(readFileSync(lockfile));
  return hash.digest("hex");
}

function addFolder(hash: Hash, folder: string, content: (path: string) => string | Uint8Array) {
  if (!existsSync(folder)) return;
  const files = readdirSync(folder, { recursive: true, withFileTypes: true })
    .filter((entry) => entry.isFile() && !entry.name.startsWith("."))
    .map((entry) => join(entry.parentPath, entry.name))
    .sort();
  for (const path of files) hash.update(relative(folder, path)).update(content(path));
}
