import { spawn } from "node:child_process";
import { createHash } from "node:crypto";
import { existsSync, readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { buildRecord, libraryFolder } from "../notebook/build.js";
import { RequestError } from "./request-error.js";

/**
 * Sources of the library that its build was not made from: changed, added or removed since, judged
 * by their content. None where the library came without its sources, as npm installs it.
 */
export function unbuiltSources(folder = libraryFolder(), record = buildRecord): string[] {
  if (!existsSync(join(folder, "index.ts"))) return [];
  const built = recordedSources(record);
  const sources = readdirSync(folder, { recursive: true, encoding: "utf8" })
    .map((path) => path.replaceAll("\\", "/"))
    .filter((path) => isSource.test(path) && !isElsewhere.test(path));
  const changed = sources.filter(
    (path) =>
      createHash("sha256")
        .update(readFileSync(join(folder, path)))
        .digest("hex") !== built.get(path),
  );
  const removed = [...built.keys()].filter((path) => !sources.includes(path));
  return [...changed, ...removed].sort();
}

const isSource = /\.ts$|^tsconfig\.json$/;
const isElsewhere = /^(?:dist|node_modules)\//;

/** The SHA-256 of every source that the build was made from, by path in the library. */
export function recordedSources(record: string): Map<string, unknown> {
  try {
    return new Map(Object.entries(JSON.parse(readFileSync(record, "utf8"))));
  } catch {
    return new Map(); // no build, or one of a time before builds recorded their sources
  }
}

/**
 * Results are those of the build, and what a reader sees is the source: they must be one.
 * @throws RequestError when a source changed since the library was built
 */
export function refuseOldBuild(): void {
  const unbuilt = unbuiltSources();
  if (unbuilt.length === 0) return;
  const shown = unbuilt.slice(0, 3).map((path) => `lib/${path}`);
  if (unbuilt.length > 3) shown.push(`${unbuilt.length - 3} more`);
  throw new RequestError(
    `the built library is older than its sources (${shown.join(", ")}). Run npm run build first`,
  );
}

/**
 * Compiles the library after one of its sources was saved, by the workspace's own build
 * script, if it has one.
 * @returns the compiler's words when it fails
 */
export async function buildLibrary(root: string): Promise<string | undefined> {
  const { scripts } = JSON.parse(readFileSync(join(root, "package.json"), "utf8"));
  if (scripts?.build === undefined) return undefined;
  // through a shell: on Windows npm is a command file, which Node starts in no other way
  const child = spawn("npm run build --silent", { cwd: root, shell: true });
  let output = "";
  child.stdout.on("data", (text) => {
    output += text;
  });
  child.stderr.on("data", (text) => {
    output += text;
  });
  return await new Promise((resolve) => {
    child.once("error", (error) => resolve(error.message));
    child.once("close", (code) => resolve(code === 0 ? undefined : output.trim().slice(0, 4000)));
  });
}
