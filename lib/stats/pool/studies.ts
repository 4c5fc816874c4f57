import { itemAt, realAt } from "../../entry.js";
import { InputError } from "../../errors.js";
import type { Labels, Numbers } from "../estimate.js";
import { labels, numbers, sameLength, shown } from "../input.js";
import type { Studies } from "./heterogeneity.js";

/** What each study found: one row per study. */
export interface PoolColumns {
  /** Estimates of one quantity, all in one unit. */
  readonly estimate: Numbers;
  /** Their standard errors, in the same unit. */
  readonly se: Numbers;
  /** Names of the studies, each once. */
  readonly label?: Labels;
}

/** Smaller standard errors have no weight 1/se² that a double can hold. */
const smallestError = 1e-150;

/**
 * Checks the columns of studies; without labels they are called "study 1" and so on.
 * @throws InputError for unequal lengths, fewer than 2 studies, a standard error that is not
 *   positive, or a label that appears twice
 */
export function studyColumns(
  columns: PoolColumns,
  where: string,
): { studies: Studies; names: string[] } {
  const estimate = numbers(columns.estimate, `${where}, estimate`, 2);
  const se = numbers(columns.se, `${where}, se`, 2);
  sameLength(se.length, estimate.length, `${where}, se`);
  const bad = se.findIndex((s) => !(s > smallestError));
  if (bad >= 0) {
    const at = `${where}, se, index ${bad}`;
    throw new InputError({
      expected: "a positive standard error (above 1e-150)",
      got: `${realAt(se, bad)}`,
      where: at,
    });
  }
  const names = columns.label
    ? labels(columns.label, `${where}, label`, estimate.length)
    : Array.from(estimate, (_, i) => `study ${i + 1}`);
  distinct(names, where);
  return { studies: { estimate, variance: se.map((s) => s * s) }, names };
}

function distinct(names: readonly string[], where: string): void {
  const seen = new Map<string, number>();
  for (const [i, name] of names.entries()) {
    const first = seen.get(name);
    if (first !== undefined) {
      throw new InputError({
        expected:
          "a label of its own for each study (poolNested pools several results of one study)",
        got: `${shown(itemAt(names, i))} at index ${first} and ${i}`,
        where: `${where}, label`,
      });
    }
    seen.set(name, i);
  }
}
