import { present, realAt } from "../entry.js";
import { InputError } from "../errors.js";
import { mean, sum, sumOfProductDeviations, sumOfSquaredDeviations } from "../num/sums.js";
import { knownOptions } from "../options.js";
import { type Estimate, frozen, type Labels, type Numbers } from "./estimate.js";
import { confidenceLevel, labels, numbers, sameLength } from "./input.js";
import { type LabelledRows, obstacleToLine, rowsByLabel } from "./people.js";
import { fitLine, type LineFit } from "./regression.js";
import { tEstimate } from "./t-estimate.js";

/** The line of one group of people. */
export interface GroupLine {
  /** Label of the group. */
  readonly group: string;
  /** Rows of the group. */
  readonly n: number;
  /** Rise of the line, in units of y per unit of x. */
  readonly slope: Estimate;
  /** Height of the line at x = 0, in units of y. */
  readonly intercept: Estimate;
  /** Range of x in the group: the line says nothing outside it. */
  readonly from: number;
  /** Upper end of that range. */
  readonly to: number;
}

/** Whether the groups' slopes run against the overall slope. */
export type Reversal = "none" | "in the estimates" | "beyond the intervals";

/** One line for everyone, a line for each group, and the slope that the groups share. */
export interface SlopesByGroup {
  /** Name of the function that made this record. */
  readonly kind: "slopesByGroup";
  /** Number of rows. */
  readonly n: number;
  /** Everyone in one line, groups ignored. */
  readonly overall: LineFit;
  /** In order of first appearance. */
  readonly groups: readonly GroupLine[];
  /** The slope common to parallel lines, one per group. */
  readonly within: Estimate;
  /** "in the estimates": the common slope has the other sign; "beyond the intervals": and both intervals exclude 0. */
  readonly reversal: Reversal;
  /** Groups without a line of their own, and why; their rows still count in `within`. */
  readonly setAside: readonly { readonly group: string; readonly reason: string }[];
  /** How the numbers were computed, in a phrase that a report can print. */
  readonly method: string;
  /** What to know before the result is used, one sentence each; empty when nothing is doubtful. */
  readonly warnings: readonly string[];
}

/**
 * Compares the slope over everyone with the slopes inside groups (Simpson's paradox): the
 * overall slope mixes what happens inside groups with how the groups differ.
 *
 * Common slope b = Σ Sxy / Σ Sxx, sums over groups of their own sums of products and squares;
 * s² = (Σ Syy − b Σ Sxy) / (N − k − 1) and se = √(s² / Σ Sxx) for N rows of k groups, Student's t.
 *
 * @param group labels, one per row (sex, band of age)
 * @param x numbers in any unit, row by row with `group`
 * @param y numbers in any unit
 * @returns slopes in units of y per unit of x
 * @throws InputError when lengths differ, a value is not finite, fewer than 2 groups are given, x
 *   does not vary inside any group, or no degree of freedom is left
 * @see Simpson (1951) J R Stat Soc B 13:238–241; Snedecor & Cochran (1989) Statistical Methods,
 *   chapter 18, for the common slope
 * @example slopesByGroup(["a", "a", "a", "b", "b", "b"], [1, 2, 3, 5, 6, 7], [5, 4, 4, 9, 8, 8]).within.value // -0.5
 */
export function slopesByGroup(
  group: Labels,
  x: Numbers,
  y: Numbers,
  options: { level?: number } = {},
): SlopesByGroup {
  knownOptions(options, ["level"], "slopesByGroup");
  const { level = 0.95 } = options;
  const where = "slopesByGroup";
  confidenceLevel(level, where);
  const xs = numbers(x, `${where}, x`, 4);
  const ys = numbers(y, `${where}, y`, 4);
  sameLength(ys.length, xs.length, `${where}, y`);
  const parts = rowsByLabel(labels(group, `${where}, group`, xs.length), xs, ys);
  const within = commonSlope(parts, xs.length - parts.length - 1, level);
  const overall = fitLine({ x: xs, y: ys }, { level });
  const fitted = parts.filter(({ x }) => obstacleToLine(x, 3) === "");
  return frozen({
    kind: "slopesByGroup" as const,
    n: xs.length,
    overall,
    groups: fitted.map((part) => groupLine(part, level)),
    within,
    reversal: reversalOf(overall.slope, within),
    setAside: parts
      .map(({ label, x }) => ({ group: label, reason: obstacleToLine(x, 3) }))
      .filter(({ reason }) => reason !== ""),
    method: "least squares, groups ignored, apart, and as parallel lines",
    warnings: within.se === 0 ? ["the parallel lines fit perfectly: no standard error"] : [],
  });
}

function groupLine({ label, x, y }: LabelledRows, level: number): GroupLine {
  const { n, slope, intercept, centre } = fitLine({ x, y }, { level });
  return { group: label, n, slope, intercept, from: centre.from, to: centre.to };
}

function commonSlope(parts: readonly LabelledRows[], df: number, level: number): Estimate {
  const where = "slopesByGroup, group";
  if (parts.length < 2) {
    throw new InputError({ expected: "two or more groups", got: `${parts.length}`, where });
  }
  if (df < 1) {
    throw new InputError({
      expected: "more rows than groups and a slope",
      got: `${df} left`,
      where,
    });
  }
  const xx = sum(parts.map((part) => sumOfSquaredDeviations(part.x)));
  if (xx === 0) {
    const got = "one value in every group";
    throw new InputError({ expected: "x that varies inside a group", got, where });
  }
  const products = parts.map((p) => sumOfProductDeviations(p.x, p.y, mean(p.x), mean(p.y)));
  const slope = sum(products) / xx;
  // From the misses themselves: Syy − b Sxy would lose the digits of a close fit.
  const misses = parts.flatMap((part) => {
    const centre = { x: mean(part.x), y: mean(part.y) };
    return Array.from(
      part.x,
      (value, i) => realAt(part.y, i) - centre.y - slope * (value - centre.x),
    );
  });
  const variance = sumOfSquaredDeviations(misses, 0) / df;
  return tEstimate(slope, Math.sqrt(variance / xx), df, level, "parallel lines, Student t");
}

function reversalOf(overall: Estimate, within: Estimate): Reversal {
  if (overall.value * within.value >= 0) return "none";
  const away = ({ interval }: Estimate) => present(interval).low * present(interval).high > 0;
  return away(overall) && away(within) ? "beyond the intervals" : "in the estimates";
}
