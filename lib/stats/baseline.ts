import { itemAt, present, realAt } from "../entry.js";
import { InputError } from "../errors.js";
import { fisherF } from "../num/distributions.js";
import { mean, sum, sumOfProductDeviations, sumOfSquaredDeviations } from "../num/sums.js";
import { knownOptions } from "../options.js";
import { type Estimate, frozen, type Labels, type Numbers } from "./estimate.js";
import { confidenceLevel, labels, namedColumns, numbers, sameLength, shown } from "./input.js";
import { studentEstimate } from "./student.js";

/** One arm of a comparison adjusted for the baseline. */
export interface AdjustedGroup {
  readonly group: string;
  readonly n: number;
  readonly beforeMean: number;
  readonly afterMean: number;
  /** Mean after the block of a person who started at the mean baseline of all. */
  readonly adjustedMean: number;
}

/** Arms compared after the block as if they had started level. */
export interface BaselineAdjustment {
  readonly kind: "adjustForBaseline";
  readonly n: number;
  readonly reference: string;
  readonly groups: readonly AdjustedGroup[];
  /** Each arm − reference, in the unit of the columns. */
  readonly differences: { readonly [group: string]: Estimate };
  /** With two arms, the one difference. */
  readonly difference?: Estimate;
  /** Slope of after on before within arms, without unit. */
  readonly slope: Estimate;
  readonly residualSd: number;
  readonly df: number;
  /** F test that the arms have one slope; left out where too few people are left to ask. */
  readonly parallelSlopes?: {
    readonly statistic: number;
    readonly df1: number;
    readonly df2: number;
    readonly p: number;
  };
  readonly method: string;
  readonly warnings: readonly string[];
}

/** Columns for `adjustForBaseline`. */
export interface BaselineColumns {
  /** First occasion, one value per person, any unit. */
  readonly before: Numbers;
  /** Second occasion, the same people, order and unit. */
  readonly after: Numbers;
  /** Arm of each person. */
  readonly group: Labels;
  /** The arm that the others are compared with. */
  readonly reference: string;
}

/**
 * Arms compared after a block, adjusted for where each person started (analysis of covariance).
 *
 * after = arm + slope · before: slope b = Sxy / Sxx from sums within arms,
 * difference = (ȳ_g − ȳ_ref) − b(x̄_g − x̄_ref), se² = s²(1/n_g + 1/n_ref + (x̄_g − x̄_ref)²/Sxx),
 * t with n − arms − 1 degrees of freedom.
 *
 * @param columns before, after, group and reference; two or more arms
 * @returns differences (arm − reference) in the unit of the columns, the slope without unit
 * @throws InputError when lengths differ, `reference` is not an arm, there are fewer than two arms
 *   or too few people, or `before` does not vary within any arm (no slope can be fitted)
 * @see Vickers & Altman (2001) BMJ 323:1123–1124; Cochran (1957) Biometrics 13:261–281
 * @example adjustForBaseline({ before: [1, 2, 3, 2, 3, 4], after: [2, 3, 4.5, 5, 6, 6.5], group: ["c", "c", "c", "t", "t", "t"], reference: "c" }).difference.value // 1.6666666666666667
 */
export function adjustForBaseline(
  columns: BaselineColumns,
  options: { level?: number } = {},
): BaselineAdjustment {
  namedColumns(columns, ["before", "after", "group", "reference"], "adjustForBaseline");
  const { before, after, group, reference } = columns;
  knownOptions(options, ["level"], "adjustForBaseline");
  const { level = 0.95 } = options;
  const where = "adjustForBaseline";
  confidenceLevel(level, where);
  const x = numbers(before, `${where}, before`, 4);
  const y = numbers(after, `${where}, after`, 4);
  sameLength(y.length, x.length, `${where}, after`);
  const arms = armsOf(x, y, labels(group, `${where}, group`, x.length), reference);
  const df = x.length - arms.length - 1;
  if (df < 1) {
    const expected = `more than ${arms.length + 1} people for ${arms.length} arms`;
    throw new InputError({ expected, got: `${x.length}`, where });
  }
  const xx = sum(arms.map((arm) => arm.xx));
  if (xx === 0) {
    const expected = "values of before that differ within an arm";
    throw new InputError({ expected, got: "none that differ", where: `${where}, before` });
  }
  const slope = sum(arms.map((arm) => arm.xy)) / xx;
  const residual = sum(arms.map((arm) => residualSum(arm, slope)));
  const sd = Math.sqrt(residual / df);
  const fit = { slope, xx, sd, df, level };
  const differences = differencesOf(arms, reference, fit);
  const names = Object.keys(differences);
  const grandMean = mean(x);
  return frozen({
    kind: "adjustForBaseline",
    n: x.length,
    reference,
    groups: arms.map((arm) => adjusted(arm, slope, grandMean)),
    differences,
    ...(names.length === 1 ? { difference: present(differences[itemAt(names, 0)]) } : {}),
    slope: studentEstimate(slope, sd / Math.sqrt(xx), df, level, "pooled within arms, t"),
    residualSd: sd,
    df,
    ...slopesTest(arms, residual, df),
    method: "analysis of covariance: after on before and arm, one slope",
    warnings: sd === 0 ? ["The fit is exact, so there is no t or p."] : [],
  });
}

/** An arm's columns with their means and sums of squares and products about them. */
interface Arm {
  readonly name: string;
  readonly x: Float64Array;
  readonly y: Float64Array;
  readonly xMean: number;
  readonly yMean: number;
  readonly xx: number;
  readonly xy: number;
}

function armsOf(x: Float64Array, y: Float64Array, group: string[], reference: string): Arm[] {
  const names = [...new Set(group)];
  const where = "adjustForBaseline, group";
  if (!names.includes(reference)) {
    const expected = `the reference arm ${shown(reference)} among the labels`;
    throw new InputError({ expected, got: names.map(shown).join(", "), where });
  }
  if (names.length < 2) {
    throw new InputError({ expected: "at least two arms", got: shown(reference), where });
  }
  return names.map((name) => {
    const inArm = (_: number, i: number) => group[i] === name;
    return armOf(name, x.filter(inArm), y.filter(inArm));
  });
}

function armOf(name: string, x: Float64Array, y: Float64Array): Arm {
  const xMean = mean(x);
  const yMean = mean(y);
  const flat = x.every((value) => value === x[0]);
  return {
    name,
    x,
    y,
    xMean,
    yMean,
    xx: flat ? 0 : sumOfSquaredDeviations(x, xMean),
    xy: flat ? 0 : sumOfProductDeviations(x, y, xMean, yMean),
  };
}

function residualSum({ x, y, xMean, yMean }: Arm, slope: number): number {
  return sum(y.map((value, i) => (value - yMean - slope * (realAt(x, i) - xMean)) ** 2));
}

interface Fit {
  readonly slope: number;
  readonly xx: number;
  readonly sd: number;
  readonly df: number;
  readonly level: number;
}

function differencesOf(arms: readonly Arm[], reference: string, fit: Fit) {
  const from = present(arms.find((arm) => arm.name === reference));
  const others = arms.filter((arm) => arm !== from);
  return Object.fromEntries(
    others.map((arm) => {
      const start = arm.xMean - from.xMean;
      const value = arm.yMean - from.yMean - fit.slope * start;
      const se = fit.sd * Math.sqrt(1 / arm.x.length + 1 / from.x.length + start ** 2 / fit.xx);
      return [arm.name, studentEstimate(value, se, fit.df, fit.level, "analysis of covariance, t")];
    }),
  );
}

function adjusted(arm: Arm, slope: number, grandMean: number): AdjustedGroup {
  return {
    group: arm.name,
    n: arm.x.length,
    beforeMean: arm.xMean,
    afterMean: arm.yMean,
    adjustedMean: arm.yMean - slope * (arm.xMean - grandMean),
  };
}

/** Compares one slope with a slope for each arm whose baseline varies. */
function slopesTest(arms: readonly Arm[], residual: number, df: number) {
  const own = arms.filter((arm) => arm.xx > 0);
  const df1 = own.length - 1;
  const df2 = df - df1;
  if (df1 < 1 || df2 < 1) return {};
  const free = sum(arms.map((arm) => residualSum(arm, arm.xx > 0 ? arm.xy / arm.xx : 0)));
  if (free === 0) return {};
  const statistic = Math.max(0, residual - free) / df1 / (free / df2);
  return { parallelSlopes: { statistic, df1, df2, p: fisherF(df1, df2).upper(statistic) } };
}
