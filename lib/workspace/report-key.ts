import { createHash, type Hash } from "node:crypto";
import { existsSync, readdirSync, readFileSync, statSync } from "node:fs";
import { join, relative } from "node:path";
import { buildFolder } from "../notebook/build.js";
import { readSealed, writeSealed } from "../sealed-file.js";
import { lastChecks } from "./last-checks.js";
import { stateFolder } from "./lock.js";

/** Hash of everything that the pages are made from. Data are compared by size and time: they may be large. */
export function reportKey(root: string): string {
  const hash = createHash("sha256");
  // the whole library, because the pages carry it to run their notebooks again
  addFolder(hash, buildFolder, (path) => readFileSync(path));
  addFolder(hash, join(root, "notebooks"), (path) => readFileSync(path));
  addFolder(hash, join(root, "data"), (path) => {
    const { size, mtimeMs } = statSync(path);
    return `${size} ${mtimeMs}`;
  });
  hash.update(JSON.stringify(lastChecks(root)));
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

function keyFile(root: string): string {
  return join(stateFolder(root), "report-key");
}

/** The key of the report as it was last made on this machine. */
export function rememberedReportKey(root: string): string | undefined {
  const key = readSealed(keyFile(root));
  return typeof key === "string" ? key : undefined;
}

/** Stores the key of the report that was just made. */
export function rememberReportKey(root: string, key: string): void {
  writeSealed(keyFile(root), key);
}
