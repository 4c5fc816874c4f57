import { spawnSync } from "node:child_process";
import { readFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { expect, it } from "vitest";

const root = new URL("../../", import.meta.url);

/** What a front end is told about the name at the mark `|` of a cell, by the kernel's own converter. */
function inspected(cell: string) {
  const position = cell.indexOf("|");
  const program = `
    const { loadTslab } = await import(${JSON.stringify(new URL("lib/dist/notebook/tslab.js", root).href)});
    const converter = loadTslab(true).converter.createConverter({ isJS: false, isBrowser: false });
    const found = converter.inspect("", ${JSON.stringify(cell.replace("|", ""))}, ${position});
    converter.close();
    console.log(JSON.stringify(found));`;
  const { stdout } = spawnSync(process.execPath, ["--input-type=module", "--eval", program], {
    cwd: fileURLToPath(new URL("notebooks/", root)),
    encoding: "utf8",
  });
  return JSON.parse(stdout) as {
    documentation: { text: string }[];
    tags: { name: string; text: { text: string }[] }[];
  };
}

it("a cell's inspect shows the docstring that the reference is made from", () => {
  const { documentation, tags } = inspected(
    'import { pairedChange } from "tautline/stats";\npaired|Change([1, 2], [2, 4]);',
  );
  const source = readFileSync(new URL("lib/stats/change.ts", root), "utf8");
  const comment = /\/\*\*((?:(?!\*\/)[\s\S])*)\*\/\s*export function pairedChange/.exec(
    source,
  )![1]!;
  const [meaning] = comment.replace(/^ *\* ?/gm, "").split(/^@/m);
  expect(documentation.map(({ text }) => text).join("")).toBe(meaning!.trim());
  expect(tags.map(({ name }) => name)).toEqual([
    "param",
    "param",
    "returns",
    "throws",
    "see",
    "example",
  ]);
});
