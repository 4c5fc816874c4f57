import { realAt } from "../entry.js";
import { InputError } from "../errors.js";
import { mean, sumOfProductDeviations, sumOfSquaredDeviations } from "../num/sums.js";
import { knownOptions } from "../options.js";
import { type Estimate, frozen, type Labels, type Numbers, outOfRange } from "./estimate.js";
import { confidenceLevel, labels, numbers, sameLength } from "./input.js";
import { obstacleToLine, rowsByLabel } from "./people.js";
import { tEstimate } from "./t-estimate.js";

/** One person's own line. */
export interface SubjectSlope {
  /** Label of the person. */
  readonly subject: string;
  /** Rows of this person. */
  readonly n: number;
  /** In units of y per unit of x. */
  readonly slope: number;
  /** In units of y, at x = 0. */
  readonly intercept: number;
  /** Divisor n − 2; left out for two rows, which any line fits. */
  readonly residualSd?: number;
}

/** A line a person, and the means of those lines. */
export interface SubjectSlopes {
  /** Name of the function that made this record. */
  readonly kind: "subjectSlopes";
  /** People with a line. */
  readonly n: number;
  /** The lines, in order of first appearance. */
  readonly subjects: readonly SubjectSlope[];
  /** Mean slope over people. */
  readonly slope: Estimate;
  /** Mean intercept over people. */
  readonly intercept: Estimate;
  /** People without a line, and why. */
  readonly setAside: readonly { readonly subject: string; readonly reason: string }[];
  /** How the numbers were computed, in a phrase that a report can print. */
  readonly method: string;
  /** What to know before the result is used, one sentence each; empty when nothing is doubtful. */
  readonly warnings: readonly string[];
}

/**
 * Fits a straight line to each person's rows and averages the lines over people, so that every
 * person counts once however many rows they have (two-stage summary measures).
 *
 * Person's slope b = Σ(x − x̄)(y − ȳ) / Σ(x − x̄)² over their own rows; mean slope b̄ with
 * standard error sd(b)/√m and Student's t on m − 1 degrees of freedom for m people.
 *
 * @param subject labels of people, one per row
 * @param x numbers in any unit (session, grip force), row by row with `subject`
 * @param y numbers in any unit
 * @param options `leastRows`: rows a person needs for a line, 2 unless more are asked for
 * @returns people in order of first appearance; `setAside` names those with too few rows or with
 *   one x throughout. With one line alone its slope has no standard error, and a warning says so.
 * @throws InputError when lengths differ, a value is not finite, or nobody has a line
 * @see Matthews, Altman, Campbell, Royston (1990) BMJ 300:230–235
 * @example subjectSlopes(["a", "a", "b", "b"], [0, 1, 0, 2], [1, 3, 2, 8]).slope.value // 2.5
 */
export function subjectSlopes(
  subject: Labels | Numbers,
  x: Numbers,
  y: Numbers,
  options: { level?: number; leastRows?: number } = {},
): SubjectSlopes {
  knownOptions(options, ["level", "leastRows"], "subjectSlopes");
  const { level = 0.95, leastRows = 2 } = options;
  const where = "subjectSlopes";
  confidenceLevel(level, where);
  if (!Number.isSafeInteger(leastRows) || leastRows < 2) {
    const expected = "a whole number of rows, 2 or more";
    throw new InputError({ expected, got: String(leastRows), where: `${where}, leastRows` });
  }
  const xs = numbers(x, `${where}, x`, 2);
  const ys = numbers(y, `${where}, y`, 2);
  sameLength(ys.length, xs.length, `${where}, y`);
  const people = rowsByLabel(labels(subject, `${where}, subject`, xs.length), xs, ys);

  const subjects: SubjectSlope[] = [];
  const setAside: { subject: string; reason: string }[] = [];
  for (const { label, ...rows } of people) {
    const reason = obstacleToLine(rows.x, leastRows);
    if (reason) setAside.push({ subject: label, reason });
    else subjects.push({ subject: label, ...ownLine(rows.x, rows.y) });
  }
  if (subjects.length === 0) {
    throw new InputError({
      expected: `a person with ${leastRows} or more rows and x values that differ`,
      got: `${setAside.length} people, none of them so`,
      where,
    });
  }
  return frozen({
    kind: "subjectSlopes" as const,
    n: subjects.length,
    subjects,
    slope: meanOverPeople(
      subjects.map((person) => person.slope),
      level,
    ),
    intercept: meanOverPeople(
      subjects.map((person) => person.intercept),
      level,
    ),
    setAside,
    method: "one line per person, Student's t over people",
    warnings: subjects.length === 1 ? ["one person's line alone has no standard error"] : [],
  });
}

function ownLine(x: Float64Array, y: Float64Array) {
  const centre = { x: mean(x), y: mean(y) };
  const xx = sumOfSquaredDeviations(x, centre.x);
  const slope = sumOfProductDeviations(x, y, centre.x, centre.y) / xx;
  const residuals = x.map((value, i) => realAt(y, i) - centre.y - slope * (value - centre.x));
  const squares = sumOfSquaredDeviations(residuals, 0);
  if (residuals.some((miss) => miss !== 0) && residuals.every((miss) => miss ** 2 === 0))
    throw outOfRange(0, "subjectSlopes, residuals that differ");
  const n = x.length;
  return {
    n,
    slope,
    intercept: centre.y - slope * centre.x,
    ...(n > 2 && { residualSd: Math.sqrt(squares / (n - 2)) }),
  };
}

function meanOverPeople(values: readonly number[], level: number): Estimate {
  const value = mean(values);
  const m = values.length;
  if (m < 2) return { value };
  const se = Math.sqrt(sumOfSquaredDeviations(values, value) / (m - 1) / m);
  return tEstimate(value, se, m - 1, level, "Student t over people");
}
