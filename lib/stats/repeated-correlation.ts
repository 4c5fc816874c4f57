import { itemAt, realAt } from "../entry.js";
import { InputError } from "../errors.js";
import { sum } from "../num/sums.js";
import { knownOptions } from "../options.js";
import {
  deviations,
  fisherInterval,
  intervalWarnings,
  spreadError,
  type TestedCorrelation,
  testedCorrelation,
} from "./correlation.js";
import { frozen, type Labels, type Numbers } from "./estimate.js";
import { confidenceLevel, labels, numbers, sameLength } from "./input.js";
import { groupRows } from "./people.js";

/** A correlation within people, all sharing one slope. */
export interface RepeatedMeasuresCorrelation extends TestedCorrelation {
  /** Name of the function that made this record. */
  readonly kind: "repeatedMeasuresCorrelation";
  /** People given. */
  readonly subjects: number;
  /** The slope of y on x that all people share, in units of y per unit of x. */
  readonly commonSlope: number;
}

/**
 * Correlation of two measurements within people: does a person's y rise when their x does?
 *
 * One line per person, all with the same slope (analysis of covariance with people as factor):
 * r = sign(slope) √(SS of x / (SS of x + residual SS)), which is the correlation of each person's
 * deviations from their own means. df = N − k − 1 for N rows of k people, t test on df, interval
 * tanh(atanh r ± z/√(df − 1)).
 *
 * Assumes one slope for all people and errors that are independent within a person. Where slopes
 * differ or errors are serially correlated, a nominal 5 % test rejects 12 to 26 % of true nulls
 * (simulated): then use fitMixed with a random slope.
 *
 * @param subject N labels of people
 * @param x N numbers in any unit
 * @param y N numbers in any unit
 * @returns r without unit; a person with a single row adds nothing, and a warning says how many
 * @throws InputError when lengths differ, a value is not finite, no person's x (or y) varies, or
 *   no degree of freedom is left
 * @see Bland & Altman (1995) BMJ 310:446; interval as in Bakdash & Marusich (2017) Front Psychol
 *   8:456
 * @example repeatedMeasuresCorrelation(["a", "a", "a", "b", "b"], [1, 2, 3, 5, 6], [2, 4, 5, 1, 3]).df // 2
 */
export function repeatedMeasuresCorrelation(
  subject: Labels | Numbers,
  x: Numbers,
  y: Numbers,
  options: { level?: number } = {},
): RepeatedMeasuresCorrelation {
  knownOptions(options, ["level"], "repeatedMeasuresCorrelation");
  const { level = 0.95 } = options;
  const where = "repeatedMeasuresCorrelation";
  confidenceLevel(level, where);
  const xs = numbers(x, `${where}, x`, 3);
  const ys = numbers(y, `${where}, y`, 3);
  sameLength(ys.length, xs.length, `${where}, y`);
  const people = groupRows(labels(subject, `${where}, subject`, xs.length));
  const df = xs.length - people.size - 1;
  if (df < 1) {
    const got = `${xs.length} rows of ${people.size} people`;
    throw new InputError({ expected: "at least two more rows than people", got, where });
  }
  const found = deviations(fromOwnMeans(xs, people), fromOwnMeans(ys, people));
  if (found.xx === 0) throw spreadError(`${where}, x within each person`);
  if (found.yy === 0) throw spreadError(`${where}, y within each person`);
  const tested = testedCorrelation(found, df);
  const single = [...people.values()].filter((rows) => rows.length === 1).length;
  const perfect = tested.statistic === undefined;
  const warnings = intervalWarnings(df > 1, perfect);
  if (perfect) warnings.push("each person's points lie exactly on lines of one slope");
  if (single > 0) warnings.push(`people with a single row, who add nothing: ${single}`);
  const se = 1 / Math.sqrt(df - 1);
  return frozen({
    kind: "repeatedMeasuresCorrelation" as const,
    n: xs.length,
    subjects: people.size,
    ...tested,
    ...(df > 1 && !perfect && { interval: fisherInterval(tested.value, se, level, "Fisher z") }),
    commonSlope: found.xy / found.xx,
    method: "within people, common slope (Bland & Altman 1995)",
    warnings,
  });
}

function fromOwnMeans(
  x: Float64Array,
  people: ReadonlyMap<string, readonly number[]>,
): Float64Array {
  const centred = new Float64Array(x.length);
  for (const rows of people.values()) {
    const centre =
      realAt(x, itemAt(rows, 0)) +
      sum(rows.map((i) => realAt(x, i) - realAt(x, itemAt(rows, 0)))) / rows.length;
    for (const i of rows) centred[i] = realAt(x, i) - centre;
  }
  return centred;
}
