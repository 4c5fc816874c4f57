import { type CellFacts, type Effects, type LaterEffects, readsNothing } from "./cell-facts.js";

/** What one run of a cell depended on, by the names that it uses. */
export interface CellInputs {
  /** Ids of the cells that made or changed what it uses, each with the names in question. */
  readonly from: ReadonlyMap<string, readonly string[]>;
  /** Names that it uses and that no cell declares any more, each with the cell that did. */
  readonly gone: ReadonlyMap<string, string>;
}

/** Packages whose results are not changed by their own methods, nor by being handed on. */
const lastingPackages = /^(?:tautline|arquero)(?:\/|$)/;

/**
 * Who made or changed what each name of a notebook stands for now. Cells are taken in the order in
 * which they run: from top to bottom for a clean run, as a person runs them in a front end.
 */
export class NamesOfCells {
  private readonly writers = new Map<string, Set<string>>();
  private readonly declarer = new Map<string, string>();
  private readonly peers = new Map<string, Set<string>>();
  private readonly later = new Map<string, LaterEffects>();
  private readonly packages = new Map<string, string>();
  /** Names for results of such packages. */
  private readonly lasting = new Set<string>();
  /** Names for random streams and for what generators return, which every use changes. */
  private readonly streams = new Set<string>();
  /** The name whose call made the value of a name. */
  private readonly makers = new Map<string, string>();
  private readonly declaredBy = new Map<string, ReadonlySet<string>>();
  private readonly gone = new Map<string, string>();
  private readonly unsure = new Set<string>();
  private readonly taken = new Set<string>();

  /** Takes the run of a cell, and tells what it depended on. */
  take(id: string, facts: CellFacts): CellInputs {
    this.forget(id, facts);
    const effects = this.effectsOf(facts);
    const inputs = this.inputsOf(id, facts, effects);
    this.declare(id, facts);
    for (const name of effects.assigns) this.addWriter(name, id);
    this.connect(facts);
    for (const name of this.changedBy(effects)) {
      for (const peer of this.peersOf(name)) this.addWriter(peer, id);
    }
    if (facts.unsure !== undefined) this.unsure.add(id);
    else this.unsure.delete(id);
    this.taken.add(id);
    return inputs;
  }

  /** The same knowledge in a second place, so that a run can be tried out. */
  copy(): NamesOfCells {
    const copy = new NamesOfCells();
    copySets(this.writers, copy.writers);
    copySets(this.peers, copy.peers);
    copyEntries(this.declarer, copy.declarer);
    copyEntries(this.later, copy.later);
    copyEntries(this.packages, copy.packages);
    copyEntries(this.declaredBy, copy.declaredBy);
    copyEntries(this.gone, copy.gone);
    copyEntries(this.makers, copy.makers);
    for (const part of ["lasting", "streams", "unsure", "taken"] as const) {
      for (const one of this[part]) copy[part].add(one);
    }
    return copy;
  }

  /** Whether other cells than this one made or changed what a name stands for. */
  changedByOthers(name: string, id: string): boolean {
    return [...(this.writers.get(name) ?? [])].some((writer) => writer !== id);
  }

  /** A cell that was there before may declare fewer names than it did. */
  private forget(id: string, facts: CellFacts): void {
    const now = new Set(facts.declares);
    for (const name of this.declaredBy.get(id) ?? []) {
      if (!now.has(name) && this.declarer.get(name) === id) this.gone.set(name, id);
    }
    this.declaredBy.set(id, now);
  }

  /** What the cell does itself, and what the functions do that it uses. */
  private effectsOf(facts: CellFacts): Effects {
    const uses = new Set(facts.uses);
    const assigns = new Set(facts.assigns);
    const mutates = new Set(facts.mutates);
    const calls = [...facts.calls];
    for (const { by, direct } of calls) {
      const maker = this.makers.get(by);
      if (direct && maker !== undefined && !facts.declares.includes(by)) uses.add(maker);
    }
    for (const name of uses) {
      const later = Object.hasOwn(facts.later, name)
        ? facts.later[name]
        : this.laterOf(name, facts);
      if (!later) continue;
      for (const one of later.uses) uses.add(one); // and what those use: the loop goes on with them
      for (const one of later.assigns) assigns.add(one);
      for (const one of later.mutates) mutates.add(one);
      calls.push(...later.calls);
    }
    return { uses: [...uses], assigns: [...assigns], mutates: [...mutates], calls };
  }

  private laterOf(name: string, facts: CellFacts): LaterEffects | undefined {
    return facts.declares.includes(name) ? undefined : this.later.get(name);
  }

  private inputsOf(id: string, facts: CellFacts, effects: Effects): CellInputs {
    const from = new Map<string, string[]>();
    const gone = new Map<string, string>();
    const own = new Set(facts.declares);
    const add = (cell: string, name: string) => {
      const names = from.get(cell) ?? [];
      if (!names.includes(name)) names.push(name);
      from.set(cell, names);
    };
    for (const name of [...effects.uses, ...effects.mutates]) {
      if (own.has(name)) continue;
      const earlier = this.gone.get(name);
      if (earlier !== undefined) gone.set(name, earlier);
      for (const cell of this.writers.get(name) ?? []) add(cell, name);
    }
    for (const name of effects.assigns) {
      const cell = this.declarer.get(name);
      if (cell !== undefined && !own.has(name)) add(cell, name);
    }
    if (facts.unsure !== undefined) for (const cell of this.taken) if (cell !== id) add(cell, "");
    if (!readsNothing(facts)) for (const cell of this.unsure) if (cell !== id) add(cell, "");
    return { from, gone };
  }

  private declare(id: string, facts: CellFacts): void {
    for (const name of facts.declares) {
      this.writers.set(name, new Set([id]));
      this.declarer.set(name, id);
      this.gone.delete(name);
      for (const peer of this.peers.get(name) ?? []) this.peers.get(peer)?.delete(name);
      for (const kept of [
        this.peers,
        this.later,
        this.packages,
        this.lasting,
        this.streams,
        this.makers,
      ]) {
        kept.delete(name);
      }
    }
    for (const [name, from] of Object.entries(facts.imports)) this.packages.set(name, from);
    for (const [name, later] of Object.entries(facts.later)) this.later.set(name, later);
    for (const [name, maker] of Object.entries(facts.madeBy)) {
      this.makers.set(name, maker);
      const generated = this.later.get(maker)?.generates === true;
      if (
        generated ||
        this.streams.has(maker) ||
        (this.isLasting(maker) && /random/i.test(maker))
      ) {
        this.streams.add(name);
      } else if (this.isLasting(maker)) this.lasting.add(name);
    }
  }

  private isLasting(name: string): boolean {
    return this.lasting.has(name) || lastingPackages.test(this.packages.get(name) ?? "");
  }

  /** Names whose values share content: what changes one of them changes the others. */
  private connect(facts: CellFacts): void {
    for (const [name, others] of Object.entries(facts.shares)) {
      const maker = facts.madeBy[name];
      if (maker !== undefined && lastingPackages.test(this.packages.get(maker) ?? "")) continue;
      for (const other of others) {
        if (this.packages.has(other)) continue;
        this.peersAt(name).add(other);
        this.peersAt(other).add(name);
      }
    }
  }

  private peersAt(name: string): Set<string> {
    const peers = this.peers.get(name) ?? new Set();
    this.peers.set(name, peers);
    return peers;
  }

  private peersOf(name: string): ReadonlySet<string> {
    const found = new Set([name]);
    for (const one of found) for (const peer of this.peers.get(one) ?? []) found.add(peer);
    return found;
  }

  private changedBy(effects: Effects): string[] {
    const changed = [...effects.mutates, ...effects.uses.filter((name) => this.streams.has(name))];
    for (const { by, direct, surely, names } of effects.calls) {
      const lasting = this.isLasting(by) && !surely;
      const harmless = direct && this.later.get(by)?.changesArguments === false;
      for (const name of names) {
        if (this.packages.has(name)) continue;
        if (this.streams.has(name) || !(lasting || harmless)) changed.push(name);
      }
      if (direct && this.mayKeepState(by)) changed.push(by);
    }
    return changed.filter((name) => !this.packages.has(name));
  }

  /** A function that something else made may count on from call to call. */
  private mayKeepState(name: string): boolean {
    const unread = this.writers.has(name) && !this.later.has(name);
    return unread && !this.isLasting(name) && !this.packages.has(name);
  }

  private addWriter(name: string, id: string): void {
    const writers = this.writers.get(name) ?? new Set();
    this.writers.set(name, writers.add(id));
  }
}

function copyEntries<V>(from: ReadonlyMap<string, V>, to: Map<string, V>): void {
  for (const [name, value] of from) to.set(name, value);
}

function copySets(from: ReadonlyMap<string, Set<string>>, to: Map<string, Set<string>>): void {
  for (const [name, values] of from) to.set(name, new Set(values));
}

/** A cell of a notebook, and what its source says. */
export interface ReadCell {
  /** Id of the cell. */
  readonly id: string;
  /** What its source says about its names. */
  readonly facts: CellFacts;
}

/**
 * For each cell of a notebook, the cells above it that it depends on when the notebook runs from top
 * to bottom, in the order of the notebook. Cells on which those depend are not repeated.
 */
export function dependenciesOf(cells: readonly ReadCell[]): Map<string, readonly string[]> {
  const names = new NamesOfCells();
  const order = new Map(cells.map(({ id }, i) => [id, i]));
  const place = (id: string) => order.get(id) ?? -1;
  return new Map(
    cells.map(({ id, facts }) => {
      const { from } = names.take(id, facts);
      return [id, [...from.keys()].sort((a, b) => place(a) - place(b))];
    }),
  );
}
