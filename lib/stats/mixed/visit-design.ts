import { itemAt, realAt, wholeAt } from "../../entry.js";
import { InputError } from "../../errors.js";
import { type FixedColumns, fixedColumns } from "./fixed-columns.js";
import type { VisitRows } from "./visit-rows.js";

/** What the fixed effects of a fit by visits are coded against. */
export interface VisitCoding {
  /** Index of the visit before training. */
  readonly baseline: number;
  /** Index of the arm that the others are compared with. */
  readonly reference: number;
  /** Arms share one mean at the baseline visit. */
  readonly constrained: boolean;
}

/** The columns of the fixed effects, as they are and orthogonalised. */
export interface VisitDesign extends FixedColumns {
  /** How many columns, the first ones, depend on visit and arm only. */
  readonly cellColumns: number;
  /** Weights on the fixed effects of the mean of an arm at a visit, covariates at their means. */
  meanWeights(visit: number, arm: number): Float64Array;
  /** Weights of the difference of an arm and the reference at a visit. */
  differenceWeights(visit: number, arm: number): Float64Array;
}

/** A named column of X, its value in a row, and in the mean of an arm at a visit. */
interface Column {
  readonly name: string;
  of(row: number): number;
  at(visit: number, arm: number): number;
}

/**
 * Columns of the model: intercept; each visit but the baseline; each arm but the reference, unless
 * the arms share their mean at baseline; each of these arms at each of these visits; covariates.
 * @throws InputError when an arm was never seen at a visit, or a covariate repeats other columns
 */
export function visitDesign(data: VisitRows, coding: VisitCoding, where: string): VisitDesign {
  checkCells(data, coding, where);
  const cells = cellColumns(data, coding);
  const columns = [...cells, ...covariateColumns(data)];
  const rows = data.y.length;
  const x = columns.map(({ of }) => Float64Array.from({ length: rows }, (_, row) => of(row)));
  const fixed = fixedColumns(
    columns.map(({ name }) => name),
    x,
    rows,
    where,
  );
  const meanWeights = (visit: number, arm: number) =>
    Float64Array.from(columns, ({ at }) => at(visit, arm));
  const differenceWeights = (visit: number, arm: number) => {
    const against = meanWeights(visit, coding.reference);
    return meanWeights(visit, arm).map((weight, j) => weight - realAt(against, j));
  };
  return { ...fixed, cellColumns: cells.length, meanWeights, differenceWeights };
}

function cellColumns({ visits, arms, visit, arm }: VisitRows, coding: VisitCoding): Column[] {
  const is = (wanted: boolean) => (wanted ? 1 : 0);
  const later = [...visits.entries()].filter(([v]) => v !== coding.baseline);
  const others = [...arms.entries()].filter(([a]) => a !== coding.reference);
  const cells = (name: string, holds: (v: number, a: number) => boolean): Column => ({
    name,
    of: (row) => is(holds(wholeAt(visit, row), wholeAt(arm, row))),
    at: (v, a) => is(holds(v, a)),
  });
  return [
    cells("intercept", () => true),
    ...later.map(([place, label]) => cells(`visit:${label}`, (v) => v === place)),
    ...(coding.constrained
      ? []
      : others.map(([place, label]) => cells(`arm:${label}`, (_, a) => a === place))),
    ...others.flatMap(([ownArm, armLabel]) =>
      later.map(([ownVisit, label]) =>
        cells(`arm:${armLabel} × visit:${label}`, (v, a) => v === ownVisit && a === ownArm),
      ),
    ),
  ];
}

/** Covariates: a number as it is, labels as 0 and 1 against the one that sorts first. */
function covariateColumns({ covariates }: VisitRows): Column[] {
  return covariates.flatMap(({ name, values, levels }): Column[] => {
    const of = (row: number) => realAt(values, row);
    if (!levels) {
      const mean = values.reduce((sum, value) => sum + value / values.length, 0);
      return [{ name, of, at: () => mean }];
    }
    return levels.slice(1).map((level, i) => ({
      name: `${name}:${level}`,
      of: (row) => (of(row) === i + 1 ? 1 : 0),
      at: () => 1 / levels.length,
    }));
  });
}

function checkCells({ visits, arms, visit, arm }: VisitRows, coding: VisitCoding, where: string) {
  const seen = new Set(visit.map((v, row) => v * arms.length + wholeAt(arm, row)));
  for (const v of visits.keys()) {
    if (coding.constrained && v === coding.baseline) continue;
    for (const a of arms.keys()) {
      if (seen.has(v * arms.length + a)) continue;
      throw new InputError({
        expected: "each arm measured at each visit",
        got: `no row of arm "${itemAt(arms, a)}" at visit "${itemAt(visits, v)}"`,
        where: `${where}, arm`,
      });
    }
  }
}
