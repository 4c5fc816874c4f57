import { spawnSync } from "node:child_process";
import { RequestError } from "./request-error.js";

/** One commit that touched a file. */
export interface Revision {
  /** Hash of the commit. */
  readonly commit: string;
  /** Day of the commit, year-month-day. */
  readonly date: string;
  /** First line of the commit's message. */
  readonly subject: string;
}

const largestFile = 200 * 1024 * 1024;

function git(root: string, ...args: string[]): { ok: boolean; text: string } {
  const run = spawnSync("git", args, { cwd: root, encoding: "utf8", maxBuffer: largestFile });
  return { ok: run.status === 0, text: run.stdout ?? "" };
}

/** Whether the folder is under git and has a first commit. */
export function hasHistory(root: string): boolean {
  return git(root, "rev-parse", "--verify", "--quiet", "HEAD").ok;
}

/**
 * The full name of a revision, such as HEAD~1, a tag or the start of a commit's name.
 * @throws RequestError when git does not know it
 */
export function commitOf(root: string, revision: string): string {
  if (!hasHistory(root)) throw new RequestError("this workspace has no git history");
  const { ok, text } = git(
    root,
    "rev-parse",
    "--verify",
    "--quiet",
    "--end-of-options",
    `${revision}^{commit}`,
  );
  if (!ok) throw new RequestError(`git knows no revision ${JSON.stringify(revision)}`);
  return text.trim();
}

/** A file as it was at a commit; undefined if it was not there. */
export function fileAt(root: string, commit: string, path: string): string | undefined {
  const { ok, text } = git(root, "show", `${commit}:./${path}`);
  return ok ? text : undefined;
}

/** The commits that touched a file, oldest first. */
export function revisionsOf(root: string, path: string): Revision[] {
  const { text } = git(
    root,
    "log",
    "--reverse",
    "--format=%H%x09%as%x09%s",
    "--",
    `:(literal)${path}`,
  );
  return text
    .split("\n")
    .filter((line) => line !== "")
    .map((line) => {
      const [commit = "", date = "", ...subject] = line.split("\t");
      return { commit, date, subject: subject.join(" ") };
    });
}

/** Every notebook path that any commit knew, so that findings of a removed notebook are found. */
export function notebooksEver(root: string): string[] {
  const named = ["--format=", "--name-only", "-z", "--relative"];
  const { text } = git(root, "log", ...named, "--", "*.ipynb");
  return [...new Set(text.split("\0").filter((path) => path !== ""))].sort();
}
