import { createRequire } from "node:module";
import { describe, expect, it } from "vitest";
import { CellLedger, type SavedCells } from "../../lib/notebook/cell-ledger.js";
import { readCell } from "../../lib/notebook/cell-reading.js";
import { staleSentence } from "../../lib/notebook/stale-words.js";

const require = createRequire(import.meta.url);
const ts = createRequire(require.resolve("tslab/dist/converter.js"))("@tslab/typescript-for-tslab");

/** A notebook whose cells are run in any order: "2: a + 1" runs cell 2 with that code. */
function sentences(
  runs: readonly string[],
  saved?: SavedCells,
  changedData?: (cell: string) => readonly string[],
): Record<string, string> {
  const ledger = new CellLedger(saved, changedData);
  for (const [at, run] of runs.entries()) {
    const [, id, source] = /^(\d+): ([\s\S]*)$/.exec(run)!;
    ledger.ran(id!, source!, readCell(source!, ts), true, at);
  }
  return Object.fromEntries(
    ledger.stale().map((output) => [output.cell, staleSentence(output, (id) => id)]),
  );
}

describe("outputs that a run from top to bottom would not show", () => {
  it("are none when the cells run in their order", () => {
    expect(sentences(["1: let a = 1;", "2: a++;", "3: a"])).toEqual({});
  });

  it("are those below a cell that changed, and those that depend on them", () => {
    expect(
      sentences(["1: let a = 1;", "2: const b = a;", "3: b", "4: 5", "1: let a = 2;"]),
    ).toEqual({
      2: "Computed before cell 1 changed; run cell 2 again.",
      3: "Computed before cell 1 changed; run cells 2 and 3 again.",
    });
  });

  it("are those of a cell whose data changed, and those that depend on it", () => {
    const data = (cell: string) => (cell === "1" ? ["data/a.csv"] : []);
    const runs = ['1: const a = read("a");', "2: const b = a;", "3: 5"];
    expect(sentences(runs, undefined, data)).toEqual({
      1: "Computed before data/a.csv changed; run cell 1 again.",
      2: "Computed before data/a.csv changed; run cells 1 and 2 again.",
    });
    const many = (cell: string) => (cell === "1" ? ["data/a.csv", "data/b.csv", "data/c.csv"] : []);
    expect(sentences(runs, undefined, many)[1]).toBe(
      "Computed before data/a.csv and 2 other files changed; run cell 1 again.",
    );
  });

  it("stay stale while a cell between was not run", () => {
    const runs = ["1: let a = 1;", "2: const b = a;", "3: b", "1: let a = 2;", "3: b"];
    expect(sentences(runs)[3]).toBe("Computed before cell 1 changed; run cells 2 and 3 again.");
  });

  it("are fresh again once they ran in order", () => {
    const runs = ["1: let a = 1;", "2: const b = a;", "3: b", "1: let a = 2;"];
    expect(sentences([...runs, "2: const b = a;", "3: b"])).toEqual({});
  });

  it("are none after the same cell ran again with the same result", () => {
    expect(sentences(["1: const a = 1;", "2: a", "1: const a = 1;"])).toEqual({});
  });

  it("are those below a cell that draws other numbers each time", () => {
    expect(
      sentences(["1: const a = Math.random();", "2: a", "1: const a = Math.random();"]),
    ).toEqual({
      2: "Computed before cell 1 ran again; run cell 2 again.",
    });
  });

  it("is the output of a cell that used a name as a cell below left it", () => {
    expect(sentences(["1: let a = 1;", "2: a", "3: a = 2;", "2: a"])).toMatchObject({
      2: "Uses a as cell 3 below left it; run cells 1, 2 and 3 again.",
    });
  });

  it("is the output of a cell that changed the same list twice", () => {
    expect(sentences(["1: const a = [1];", "2: a.push(2);", "2: a.push(2);"])).toEqual({
      2: "Uses a as an earlier run of this cell left it; run cells 1 and 2 again.",
    });
  });

  it("is that of a change that was undone by the cell above it", () => {
    const stale = sentences(["1: let a = 1;", "2: a = 2;", "3: a", "1: let a = 1;"]);
    expect(stale[2]).toBe("Computed before cell 1 ran again; run cell 2 again.");
  });

  it("is the output of a cell that uses a name that is declared no more", () => {
    expect(sentences(["1: const a = 1; const c = 2;", "2: c", "1: const a = 1;", "2: c"])).toEqual({
      2: "Uses c, which cell 1 no longer declares; a run from top to bottom would fail here.",
    });
  });

  it("are told by the saved notebook: order, edits and deleted cells", () => {
    const numbers: Record<string, number> = { 7: 1, 8: 2, 9: 3 };
    const saved: SavedCells = {
      number: (id) => numbers[id],
      since: (id) => (id === "7" ? "edited" : id === "9" ? "deleted" : "same"),
    };
    expect(sentences(["9: const c = 1;", "7: const a = 1;", "8: a"], saved)).toEqual({
      8: "Computed before cell 7 was edited; run cells 7 and 8 again.",
    });
    const gone: SavedCells = {
      number: () => undefined,
      since: (id) => (id === "1" ? "deleted" : "same"),
    };
    expect(sentences(["1: const a = 1;", "2: a"], gone)).toEqual({
      2: "Uses cell 1, which was deleted; a run from top to bottom would fail here.",
    });
  });
});

describe("cost", () => {
  it("a notebook of 200 cells is followed in less than 2 ms a cell", () => {
    const ledger = new CellLedger();
    const sources = Array.from({ length: 200 }, (_, i) =>
      i === 0 ? "let n0 = 1;" : `const n${i} = n${i - 1} + [1, 2].map((x) => x + n0).length;`,
    );
    const times = sources.map((source, i) => {
      const start = process.cpuUsage();
      ledger.ran(String(i), source, readCell(source, ts), true, i);
      ledger.stale();
      const { user, system } = process.cpuUsage(start);
      return (user + system) / 1000;
    });
    expect(times.sort((a, b) => a - b)[100]).toBeLessThan(2);
  });
});
