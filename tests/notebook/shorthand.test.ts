import { createRequire } from "node:module";
import { describe, expect, it } from "vitest";
import { spellOut } from "../../lib/notebook/shorthand.js";

const require = createRequire(import.meta.url);
const ts = createRequire(require.resolve("tslab/dist/converter.js"))("@tslab/typescript-for-tslab");

describe("spelling out shorthand properties", () => {
  it.each([
    ["f({ level })", "f({ level: level })"],
    ["f({ a, b: 1, c })", "f({ a: a, b: 1, c: c })"],
    ["({ a, b = 2 } = given)", "({ a: a, b: b = 2 } = given)"],
    ["const { a } = given", "const { a } = given"],
    ["type T = { a }", "type T = { a }"],
    ['const s = "{ a }"', 'const s = "{ a }"'],
    ["if (x) { a }", "if (x) { a }"],
  ])("%s becomes %s", (source, expected) => {
    expect(spellOut(source, ts).source).toBe(expected);
  });

  it("leads every column back to where its author wrote it", () => {
    const source = "one;\nf({ level }, wrong, { other }, late)";
    const spelled = spellOut(source, ts);
    const [, line] = spelled.source.split("\n");
    for (const word of ["f", "wrong", "other", "late"]) {
      const column = line!.indexOf(word) + 1;
      expect(spelled.columnOf(2, column)).toBe(source.split("\n")[1]!.indexOf(word) + 1);
    }
    expect(spelled.columnOf(1, 2)).toBe(2);
  });
});
