import { realAt, wholeAt } from "../entry.js";
import { sum } from "../num/sums.js";

/** One coefficient of a quantile line to be tested, the other one free. */
export interface RankTest {
  /** The column whose coefficient is tested. */
  readonly tested: Float64Array;
  /** The column of the other coefficient. */
  readonly other: Float64Array;
  /** The outcome, one value per row. */
  readonly y: Float64Array;
  /** Share of the points below the line. */
  readonly q: number;
  /** The coefficient's estimate. */
  readonly value: number;
  /** The score, in standard errors, beyond which a value is rejected. */
  readonly critical: number;
}

/** A range of coefficients over which the score does not change. */
interface Step {
  readonly low: number;
  readonly high: number;
  readonly score: number;
}

/**
 * Limits of a coefficient by inversion of the rank score test: the values at which
 * |Σ z(a − (1 − q))| / √(q(1 − q) Σz²) reaches `critical`, z the tested column with the other one
 * projected out, a the rank scores of the quantile fit of the other column alone.
 *
 * The score is a step function of the coefficient. Each limit is interpolated between the ends of
 * the last step inside, at which the score is that step's and that of the step beyond.
 *
 * @returns nothing where the score stays inside on one side however far the coefficient goes
 * @see Koenker (1994) in Asymptotic Statistics (Mandl & Hušková, eds), 349–359
 */
export function rankLimits(test: RankTest): { low: number; high: number } | undefined {
  const score = scoreFunction(test);
  const high = limit(test, score, 1);
  const low = limit(test, score, -1);
  return low === undefined || high === undefined ? undefined : { low, high };
}

function limit(
  { value, critical }: RankTest,
  score: (at: number) => Step,
  side: 1 | -1,
): number | undefined {
  const near = (step: Step) => (side > 0 ? step.low : step.high);
  const far = (step: Step) => (side > 0 ? step.high : step.low);
  const inside = (step: Step) => Math.abs(step.score) < critical;
  const unit = Math.max(Math.abs(value), 1e-3 * spanOf(score, value));
  let within = score(value + side * 1e-10 * unit);
  if (!inside(within)) return value;
  let beyond: Step | undefined;
  for (let reach = 1e-6 * unit; !beyond; reach *= 4) {
    if (!Number.isFinite(far(within))) return undefined;
    const step = score(far(within) + side * reach);
    if (inside(step)) within = step;
    else beyond = step;
  }
  for (let n = 0; n < 200; n++) {
    const [from, to] = [far(within), near(beyond)];
    if (!(side * (to - from) > 1e-12 * (Math.abs(from) + unit))) break;
    const step = score((from + to) / 2);
    if (inside(step)) within = step;
    else beyond = step;
  }
  const [start, end] = [near(within), far(within)];
  const [first, last] = [Math.abs(within.score), Math.abs(beyond.score)];
  return start + ((end - start) * (critical - first)) / (last - first);
}

/** How wide the steps are about a value: a scale for a coefficient near 0. */
function spanOf(score: (at: number) => Step, value: number): number {
  const { low, high } = score(value + Number.EPSILON);
  return Number.isFinite(high - low) ? high - low : 1;
}

/** The score at a coefficient, and the range over which it stays as it is. */
function scoreFunction({ tested, other, y, q }: RankTest): (at: number) => Step {
  const n = y.length;
  const share = inner(tested, other) / inner(other, other);
  const z = tested.map((u, i) => u - share * realAt(other, i));
  const size = Math.sqrt(q * (1 - q) * inner(z, z));
  const weight = sum(other);
  const zTotal = sum(z);
  const wanted = sum(other.map((v) => (v > 0 ? q * v : (q - 1) * v)));
  const total = sum(other.map(Math.abs));
  const rows = Array.from(other.keys()).filter((i) => realAt(other, i) !== 0);
  return (at) => {
    const rest = y.map((value, i) => value - at * realAt(tested, i));
    const ratio = rest.map((value, i) => value / realAt(other, i));
    const order = Uint32Array.from(rows).sort((i, j) => realAt(ratio, i) - realAt(ratio, j));
    let passed = 0;
    let basis = wholeAt(order, order.length - 1);
    for (const i of order) {
      passed += Math.abs(realAt(other, i));
      if (passed < wanted - 1e-12 * total) continue;
      basis = i;
      break;
    }
    const height = realAt(ratio, basis);
    const residuals = rest.map((value, i) => value - height * realAt(other, i));
    const tolerance = 1e-12 * rest.reduce((most, value) => Math.max(most, Math.abs(value)), 0);
    let above = 0;
    let score = (q - 1) * zTotal;
    let onWeight = 0;
    let onScore = 0;
    let [low, high] = [Number.NEGATIVE_INFINITY, Number.POSITIVE_INFINITY];
    const perTested = realAt(tested, basis) / realAt(other, basis);
    for (let i = 0; i < n; i++) {
      const e = realAt(residuals, i);
      const [u, v] = [realAt(tested, i), realAt(other, i)];
      if (Math.abs(e) <= tolerance) {
        onWeight += v;
        onScore += realAt(z, i);
        continue;
      }
      if (e > 0) {
        above += v;
        score += realAt(z, i);
      }
      const slope = u - perTested * v;
      if (Math.abs(slope) <= 1e-12 * (Math.abs(u) + Math.abs(perTested * v))) continue;
      const kink = at + e / slope;
      if (kink > at) high = Math.min(high, kink);
      else low = Math.max(low, kink);
    }
    const fraction = ((1 - q) * weight - above) / onWeight;
    return { low, high, score: (score + fraction * onScore) / size };
  };
}

function inner(a: Float64Array, b: Float64Array): number {
  return sum(a.map((value, i) => value * realAt(b, i)));
}
