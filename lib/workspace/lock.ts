import { linkSync, mkdirSync, readFileSync, renameSync, rmSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { isAlive } from "../notebook/connection.js";
import { removeQuietly } from "../whole-file.js";

/** The lock of this folder cannot be had now; the message says what to do. */
export class LockedError extends Error {
  constructor(message: string) {
    super(message);
    this.name = "LockedError";
  }
}

export const stateFolderName = ".tautline";

/** The folder of a workspace where this machine keeps what need not be shared. */
export function stateFolder(root: string): string {
  const folder = join(root, stateFolderName);
  try {
    mkdirSync(folder, { recursive: true });
  } catch (error) {
    throw unwritable(error) ?? error;
  }
  return folder;
}

/**
 * Takes the lock of a workspace, so that two rebuilds do not record over each other. A lock
 * whose owner is gone is taken over.
 * @returns a function that gives it back; it is given back at exit in any case
 * @throws LockedError when its owner is alive, or when a stale lock cannot be taken away
 */
export function takeLock(root: string): () => void {
  const path = join(stateFolder(root), "lock");
  for (;;) {
    if (created(path)) break;
    const owner = ownerOf(path);
    if (owner !== undefined && owner !== process.pid && isAlive(owner)) {
      throw new LockedError(
        `another rebuild (process ${owner}) is running in this study; wait for it or stop it`,
      );
    }
    moveAway(path, owner);
  }
  const release = () => {
    process.off("exit", release);
    if (ownerOf(path) === process.pid) rmSync(path, { force: true });
  };
  process.on("exit", release);
  return release;
}

/** The lock appears with its owner in it: an empty one would look stale. */
function created(path: string): boolean {
  const beside = `${path}.new.${process.pid}`;
  try {
    rmSync(beside, { force: true });
    // The flag refuses a link that somebody planted under this name.
    writeFileSync(beside, `${process.pid}\n`, { flag: "wx" });
    linkSync(beside, path);
    return true;
  } catch (error) {
    if (isTaken(error)) return false;
    throw unwritable(error) ?? error;
  } finally {
    removeQuietly(beside);
  }
}

function isTaken(error: unknown): boolean {
  const { code, syscall } = error as NodeJS.ErrnoException;
  return code === "EEXIST" && syscall === "link";
}

/** A folder that is read-only for this user, in words of its own. */
function unwritable(error: unknown): LockedError | undefined {
  const { code } = error as NodeJS.ErrnoException;
  if (code !== "EROFS" && code !== "EACCES" && code !== "EPERM") return undefined;
  return new LockedError("this folder cannot be written; verify works here and writes nothing");
}

function ownerOf(path: string): number | undefined {
  try {
    const pid = Number(readFileSync(path, "utf8"));
    return Number.isInteger(pid) && pid > 0 ? pid : undefined;
  } catch {
    return undefined;
  }
}

/**
 * Removes a stale lock by renaming it first: of two processes that see the same stale lock, one
 * renames it. If the renamed file turns out to be a lock taken in between, it is put back.
 */
function moveAway(path: string, stale: number | undefined): void {
  const aside = `${path}.${process.pid}`;
  try {
    renameSync(path, aside);
  } catch (error) {
    const { code, message } = error as NodeJS.ErrnoException;
    if (code === "ENOENT") return; // the other was faster
    throw new LockedError(
      `the lock of a rebuild that has ended cannot be removed (${message}); remove ${path}`,
    );
  }
  const moved = ownerOf(aside);
  if (moved !== stale && moved !== undefined && isAlive(moved)) renameSync(aside, path);
  else rmSync(aside, { force: true });
}
