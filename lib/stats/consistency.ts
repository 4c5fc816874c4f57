import { realAt } from "../entry.js";
import { InputError } from "../errors.js";
import { studentT } from "../num/distributions.js";
import { knownOptions } from "../options.js";
import { frozen, type Labels, type Numbers } from "./estimate.js";
import { confidenceLevel, labels, nonNegative, numbers, wholeNumber } from "./input.js";
import { type PrintedNumber, printedNumber } from "./printed.js";

/** The range of p that rounding of the printed r allows. */
export interface PRange {
  /** p of the printed r taken as exact. */
  readonly value: number;
  /** Smallest p of an r that rounds to the printed one. */
  readonly low: number;
  /** Largest p of an r that rounds to the printed one. */
  readonly high: number;
}

/** Whether a printed correlation, its number of people and its p value can all be true. */
export interface CorrelationCheck {
  /** Name of the function that made this record. */
  readonly kind: "checkCorrelation";
  /** The printed correlation. */
  readonly r: number;
  /** The printed number of people. */
  readonly n: number;
  /** Degrees of freedom, n − 2. */
  readonly df: number;
  /** Left out for r = ±1. */
  readonly statistic?: number;
  /** Two-sided p values that the printed r allows. */
  readonly pTwoSided: PRange;
  /** In the direction of r. */
  readonly pOneSided: PRange;
  /** The p value as printed, such as "< 0.001". */
  readonly pPrinted: string;
  /** Whether the printed p agrees with the printed r and n. */
  readonly verdict: "agrees" | "agrees one-sided only" | "does not agree";
  /** Numbers of people with which the printed r and p would agree two-sided; left out if none up to 10 000. */
  readonly nThatAgree?: { readonly from: number; readonly to: number };
  /** How the numbers were computed, in a phrase that a report can print. */
  readonly method: string;
}

/** More people than any study here has: the search for another n stops there. */
const mostPeople = 10_000;

/**
 * Recomputes p from a printed correlation and its number of people and says whether the printed p
 * can be true: t = r √((n − 2)/(1 − r²)) on n − 2 degrees of freedom. Both r and p are taken as
 * rounded, so any value that rounds to the printed digits counts; "< 0.05" agrees when p can be
 * below it.
 *
 * A printed p that agrees one-sided only, or with another n, is a question to the authors, not a
 * proof of error: the correlation may be adjusted, ranked, or of fewer people.
 *
 * @param printed `r` and `p` as printed, text or number ("0.50" keeps its digits, 0.5 does not); `n`
 *   people
 * @throws InputError when r is beyond ±1, n is not a whole number of at least 3, or p no probability
 * @see Nuijten, Hartgerink, van Assen, Epskamp & Wicherts (2016) Behav Res Methods 48:1205–1226
 * @example checkCorrelation({ r: 0.231, n: 6, p: "0.660" }).verdict // "agrees"
 */
export function checkCorrelation(input: {
  r: number | string;
  n: number;
  p: number | string;
}): CorrelationCheck {
  knownOptions(input, ["r", "n", "p"], "checkCorrelation");
  const { r, n, p } = input;
  const where = "checkCorrelation";
  const printedR = printedNumber(r, `${where}, r`);
  const printedP = printedNumber(p, `${where}, p`);
  if (printedR.relation !== "=" || Math.abs(printedR.value) > 1) {
    throw new InputError({
      expected: "a correlation from −1 to 1",
      got: String(r),
      where: `${where}, r`,
    });
  }
  if (printedP.value < 0 || printedP.value > 1) {
    throw new InputError({ expected: "a probability", got: String(p), where: `${where}, p` });
  }
  wholeNumber(n, `${where}, n`, 3);
  const two = twoSided(printedR, n);
  const one = { value: two.value / 2, low: two.low / 2, high: two.high / 2 };
  const statistic = statisticOf(printedR.value, n - 2);
  const other = peopleThatAgree(printedR, printedP);
  return frozen({
    kind: "checkCorrelation" as const,
    r: printedR.value,
    n,
    df: n - 2,
    ...(Number.isFinite(statistic) && { statistic }),
    pTwoSided: two,
    pOneSided: one,
    pPrinted: printedP.text,
    verdict: agree(two, printedP)
      ? ("agrees" as const)
      : agree(one, printedP)
        ? ("agrees one-sided only" as const)
        : ("does not agree" as const),
    ...(other && { nThatAgree: other }),
    method: "t of a correlation, rounding of r and p allowed for",
  });
}

function statisticOf(r: number, df: number): number {
  return r * Math.sqrt(df / (1 - r * r));
}

/** Two-sided p at the printed r and at the ends of what rounds to it; larger |r|, smaller p. */
function twoSided({ value, low, high }: PrintedNumber, n: number): PRange {
  const size = Math.abs(value);
  const half = (high - low) / 2;
  const p = (r: number) =>
    r >= 1 ? 0 : Math.min(1, 2 * studentT(n - 2).upper(statisticOf(Math.max(0, r), n - 2)));
  return { value: p(size), low: p(size + half), high: p(size - half) };
}

function agree(range: PRange, { relation, value, low, high }: PrintedNumber): boolean {
  if (relation === "<") return range.low <= value;
  if (relation === ">") return range.high >= value;
  // Half-way values may have been rounded either way, and their decimals are not exact in binary.
  const slack = 1e-12;
  return range.low <= high + slack && range.high >= low - slack;
}

/** p falls as n grows, so the numbers that agree are neighbours. */
function peopleThatAgree(r: PrintedNumber, p: PrintedNumber) {
  const first = (test: (n: number) => boolean) => {
    let [no, yes] = [2, mostPeople];
    if (!test(yes)) return undefined;
    while (yes - no > 1) {
      const middle = (no + yes) >> 1;
      if (test(middle)) yes = middle;
      else no = middle;
    }
    return yes;
  };
  const upper = p.relation === "<" ? p.value : p.relation === ">" ? 1 : p.high;
  const from = first((n) => twoSided(r, n).low <= upper);
  if (from === undefined) return undefined;
  if (p.relation === "<") return { from, to: mostPeople };
  const lower = p.relation === ">" ? p.value : p.low;
  const beyond = first((n) => twoSided(r, n).high < lower);
  const to = (beyond ?? mostPeople + 1) - 1;
  return to < from ? undefined : { from, to };
}

/**
 * The smallest |r| that a two-sided test calls significant: t / √(t² + n − 2). What "significant" or
 * "not significant" without a number bounds.
 * @param n people, at least 3
 * @throws InputError when n is not a whole number of at least 3, or the level not between 0 and 1
 * @see Fisher (1925) Statistical Methods for Research Workers, table V.A
 * @example criticalCorrelation(16) // 0.4973…
 */
export function criticalCorrelation(n: number, options: { level?: number } = {}): number {
  knownOptions(options, ["level"], "criticalCorrelation");
  const { level = 0.95 } = options;
  const df = wholeNumber(n, "criticalCorrelation, n", 3) - 2;
  confidenceLevel(level, "criticalCorrelation");
  const t = studentT(df).quantile((1 + level) / 2);
  return t / Math.sqrt(t * t + df);
}

/** Group gains compared with the gains that training studies report. */
export interface GainReview {
  /** Name of the function that made this record. */
  readonly kind: "reviewGains";
  /** Number of gains reviewed. */
  readonly n: number;
  /** Percent above which a gain is marked. */
  readonly above: number;
  /** Each gain in percent, and whether it is marked. */
  readonly rows: readonly {
    readonly label: string;
    readonly percent: number;
    readonly review: boolean;
  }[];
  /** Labels of the marked rows. */
  readonly marked: readonly string[];
  /** How the numbers were computed, in a phrase that a report can print. */
  readonly method: string;
}

/**
 * Marks gains in club-head speed that are too large to believe without a second look at device, unit
 * and summary rule. Published group gains are 1.5 to 6.3 percent, and one of 24 percent, read by
 * two-dimensional video, stands alone; above 8 percent is an alarm, not a verdict.
 *
 * @param columns `percent`: gains, 8.7 for 8.7 %; `label` names them
 * @param options `above`: where the alarm begins, 8 unless given
 * @throws InputError when a gain is not finite or the labels are not as many
 * @see Torres-Ronda, Sánchez-Medina, González-Badillo (2011) J Sports Sci Med 10:9–18, table 2;
 *   Fradkin, Sherman, Finch (2004) Br J Sports Med 38:762–765 for the gain of 24 percent
 * @example reviewGains({ percent: [1.6, 24], label: ["A", "B"] }).marked // ["B"]
 */
export function reviewGains(
  input: { percent: Numbers; label?: Labels },
  options: { above?: number } = {},
): GainReview {
  knownOptions(input, ["percent", "label"], "reviewGains");
  const { percent, label } = input;
  knownOptions(options, ["above"], "reviewGains");
  const { above = 8 } = options;
  const gains = numbers(percent, "reviewGains, percent");
  const names = label
    ? labels(label, "reviewGains, label", gains.length)
    : Array.from(gains, (_, i) => `gain ${i + 1}`);
  nonNegative(above, "reviewGains, above");
  const rows = names.map((name, i) => {
    return { label: name, percent: realAt(gains, i), review: realAt(gains, i) > above };
  });
  return frozen({
    kind: "reviewGains" as const,
    n: rows.length,
    above,
    rows,
    marked: rows.filter(({ review }) => review).map((row) => row.label),
    method: `group gain above ${above} percent`,
  });
}
