import {
  closeSync,
  fsyncSync,
  openSync,
  readdirSync,
  readFileSync,
  renameSync,
  statSync,
  unlinkSync,
  writeSync,
} from "node:fs";
import { basename, dirname, join } from "node:path";
import { isAlive } from "./connection.js";
import { NotebookFailure } from "./errors.js";
import { type Notebook, NotebookFileError, parseNotebook } from "./nbformat.js";

const temporary = /^\..*\.(\d+)\.tmp$/;
const underWay = new Set<string>();

process.on("exit", () => {
  for (const path of underWay) removeQuietly(path);
});

/**
 * Replaces a file as a whole: the new text is written beside it, pushed to the disk and renamed
 * over it. A stop at any moment leaves the old file or the new one.
 */
export function writeAtomically(path: string, text: string | Uint8Array): void {
  const beside = join(dirname(path), `.${basename(path)}.${process.pid}.tmp`);
  underWay.add(beside);
  try {
    writeWhole(beside, typeof text === "string" ? Buffer.from(text) : text, modeOf(path));
    renameSync(beside, path);
  } catch (error) {
    removeQuietly(beside);
    throw error;
  } finally {
    underWay.delete(beside);
  }
}

function writeWhole(path: string, bytes: Uint8Array, mode: number): void {
  const file = openSync(path, "w", mode);
  try {
    for (let at = 0; at < bytes.length; ) at += writeSync(file, bytes, at);
    fsyncSync(file);
  } finally {
    closeSync(file);
  }
}

function modeOf(path: string): number {
  try {
    return statSync(path).mode & 0o777;
  } catch {
    return 0o644;
  }
}

function removeQuietly(path: string): void {
  try {
    unlinkSync(path);
  } catch {
    // it was renamed, or never made
  }
}

/** Removes what a run that was killed in the middle of a write left in a folder. */
export function sweepTemporaries(folder: string): void {
  for (const name of readdirSync(folder)) {
    const owner = temporary.exec(name)?.[1];
    if (owner && !isAlive(Number(owner))) removeQuietly(join(folder, name));
  }
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
