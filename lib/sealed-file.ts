import { createHmac, randomBytes, timingSafeEqual } from "node:crypto";
import { mkdirSync, readFileSync, writeFileSync } from "node:fs";
import { homedir } from "node:os";
import { join } from "node:path";
import { removeQuietly, writeAtomically } from "./whole-file.js";

/**
 * A file in a study's folder that only this user on this machine can have written. Other people
 * with the folder could write into it; the key of the seal lies outside, with the user's other programs'
 * state, so that a copied or forged file is not believed.
 */
interface Sealed {
  readonly content: string;
  readonly seal: string;
}

/** Folder of this user's programs' state: XDG_STATE_HOME or what stands for it on the system. */
function keyFolder(): string {
  const { XDG_STATE_HOME, LOCALAPPDATA } = process.env;
  const state = XDG_STATE_HOME || LOCALAPPDATA || join(homedir(), ".local", "state");
  return join(state, "tautline");
}

/** The secret of this user on this machine, made when it is first needed; none where no file can be. */
function machineKey(): Buffer | undefined {
  const path = join(keyFolder(), "machine-key");
  const known = keyIn(path);
  if (known) return known;
  try {
    mkdirSync(keyFolder(), { recursive: true, mode: 0o700 });
    writeFileSync(path, randomBytes(32), { flag: "wx", mode: 0o600 });
  } catch (error) {
    // Another process made it just now, or the folder cannot be written. On a full disk a part of a
    // key may lie there, which would stand in the way of a whole one.
    if ((error as NodeJS.ErrnoException).code === "ENOSPC") removeQuietly(path);
  }
  return keyIn(path);
}

function keyIn(path: string): Buffer | undefined {
  try {
    const key = readFileSync(path);
    return key.length === 32 ? key : undefined;
  } catch {
    return undefined;
  }
}

function sealOf(content: string, key: Buffer): string {
  return createHmac("sha256", key).update(content).digest("hex");
}

/** Writes a value that `readSealed` gives back on this machine. */
export function writeSealed(path: string, value: unknown): void {
  const content = JSON.stringify(value);
  const key = machineKey();
  const seal = key ? sealOf(content, key) : "";
  writeAtomically(path, `${JSON.stringify({ content, seal } satisfies Sealed, null, 1)}\n`);
}

/** The value as it was written on this machine; nothing when the file is missing, damaged or foreign. */
export function readSealed(path: string): unknown {
  try {
    const { content, seal } = JSON.parse(readFileSync(path, "utf8")) as Partial<Sealed>;
    const key = machineKey();
    if (typeof content !== "string" || typeof seal !== "string" || !key) return undefined;
    const [given, expected] = [Buffer.from(seal, "hex"), Buffer.from(sealOf(content, key), "hex")];
    if (given.length !== expected.length || !timingSafeEqual(given, expected)) return undefined;
    return JSON.parse(content);
  } catch {
    return undefined;
  }
}
