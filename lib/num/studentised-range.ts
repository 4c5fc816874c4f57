import { realAt } from "../entry.js";
import { InputError } from "../errors.js";
import { type Distribution, distribution, positive } from "./distributions.js";
import { findRoot } from "./root.js";
import { erfc } from "./special.js";

/** Step over the largest of the normal values, in their SD. Halving it moves no digit. */
const STEP = 0.2;
/** Where the largest value starts to count. */
const FIRST = -9;
/** Past this many SD a normal density underflows. */
const LAST = 38;
/** Ranges beyond this have no probability that a double holds. */
const FARTHEST = 76;
const SQRT_2PI = Math.sqrt(2 * Math.PI);

/** Both tails of the range of `groups` standard normal values. */
interface RangeTails {
  lower(range: number): number;
  upper(range: number): number;
}

/**
 * The range of k independent standard normal values, by the trapezoidal rule over the largest, z:
 *   P(R ≤ w) = k ∫ φ(z) [Φ(z) − Φ(z − w)]ᵏ⁻¹ dz.
 * The upper tail is summed from Φᵏ⁻¹ − [Φ(z) − Φ(z − w)]ᵏ⁻¹ written as positive terms, so that it
 * keeps its relative accuracy.
 */
function rangeTails(groups: number): RangeTails {
  const count = Math.round((LAST - FIRST) / STEP) + 1;
  const density = new Float64Array(count);
  const below = new Float64Array(count);
  for (let i = 0; i < count; i++) {
    const z = FIRST + i * STEP;
    density[i] = (groups * STEP * Math.exp((-z * z) / 2)) / SQRT_2PI;
    below[i] = erfc(-z / Math.SQRT2) / 2;
  }
  const over = (w: number, part: (whole: number, missed: number) => number) => {
    const last = Math.min(count, Math.ceil((Math.min(w, LAST) - 2 * FIRST) / STEP));
    let sum = 0;
    for (let i = 0; i < last; i++) {
      const missed = erfc((w - FIRST - i * STEP) / Math.SQRT2) / 2;
      sum += realAt(density, i) * part(realAt(below, i), missed);
    }
    return sum;
  };
  const m = groups - 1;
  const inside = (whole: number, missed: number) => (whole - missed) ** m;
  const outside = (whole: number, missed: number) => {
    const left = whole - missed;
    let sum = 0;
    let power = 1;
    for (let i = 0; i < m; i++) {
      sum = sum * whole + power;
      power *= left;
    }
    return missed * sum;
  };
  return {
    lower: (w) => (w <= 0 ? 0 : Math.min(1, over(w, inside))),
    upper: (w) => (w <= 0 ? 1 : w >= FARTHEST ? 0 : Math.min(1, over(w, outside))),
  };
}

/** Averages a tail of the range over s = √(χ²/df), by the trapezoidal rule over ln s. */
function overSpread(tail: (range: number) => number, q: number, df: number): number {
  const step = Math.min(0.1, 0.4 / Math.sqrt(df));
  // The log density of ln s, but for a constant: df·(v − e²ᵛ/2). The weights are normalised.
  let weights = 0;
  let sum = 0;
  const add = (v: number) => {
    const weight = Math.exp(df * (v - Math.expm1(2 * v) / 2));
    weights += weight;
    const part = weight * tail(q * Math.exp(v));
    sum += part;
    return weight > 1e-18 || part > 1e-18 * sum;
  };
  for (let i = 0; add(i * step); i++);
  for (let i = 1; add(-i * step); i++);
  return sum / weights;
}

/**
 * Studentised range distribution: the range of `groups` independent means over the standard error
 * of one of them, estimated on `df` degrees of freedom. Tukey's comparisons of all pairs rest on it.
 *
 * @param groups number of means, a whole number from 2 to 200
 * @param df degrees of freedom of the standard error, positive, may be infinite
 * @throws InputError when groups is not such a number or df is not positive
 * @see Tukey (1953) The problem of multiple comparisons; Harter (1960) Ann Math Stat 31:1122–1147
 * @example studentisedRange(3, 10).quantile(0.95) // 3.8767767500
 */
export function studentisedRange(groups: number, df: number): Distribution {
  if (!Number.isInteger(groups) || groups < 2 || groups > 200) {
    const expected = "a whole number of groups from 2 to 200";
    throw new InputError({ expected, got: String(groups), where: "studentisedRange, groups" });
  }
  const exact = df === Number.POSITIVE_INFINITY;
  if (!exact) positive(df, "studentisedRange, df");
  const range = rangeTails(groups);
  const tail = (side: "lower" | "upper") => (q: number) => {
    if (q <= 0 || q === Number.POSITIVE_INFINITY) return q > 0 === (side === "lower") ? 1 : 0;
    return exact ? range[side](q) : Math.min(1, overSpread(range[side], q, df));
  };
  const lower = tail("lower");
  const upper = tail("upper");
  return distribution("studentisedRange", {
    lower,
    upper,
    quantile: (p) => quantileOf(lower, upper, p),
  });
}

/** The quantile, by a root in ln q on the smaller tail's logarithm. */
function quantileOf(lower: (q: number) => number, upper: (q: number) => number, p: number): number {
  if (p === 0) return 0;
  if (p === 1) return Number.POSITIVE_INFINITY;
  const gap =
    p < 0.5
      ? (v: number) => Math.log(lower(Math.exp(v)) / p)
      : (v: number) => Math.log((1 - p) / upper(Math.exp(v)));
  let [low, high] = [0, 2];
  while (gap(low) > 0) low -= 2;
  while (gap(high) < 0) high += 2;
  return Math.exp(findRoot(gap, low, high, { tolerance: 1e-11 }));
}
