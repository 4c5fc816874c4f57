/**
 * Writes the declarations that CommonJS programs get, one file for each entry of package.json:
 * `dist/index.d.cts` and so on. Node loads the same module with require() as with import, but
 * TypeScript under node16 refuses an ES module there, so that these files name its exports anew.
 */
import { readFileSync, writeFileSync } from "node:fs";

const library = new URL("../", import.meta.url);
const { exports: entries } = JSON.parse(readFileSync(new URL("package.json", library), "utf8"));

for (const { types, default: program } of Object.values(entries)) {
  if (!types) continue;
  const names = await import(new URL(program, library).href);
  writeFileSync(new URL(types.require, library), declarations(names, types.default));
}

function declarations(names, file) {
  const module = `"./${file
    .split("/")
    .at(-1)
    .replace(/\.d\.ts$/, ".js")}"`;
  const attribute = `with { "resolution-mode": "import" }`;
  const lines = [
    `import type * as entry from ${module} ${attribute};`,
    `export type * from ${module} ${attribute};`,
  ];
  for (const [name, value] of Object.entries(names)) {
    lines.push(`export declare const ${name}: typeof entry.${name};`);
    if (isClass(value)) lines.push(`export type ${name} = entry.${name};`);
  }
  return `${lines.join("\n")}\n`;
}

function isClass(value) {
  return typeof value === "function" && /^class\b/.test(Function.prototype.toString.call(value));
}
