import { InputError } from "../errors.js";
import { noncentralTails } from "./noncentral.js";
import { betaTails, erfc, gammaTails, type Tails } from "./special.js";

/** A continuous distribution: a frozen record whose functions need nothing else. */
export interface Distribution {
  /** Name of the function that made it. */
  readonly kind: string;
  /** P(X ≤ x). */
  cdf(x: number): number;
  /** P(X > x), with its own relative accuracy far out where cdf(x) is 1. */
  upper(x: number): number;
  /** The x with cdf(x) = p, for p from 0 to 1. */
  quantile(p: number): number;
}

/** The two halves of a distribution, before arguments are checked. */
interface Parts {
  lower(x: number): number;
  upper(x: number): number;
  quantile(p: number): number;
}

export function distribution(kind: string, { lower, upper, quantile }: Parts): Distribution {
  return Object.freeze({
    kind,
    cdf: (x: number) => lower(point(x, `${kind}, cdf`)),
    upper: (x: number) => upper(point(x, `${kind}, upper`)),
    quantile: (p: number) => quantile(probability(p, `${kind}, quantile`)),
  });
}

function point(x: number, where: string): number {
  if (typeof x === "number" && !Number.isNaN(x)) return x;
  throw new InputError({ expected: "a number", got: String(x), where });
}

function probability(p: number, where: string): number {
  if (typeof p === "number" && p >= 0 && p <= 1) return p;
  throw new InputError({ expected: "a probability from 0 to 1", got: String(p), where });
}

export function positive(value: number, where: string): number {
  if (typeof value === "number" && value > 0 && value < Number.POSITIVE_INFINITY) return value;
  throw new InputError({ expected: "a positive number", got: String(value), where });
}

function finite(value: number, where: string): number {
  if (Number.isFinite(value)) return value;
  throw new InputError({ expected: "a finite number", got: String(value), where });
}

/**
 * Normal distribution.
 *
 * @param mean centre, in the unit of the data
 * @param sd standard deviation, positive, same unit
 * @throws InputError when sd is not positive or a parameter is not finite
 * @example normal().quantile(0.975) // 1.959963984540054
 */
export function normal(mean = 0, sd = 1): Distribution {
  finite(mean, "normal, mean");
  positive(sd, "normal, sd");
  const scaled = (x: number) => (x - mean) / sd / Math.SQRT2;
  return distribution("normal", {
    lower: (x) => erfc(-scaled(x)) / 2,
    upper: (x) => erfc(scaled(x)) / 2,
    quantile: (p) => mean + sd * symmetricQuantile(p, standardSquare),
  });
}

/** The square of a standard normal deviate, by way of its half, a gamma variable of shape ½. */
const standardSquare: Square = {
  tails: (square) => gammaTails(0.5, square / 2),
  start: 1,
  tailPower: Number.POSITIVE_INFINITY,
};

/**
 * Student's t distribution.
 *
 * @param df degrees of freedom, positive, need not be whole
 * @throws InputError when df is not positive
 * @example studentT(11).quantile(0.975) // 2.200985160091639
 */
export function studentT(df: number): Distribution {
  if (df === Number.POSITIVE_INFINITY) return normal();
  positive(df, "studentT, df");
  const square = {
    tails: (f: number) => betaTails(0.5, df / 2, f),
    start: 1,
    tailPower: df,
  };
  const beyond = (x: number) => symmetricUpper(Math.abs(x), square) / 2;
  return distribution("studentT", {
    lower: (x) => (x < 0 ? beyond(x) : 1 - beyond(x)),
    upper: (x) => (x > 0 ? beyond(x) : 1 - beyond(x)),
    quantile: (p) => symmetricQuantile(p, square),
  });
}

/**
 * F distribution, the ratio of two mean squares.
 *
 * @param df1 degrees of freedom of the numerator, positive
 * @param df2 degrees of freedom of the denominator, positive
 * @throws InputError when a parameter is not positive
 * @example fisherF(2, 21).upper(3.47) // 0.04987987725
 */
export function fisherF(df1: number, df2: number): Distribution {
  const a = positive(df1, "fisherF, df1") / 2;
  const b = positive(df2, "fisherF, df2") / 2;
  return positiveDistribution("fisherF", (f) => betaTails(a, b, f), 1);
}

/**
 * Chi-squared distribution.
 *
 * @param df degrees of freedom, positive
 * @throws InputError when df is not positive
 * @example chiSquared(1).quantile(0.95) // 3.841458820694124
 */
export function chiSquared(df: number): Distribution {
  const shape = positive(df, "chiSquared, df") / 2;
  return positiveDistribution("chiSquared", (x) => gammaTails(shape, x / 2), df);
}

/**
 * Noncentral t distribution: (Z + shift) / √(χ²/df), the law of a t statistic when there is an
 * effect; power and precision rest on it.
 *
 * @param df degrees of freedom, positive
 * @param shift noncentrality, the effect in standard errors
 * @throws InputError when df is not positive or shift is not finite
 * @example noncentralT(11, 2).upper(2.20098516) // 0.44639494927
 */
export function noncentralT(df: number, shift: number): Distribution {
  positive(df, "noncentralT, df");
  finite(shift, "noncentralT, shift");
  const tails = noncentralTails(df, shift);
  return distribution("noncentralT", {
    lower: tails.lower,
    upper: tails.upper,
    quantile: tails.quantile,
  });
}

function positiveDistribution(
  kind: string,
  tails: (x: number) => Tails,
  start: number,
): Distribution {
  return distribution(kind, {
    lower: (x) => tails(x).lower,
    upper: (x) => tails(x).upper,
    quantile: (p) => {
      if (p === 0) return 0;
      if (p === 1) return Number.POSITIVE_INFINITY;
      return p <= 0.5
        ? solveTail(tails, "lower", p, start)
        : solveTail(tails, "upper", 1 - p, start);
    },
  });
}

/** A symmetric distribution about 0, given by the distribution of its square. */
interface Square {
  tails(square: number): Tails;
  /** Where the search for a square starts. */
  start: number;
  /** The tail falls as x to minus this power. */
  tailPower: number;
}

/** Past this square the tail is its leading power to full precision; squares soon overflow. */
const FAR_SQUARE = 1e280;

/** P(|X| > x) for x ≥ 0. */
function symmetricUpper(x: number, { tails, tailPower }: Square): number {
  if (x * x < FAR_SQUARE) return tails(x * x).upper;
  return tails(FAR_SQUARE).upper * (Math.sqrt(FAR_SQUARE) / x) ** tailPower;
}

/** Quantile of a symmetric distribution: from the middle outward, or from the smaller tail. */
function symmetricQuantile(p: number, square: Square): number {
  if (p === 0.5) return 0;
  const sign = p < 0.5 ? -1 : 1;
  const outside = 2 * Math.min(p, 1 - p);
  if (outside === 0) return sign * Number.POSITIVE_INFINITY;
  if (outside > 0.5) {
    const inside = 2 * Math.abs(p - 0.5);
    return sign * Math.sqrt(solveTail(square.tails, "lower", inside, square.start));
  }
  const far = square.tails(FAR_SQUARE).upper;
  if (outside < far) {
    return sign * Math.sqrt(FAR_SQUARE) * (far / outside) ** (1 / square.tailPower);
  }
  return sign * Math.sqrt(solveTail(square.tails, "upper", outside, square.start));
}

/**
 * The x > 0 at which one tail reaches `target`, by Newton's method for ln tail as a function of
 * ln x. That function is concave for these families, so the steps cannot cycle; a bracket catches
 * the first steps, which may land where the tail underflows.
 */
function solveTail(
  tails: (x: number) => Tails,
  side: "lower" | "upper",
  target: number,
  start: number,
): number {
  const direction = side === "lower" ? 1 : -1;
  let low = -745;
  let high = 709.7;
  let at = Math.log(start);
  let x = start;
  for (let step = 0; step < 200; step++) {
    const point = tails(x);
    const tail = point[side];
    if (direction * (tail - target) < 0) low = at;
    else high = at;
    const move = (direction * Math.log(target / tail) * tail) / point.slope;
    const aim = at + move;
    // a tail or a slope that underflowed gives no step: halve the bracket instead
    const next = aim > low && aim < high ? aim : (low + high) / 2;
    const change = next - at;
    x = Math.abs(change) < 0.1 ? x * Math.exp(change) : Math.exp(next);
    at = next;
    if (Math.abs(change) < 4e-16 || x === 0) break;
  }
  return x;
}
