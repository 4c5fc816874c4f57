import { InputError } from "../errors.js";
import { type Estimate, frozen, type Labels } from "./estimate.js";
import { labels } from "./input.js";
import { groupRows } from "./people.js";

/** What becomes of an estimate without each person in turn. */
export interface WithoutEach {
  readonly kind: "without each person";
  /** People left out, one at a time. */
  readonly n: number;
  /** Lowest and highest value among the estimates, everyone's included. */
  readonly low: number;
  readonly high: number;
  /** People without whom the verdict is another: zero inside the interval, above it or below. */
  readonly turns: readonly string[];
  /** The estimate without each person, in order of first appearance. */
  readonly without: readonly { readonly participant: string; readonly value: number }[];
  /** People without whom the estimate cannot be made, and why. */
  readonly impossible: readonly { readonly participant: string; readonly reason: string }[];
}

/** Where zero lies: 1 when the whole interval is above it, −1 below, 0 when it is inside. */
export function sideOfZero({ interval }: Pick<Estimate, "interval">): number {
  if (!interval) return 0;
  if (interval.low > 0) return 1;
  return interval.high < 0 ? -1 : 0;
}

/**
 * Fragility of a result from plain columns: makes the estimate again without each person in turn,
 * all the rows of that person at once.
 *
 * @param people labels, one a row of the columns that `estimate` reads
 * @param estimate makes the estimate from the row numbers that stay; called once with all of them
 *   and once for each person
 * @returns the range of the value, and whose absence turns the verdict
 * @throws InputError when `people` is no column of labels, and whatever `estimate` throws for all
 *   rows; an InputError for the rows less one person is told in `impossible`
 * @see Cook & Weisberg (1982) Residuals and Influence in Regression, chapter 3 (deletion of cases)
 * @example withoutEachPerson(["a", "b", "c"], (rows) => ({ value: rows.length })).low // 2
 */
export function withoutEachPerson(
  people: Labels,
  estimate: (rows: number[]) => Estimate,
): WithoutEach {
  const names = labels(people, "withoutEachPerson, people", people?.length ?? 0);
  const rowsBut = (person: string) => names.flatMap((name, i) => (name === person ? [] : [i]));
  return withoutEach([...groupRows(names).keys()], estimate(names.map((_, i) => i)), (person) =>
    estimate(rowsBut(person)),
  );
}

/** Makes an estimate again without each of these people, by whatever way they are left out. */
export function withoutEach(
  people: readonly string[],
  whole: Estimate,
  estimateWithout: (person: string) => Estimate,
): WithoutEach {
  const without: { participant: string; value: number }[] = [];
  const turns: string[] = [];
  const impossible: { participant: string; reason: string }[] = [];
  for (const participant of people) {
    try {
      const one = estimateWithout(participant);
      without.push({ participant, value: one.value });
      if (sideOfZero(one) !== sideOfZero(whole)) turns.push(participant);
    } catch (error) {
      if (!(error instanceof InputError)) throw error;
      impossible.push({ participant, reason: error.message });
    }
  }
  const values = [whole.value, ...without.map(({ value }) => value)];
  return frozen({
    kind: "without each person" as const,
    n: people.length,
    low: Math.min(...values),
    high: Math.max(...values),
    turns,
    without,
    impossible,
  });
}
