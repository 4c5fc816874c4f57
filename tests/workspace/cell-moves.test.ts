import { describe, expect, it } from "vitest";
import { cellMoves } from "../../lib/workspace/cell-moves.js";

const moves = (before: string, after: string) => {
  const notebook = (ids: string) => ({ cells: [...ids].map((id) => ({ id })) });
  return cellMoves(notebook(before), notebook(after));
};

describe("cells that moved between two revisions", () => {
  it("are named with the cell they now stand before", () => {
    expect(moves("abcd", "abdc")).toEqual(["cell d now stands before c"]);
    expect(moves("abcd", "dabc")).toEqual(["cell d now stands before a"]);
    expect(moves("abcd", "bcda")).toEqual(["cell a now stands last"]);
  });

  it("are the fewest that explain the order", () => {
    expect(moves("abcdef", "abedcf")).toHaveLength(2);
    expect(moves("abcdef", "fedcba")).toHaveLength(5);
  });

  it("are none when cells only came or went", () => {
    expect(moves("abc", "axbcy")).toEqual([]);
    expect(moves("abc", "ac")).toEqual([]);
    expect(moves("", "abc")).toEqual([]);
  });
});
