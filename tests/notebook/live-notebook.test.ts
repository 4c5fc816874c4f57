import { afterEach, beforeAll, describe, expect, it } from "vitest";
import { FileHashes } from "../../lib/notebook/file-hashes.js";
import { type Kernel, type KernelOptions, startKernel } from "../../lib/notebook/kernel.js";
import { LiveNotebook } from "../../lib/notebook/live-notebook.js";
import type { LiveUpdate } from "../../lib/notebook/live-update.js";
import { type Notebook, parseNotebook } from "../../lib/notebook/nbformat.js";
import { kernelCompiler } from "../../lib/notebook/tslab.js";
import { TypeChecker } from "../../lib/notebook/type-checker.js";
import { notebookOf, type TemporaryStudy, temporaryStudy } from "./temporary-study.js";

const ts = kernelCompiler();
const patient = { timeout: 60_000 };
let study: TemporaryStudy;
let checker: TypeChecker;
let ended: (() => Promise<unknown>)[] = [];

beforeAll(() => {
  study = temporaryStudy([]);
  checker = new TypeChecker();
  return async () => {
    await checker.stop();
    study.remove();
  };
});
afterEach(async () => {
  for (const end of ended) await end();
  ended = [];
});

/** A notebook of cells c1, c2 … that is saved again and again. */
class Author {
  readonly updates: LiveUpdate[] = [];
  readonly kernels: Kernel[] = [];
  readonly live: LiveNotebook;

  constructor(cellSeconds = 60) {
    const around = {
      root: study.root,
      limits: { cellSeconds, memoryMegabytes: 1024 },
      checker: () => checker,
      ts,
      hashes: new FileHashes(),
      start: async (options: KernelOptions) => {
        const kernel = await startKernel(options);
        this.kernels.push(kernel);
        return kernel;
      },
    };
    this.live = new LiveNotebook("notebooks/live.ipynb", around, (update) => {
      this.updates.push(update);
    });
    ended.push(() => this.live.end());
  }

  /** Saves cells, waits, and tells which ran. */
  async saves(...cells: string[]): Promise<string> {
    await this.live.save(parseNotebook(notebookOf(...cells)));
    const last = this.updates.at(-1);
    return last?.kind === "done" ? last.ran.join(" ") : "";
  }

  /** The text that each cell shows. */
  shows(...cells: string[]): string[] {
    const notebook: Notebook = this.live.shown(parseNotebook(notebookOf(...cells)));
    return notebook.cells.map((cell) =>
      cell.cell_type !== "code"
        ? ""
        : cell.outputs.map((one) => (one.output_type === "stream" ? one.text : "")).join(""),
    );
  }

  faultOf(cell: string): string {
    return this.live.faults().get(cell)?.message ?? "";
  }
}

describe("a live notebook", () => {
  it("runs after a save what the save changed, and shows the results of a run from top to bottom", async () => {
    const author = new Author();
    const cells = [
      "const kgf = [41, 43];",
      "{ kgf[2] = 47; }",
      "console.log(kgf.length)",
      "console.log(1)",
    ];
    expect(await author.saves(...cells)).toBe("c1 c2 c3 c4");
    cells[1] = "{ kgf[3] = 46; }";
    expect(await author.saves(...cells)).toBe("c1 c2 c3");
    expect(author.shows(...cells)).toEqual(["", "", "4\n", "1\n"]);
    expect(await author.saves(...cells)).toBe("");
    expect(author.kernels).toHaveLength(1);
  });

  it("checks types, holds back what depends on a failed cell, and goes on when it is right", async () => {
    const author = new Author();
    const last = "console.log(half)";
    expect(await author.saves("const grip = 40;", "const half = grip.lenght / 2;", last)).toBe(
      "c1 c2",
    );
    expect(author.faultOf("c2")).toContain("Property 'lenght' does not exist on type");
    expect(await author.saves("const grip = 40;", "const half = (grip / 2;", last)).toBe("c2");
    expect(author.faultOf("c2")).toContain("')' expected");
    const right = ["const grip = 40;", "const half = grip / 2;", last];
    expect(await author.saves(...right)).toBe("c2 c3");
    expect(author.live.faults().size).toBe(0);
    expect(author.shows(...right)[2]).toBe("20\n");
    expect(author.live.hasRun(parseNotebook(notebookOf(...right)))).toBe(true);
  });

  it("reads data again that changed", async () => {
    const author = new Author();
    const cells = [
      'import { readFileSync } from "node:fs"; const text = readFileSync("../data/grip.csv", "utf8");',
      "console.log(text.length)",
      "console.log(1)",
    ];
    await author.saves(...cells);
    const [, before] = author.shows(...cells);
    expect(author.live.hasRead("data/grip.csv")).toBe(true);
    study.write("data/grip.csv", "kgf\n41.5\n43\n40.2\n39\n");
    expect(await author.saves(...cells)).toBe("c1 c2");
    expect(Number(author.shows(...cells)[1])).toBe(Number(before) + 3);
  });

  it("starts a fresh kernel when a deleted cell is still used", async () => {
    const author = new Author();
    await author.saves("const a = 1;", "const b = 2;", "console.log(a)");
    expect(await author.saves("const a = 1;", "console.log(a)", "console.log(b)")).toBe("c1 c2 c3");
    expect(author.kernels).toHaveLength(2);
    expect(author.faultOf("c3")).toContain("Cannot find name 'b'");
  });

  it("starts again after a kernel that died, while it ran and while it rested", async () => {
    const author = new Author();
    await author.saves("const a = 1;", "process.exit(3)", "console.log(a)");
    expect(author.faultOf("c2")).toContain("the kernel died while this cell ran (exit code 3)");
    const right = ["const a = 1;", "const b = 2;", "console.log(a)"];
    expect(await author.saves(...right)).toBe("c1 c2 c3");
    const [, second] = author.kernels;
    await second?.stop();
    expect(await author.saves(right[0]!, "const b = 3;", right[2]!)).toBe("c1 c2 c3");
    expect(author.live.faults().size).toBe(0);
  });

  it("interrupts a cell that a later save changed, not one that it left alone", async () => {
    const author = new Author();
    const loop = "console.log(7); for (;;) {}";
    const first = author.live.save(parseNotebook(notebookOf("const a = 1;", loop)));
    await expect
      .poll(() => author.updates.at(-1), patient)
      .toMatchObject({ kind: "runs", cell: "c2" });
    const quick = "await new Promise((resolve) => setTimeout(resolve, 300)); console.log(8)";
    void author.live.save(parseNotebook(notebookOf("const a = 1;", quick)));
    await expect
      .poll(() => author.updates.filter(({ kind }) => kind === "runs"), patient)
      .toHaveLength(3);
    await author.live.save(parseNotebook(notebookOf("const a = 1;", quick, "console.log(9)")));
    await first;
    expect(author.updates.filter(({ kind }) => kind === "runs")).toHaveLength(4);
    expect(author.shows("const a = 1;", quick, "console.log(9)")).toEqual(["", "8\n", "9\n"]);
    expect(author.live.faults().size).toBe(0);
  });

  it("gives up a cell at its limit", async () => {
    const author = new Author(0.3);
    await author.saves("for (;;) {}");
    expect(author.faultOf("c1")).toContain("went on past its limit of 0.3 s and was interrupted");
  });
});
