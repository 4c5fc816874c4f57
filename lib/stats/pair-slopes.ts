import { realAt } from "../entry.js";
import { InputError } from "../errors.js";
import { medianOf } from "./describe.js";
import { namedColumns, numbers, sameLength } from "./input.js";
import type { LineColumns } from "./regression.js";

/** With more rows the slopes of all pairs no longer fit in memory. */
const mostRows = 5000;

/** Checks two columns for a line made from the slopes of all pairs of rows. */
export function slopeColumns(columns: LineColumns, where: string): [Float64Array, Float64Array] {
  const [xs, ys] = lineColumns(columns, where);
  if (xs.length > mostRows) {
    const expected = `at most ${mostRows} rows, because the slopes of all pairs are kept`;
    throw new InputError({ expected, got: `${xs.length}`, where });
  }
  return [xs, ys];
}

/** Checks two columns that a line or curve is laid through: three rows or more, x not constant. */
export function lineColumns(columns: LineColumns, where: string): [Float64Array, Float64Array] {
  const { x, y } = namedColumns(columns, ["x", "y"], where);
  const xs = numbers(x, `${where}, x`, 3);
  const ys = numbers(y, `${where}, y`, 3);
  sameLength(ys.length, xs.length, `${where}, y`);
  if (xs.every((value) => value === xs[0])) {
    const expected = "values that differ";
    throw new InputError({ expected, got: "one value throughout", where: `${where}, x` });
  }
  return [xs, ys];
}

/** What a line gives for each row, and what it leaves; units of y. */
export function rowsAlong(
  [x, y]: readonly [Float64Array, Float64Array],
  { intercept, slope }: { readonly intercept: number; readonly slope: number },
): { fitted: number[]; residuals: number[] } {
  const fitted = new Array<number>(x.length);
  const residuals = new Array<number>(x.length);
  for (let i = 0; i < x.length; i++) {
    const height = intercept + slope * realAt(x, i);
    fitted[i] = height;
    residuals[i] = realAt(y, i) - height;
  }
  return { fitted, residuals };
}

/** Median of y − slope·x: the height of a line of given slope with half the points above it. */
export function medianIntercept(x: Float64Array, y: Float64Array, slope: number): number {
  return medianOf(y.map((value, i) => value - slope * realAt(x, i)));
}

/**
 * The slopes of all pairs of rows in rising order, without those for which `slopeOf` gives nothing.
 * Time and memory grow with the square of the rows.
 */
export function pairSlopes(
  x: Float64Array,
  y: Float64Array,
  slopeOf: (run: number, rise: number) => number | undefined,
): Float64Array {
  const n = x.length;
  const slopes = new Float64Array((n * (n - 1)) / 2);
  let count = 0;
  for (let i = 0; i < n; i++) {
    for (let j = i + 1; j < n; j++) {
      const slope = slopeOf(realAt(x, j) - realAt(x, i), realAt(y, j) - realAt(y, i));
      if (slope !== undefined) slopes[count++] = slope;
    }
  }
  return slopes.subarray(0, count).sort();
}
