import { realAt } from "../entry.js";
import { InputError } from "../errors.js";
import { normal } from "../num/distributions.js";
import { sum, sumOfSquaredDeviations } from "../num/sums.js";
import { frozen, type Numbers } from "./estimate.js";
import { numbers } from "./input.js";

/** Shapiro–Wilk test of normality. */
export interface Normality {
  /** Name of the function that made this record. */
  readonly kind: "normality";
  /** Number of values. */
  readonly n: number;
  /** W, near 1 for normal data; left out where every value is the same. */
  readonly w?: number;
  /** p of "the values come from a normal distribution"; left out where every value is the same. */
  readonly p?: number;
  /** How the numbers were computed, in a phrase that a report can print. */
  readonly method: string;
  /** What to know before the result is used, one sentence each; empty when nothing is doubtful. */
  readonly warnings: readonly string[];
}

/** Royston's polynomials, lowest power first; those of n ≤ 11 are in n, those above in ln n. */
const lastWeight = [0, 0.221157, -0.147981, -2.07119, 4.434685, -2.706056];
const secondWeight = [0, 0.042981, -0.293762, -1.752461, 5.682633, -3.582633];
const small = {
  gamma: [-2.273, 0.459],
  mean: [0.544, -0.39978, 0.025054, -6.714e-4],
  logSd: [1.3822, -0.77857, 0.062767, -0.0020322],
};
const large = {
  mean: [-1.5861, -0.31082, -0.083751, 0.0038915],
  logSd: [-0.4803, -0.082676, 0.0030302],
};

/**
 * Shapiro–Wilk test: do these values look like a sample of a normal distribution?
 *
 * W = (Σ aᵢ x₍ᵢ₎)² / Σ(x − x̄)², with Royston's approximate weights a and his normalising
 * transformation of 1 − W for p. A large p does not show that data are normal.
 *
 * @param x 3 to 5000 numbers in any order and unit
 * @returns W and p, without unit; both left out, with a warning, where every value is the same
 * @throws InputError when a value is not finite or there are fewer than 3 or more than 5000, the
 *   range for which the approximation was made
 * @see Shapiro & Wilk (1965) Biometrika 52:591–611; Royston (1995) Appl Stat 44:547–551, algorithm
 *   AS R94
 * @example normality([148, 154, 158, 160, 161, 162, 166, 170, 182, 195, 236]).w // 0.7888146948
 */
export function normality(x: Numbers): Normality {
  const sorted = numbers(x, "normality", 3).sort();
  const n = sorted.length;
  if (n > 5000) {
    throw new InputError({ expected: "at most 5000 values", got: `${n}`, where: "normality" });
  }
  const range = realAt(sorted, n - 1) - realAt(sorted, 0);
  const record = { kind: "normality", n, method: "Shapiro–Wilk (Royston 1995)" } as const;
  if (range === 0) {
    return frozen({ ...record, warnings: ["Every value is the same, so there is no W or p."] });
  }
  const origin = realAt(sorted, n >> 1);
  const scaled = sorted.map((value) => (value - origin) / range);
  const weights = upperWeights(n);
  const steps = weights.map(
    (weight, i) => weight * (realAt(scaled, n - 1 - i) - realAt(scaled, i)),
  );
  const w = Math.min(1, sum(steps) ** 2 / sumOfSquaredDeviations(scaled));
  return frozen({ ...record, w, p: probability(w, n), warnings: [] });
}

/** Weights of the largest value, the second largest and so on down to the middle. */
function upperWeights(n: number): Float64Array {
  if (n === 3) return Float64Array.of(Math.SQRT1_2);
  const standard = normal(0, 1);
  const scores = Float64Array.from({ length: n >> 1 }, (_, i) =>
    standard.quantile((n - i - 3 / 8) / (n + 1 / 4)),
  );
  const total = 2 * sum(scores.map((score) => score * score));
  const root = 1 / Math.sqrt(n);
  const fixed = [realAt(scores, 0) / Math.sqrt(total) + polynomial(lastWeight, root)];
  if (n > 5) fixed.push(realAt(scores, 1) / Math.sqrt(total) + polynomial(secondWeight, root));
  let left = total;
  let share = 1;
  fixed.forEach((weight, i) => {
    left -= 2 * realAt(scores, i) ** 2;
    share -= 2 * weight ** 2;
  });
  const scale = Math.sqrt(left / share);
  return scores.map((score, i) => fixed[i] ?? score / scale);
}

function probability(w: number, n: number): number {
  if (n === 3) {
    const exact = (6 / Math.PI) * (Math.asin(Math.sqrt(w)) - Math.asin(Math.sqrt(0.75)));
    return Math.min(1, Math.max(0, exact));
  }
  const gap = Math.log1p(-w);
  const at = n <= 11 ? n : Math.log(n);
  const { mean, logSd } = n <= 11 ? small : large;
  // The least W that n values can have keeps the inner logarithm's argument well above 0.
  const y = n <= 11 ? -Math.log(polynomial(small.gamma, n) - gap) : gap;
  const spread = Math.exp(polynomial(logSd, at));
  return normal(0, 1).upper((y - polynomial(mean, at)) / spread);
}

function polynomial(coefficients: readonly number[], x: number): number {
  return coefficients.reduceRight((value, coefficient) => value * x + coefficient, 0);
}
