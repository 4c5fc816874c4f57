/** A cell whose output is not what a run of the notebook from top to bottom would show. */
export interface StaleCell {
  /** Number of the cell in the saved notebook, or the count beside it in brackets: "[7]". */
  readonly cell: string;
  /** Why, and what to do: "Computed before cell 3 changed; run cell 5 again." */
  readonly sentence: string;
  /** The cells to run, in this order, so that the output is right again. */
  readonly runAgain: readonly string[];
}

/** The hook that a kernel sets. */
const staleHook = Symbol.for("tautline.staleCells");

/**
 * The cells of this notebook whose output is not what a run from top to bottom would show: a cell
 * above changed or ran again since, a name was used as a cell below left it, or a name is declared
 * no more. The list is of the moment before the cell that asks.
 *
 * @returns the cells from top to bottom; an empty list outside of a kernel that a person works with
 * @example staleCells().length // 0
 */
export function staleCells(): readonly StaleCell[] {
  const ask = (globalThis as Record<symbol, unknown>)[staleHook];
  return Object.freeze(typeof ask === "function" ? (ask() as StaleCell[]) : []);
}
