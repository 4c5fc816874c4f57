import type * as TypeScript from "@tslab/typescript-for-tslab";
import { dependenciesOf } from "../notebook/cell-dependencies.js";
import { readCell } from "../notebook/cell-reading.js";
import { type CodeCell, type Notebook, type Output, sorted } from "../notebook/nbformat.js";
import { figureNumbers, isFigure } from "./drawings.js";

/** How live outputs and those of a run from top to bottom differ; cells by their number. */
export interface LiveDifference {
  /** Cells that show something else though all cells they depend on show the same. */
  readonly hiding: readonly number[];
  /** Cells that show something else and depend on one of those. */
  readonly following: readonly number[];
}

/**
 * Compares a notebook as its live kernel shows it with the same notebook as a run from top to bottom
 * does. Drawings are left out: they are made from the numbers compared here.
 */
export function liveDifference(
  live: Notebook,
  clean: Notebook,
  ts: typeof TypeScript,
): LiveDifference {
  const cells = clean.cells.filter((cell): cell is CodeCell => cell.cell_type === "code");
  const shownLive = outputsById(live);
  const shownClean = outputsById(clean);
  const differs = new Set(
    cells.map(({ id }) => id).filter((id) => shownLive.get(id) !== shownClean.get(id)),
  );
  if (differs.size === 0) return { hiding: [], following: [] };
  const from = dependenciesOf(cells.map(({ id, source }) => ({ id, facts: readCell(source, ts) })));
  const number = (id: string) => clean.cells.findIndex((cell) => cell.id === id) + 1;
  const followers = new Set<string>();
  for (const { id } of cells) {
    const reached = (from.get(id) ?? []).some((one) => differs.has(one) || followers.has(one));
    if (reached) followers.add(id);
  }
  const numbers = (ids: Iterable<string>) => [...ids].map(number);
  return {
    hiding: numbers([...differs].filter((id) => !followers.has(id))),
    following: numbers([...differs].filter((id) => followers.has(id))),
  };
}

function outputsById(notebook: Notebook): Map<string, string> {
  const outputs = notebook.cells.flatMap((cell): [string, string][] =>
    cell.cell_type === "code" ? [[cell.id, JSON.stringify(sorted(cell.outputs.map(bare)))]] : [],
  );
  return new Map(outputs);
}

/** An output without its count; of a figure without the forms that its drawing gives it. */
function bare(output: Output): unknown {
  if (output.output_type === "execute_result") return { ...output, execution_count: null };
  return isFigure(output) ? figureNumbers(output) : output;
}
