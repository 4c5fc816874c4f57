import { describe, expect, it } from "vitest";
import { NamesOfCells } from "../../lib/notebook/cell-dependencies.js";
import {
  cleanInputs,
  type PastRun,
  planCells,
  type SavedCell,
} from "../../lib/notebook/cell-plan.js";
import { readCell } from "../../lib/notebook/cell-reading.js";
import { kernelCompiler } from "../../lib/notebook/tslab.js";

const ts = kernelCompiler();

/** A kernel without a kernel: what was planned counts as run. */
class Session {
  private readonly past = new Map<string, PastRun>();
  private names = new NamesOfCells();
  private runs = 0;

  /** Saves cells by id, and tells the ids that run; "all" when the kernel starts again. */
  save(sources: Readonly<Record<string, string>>, outdated: readonly string[] = []): string {
    const cells = Object.entries(sources).map(
      ([id, source]): SavedCell => ({ id, source, facts: readCell(source, ts) }),
    );
    for (const id of this.past.keys()) if (!(id in sources)) this.past.delete(id);
    const plan = planCells(cells, this.past, this.names, new Set(outdated));
    if (plan.kind === "start again") {
      this.past.clear();
      this.names = new NamesOfCells();
    }
    const planned = plan.kind === "run" ? plan.cells : cells.map(({ id }) => id);
    const clean = cleanInputs(cells);
    for (const { id, source, facts } of cells.filter((cell) => planned.includes(cell.id))) {
      this.names.take(id, facts);
      const from = [...(clean.get(id)?.from.keys() ?? [])];
      const inputs = new Map(from.map((one) => [one, this.past.get(one)?.run ?? 0]));
      this.past.set(id, { source, run: ++this.runs, inputs });
    }
    return plan.kind === "run" ? planned.join(" ") : "all";
  }
}

type Step = readonly [cells: Record<string, string>, expected: string];

const chain = { a: "const a = 1;", b: "const b = a + 1;", c: "const c = 3;", d: "b" };
const list = { a: "const xs = [1];", b: "xs.push(2);", c: "xs.length", d: "const d = 4;" };

const cases: readonly (readonly [name: string, steps: readonly Step[]])[] = [
  [
    "nothing changed",
    [
      [chain, "a b c d"],
      [chain, ""],
    ],
  ],
  [
    "a cell and what depends on it",
    [
      [chain, "a b c d"],
      [{ ...chain, a: "const a = 5;" }, "a b d"],
    ],
  ],
  [
    "a cell that nothing depends on",
    [
      [chain, "a b c d"],
      [{ ...chain, c: "const c = 4;" }, "c"],
    ],
  ],
  [
    "a new cell in the middle",
    [
      [{ a: "const a = 1;", c: "a" }, "a c"],
      [{ a: "const a = 1;", b: "a + 1", c: "a" }, "b"],
    ],
  ],
  [
    "a list that a cell below has changed is made again",
    [
      [list, "a b c d"],
      [{ ...list, b: "xs.push(3);" }, "a b c"],
    ],
  ],
  [
    "a counter is set back",
    [
      [{ a: "let n = 0;", b: "n += 1;", c: "n" }, "a b c"],
      [{ a: "let n = 0;", b: "n += 2;", c: "n" }, "a b c"],
    ],
  ],
  [
    "a name that is declared again below",
    [
      [{ a: "const x = 1;", b: "const p = x;", c: "const x = 2;", d: "x" }, "a b c d"],
      [{ a: "const x = 1;", b: "const p = x + 1;", c: "const x = 2;", d: "x" }, "a b"],
      [{ a: "const x = 1;", b: "const p = x + 1;", c: "const x = 2;", d: "x * 2" }, "c d"],
    ],
  ],
  [
    "a random stream begins anew",
    [
      [
        {
          a: 'import { randomStream } from "tautline/stats"; const s = randomStream(1);',
          b: "const one = s.uniform();",
          c: "const two = s.uniform();",
        },
        "a b c",
      ],
      [
        {
          a: 'import { randomStream } from "tautline/stats"; const s = randomStream(1);',
          b: "const one = s.uniform();",
          c: "const two = s.uniform() * 2;",
        },
        "a b c",
      ],
    ],
  ],
  [
    "a deleted cell whose name is still used",
    [
      [chain, "a b c d"],
      [{ b: chain.b, c: chain.c, d: chain.d }, "all"],
    ],
  ],
  [
    "a deleted cell that nobody used",
    [
      [chain, "a b c d"],
      [{ a: chain.a, b: chain.b, d: chain.d }, ""],
    ],
  ],
  [
    "a name that its cell no longer declares",
    [
      [{ a: "const a = 1; const b = 2;", c: "b" }, "a c"],
      [{ a: "const a = 1;", c: "b" }, "all"],
    ],
  ],
  [
    "a name of a cell below",
    [
      [{ a: "1", b: "const b = 2;" }, "a b"],
      [{ a: "b", b: "const b = 2;" }, "all"],
    ],
  ],
  [
    "cells that change places",
    [
      [{ a: "let n = 1;", b: "n += 1;", c: "n *= 5;", d: "n" }, "a b c d"],
      [{ a: "let n = 1;", c: "n *= 5;", b: "n += 1;", d: "n" }, "a c b d"],
    ],
  ],
  [
    "code that can reach any name",
    [
      [{ a: "const a = 1;", b: 'eval("a = 2")', c: "a" }, "a b c"],
      [{ a: "const a = 1;", b: 'eval("a = 3")', c: "a" }, "all"],
    ],
  ],
];

describe("the cells that run after a save", () => {
  it.each(cases)("%s", (_, steps) => {
    const session = new Session();
    for (const [cells, expected] of steps) expect(session.save(cells)).toBe(expected);
  });

  it("are those whose data changed, and what depends on them", () => {
    const session = new Session();
    session.save(chain);
    expect(session.save(chain, ["b"])).toBe("b d");
  });
});
