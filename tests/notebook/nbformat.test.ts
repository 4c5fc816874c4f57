import { spawnSync } from "node:child_process";
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { NotebookFileError, parseNotebook, writeNotebook } from "../../lib/notebook/nbformat.js";
import { notebookFile, notebookOf } from "./temporary-study.js";

const python = "/usr/bin/python3";
const hasNbformat = spawnSync(python, ["-c", "import nbformat"]).status === 0;

function problem(text: string): string {
  try {
    parseNotebook(text);
    return "";
  } catch (error) {
    expect(error).toBeInstanceOf(NotebookFileError);
    return (error as NotebookFileError).problem;
  }
}

function cellWith(part: object): string {
  const cell = { cell_type: "code", id: "a", metadata: {}, source: "1", outputs: [], ...part };
  return JSON.stringify({ cells: [cell], metadata: {}, nbformat: 4, nbformat_minor: 5 });
}

describe("the notebook format", () => {
  it("writes sorted keys, one space of indent, lists of lines and a final newline", () => {
    const text = notebookOf("const a = 1;\na");
    expect(text.slice(0, 60)).toBe(
      '{\n "cells": [\n  {\n   "cell_type": "code",\n   "execution_coun',
    );
    expect(text).toContain('"source": [\n    "const a = 1;\\n",\n    "a"\n   ]');
    expect(text.endsWith("}\n")).toBe(true);
  });

  it("writes back byte for byte what it wrote", () => {
    const text = notebookOf("1", "", "a\n\nb\n");
    expect(writeNotebook(parseNotebook(text))).toBe(text);
  });

  it("writes small numbers as Python's json does, and texts as they are", () => {
    const numbers = [1e-9, 0.000002, 0.00001, 0.0001, -3.5e-7, 1.25e-300, 0, 1e21, 1e100, -0.5];
    const words = 'a \\ "0.000002", 1e-9';
    const written = writeNotebook(parseNotebook(cellWith({ metadata: { numbers, words } })));
    const pythons = "1e-09, 2e-06, 1e-05, 0.0001, -3.5e-07, 1.25e-300, 0, 1e+21, 1e+100, -0.5";
    expect(written.replace(/\s+/g, " ")).toContain(`[ ${pythons} ]`);
    expect(JSON.parse(written).cells[0].metadata).toEqual({ numbers, words });
    expect(written).toContain(JSON.stringify(words));
  });

  it("keeps any cell source through a round trip", () => {
    fc.assert(
      fc.property(fc.array(fc.string({ unit: "binary" })), (sources) => {
        const read = parseNotebook(notebookOf(...sources));
        expect(read.cells.map(({ source }) => source)).toEqual(sources);
      }),
      { seed: 20260, numRuns: 100 },
    );
  });

  it("keeps a key named __proto__ as an ordinary key", () => {
    const text = cellWith({ metadata: JSON.parse('{"__proto__": {"polluted": true}}') });
    expect(writeNotebook(parseNotebook(text))).toContain('"__proto__"');
    expect(({} as Record<string, unknown>).polluted).toBeUndefined();
  });

  it("gives cells of an older format ids that are the same at every reading", () => {
    const cells = notebookFile("without-ids").cells;
    expect(cells.map(({ id }) => id)).toEqual(["cell-1", "cell-2"]);
    expect(cells[1]!.source).toBe("const a = 2;\na");
  });

  it.each([
    ["", "it is empty"],
    ["{", "expected JSON"],
    ["[]", "expected an object"],
    ['{"nbformat": 3}', "expected notebook format 4, got 3"],
    ['{"nbformat": 4, "nbformat_minor": 9}', "expected format 4.0 to 4.5, got 4.9"],
    ['{"nbformat": 4, "nbformat_minor": 5}', "expected a list of cells"],
    [
      cellWith({ cell_type: "heading" }),
      'cell 1: expected a code, markdown or raw cell, got "heading"',
    ],
    [cellWith({ id: "a b" }), "cell 1: expected an id of letters"],
    [cellWith({ source: 7 }), "cell 1, source: expected text or a list of lines, got 7"],
    [cellWith({ outputs: null }), "cell 1: expected a list of outputs"],
    [
      cellWith({ outputs: [{ output_type: "noise" }] }),
      'cell 1, output 1: unknown output type "noise"',
    ],
    [cellWith({ execution_count: 1.5 }), "cell 1: expected a whole execution count, got 1.5"],
  ])("says what is wrong with %s", (text, expected) => {
    expect(problem(text)).toContain(expected);
  });

  it("refuses an id that is used twice", () => {
    const text = notebookOf("1", "2").replace('"id": "c2"', '"id": "c1"');
    expect(problem(text)).toBe('cell 2: the id "c1" is used twice');
  });

  it.skipIf(!hasNbformat)(
    "writes what nbformat's own writer writes (skipped: nbformat absent)",
    () => {
      const text = writeNotebook({
        ...parseNotebook(notebookOf("const ü = 'é';\nü")),
        metadata: { z: [1, 2.5, { b: [], a: {} }], a: "\u2028 “quoted” \\ /" },
      });
      const script =
        "import sys, nbformat\n" +
        "nb = nbformat.reads(sys.stdin.read(), 4)\n" +
        "nbformat.validate(nb)\n" +
        "sys.stdout.write(nbformat.writes(nb))";
      const run = spawnSync(python, ["-c", script], {
        input: text,
        encoding: "utf8",
        env: { ...process.env, PYTHONIOENCODING: "utf8" },
      });
      expect(run.stderr).toBe("");
      expect(`${run.stdout.trimEnd()}\n`).toBe(text);
    },
  );
});
