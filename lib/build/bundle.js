/**
 * Joins the compiled modules of the entries, and of the program of a kernel, into a few files in
 * dist/bundled/. Node takes a millisecond for each module that it loads: the root entry has four
 * hundred, and every notebook loads it. Packages stay outside, and browsers take the modules.
 */
import { mkdirSync, readdirSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { basename, join } from "node:path";
import { fileURLToPath } from "node:url";
import { build } from "esbuild";

const library = fileURLToPath(new URL("../", import.meta.url));
const folder = join(library, "dist/bundled");
const entries = ["entries/stats", "entries/units", "entries/learn", "entries/simulate"];

const { outputFiles } = await build({
  absWorkingDir: library,
  entryPoints: ["index", "kernel-program", ...entries].map((name) => `dist/${name}.js`),
  entryNames: "[name]",
  chunkNames: "shared-[hash]",
  outdir: "dist/bundled",
  write: false,
  bundle: true,
  splitting: true,
  format: "esm",
  platform: "node",
  target: "node20",
  packages: "external",
  charset: "utf8",
  logLevel: "warning",
});

const files = new Map(outputFiles.map(({ path, contents }) => [basename(path), contents]));
mkdirSync(folder, { recursive: true });
for (const name of readdirSync(folder)) if (!files.has(name)) rmSync(join(folder, name));
for (const [name, contents] of files) if (!isWritten(name, contents)) write(name, contents);

/** Files that are the same keep their time, so that nothing that looks at it takes them for new. */
function isWritten(name, contents) {
  try {
    return readFileSync(join(folder, name)).equals(contents);
  } catch {
    return false;
  }
}

function write(name, contents) {
  writeFileSync(join(folder, name), contents);
}
