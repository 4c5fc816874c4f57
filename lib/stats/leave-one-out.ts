import { InputError } from "../errors.js";
import { knownOptions } from "../options.js";
import { type Estimate, frozen, type Labels } from "./estimate.js";
import { labels, oneOf } from "./input.js";
import { groupRows } from "./people.js";

/** What a leave-one-out analysis leaves out, one at a time. */
export type Leaving = "person" | "study";

/** An estimate made again without each person, or without each study, in turn. */
export interface LeftOut {
  /** What was left out. */
  readonly leaving: Leaving;
  /** People or studies left out, one at a time. */
  readonly n: number;
  /** Lowest value among the estimates, the one from all included, in the estimate's unit. */
  readonly low: number;
  /** Highest value among them. */
  readonly high: number;
  /** Labels without which zero changes sides: inside the interval, above it or below it. */
  readonly changesConclusion: readonly string[];
  /** The estimate without each, in order of first appearance. */
  readonly without: readonly { readonly label: string; readonly value: number }[];
  /** Those without whom the estimate cannot be made, and why. */
  readonly impossible: readonly { readonly label: string; readonly reason: string }[];
}

/** What `leaveOneOut` returns. */
export interface LeaveOneOutResult extends LeftOut {
  /** Name of the function that made this record. */
  readonly kind: "leaveOneOut";
}

/** Where zero lies: 1 when the whole interval is above it, −1 below, 0 when it is inside. */
export function sideOfZero({ interval }: Pick<Estimate, "interval">): number {
  if (!interval) return 0;
  if (interval.low > 0) return 1;
  return interval.high < 0 ? -1 : 0;
}

/**
 * Makes an estimate again without each person, or without each study, in turn: all rows of that
 * person or study at once.
 *
 * @param label one label per row of the columns that `estimate` reads
 * @param estimate makes the estimate from the row numbers that stay; called once with all of them
 *   and once per label
 * @param options `leaving`: what the labels name, "person" unless given
 * @returns the range of the value, and whose absence changes the conclusion about zero
 * @throws InputError when `label` is no column of labels, an option is unknown, and whatever
 *   `estimate` throws for all rows; an InputError for fewer rows is listed in `impossible`
 * @see Cook & Weisberg (1982) Residuals and Influence in Regression, chapter 3 (deletion of cases);
 *   Viechtbauer & Cheung (2010) Res Synth Methods 1:112–125 (deletion of studies)
 * @example leaveOneOut(["a", "b", "c"], (rows) => ({ value: rows.length })).low // 2
 */
export function leaveOneOut(
  label: Labels,
  estimate: (rows: number[]) => Estimate,
  options: { leaving?: Leaving } = {},
): LeaveOneOutResult {
  knownOptions(options, ["leaving"], "leaveOneOut");
  const leaving = oneOf(options.leaving ?? "person", ["person", "study"], "leaveOneOut, leaving");
  const names = labels(label, "leaveOneOut, label", label?.length ?? 0);
  const whole = estimate(names.map((_, i) => i));
  const without = (name: string) => estimate(rowsBut(names, name));
  const found = withoutEach([...groupRows(names).keys()], whole, without);
  return frozen({ kind: "leaveOneOut", leaving, ...found } as const);
}

function rowsBut(names: readonly string[], leftOut: string): number[] {
  return names.flatMap((name, i) => (name === leftOut ? [] : [i]));
}

/** Makes an estimate again without each of these people or studies, however they are left out. */
export function withoutEach(
  names: readonly string[],
  whole: Estimate,
  estimateWithout: (name: string) => Estimate,
): Omit<LeftOut, "leaving"> {
  const without: { label: string; value: number }[] = [];
  const changesConclusion: string[] = [];
  const impossible: { label: string; reason: string }[] = [];
  for (const label of names) {
    try {
      const one = estimateWithout(label);
      without.push({ label, value: one.value });
      if (sideOfZero(one) !== sideOfZero(whole)) changesConclusion.push(label);
    } catch (error) {
      if (!(error instanceof InputError)) throw error;
      impossible.push({ label, reason: error.message });
    }
  }
  const values = [whole.value, ...without.map(({ value }) => value)];
  const [low, high] = [Math.min(...values), Math.max(...values)];
  return { n: names.length, low, high, changesConclusion, without, impossible };
}
