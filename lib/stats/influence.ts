import { itemAt } from "../entry.js";
import { sumOfSquaredDeviations } from "../num/sums.js";
import { knownOptions } from "../options.js";
import { frozen, type Labels, type Numbers } from "./estimate.js";
import { labels } from "./input.js";
import { fitLine } from "./regression.js";
import { fullyFitted } from "./robust.js";

/** What one row does to a line. */
export interface RowInfluence {
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
  readonly kind: "influence";
  readonly n: number;
  readonly slope: number;
  /** Largest leverage, distance and residual that are not marked. */
  readonly limits: {
    readonly leverage: number;
    readonly distance: number;
    readonly residual: number;
  };
  /** In the order given. */
  readonly rows: readonly RowInfluence[];
  readonly method: string;
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
  const xx = sumOfSquaredDeviations(Float64Array.from(x), centre.x);
  const squares = sumOfSquaredDeviations(Float64Array.from(residuals), 0);
  const limits = { leverage: 4 / n, distance: 4 / n, residual: 3 };
  const rows = names.map((name, i) => {
    const row = { h: itemAt(leverage, i), e: itemAt(residuals, i), dx: itemAt(x, i) - centre.x };
    const measures = {
      leverage: row.h,
      cooksDistance: itemAt(cooksDistance, i),
      studentisedResidual: studentised(row, squares, df),
      slopeWithout: fullyFitted(row.h) ? null : slope.value - (row.dx * row.e) / (xx * (1 - row.h)),
    };
    return { label: name, ...measures, marks: marksOf(measures, limits) };
  });
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
function studentised({ h, e }: { h: number; e: number }, squares: number, df: number) {
  if (fullyFitted(h) || df < 2) return null;
  const without = (squares - (e * e) / (1 - h)) / (df - 1);
  return without > 0 ? e / Math.sqrt(without * (1 - h)) : null;
}

function marksOf(
  { leverage, cooksDistance, studentisedResidual }: Omit<RowInfluence, "label" | "marks">,
  limits: Influence["limits"],
): RowInfluence["marks"] {
  const passed = {
    leverage: leverage > limits.leverage,
    distance: (cooksDistance ?? 0) > limits.distance,
    residual: Math.abs(studentisedResidual ?? 0) > limits.residual,
  };
  return (["leverage", "distance", "residual"] as const).filter((mark) => passed[mark]);
}
