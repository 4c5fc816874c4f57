import { describe, expect, it } from "vitest";
import { runningKernels } from "../../lib/notebook/kernel-process.js";
import type { LiveUpdate } from "../../lib/notebook/live-update.js";
import { parseNotebook } from "../../lib/notebook/nbformat.js";
import { kernelCompiler } from "../../lib/notebook/tslab.js";
import { liveDifference } from "../../lib/workspace/live-difference.js";
import { LiveNotebooks } from "../../lib/workspace/live-notebooks.js";
import { notebookOf, tautline, temporaryStudy } from "../notebook/temporary-study.js";

const limits = { cellSeconds: 60, memoryMegabytes: 1024 };

describe("live notebooks", () => {
  it("rest when nobody saves them, are few at a time, and leave a rebuild's own file alone", async () => {
    const study = temporaryStudy([]);
    for (const name of ["a", "b"]) study.write(`notebooks/${name}.ipynb`, notebookOf("1 + 1"));
    const told: [string, LiveUpdate["kind"]][] = [];
    const rested: string[] = [];
    const live = new LiveNotebooks(study.root, {
      limits,
      onUpdate: (name, { kind }) => told.push([name, kind]),
      onRest: (name) => rested.push(name),
      restAfter: 4000,
      most: 1,
    });
    try {
      await live.saved("notebooks/a.ipynb");
      expect(told.at(-1)).toEqual(["notebooks/a.ipynb", "done"]);
      await live.saved("notebooks/b.ipynb");
      expect(rested).toEqual(["notebooks/a.ipynb"]);
      await expect
        .poll(() => rested, { timeout: 60_000 })
        .toEqual(["notebooks/a.ipynb", "notebooks/b.ipynb"]);
      await expect.poll(() => runningKernels(), { timeout: 60_000 }).toEqual([]);

      await tautline(study, "rebuild", "a", "--no-report");
      await live.saved("notebooks/a.ipynb");
      expect(live.has("notebooks/a.ipynb")).toBe(false);
      study.write("notebooks/a.ipynb", "{ half a note");
      await live.saved("notebooks/a.ipynb");
      expect(live.has("notebooks/a.ipynb")).toBe(false);
    } finally {
      await live.close();
      study.remove();
    }
  });

  it("differ from the record in the cells that hid state, and in those that depend on them", () => {
    const printing = (...texts: string[]) => {
      const notebook = parseNotebook(
        notebookOf("const a = kept();", "console.log(a)", "console.log(1)"),
      );
      const cells = notebook.cells.map((cell, i) => ({
        ...cell,
        outputs: [{ output_type: "stream" as const, name: "stdout", text: texts[i] ?? "" }],
      }));
      return { ...notebook, cells } as typeof notebook;
    };
    const ts = kernelCompiler();
    const live = printing("41", "41", "1");
    expect(liveDifference(live, printing("41", "41", "1"), ts)).toEqual({
      hiding: [],
      following: [],
    });
    expect(liveDifference(live, printing("43", "43", "1"), ts)).toEqual({
      hiding: [1],
      following: [2],
    });
    expect(liveDifference(live, printing("41", "41", "2"), ts)).toEqual({
      hiding: [3],
      following: [],
    });
  });
});
