import { realAt } from "../entry.js";
import { mean } from "../num/sums.js";
import { frozen, type Labels, type Numbers } from "./estimate.js";
import { labels, numbers } from "./input.js";
import { groupRows } from "./people.js";

/** A column taken apart: where each person stands, and how far each row is from there. */
export interface WithinBetween {
  /** Name of the function that made this record. */
  readonly kind: "splitWithinBetween";
  /** Number of rows. */
  readonly n: number;
  /** Number of people. */
  readonly subjects: number;
  /** The person's own mean, in every row of that person. */
  readonly between: readonly number[];
  /** Row less the person's own mean. */
  readonly within: readonly number[];
}

/**
 * Splits a column into each person's mean and the row's distance from it, so that a mixed model can
 * give the slope between people and the slope within people apart from each other.
 *
 * @param subject labels of people, one per row
 * @param x numbers in any unit, row by row with `subject`
 * @returns two columns in the unit of x, in the order of the rows; they sum to x
 * @throws InputError when lengths differ or a value is not finite
 * @see van de Pol & Wright (2009) Anim Behav 77:753–758; Neuhaus & Kalbfleisch (1998) Biometrics
 *   54:638–645
 * @example splitWithinBetween(["a", "a", "b"], [1, 3, 5]).within // [-1, 1, 0]
 */
export function splitWithinBetween(subject: Labels, x: Numbers): WithinBetween {
  const xs = numbers(x, "splitWithinBetween, x");
  const people = groupRows(labels(subject, "splitWithinBetween, subject", xs.length));
  const between = new Float64Array(xs.length);
  for (const rows of people.values()) {
    const personMean = mean(Float64Array.from(rows, (i) => realAt(xs, i)));
    for (const i of rows) between[i] = personMean;
  }
  return frozen({
    kind: "splitWithinBetween" as const,
    n: xs.length,
    subjects: people.size,
    between: Array.from(between),
    within: Array.from(xs, (value, i) => value - realAt(between, i)),
  });
}
