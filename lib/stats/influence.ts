import { itemAt, realAt } from "../entry.js";
import { sumOfSquaredDeviations } from "../num/sums.js";
import { knownOptions } from "../options.js";
import { frozen, type Labels, type Numbers } from "./estimate.js";
import { labels } from "./input.js";
import { fitLine } from "./regression.js";
import { fullyFitted } from "./robust.js";

/** What one row does to a line. */
export interface RowInfluence {
  /** Whose row it is. */
  readonly label: string;
  /** Pull of the row on its own fitted value, 1/n to 1. */
  readonly leverage: number;
  /** How far leaving it out moves all fitted values; null where undefined. */
  readonly cooksDistance: number | null;
  /** Residual over its SD estimated without the row; null where undefined. */
  readonly studentisedResidual: number | null;
  /** Slope without the row; null when the row alone makes the line. */
  readonly slopeWithout: number | null;
  /** Which of the usual marks it passes. */
  readonly marks: readonly ("leverage" | "distance" | "residual")[];
}

/** The rows of a line by what they do to it. */
export interface Influence {
  /** Name of the function that made this record. */
  readonly kind: "influence";
  /** Number of rows. */
  readonly n: number;
  /** Slope of the line through all rows, in units of y per unit of x. */
  readonly slope: number;
  /** Largest leverage, distance and residual that are not marked. */
  readonly limits: {
    readonly leverage: number;
    readonly distance: number;
    readonly residual: number;
  };
  /** In the order given. */
  readonly rows: readonly RowInfluence[];
  /** How the numbers were computed, in a phrase that a report can print. */
  readonly method: string;
  /** What to know before the result is used, one sentence each; empty when nothing is doubtful. */
  readonly warnings: readonly string[];
}

/**
 * Influence of single rows on a straight line: leverage, Cook's distance, externally studentised
 * residual, and the slope without the row, b − (x − x̄)e / (Sxx(1 − h)).
 *
 * Marked to be looked at, not to be thrown out: leverage above 2p/n (p = 2), distance above 4/n,
 * studentised residual beyond ±3. A mark is a convention, not a test.
 *
 * @param x n numbers, n ≥ 4
 * @param y n numbers, row by row with x
 * @param options `label`: a name a row, "1", "2" … unless given
 * @throws InputError when lengths differ, a value is not finite, n < 4, or x is constant
 * @see Cook (1977) Technometrics 19:15–18; Hoaglin & Welsch (1978) Am Stat 32:17–22; Belsley, Kuh &
 *   Welsch (1980) Regression Diagnostics, chapter 2
 * @example influence([1, 2, 3, 9], [1, 2, 3, 2]).rows[3].slopeWithout // 1
 */
export function influence(x: Numbers, y: Numbers, options: { label?: Labels } = {}): Influence {
  knownOptions(options, ["label"], "influence");
  const { label } = options;
  const { n, df, slope, centre, residuals, leverage, cooksDistance } = fitLine({ x, y });
  const names = label
    ? labels(label, "influence, label", n)
    : Array.from({ length: n }, (_, i) => `${i + 1}`);
  const xs = Float64Array.from(x);
  const errors = Float64Array.from(residuals);
  const hat = Float64Array.from(leverage);
  const xx = sumOfSquaredDeviations(xs, centre.x);
  const squares = sumOfSquaredDeviations(errors, 0);
  const limits = { leverage: 4 / n, distance: 4 / n, residual: 3 };
  const rows = new Array<RowInfluence>(n);
  for (let i = 0; i < n; i++) {
    const h = realAt(hat, i);
    const e = realAt(errors, i);
    const distance = itemAt(cooksDistance, i);
    const residual = studentised(h, e, squares, df);
    const without = (realAt(xs, i) - centre.x) * e;
    rows[i] = {
      label: itemAt(names, i),
      leverage: h,
      cooksDistance: distance,
      studentisedResidual: residual,
      slopeWithout: fullyFitted(h) ? null : slope.value - without / (xx * (1 - h)),
      marks: marksOf(h, distance, residual, limits),
    };
  }
  return frozen({
    kind: "influence" as const,
    n,
    slope: slope.value,
    limits,
    rows,
    method: "leverage, Cook's distance, externally studentised residuals",
    warnings: df < 2 ? ["too few rows for studentised residuals"] : [],
  });
}

/** e / √(s²₍ᵢ₎ (1 − h)), with the residual variance of the line without the row. */
function studentised(h: number, e: number, squares: number, df: number): number | null {
  if (fullyFitted(h) || df < 2) return null;
  const without = (squares - (e * e) / (1 - h)) / (df - 1);
  return without > 0 ? e / Math.sqrt(without * (1 - h)) : null;
}

/** What nearly all rows have, made once. */
const NO_MARKS: RowInfluence["marks"] = Object.freeze([]);

function marksOf(
  leverage: number,
  distance: number | null,
  residual: number | null,
  limits: Influence["limits"],
): RowInfluence["marks"] {
  const passed = {
    leverage: leverage > limits.leverage,
    distance: distance !== null && distance > limits.distance,
    residual: residual !== null && Math.abs(residual) > limits.residual,
  };
  if (!passed.leverage && !passed.distance && !passed.residual) return NO_MARKS;
  return (["leverage", "distance", "residual"] as const).filter((mark) => passed[mark]);
}
