import { existsSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { itemAt } from "../entry.js";
import { type Notebook, NotebookFileError, parseNotebook } from "../notebook/nbformat.js";
import { resultsOf } from "../notebook/results.js";
import { nearestName } from "../options.js";
import { fileAt, hasHistory, notebooksEver, revisionsOf } from "../workspace/git.js";
import { studyRoot } from "../workspace/root.js";
import { versionOf } from "../workspace/versions.js";
import { exitCodes, type Help, type Io } from "./io.js";
import { printable } from "./ledger.js";
import { readOptions, UsageError } from "./options.js";

export const help: Help = {
  what: "Lists a finding's value at each recorded version of its notebook, from git.",
  usage: "tautline history <finding> [options]",
  options: [{ name: "--json", what: "one JSON document on the standard output" }],
  examples: [
    { line: "tautline history lead-address-change", what: "how one number came to be what it is" },
    { line: "tautline history lead-address-change --json", what: "the same for a program" },
  ],
};

/** A finding as one revision recorded it. */
interface Point {
  readonly notebook: string;
  /** The commit, or null for the file as it is now. */
  readonly commit: string | null;
  readonly date: string | null;
  readonly subject: string | null;
  readonly version: string | null;
  /** What the notebook's changes say of this version. */
  readonly change: string | null;
  /** The recorded finding; null where it was no longer stated. */
  readonly finding: Readonly<Record<string, unknown>> | null;
}

export async function run(args: string[], io: Io): Promise<number> {
  const { options, words } = readOptions(args, { json: "flag" });
  if (words.length !== 1) throw new UsageError("history needs the id of one finding");
  const id = itemAt(words, 0);
  const root = studyRoot(io.cwd);
  if (!hasHistory(root)) throw new UsageError("this study repository has no git history");
  const known = new Set<string>();
  const points = notebooksEver(root).flatMap((path) => pointsOf(root, path, id, known));
  if (points.length === 0) {
    const near = nearestName(id, [...known]);
    throw new UsageError(
      `no recorded notebook states a finding ${JSON.stringify(id)}${near ? `; did you mean ${near}?` : ""}`,
    );
  }
  io.out(options.json ? `${JSON.stringify({ finding: id, points }, null, 2)}\n` : listing(points));
  return exitCodes.fine;
}

/** The points of one notebook at which the finding, or its version, is not what it was before. */
function pointsOf(root: string, path: string, id: string, known: Set<string>): Point[] {
  const stages = revisionsOf(root, path).map((revision) => ({
    ...revision,
    text: fileAt(root, revision.commit, path),
  }));
  const file = join(root, path);
  const now = existsSync(file) ? readFileSync(file, "utf8") : undefined;
  const all = [
    ...stages.map(({ commit, date, subject, text }) =>
      pointAt(path, id, text, known, { commit, date, subject }),
    ),
    pointAt(path, id, now, known, { commit: null, date: null, subject: null }),
  ];
  const changed: Point[] = [];
  for (const point of all) {
    const last = changed.at(-1);
    if (!last && point.finding === null) continue; // not stated yet
    if (!last || fingerprint(last) !== fingerprint(point)) changed.push(point);
  }
  return changed;
}

function fingerprint({ version, finding }: Point): string {
  return JSON.stringify([version, finding?.value, finding?.low, finding?.high, finding === null]);
}

function pointAt(
  path: string,
  id: string,
  text: string | undefined,
  known: Set<string>,
  revision: Pick<Point, "commit" | "date" | "subject">,
): Point {
  const notebook = text === undefined ? undefined : parsed(text);
  const findings = notebook ? resultsOf(notebook).filter(({ kind }) => kind === "finding") : [];
  for (const finding of findings) known.add(finding.id);
  const { version, changes } = notebook ? versionOf(notebook) : { version: undefined, changes: [] };
  const found = findings.find((finding) => finding.id === id);
  return {
    notebook: path,
    ...revision,
    version: version ?? null,
    change: changes.find((change) => change.version === version)?.what ?? null,
    finding: (found?.content as Point["finding"]) ?? null,
  };
}

function parsed(text: string): Notebook | undefined {
  try {
    return parseNotebook(text);
  } catch (error) {
    if (error instanceof NotebookFileError) return undefined;
    throw error;
  }
}

function listing(points: readonly Point[]): string {
  const rows: string[] = [];
  for (const notebook of new Set(points.map((point) => point.notebook))) {
    rows.push(notebook);
    for (const point of points.filter((one) => one.notebook === notebook))
      rows.push(pointLine(point));
  }
  return `${rows.map(printable).join("\n")}\n`;
}

function pointLine({ commit, date, version, change, subject, finding }: Point): string {
  const when = commit === null ? "not committed     " : `${date} ${commit.slice(0, 7)}`;
  const told = change ?? subject;
  const value = finding === null ? "no longer stated" : String(finding.sentence);
  return `  ${when}  version ${version ?? "not given"}: ${value}${told ? ` (${told})` : ""}`;
}
