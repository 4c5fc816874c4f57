import { spawn } from "node:child_process";
import { readFileSync } from "node:fs";
import { join } from "node:path";

/**
 * Compiles the library after one of its sources was saved, by the workspace's own build
 * script, if it has one.
 * @returns the compiler's words when it fails
 */
export async function buildLibrary(root: string): Promise<string | undefined> {
  const { scripts } = JSON.parse(readFileSync(join(root, "package.json"), "utf8"));
  if (scripts?.build === undefined) return undefined;
  const npm = process.platform === "win32" ? "npm.cmd" : "npm";
  const child = spawn(npm, ["run", "build", "--silent"], { cwd: root });
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
