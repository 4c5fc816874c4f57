/**
 * Builds the library into dist/: compiles it, writes the declarations for CommonJS, joins what Node
 * loads into few files (bundle.js), and ends with `dist/.built`, which has the SHA-256 of every source that was compiled. `tautline verify` and
 * `tautline rebuild` refuse a build whose sources have changed since.
 */
import { spawnSync } from "node:child_process";
import { createHash } from "node:crypto";
import { readdirSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { fileURLToPath } from "node:url";

const library = fileURLToPath(new URL("../", import.meta.url));

// Before the compiler reads them: a source that is saved meanwhile then counts as changed.
const sources = Object.fromEntries(
  readdirSync(library, { recursive: true, encoding: "utf8" })
    .map((path) => path.replaceAll("\\", "/"))
    .filter((path) => /\.ts$|^tsconfig\.json$/.test(path) && !/^(?:dist|node_modules)\//.test(path))
    .sort()
    .map((path) => [path, hashOf(readFileSync(join(library, path)))]),
);

const compiler = join(library, "../node_modules/typescript/bin/tsc");
const { status } = spawnSync(process.execPath, [compiler, "-p", "tsconfig.json"], {
  cwd: library,
  stdio: "inherit",
});
if (status !== 0) process.exit(status ?? 1);
await import("./commonjs-types.js");
await import("./bundle.js");
writeFileSync(join(library, "dist/.built"), `${JSON.stringify(sources, null, 0)}\n`);

function hashOf(content) {
  return createHash("sha256").update(content).digest("hex");
}
