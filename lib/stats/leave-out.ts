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

/** What becomes of an estimate without each study in turn. */
export interface EachStudyOut {
  readonly kind: "each study left out";
  readonly leaving: "study";
  /** Studies left out, one at a time. */
  readonly n: number;
  /** Lowest and highest value among the estimates, the one from all studies included. */
  readonly low: number;
  readonly high: number;
  /** Studies without which the verdict is another: zero inside the interval, above it or below. */
  readonly turns: readonly string[];
  /** The estimate without each study, in order of first appearance. */
  readonly without: readonly { readonly study: string; readonly value: number }[];
  /** Studies without which the estimate cannot be made, and why. */
  readonly impossible: readonly { readonly study: string; readonly reason: string }[];
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
  return withoutEach([...groupRows(names).keys()], estimate(names.map((_, i) => i)), (person) =>
    estimate(rowsBut(names, person)),
  );
}

/** Makes an estimate again without each of these people, by whatever way they are left out. */
export function withoutEach(
  people: readonly string[],
  whole: Estimate,
  estimateWithout: (person: string) => Estimate,
): WithoutEach {
  const { without, impossible, ...rest } = oneByOne(people, whole, estimateWithout);
  return frozen({
    kind: "without each person" as const,
    ...rest,
    without: without.map(({ name, value }) => ({ participant: name, value })),
    impossible: impossible.map(({ name, reason }) => ({ participant: name, reason })),
  });
}

/**
 * Fragility of a result that rests on studies: makes the estimate again without each study in turn,
 * all the rows of that study at once. For a pool of three or more, `withoutEachStudy` pools again by
 * itself; this one serves whatever else is made from studies: a pool of two, of which one is left, a
 * count, a range for a next study.
 *
 * @param studies labels, one a row of the columns that `estimate` reads
 * @param estimate makes the estimate from the row numbers that stay; called once with all of them
 *   and once for each study
 * @returns the range of the value, and the studies whose absence turns the verdict
 * @throws InputError when `studies` is no column of labels, and whatever `estimate` throws for all
 *   rows; an InputError for the rows less one study is told in `impossible`
 * @see Viechtbauer & Cheung (2010) Res Synth Methods 1:112–125 (deletion of studies)
 * @example leaveEachStudyOut(["A", "B", "C"], (rows) => ({ value: [3, 4, 8].filter((_, i) => rows.includes(i)).length })).low // 2
 */
export function leaveEachStudyOut(
  studies: Labels,
  estimate: (rows: number[]) => Estimate,
): EachStudyOut {
  const names = labels(studies, "leaveEachStudyOut, studies", studies?.length ?? 0);
  const { without, impossible, ...rest } = oneByOne(
    [...groupRows(names).keys()],
    estimate(names.map((_, i) => i)),
    (study) => estimate(rowsBut(names, study)),
  );
  return frozen({
    kind: "each study left out" as const,
    leaving: "study" as const,
    ...rest,
    without: without.map(({ name, value }) => ({ study: name, value })),
    impossible: impossible.map(({ name, reason }) => ({ study: name, reason })),
  });
}

function rowsBut(names: readonly string[], leftOut: string): number[] {
  return names.flatMap((name, i) => (name === leftOut ? [] : [i]));
}

function oneByOne(
  names: readonly string[],
  whole: Estimate,
  estimateWithout: (name: string) => Estimate,
) {
  const without: { name: string; value: number }[] = [];
  const turns: string[] = [];
  const impossible: { name: string; reason: string }[] = [];
  for (const name of names) {
    try {
      const one = estimateWithout(name);
      without.push({ name, value: one.value });
      if (sideOfZero(one) !== sideOfZero(whole)) turns.push(name);
    } catch (error) {
      if (!(error instanceof InputError)) throw error;
      impossible.push({ name, reason: error.message });
    }
  }
  const values = [whole.value, ...without.map(({ value }) => value)];
  const [low, high] = [Math.min(...values), Math.max(...values)];
  return { n: names.length, low, high, turns, without, impossible };
}
