import { existsSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { type Notebook, NotebookFileError, parseNotebook } from "../notebook/nbformat.js";
import { resultsOf } from "../notebook/results.js";
import { fileAt, hasHistory, notebooksEver, revisionsOf } from "./git.js";
import { RequestError } from "./request-error.js";
import { versionOf } from "./versions.js";

/** A finding as one revision recorded it. */
export interface FindingPoint {
  /** Path of the notebook, from the root. */
  readonly notebook: string;
  /** The commit, or null for the file as it is now. */
  readonly commit: string | null;
  /** Day of the commit, as YYYY-MM-DD. */
  readonly date: string | null;
  /** First line of the commit's message. */
  readonly subject: string | null;
  /** Version of the notebook then. */
  readonly version: string | null;
  /** What the notebook's list of changes says about this version. */
  readonly change: string | null;
  /** The cell that stated it, counted from 1 among all cells; null where it was no longer stated. */
  readonly cell: number | null;
  /** The finding as it is in the file, not checked; null where it was no longer stated. */
  readonly finding: Readonly<Record<string, unknown>> | null;
}

/** The recorded values of a finding. */
export interface FindingHistory {
  /** Points at which its value or its notebook's version changed, oldest first, by notebook. */
  readonly points: readonly FindingPoint[];
  /** Ids of all findings that any revision recorded. */
  readonly known: ReadonlySet<string>;
}

/**
 * A finding's value at each recorded version of its notebook.
 * @throws RequestError when the workspace is not under git
 */
export function findingHistory(root: string, id: string): FindingHistory {
  if (!hasHistory(root)) throw new RequestError("this workspace has no git history");
  const known = new Set<string>();
  const points = notebooksEver(root).flatMap((path) => pointsOf(root, path, id, known));
  return { points, known };
}

/** The points of one notebook at which the finding, or its version, is not what it was before. */
function pointsOf(root: string, path: string, id: string, known: Set<string>): FindingPoint[] {
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
  const changed: FindingPoint[] = [];
  for (const point of all) {
    const last = changed.at(-1);
    if (!last && point.finding === null) continue; // not stated yet
    if (!last || fingerprint(last) !== fingerprint(point)) changed.push(point);
  }
  return changed;
}

function fingerprint({ version, finding }: FindingPoint): string {
  return JSON.stringify([version, finding?.value, finding?.low, finding?.high, finding === null]);
}

function pointAt(
  path: string,
  id: string,
  text: string | undefined,
  known: Set<string>,
  revision: Pick<FindingPoint, "commit" | "date" | "subject">,
): FindingPoint {
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
    cell: found?.cell.number ?? null,
    finding: found ? recordOf(found.content) : null,
  };
}

function recordOf(content: unknown): Readonly<Record<string, unknown>> {
  return content !== null && typeof content === "object" ? { ...content } : {};
}

function parsed(text: string): Notebook | undefined {
  try {
    return parseNotebook(text);
  } catch (error) {
    if (error instanceof NotebookFileError) return undefined;
    throw error;
  }
}
