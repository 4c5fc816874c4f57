import { readFileSync } from "node:fs";
import { removeQuietly, temporariesIn } from "../whole-file.js";
import { isAlive } from "./connection.js";
import { NotebookFailure } from "./fault.js";
import { type Notebook, NotebookFileError, parseNotebook } from "./nbformat.js";

/** Removes what a run that was killed during a write left in a folder. */
export function sweepTemporaries(folder: string): void {
  for (const { path, owner } of temporariesIn(folder)) if (!isAlive(owner)) removeQuietly(path);
}

/**
 * Reads a notebook from the disk.
 * @param name how messages name it
 * @throws NotebookFailure when it is missing, unreadable or not a notebook
 */
export function readNotebook(path: string, name: string): { notebook: Notebook; text: string } {
  const text = readText(path, name);
  return { notebook: notebookFrom(text, name), text };
}

/** A notebook from its text, with its name in the message when it is not one. */
function notebookFrom(text: string, name: string): Notebook {
  try {
    return parseNotebook(text);
  } catch (error) {
    if (!(error instanceof NotebookFileError)) throw error;
    throw unreadable(name, `not a notebook that can be run: ${error.problem}`);
  }
}

function readText(path: string, name: string): string {
  try {
    return readFileSync(path, "utf8");
  } catch (error) {
    const { code, message } = error as NodeJS.ErrnoException;
    throw unreadable(name, code === "ENOENT" ? "there is no such file" : message);
  }
}

function unreadable(notebook: string, message: string): NotebookFailure {
  return new NotebookFailure({ kind: "notebook file", notebook, name: "", message, frames: [] });
}
