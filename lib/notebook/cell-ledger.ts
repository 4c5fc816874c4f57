import { NamesOfCells } from "./cell-dependencies.js";
import type { CellFacts } from "./cell-facts.js";

/** What a saved notebook says of its cells; a kernel is told nothing of cells that do not run. */
export interface SavedCells {
  /** Number of the cell in the notebook, from 1; undefined for a cell that is not in a saved file. */
  number(id: string): number | undefined;
  /** What became of a cell since it ran with this source; "same" where nothing is known. */
  since(id: string, source: string, ranAt: number): "same" | "edited" | "deleted";
}

/** Why the output of a cell is not what a run from top to bottom would show. */
export interface StaleReason {
  /**
   * A cell that it depends on changed, ran again, was edited or deleted since; or it used a name as a
   * cell below it left it, or one that no cell declares any more; or data that it read changed.
   */
  readonly kind: "data" | "changed" | "ran again" | "edited" | "deleted" | "below" | "gone";
  /** Id of the cell in question. */
  readonly cell: string;
  /** Names in question, or paths of data files; empty when they do not matter. */
  readonly names: readonly string[];
}

/** A cell whose output is not what a run from top to bottom would show. */
export interface StaleOutput {
  /** Id of the cell. */
  readonly cell: string;
  /** Why, the cells above first. */
  readonly reasons: readonly StaleReason[];
  /** Ids of the cells to run, in this order, so that the output is right again. */
  readonly runAgain: readonly string[];
}

/** The last run of a cell. */
interface LastRun {
  readonly source: string;
  readonly version: number;
  readonly ranAt: number;
  readonly change: "changed" | "ran again";
  readonly inputs: ReadonlyMap<
    string,
    { readonly version: number; readonly names: readonly string[] }
  >;
  readonly gone: ReadonlyMap<string, string>;
  readonly firstStep: number;
}

const knowsNothing: SavedCells = { number: () => undefined, since: () => "same" };

/** The runs of the cells of one kernel, in the order in which a person ran them. */
export class CellLedger {
  private readonly runs = new Map<string, LastRun>();
  private readonly names = new NamesOfCells();
  private readonly saved: SavedCells;
  private readonly changedData: (cell: string) => readonly string[];
  private steps = 0;

  /** @param changedData paths of the data files that do not hold what a cell read */
  constructor(
    saved: SavedCells = knowsNothing,
    changedData: (cell: string) => readonly string[] = () => [],
  ) {
    this.saved = saved;
    this.changedData = changedData;
  }

  /**
   * Takes a run of a cell.
   * @param finished false when the cell failed on its way
   */
  ran(id: string, source: string, facts: CellFacts, finished: boolean, now: number): void {
    const step = ++this.steps;
    const before = this.runs.get(id);
    const undone = facts.declares.some((name) => this.names.changedByOthers(name, id));
    const { from, gone } = this.names.take(id, facts);
    const inputs = new Map(
      [...from].map(([cell, names]) => [
        cell,
        { version: this.runs.get(cell)?.version ?? 0, names },
      ]),
    );
    const repeats =
      finished && !undone && facts.unrepeatable.length === 0 && facts.unsure === undefined;
    const sameInputs =
      before?.inputs.size === inputs.size &&
      [...inputs].every(([cell, { version }]) => before.inputs.get(cell)?.version === version);
    const same = repeats && before?.source === source && sameInputs;
    this.runs.set(id, {
      source,
      version: same ? before.version : step,
      ranAt: now,
      change: before && before.source !== source ? "changed" : "ran again",
      inputs,
      gone,
      firstStep: before?.firstStep ?? step,
    });
  }

  /** The cells whose output is not what a run from top to bottom would show, in their order. */
  stale(): StaleOutput[] {
    const known = new Map<string, StaleOutput | undefined>();
    const ids = [...this.runs.keys()].sort((a, b) => this.order(a, b));
    return ids.flatMap((id) => this.staleOutput(id, known) ?? []);
  }

  private staleOutput(
    id: string,
    known: Map<string, StaleOutput | undefined>,
  ): StaleOutput | undefined {
    if (known.has(id)) return known.get(id);
    known.set(id, undefined); // a cell that depends on itself through others
    const run = this.runs.get(id);
    if (!run || this.saved.since(id, run.source, run.ranAt) === "deleted") return undefined;
    const reasons = new Map<string, StaleReason>();
    const again = new Set<string>();
    const add = (reason: StaleReason) => reasons.set(`${reason.kind} ${reason.cell}`, reason);
    const data = this.changedData(id);
    if (data.length > 0) add({ kind: "data", cell: id, names: data });
    for (const [cell, { version, names }] of run.inputs) {
      const own = this.ofInput(id, cell, version, names);
      if (own) add(own);
      if (own?.kind === "edited" || (own?.kind === "below" && cell !== id)) again.add(cell);
      const earlier = cell === id ? undefined : this.staleOutput(cell, known);
      for (const reason of earlier?.reasons ?? []) add(reason);
      for (const other of earlier?.runAgain ?? []) again.add(other);
      if (own?.kind === "below") for (const maker of this.makersOf(id, names)) again.add(maker);
    }
    for (const [name, cell] of run.gone) add({ kind: "gone", cell, names: [name] });
    if (reasons.size === 0) return undefined;
    again.add(id);
    const runAgain = [...again].sort((a, b) => this.order(a, b));
    const found = { cell: id, reasons: [...reasons.values()], runAgain };
    known.set(id, found);
    return found;
  }

  private ofInput(
    id: string,
    cell: string,
    version: number,
    names: readonly string[],
  ): StaleReason | undefined {
    const input = this.runs.get(cell);
    if (!input) return undefined;
    if (cell === id || this.order(cell, id) > 0) return { kind: "below", cell, names };
    if (input.version !== version) return { kind: input.change, cell, names: [] };
    const since = this.saved.since(cell, input.source, input.ranAt);
    return since === "same" ? undefined : { kind: since, cell, names: [] };
  }

  /** Cells above that make the names anew. */
  private makersOf(id: string, names: readonly string[]): string[] {
    const run = this.runs.get(id);
    return [...(run?.inputs ?? [])]
      .filter(([cell, input]) => input.names.some((name) => names.includes(name)) && cell !== id)
      .map(([cell]) => cell)
      .filter((cell) => this.order(cell, id) < 0);
  }

  /** Below 0 when a stands above b: by the saved notebook if it has both, else by their first runs. */
  private order(a: string, b: string): number {
    const [first, second] = [this.saved.number(a), this.saved.number(b)];
    if (first !== undefined && second !== undefined) return first - second;
    return (this.runs.get(a)?.firstStep ?? 0) - (this.runs.get(b)?.firstStep ?? 0);
  }
}
