import { readFileSync } from "node:fs";
import { join } from "node:path";
import { libraryFolder } from "../notebook/build.js";
import type { Comparison } from "../notebook/compare.js";
import type { Judgement } from "../notebook/judgement.js";
import { readSealed, writeSealed } from "../sealed-file.js";
import { stateFolder, stateFolderName } from "./lock.js";

/** What the pages show of one judgement. */
export type KeptJudgement = Pick<Judgement, "kind" | "id" | "verdict" | "difference">;

/** The last comparison of one notebook with a new run on this machine. */
export interface LastCheck {
  /** Day of the run, ISO date in UTC. */
  readonly on: string;
  /** Version of Node.js of the run. */
  readonly node: string;
  /** Version of this library. */
  readonly library: string;
  /** What had been edited since the record, in clauses; empty for a run of the same cells and data. */
  readonly edits: readonly string[];
  /** The judgements, one per result. */
  readonly judgements: readonly KeptJudgement[];
}

const checksName = "checks.json";

/** The last check of every notebook, by its path; it stays when another notebook is run alone. */
export function lastChecks(root: string): Readonly<Record<string, LastCheck>> {
  const checks = readSealed(join(root, stateFolderName, checksName)) ?? {};
  return checks as Readonly<Record<string, LastCheck>>;
}

/** Stores the comparison of one notebook as its last check on this machine. */
export function rememberCheck(
  root: string,
  notebook: string,
  comparison: Comparison,
  edits: readonly string[],
): void {
  const judgements = comparison.judgements.map(({ kind, id, verdict, difference }) => ({
    kind,
    id,
    verdict,
    ...(difference !== undefined && { difference }),
  }));
  const check: LastCheck = {
    on: new Date().toISOString().slice(0, 10),
    node: process.version,
    library: libraryVersion(),
    edits,
    judgements,
  };
  const path = join(stateFolder(root), checksName);
  writeSealed(path, { ...lastChecks(root), [notebook]: check });
}

function libraryVersion(): string {
  const { version } = JSON.parse(readFileSync(join(libraryFolder(), "package.json"), "utf8"));
  return String(version);
}

/** Reasons of a run that are no edit of cells, data or library. */
const noEdits = new Set([
  "not run on this machine yet",
  "asked for",
  "the drawing of figures changed",
  "the recorded file was changed by something else",
]);

/** The reasons of a run that a person's edit gave. */
export function editsAmong(reasons: readonly string[]): string[] {
  return reasons.filter((reason) => !noEdits.has(reason));
}
