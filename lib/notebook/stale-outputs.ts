import type * as TypeScript from "@tslab/typescript-for-tslab";
import { dependenciesOf } from "./cell-dependencies.js";
import { readCell } from "./cell-reading.js";
import type { CodeCell, Notebook } from "./nbformat.js";
import { cellsNamed } from "./stale-words.js";

/** A code cell of a saved notebook with its number. */
interface Numbered {
  readonly number: number;
  readonly cell: CodeCell;
}

/**
 * Outputs of a saved notebook that a run from top to bottom would not show, as far as the file says
 * so: by the order in which its cells ran, by the lines that the kernel added, and by the cells that
 * were edited since the notebook was recorded. Nothing is run.
 *
 * @param edited ids of the cells that are not as they were recorded
 * @param loadCompiler asked for only when something is out of order
 * @returns one clause each
 */
export function staleOutputs(
  notebook: Notebook,
  edited: readonly string[],
  loadCompiler: () => typeof TypeScript,
): string[] {
  const cells = notebook.cells.flatMap((cell, i): Numbered[] =>
    cell.cell_type === "code" && cell.source.trim() !== "" ? [{ number: i + 1, cell }] : [],
  );
  const told = cells.flatMap(({ number, cell }) => ownLines(number, cell));
  if (inOrder(cells) && edited.length === 0) return told;
  const dependents = dependentsIn(cells, loadCompiler());
  return [...told, ...ranTooEarly(cells, dependents), ...afterEdits(cells, edited, dependents)];
}

function ownLines(number: number, { outputs }: CodeCell): string[] {
  return outputs.flatMap((output) => {
    if (output.output_type !== "display_data") return [];
    const { tautline } = output.metadata as { tautline?: { stale?: unknown } };
    return tautline?.stale === true
      ? [`under cell ${number} stands: ${String(output.data["text/plain"])}`]
      : [];
  });
}

/** Whether the counts of the cells that ran go up from top to bottom, without a gap above one. */
function inOrder(cells: readonly Numbered[]): boolean {
  const counts = cells.map(({ cell }) => cell.execution_count);
  if (counts.every((count) => count === null)) return true;
  return counts.every((count, i) => count !== null && (i === 0 || count > (counts[i - 1] ?? 0)));
}

/** Whether one cell depends on another, directly or through others. */
type Dependents = (number: number, on: number) => boolean;

function dependentsIn(cells: readonly Numbered[], ts: typeof TypeScript): Dependents {
  const read = cells.map(({ cell }) => ({ id: cell.id, facts: readCell(cell.source, ts) }));
  const direct = dependenciesOf(read);
  const numbers = new Map(cells.map(({ cell, number }) => [cell.id, number]));
  const all = new Map<number, Set<number>>();
  for (const { cell, number } of cells) {
    const found = new Set<number>();
    for (const id of direct.get(cell.id) ?? []) {
      const on = numbers.get(id);
      if (on === undefined) continue;
      found.add(on);
      for (const further of all.get(on) ?? []) found.add(further);
    }
    all.set(number, found);
  }
  return (number, on) => all.get(number)?.has(on) ?? false;
}

function ranTooEarly(cells: readonly Numbered[], dependsOn: Dependents): string[] {
  return cells.flatMap(({ number, cell }) => {
    const count = cell.execution_count;
    if (count === null) return [];
    const later = cells.filter(
      (other) =>
        dependsOn(number, other.number) && (other.cell.execution_count ?? Infinity) > count,
    );
    if (later.length === 0) return [];
    const ran = later.filter((other) => other.cell.execution_count !== null);
    const named = (some: readonly Numbered[]) =>
      cellsNamed(
        some.map((one) => String(one.number)),
        (name) => name,
      );
    return ran.length > 0
      ? [`the output of cell ${number} was computed before ${named(ran)} ran`]
      : [`the output of cell ${number} is older than ${named(later)}, which has not run`];
  });
}

function afterEdits(
  cells: readonly Numbered[],
  edited: readonly string[],
  dependsOn: Dependents,
): string[] {
  return cells
    .filter(({ cell }) => edited.includes(cell.id))
    .map(({ number }) => {
      const after = cells.filter((other) => dependsOn(other.number, number));
      const text = `cell ${number} was edited since the notebook was recorded`;
      if (after.length === 0) return text;
      const names = after.map((other) => String(other.number));
      const verb = after.length === 1 ? "depends" : "depend";
      return `${text}; ${cellsNamed(names, (name) => name)} ${verb} on it`;
    });
}
