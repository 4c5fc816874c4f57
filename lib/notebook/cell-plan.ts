import { type CellInputs, NamesOfCells, type ReadCell } from "./cell-dependencies.js";

/** The last run of a cell in a kernel that stays alive. */
export interface PastRun {
  /** The code that ran. */
  readonly source: string;
  /** Number of the run, counted over all cells of the kernel. */
  readonly run: number;
  /** The cells that its names came from, by id, each with the number of the run that it used. */
  readonly inputs: ReadonlyMap<string, number>;
}

/** A cell as it is saved now. */
export interface SavedCell extends ReadCell {
  /** The code of the cell. */
  readonly source: string;
}

/** What has to run so that every output is as in a run from top to bottom. */
export type CellPlan =
  | {
      readonly kind: "run";
      /** Ids of the cells to run, in the order of the notebook. */
      readonly cells: readonly string[];
    }
  /** What the kernel holds cannot be brought to what a run from top to bottom would have. */
  | { readonly kind: "start again" };

/** For each cell what it depends on in a run from top to bottom. */
export function cleanInputs(cells: readonly ReadCell[]): Map<string, CellInputs> {
  const names = new NamesOfCells();
  return new Map(cells.map(({ id, facts }) => [id, names.take(id, facts)]));
}

/**
 * The cells that have to run again: those whose code or inputs are not what they were at their last
 * run, and those that depend on them. A cell whose names a cell below has changed since brings the
 * cells along that make these names, so that it meets them as they are at its place.
 *
 * @param cells the cells of the notebook as it is saved now, from top to bottom
 * @param past the last run of each cell in the kernel; a cell that never ran is not in it
 * @param names who made or changed what in the kernel, in the order in which its cells ran
 * @param outdated ids of cells to run for another reason, such as data that changed
 */
export function planCells(
  cells: readonly SavedCell[],
  past: ReadonlyMap<string, PastRun>,
  names: NamesOfCells,
  outdated: ReadonlySet<string> = new Set(),
): CellPlan {
  const clean = cleanInputs(cells);
  const wanted = new Set(
    cells.filter((cell) => outdated.has(cell.id) || isNew(cell, past, clean)).map(({ id }) => id),
  );
  for (;;) {
    addDependents(cells, clean, wanted);
    const missing = missingMakers(cells, clean, wanted, names.copy());
    if (missing === undefined) return { kind: "start again" };
    if (missing.size === 0) break;
    for (const id of missing) wanted.add(id);
  }
  return { kind: "run", cells: cells.map(({ id }) => id).filter((id) => wanted.has(id)) };
}

function isNew(
  { id, source }: SavedCell,
  past: ReadonlyMap<string, PastRun>,
  clean: ReadonlyMap<string, CellInputs>,
): boolean {
  const before = past.get(id);
  if (!before || before.source !== source) return true;
  const from = clean.get(id)?.from ?? new Map();
  if (from.size !== before.inputs.size) return true;
  return [...from.keys()].some((cell) => before.inputs.get(cell) !== past.get(cell)?.run);
}

function addDependents(
  cells: readonly SavedCell[],
  clean: ReadonlyMap<string, CellInputs>,
  wanted: Set<string>,
): void {
  for (const { id } of cells) {
    const from = clean.get(id)?.from.keys() ?? [];
    if ([...from].some((cell) => wanted.has(cell))) wanted.add(id);
  }
}

/**
 * Cells that have to run before the wanted ones, since these would meet names as others left them.
 * @returns undefined when running the makers again does not give the names back
 */
function missingMakers(
  cells: readonly SavedCell[],
  clean: ReadonlyMap<string, CellInputs>,
  wanted: ReadonlySet<string>,
  names: NamesOfCells,
): Set<string> | undefined {
  const missing = new Set<string>();
  for (const { id, facts } of cells) {
    if (!wanted.has(id)) continue;
    const should = makersByName(clean.get(id));
    const would = makersByName(names.take(id, facts));
    for (const name of new Set([...should.keys(), ...would.keys()])) {
      const makers = should.get(name) ?? new Set();
      if (equal(makers, would.get(name) ?? new Set())) continue;
      const others = [...makers].filter((maker) => !wanted.has(maker));
      if (others.length === 0) return undefined;
      for (const maker of others) missing.add(maker);
    }
  }
  return missing;
}

function makersByName(inputs: CellInputs | undefined): Map<string, Set<string>> {
  const makers = new Map<string, Set<string>>();
  for (const [cell, names] of inputs?.from ?? []) {
    for (const name of names) makers.set(name, (makers.get(name) ?? new Set()).add(cell));
  }
  return makers;
}

function equal(first: ReadonlySet<string>, second: ReadonlySet<string>): boolean {
  return first.size === second.size && [...first].every((one) => second.has(one));
}
