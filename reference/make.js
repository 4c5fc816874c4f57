/** Makes the API reference in out/reference from the built declarations, when they are newer. */
import { spawnSync } from "node:child_process";
import { existsSync, readdirSync, statSync } from "node:fs";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";

const here = dirname(fileURLToPath(import.meta.url));
const declarations = join(here, "../lib/dist");
const program = join(here, "node_modules/typedoc/bin/typedoc");
const settings = ["typedoc.json", "tsconfig.json", "style.css"].map((name) => join(here, name));

const changed = (path) => statSync(path, { throwIfNoEntry: false })?.mtimeMs ?? 0;

function upToDate() {
  const made = changed(join(here, "../out/reference/index.html"));
  const sources = readdirSync(declarations, { recursive: true })
    .filter((path) => path.endsWith(".d.ts"))
    .map((path) => join(declarations, path));
  return [...sources, ...settings].every((path) => changed(path) < made);
}

if (!existsSync(program)) console.error("reference: not made, because TypeDoc is not installed");
else if (!upToDate()) {
  const options = ["--options", join(here, "typedoc.json"), "--logLevel", "Warn"];
  const { status } = spawnSync(process.execPath, [program, ...options], { stdio: "inherit" });
  process.exitCode = status ?? 1;
}
