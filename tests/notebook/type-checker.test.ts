import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { startKernel } from "../../lib/notebook/kernel.js";
import { ConvertedCells, TypeChecker } from "../../lib/notebook/type-checker.js";
import { type TemporaryStudy, temporaryStudy } from "./temporary-study.js";

const cells = [
  "const kgf: number[] = [41.5, 43];",
  "type T = { kgf: number[] };",
  "const t: T = { kgf };",
];

describe("the type checker beside the kernels", () => {
  let study: TemporaryStudy;
  let checker: TypeChecker;
  beforeAll(() => {
    study = temporaryStudy([]);
    checker = new TypeChecker();
  });
  afterAll(async () => {
    await checker.stop();
    study.remove();
  });

  const converted = (sources: readonly string[]) => {
    const ahead = new ConvertedCells(checker, study.path("notebooks"), sources);
    return Promise.all(sources.map((_, i) => ahead.of(i)));
  };

  it("compiles each cell against the ones before it", async () => {
    const [first, , third] = await converted(cells);
    expect(first).toMatchObject({ diagnostics: [], declOutput: "declare const kgf: number[];\n" });
    expect(third!.diagnostics).toEqual([]);
    expect(third!.output).toContain("{ kgf: exports.kgf }");
  });

  it.each([
    [
      'import { pool } from "tautline/stats"; pool({ estimate: [1, 2], se: [1, 1] }, { hartungknapp: true });',
      "Did you mean to write 'hartungKnapp'?",
    ],
    [
      'import { openStudy } from "tautline"; openStudy("a").outcome("grip", { rule: "mean4" });',
      "Did you mean '\"mean\"'?",
    ],
    [
      'import { openStudy } from "tautline"; openStudy("a").outcome("grip", { hand: "laed" });',
      'is not assignable to type \'"lead" | "trail"\'',
    ],
  ])(
    "refuses an option or a choice that there is not, and names the right one: %s",
    async (cell, words) => {
      const [only] = await converted([cell]);
      expect(only!.diagnostics.map(({ messageText }) => messageText).join(" ")).toContain(words);
    },
  );

  it("gives a type error to the kernel and compiles nothing after it", async () => {
    const [first, second, third] = await converted(["const a = 1;", "const b: string = a;", "a"]);
    expect(first!.diagnostics).toEqual([]);
    expect(second!.diagnostics).toMatchObject([{ code: 2322 }]);
    expect(third).toBeUndefined();
  });

  it.each(["/** @module grip */\nexport const a = 1;", 'import { a } from "./grip";'])(
    "leaves a notebook with %j to its kernel",
    async (cell) => {
      expect(await converted(["const b = 1;", cell])).toEqual([undefined, undefined]);
    },
  );

  it("leaves every cell to the kernel once its process is gone, and the kernel compiles it", async () => {
    await checker.stop();
    expect(await converted(cells)).toEqual([undefined, undefined, undefined]);
    const folder = study.path("notebooks");
    const kernel = await startKernel({ folder, root: study.root, memoryMegabytes: 1024 });
    const answer = await kernel.execute("const a: number = 1;", "c1", () => {});
    expect(answer).toMatchObject({ kind: "reply", content: { status: "ok" } });
    await kernel.stop();
  });
});
