import { describe, expect, it } from "vitest";
import { type CodeCell, type Notebook, parseNotebook } from "../../lib/notebook/nbformat.js";
import { staleOutputs } from "../../lib/notebook/stale-outputs.js";
import { kernelCompiler } from "../../lib/notebook/tslab.js";
import { notebookOf } from "./temporary-study.js";

const never = () => {
  throw new Error("the compiler is not needed for this");
};

/** A notebook whose cells have these execution counts. */
function ranAs(counts: readonly (number | null)[], ...sources: string[]): Notebook {
  const notebook = parseNotebook(notebookOf(...sources));
  const cells = notebook.cells.map((cell, i) => ({
    ...(cell as CodeCell),
    execution_count: counts[i] ?? null,
  }));
  return { ...notebook, cells };
}

describe("stale outputs of a saved notebook", () => {
  const sources = ["const a = 1;", "const b = 2;", "a"];

  it("are none in one that ran from top to bottom, and the compiler is not asked", () => {
    expect(staleOutputs(ranAs([1, 2, 3], ...sources), [], never)).toEqual([]);
    expect(staleOutputs(ranAs([4, 7, 9], ...sources), [], never)).toEqual([]);
  });

  it("are none in one that never ran", () => {
    expect(staleOutputs(ranAs([null, null, null], ...sources), [], never)).toEqual([]);
  });

  it("are those computed before a cell ran that they depend on", () => {
    expect(staleOutputs(ranAs([4, 2, 3], ...sources), [], kernelCompiler)).toEqual([
      "the output of cell 3 was computed before cell 1 ran",
    ]);
  });

  it("are none where what ran later does not matter", () => {
    expect(staleOutputs(ranAs([1, 4, 3], ...sources), [], kernelCompiler)).toEqual([]);
  });

  it("are those that need a cell that has not run", () => {
    expect(staleOutputs(ranAs([null, 1, 2], ...sources), [], kernelCompiler)).toEqual([
      "the output of cell 3 is older than cell 1, which has not run",
    ]);
  });

  it("are told for cells that were edited since the record", () => {
    expect(staleOutputs(ranAs([1, 2, 3], ...sources), ["c1", "c2"], kernelCompiler)).toEqual([
      "cell 1 was edited since the notebook was recorded; cell 3 depends on it",
      "cell 2 was edited since the notebook was recorded",
    ]);
  });

  it("are told by the line that the kernel put under a cell", () => {
    const notebook = ranAs([1, 2, 3], ...sources);
    const text = "Computed before cell 1 changed; run cell 3 again.";
    const line = {
      output_type: "display_data",
      data: { "text/plain": text },
      metadata: { tautline: { stale: true } },
    } as const;
    const cells = notebook.cells.map((cell, i) => (i === 2 ? { ...cell, outputs: [line] } : cell));
    expect(staleOutputs({ ...notebook, cells } as Notebook, [], never)).toEqual([
      `under cell 3 stands: ${text}`,
    ]);
  });
});
