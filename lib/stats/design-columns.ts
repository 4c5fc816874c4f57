import { present } from "../entry.js";
import { InputError } from "../errors.js";
import type { Numbers } from "./estimate.js";
import { numbers, sameLength, shown } from "./input.js";

/** The columns of a linear model with their names, the column of ones first. */
export interface DesignColumns {
  /** Name of each coefficient, in the order of the columns. */
  readonly names: readonly string[];
  /** One column per coefficient, one value per row. */
  readonly design: readonly Float64Array[];
}

/**
 * Checks numeric columns given by name and puts the column of ones, "intercept", before them.
 * @throws InputError when there is no column, one has another length than `n` or is called
 *   "intercept", or a value is not finite
 */
export function designWithIntercept(
  columns: Readonly<Record<string, Numbers>>,
  n: number,
  where: string,
): DesignColumns {
  if (columns === null || typeof columns !== "object" || Object.keys(columns).length === 0) {
    const expected = "a record of one or more columns by name";
    throw new InputError({ expected, got: shown(columns), where });
  }
  const names = Object.keys(columns);
  if (names.includes("intercept")) {
    const expected = 'another name, "intercept" is the name of the constant';
    throw new InputError({ expected, got: '"intercept"', where });
  }
  const design = names.map((name) => {
    const column = numbers(present(columns[name]), `${where}, ${name}`);
    sameLength(column.length, n, `${where}, ${name}`);
    return column;
  });
  return {
    names: ["intercept", ...names],
    design: [new Float64Array(n).fill(1), ...design],
  };
}
