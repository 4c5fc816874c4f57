import { itemAt, realAt } from "../entry.js";
import { InputError } from "../errors.js";
import { sum } from "../num/sums.js";
import { nearestName } from "../options.js";
import type { Labels, Numbers } from "./estimate.js";
import { labels, numbers, sameLength, shown } from "./input.js";

/** A column of a model: numbers as they are, or labels that are coded 0 and 1. */
export type TermColumn = Numbers | Labels;

/** How columns of labels, and products of columns, enter a model. */
export interface TermOptions {
  /** The label that each other label of a term is compared with; the one that sorts first unless given. */
  readonly reference?: Readonly<Record<string, string>>;
  /** Terms whose products enter as well, each a list of two or more names: [["arm", "visit"]]. */
  readonly interactions?: readonly (readonly string[])[];
}

/** A term as it stands in the model. */
export type ModelTerm =
  | {
      readonly name: string;
      /** Its mean over the rows, at which adjusted means are taken. */
      readonly mean: number;
    }
  | {
      readonly name: string;
      /** The reference first, then the others in sorted order. */
      readonly levels: readonly string[];
    };

/** The terms and products of a model, from which the weights of any mean are made. */
export interface ModelTerms {
  /** The terms, in the order of their coefficients. */
  readonly terms: readonly ModelTerm[];
  /** Names of the terms that each product multiplies. */
  readonly interactions: readonly (readonly string[])[];
  /** Whether the model has an intercept. */
  readonly intercept: boolean;
}

/** Columns of numbers made from terms, one per coefficient, without the intercept. */
export interface CodedTerms {
  /** Name of each coefficient. */
  readonly names: readonly string[];
  /** Numbers of each coefficient, one per row. */
  readonly columns: readonly Float64Array[];
  /** How the columns were made from the terms. */
  readonly model: ModelTerms;
}

interface CodedColumn {
  readonly name: string;
  readonly column: Float64Array;
}

/**
 * Codes the terms of a model: a column of numbers as it is, named after its term; a column of
 * labels as one 0/1 column per label but the reference, named "arm:grip"; an interaction as the
 * products of its terms' columns, named "arm:grip × visit:w6".
 *
 * Without an intercept the first column of labels keeps its reference, so that its labels have a
 * mean each.
 *
 * @throws InputError for a column that cannot be used, a reference or an interaction that names no
 *   term or label, one label throughout, a combination of labels without rows, or two coefficients
 *   of one name
 */
export function codedTerms(
  terms: Readonly<Record<string, TermColumn>>,
  rows: number,
  options: TermOptions,
  intercept: boolean,
  where: string,
): CodedTerms {
  if (terms === null || typeof terms !== "object" || "length" in terms) {
    const expected = "a record of columns by name";
    throw new InputError({ expected, got: shown(terms), where: `${where}, terms` });
  }
  const { reference = {}, interactions = [] } = options;
  const read = new Map(
    Object.entries(terms).map(([name, term]) => [name, readTerm(name, term, rows, where)] as const),
  );
  checkReferences(reference, read, where);
  let open = !intercept;
  const coded = new Map<string, CodedColumn[]>();
  const model: ModelTerm[] = [];
  for (const [name, column] of read) {
    if (column instanceof Float64Array) {
      coded.set(name, [{ name, column }]);
      model.push({ name, mean: sum(column) / rows });
      continue;
    }
    const levels = orderedLevels(name, column, reference[name], where);
    coded.set(name, indicators(name, column, open ? levels : levels.slice(1)));
    model.push({ name, levels });
    open = false;
  }
  const products = interactions.map((names) => {
    const parts = names.map((name) => termOf(coded, name, `${where}, interactions`));
    if (parts.length < 2 || new Set(names).size < names.length) {
      const expected = "two or more different terms, such as [arm, visit]";
      throw new InputError({ expected, got: shown(names), where: `${where}, interactions` });
    }
    return parts.reduce((made, part) => productsOf(made, part, where));
  });
  const all = [...coded.values(), ...products].flat();
  checkNames(all, intercept, where);
  return {
    names: all.map(({ name }) => name),
    columns: all.map(({ column }) => column),
    model: { terms: model, interactions: interactions.map((names) => [...names]), intercept },
  };
}

/** True for a column whose first entry is text. */
function isLabels(term: TermColumn): term is Labels {
  return term !== null && typeof term === "object" && typeof term[0] === "string";
}

function readTerm(
  name: string,
  term: TermColumn,
  rows: number,
  where: string,
): Float64Array | string[] {
  const place = `${where}, terms.${name}`;
  if (isLabels(term)) return labels(term, place, rows);
  const column = numbers(term, place);
  sameLength(column.length, rows, place);
  return column;
}

function termOf<T>(terms: ReadonlyMap<string, T>, name: string, where: string): T {
  const term = terms.get(name);
  if (term !== undefined) return term;
  const names = [...terms.keys()];
  const near = typeof name === "string" ? nearestName(name, names) : undefined;
  const expected = near === undefined ? `a term (${names.join(", ")})` : `the term ${near}`;
  throw new InputError({ expected, got: shown(name), where });
}

function checkReferences(
  reference: Readonly<Record<string, string>>,
  read: ReadonlyMap<string, Float64Array | string[]>,
  where: string,
): void {
  if (reference === null || typeof reference !== "object") {
    const expected = "a record that names a label for a term, such as { arm: … }";
    throw new InputError({ expected, got: shown(reference), where: `${where}, reference` });
  }
  for (const name of Object.keys(reference)) {
    const column = termOf(read, name, `${where}, reference`);
    if (!(column instanceof Float64Array)) continue;
    const expected = `a term of labels; ${name} is a column of numbers`;
    throw new InputError({ expected, got: name, where: `${where}, reference` });
  }
}

function orderedLevels(
  name: string,
  column: readonly string[],
  reference: string | undefined,
  where: string,
): string[] {
  const levels = [...new Set(column)].sort();
  if (levels.length < 2) {
    const got = `${shown(itemAt(levels, 0))} throughout`;
    throw new InputError({
      expected: "at least two labels",
      got,
      where: `${where}, terms.${name}`,
    });
  }
  const first = reference ?? itemAt(levels, 0);
  if (!levels.includes(first)) {
    const expected = `a label of ${name} (${levels.join(", ")})`;
    throw new InputError({ expected, got: shown(first), where: `${where}, reference` });
  }
  return [first, ...levels.filter((level) => level !== first)];
}

function indicators(name: string, column: readonly string[], levels: string[]): CodedColumn[] {
  return levels.map((level) => ({
    name: `${name}:${level}`,
    column: Float64Array.from(column, (label) => (label === level ? 1 : 0)),
  }));
}

function productsOf(left: CodedColumn[], right: CodedColumn[], where: string): CodedColumn[] {
  return left.flatMap((one) =>
    right.map((other) => {
      const name = `${one.name} × ${other.name}`;
      const column = one.column.map((x, row) => x * realAt(other.column, row));
      if (column.every((x) => x === 0)) {
        const expected = `rows with ${name}, or a model without this interaction`;
        throw new InputError({ expected, got: "none", where: `${where}, interactions` });
      }
      return { name, column };
    }),
  );
}

function checkNames(columns: readonly CodedColumn[], intercept: boolean, where: string): void {
  const seen = new Set(intercept ? ["intercept"] : []);
  for (const { name } of columns) {
    if (seen.has(name)) {
      const expected =
        name === "intercept"
          ? "another name: the intercept is always in the model"
          : "one coefficient of this name";
      throw new InputError({ expected, got: shown(name), where: `${where}, terms` });
    }
    seen.add(name);
  }
}

/**
 * Copies terms into plain lists, which JSON keeps.
 */
export function plainTerms(
  terms: Readonly<Record<string, TermColumn>>,
): Record<string, readonly number[] | readonly string[]> {
  return Object.fromEntries(
    Object.entries(terms).map(([name, term]) => [
      name,
      isLabels(term) ? Array.from(term) : Array.from(term),
    ]),
  );
}
