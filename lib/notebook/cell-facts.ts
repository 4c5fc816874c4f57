/** What a cell may change by calling something. */
export interface PossibleChange {
  /** The name at the root of what is called; "" when it is none of the notebook's or a package's. */
  readonly by: string;
  /** The call is `by(…)` itself, and not a method of it. */
  readonly direct: boolean;
  /** It is a method that always changes what it is called on, such as push. */
  readonly surely: boolean;
  /** Names of the notebook whose content the call may change. */
  readonly names: readonly string[];
}

/** What code does to the names of the notebook when it runs. */
export interface Effects {
  /** Names of other cells that it reads. */
  readonly uses: readonly string[];
  /** Names that it gives another value. */
  readonly assigns: readonly string[];
  /** Names whose content it changes: an item of a list, a property of an object. */
  readonly mutates: readonly string[];
  /** Calls that may change something. */
  readonly calls: readonly PossibleChange[];
}

/** What is kept of a function, or of an object with functions, that a cell declares. */
export interface LaterEffects extends Effects {
  /** It changes the content of what it is given. */
  readonly changesArguments: boolean;
  /** It is a generator: what it returns is used up as it is read. */
  readonly generates: boolean;
}

/** Something in a cell that another run need not repeat. */
export interface Unrepeatable {
  /** What it is. */
  readonly what: "random" | "clock" | "timer" | "network" | "environment" | "program";
  /** The code in question, such as "Math.random". */
  readonly code: string;
  /** Line of the cell, from 1. */
  readonly line: number;
}

/** What the source of one cell says about its names. */
export interface CellFacts extends Effects {
  /** Names that the cell declares: variables, functions, classes, imports. */
  readonly declares: readonly string[];
  /** Names that are used as types only. */
  readonly types: readonly string[];
  /** The package that each imported name comes from. */
  readonly imports: Readonly<Record<string, string>>;
  /** For a declared name: the names that its value may share content with. */
  readonly shares: Readonly<Record<string, readonly string[]>>;
  /** For a declared name: the name whose call made its value. */
  readonly madeBy: Readonly<Record<string, string>>;
  /** For a declared name: what its functions do when they are called. */
  readonly later: Readonly<Record<string, LaterEffects>>;
  /** What another run need not repeat. */
  readonly unrepeatable: readonly Unrepeatable[];
  /** Why the cell cannot be read with certainty: it then depends on everything above it. */
  readonly unsure?: string;
}

/** A cell about which nothing could be found out. */
export function unknownCell(why: string): CellFacts {
  const none = { uses: [], assigns: [], mutates: [], calls: [], declares: [], types: [] };
  return {
    ...none,
    imports: {},
    shares: {},
    madeBy: {},
    later: {},
    unrepeatable: [],
    unsure: why,
  };
}

/** Whether a cell uses nothing that another cell could have made. */
export function readsNothing(facts: CellFacts): boolean {
  return facts.uses.length + facts.assigns.length + facts.mutates.length === 0;
}
