import { itemAt, realAt } from "../../entry.js";
import { descend } from "../../num/descent.js";
import { cholesky, solveCholesky } from "../../num/linear.js";
import {
  chainToTheta,
  covarianceSlope,
  type MixedCriterion,
  type RelativeFactor,
} from "./criterion.js";

/** Which entries of θ a model has. */
export type FreeEntries = readonly number[];

export interface MixedOptimum {
  /** Relative factor of the random effects' covariance. */
  readonly theta: RelativeFactor;
  /** The criterion there: −2 log-likelihood. */
  readonly value: number;
  /** Whether the search for the estimates settled. */
  readonly converged: boolean;
}

/** Trial sizes of θ, in units where a subject carries about one observation of each effect. */
const FINE = [0.1, 0.3, 1, 3, 10, 40, 300, 3e3];
const COARSE = [0.2, 2, 20, 300];
/** Starts whose criterion is this far above the best one's are not followed. */
const NEAR_BEST = 10;
/** Entries below this are tried at 0, the boundary. */
const NEAR_ZERO = 0.02;
/** A gradient this small leaves θ right to all but its last few digits. */
const FLAT = 1e-10;
/** A criterion that moves less than this when an entry doubles is at its least. */
const LEVEL = 1e-6;

export function freeEntries(hasSlope: boolean, correlated: boolean): FreeEntries {
  if (!hasSlope) return [0];
  return correlated ? [0, 1, 2] : [0, 2];
}

/**
 * The θ of least criterion.
 *
 * The criterion is even in the signs of Λ's columns, so it is searched without bounds: an edge of
 * the parameter space is an ordinary minimum at 0. A coarse grid finds the valleys, a
 * quasi-Newton descent with the analytic gradient goes down each, entries that end next to 0 are
 * put there if that costs nothing, and Newton steps settle the last digits.
 */
export function searchTheta(criterion: MixedCriterion, free: FreeEntries): MixedOptimum {
  const found = valleys(criterion, free).map((start) => descendFrom(criterion, free, start));
  const best = found.reduce((a, b) => (b.value < a.value ? b : a));
  return settled(criterion, free, ontoBoundary(criterion, free, best));
}

/** The search of one bootstrap sample: from a known neighbourhood, to statistical accuracy. */
export function searchNear(
  criterion: MixedCriterion,
  free: FreeEntries,
  start: RelativeFactor,
): MixedOptimum {
  const away = start.map((x, i) => (free.includes(i) && i !== 1 ? Math.max(x, 0.3) : x));
  return ontoBoundary(criterion, free, descendFrom(criterion, free, away, 1e-11));
}

/**
 * Starting points: on each layer of the grid (intercept against slope size, at three correlations)
 * the points that no neighbour undercuts and the best on each edge of small θ, as far as they come
 * near the best of all.
 */
function valleys(criterion: MixedCriterion, free: FreeEntries): RelativeFactor[] {
  const starts = layers(free).flatMap((layer) => {
    const values = layer.map((row) => row.map((theta) => criterion.value(theta)));
    const at = (i: number, j: number) => values[i]?.[j] ?? Number.POSITIVE_INFINITY;
    const edges = [
      Math.min(...itemAt(values, 0)),
      Math.min(...values.map((row) => itemAt(row, 0))),
    ];
    return layer.flatMap((row, i) =>
      row.flatMap((theta, j) => {
        const around = Math.min(at(i - 1, j), at(i + 1, j), at(i, j - 1), at(i, j + 1));
        const value = at(i, j);
        return value <= around || edges.includes(value) ? [{ theta, value }] : [];
      }),
    );
  });
  const least = starts.reduce((low, { value }) => Math.min(low, value), Number.POSITIVE_INFINITY);
  const near = starts.filter(({ value }) => value <= least + NEAR_BEST);
  return near.map(({ theta }) => theta);
}

function layers(free: FreeEntries): RelativeFactor[][][] {
  if (!free.includes(2)) return [FINE.map((a) => [Float64Array.of(a, 0, 0)])];
  const layer = (r: number, sizes: number[]) =>
    sizes.map((a) => sizes.map((c) => Float64Array.of(a, r * c, Math.sqrt(1 - r * r) * c)));
  if (!free.includes(1)) return [layer(0, FINE)];
  return [layer(0, FINE), layer(0.9, COARSE), layer(-0.9, COARSE)];
}

/** Goes downhill in units of the start, so that θ of 0.01 and of 10 000 look alike. */
function descendFrom(
  criterion: MixedCriterion,
  free: FreeEntries,
  start: RelativeFactor,
  tolerance?: number,
): MixedOptimum {
  const unit = Float64Array.from(
    free,
    (entry) => Math.abs(realAt(start, entry)) || Math.abs(realAt(start, 2)) || 1,
  );
  const theta = start.slice();
  const place = (x: Float64Array) => {
    for (let i = 0; i < free.length; i++) theta[itemAt(free, i)] = realAt(unit, i) * realAt(x, i);
  };
  const end = descend(
    (x, gradient) => {
      place(x);
      const value = profiledGradient(criterion, theta, free, gradient);
      for (let i = 0; i < free.length; i++) gradient[i] = realAt(gradient, i) * realAt(unit, i);
      return value;
    },
    free.map((entry, i) => realAt(start, entry) / realAt(unit, i)),
    tolerance === undefined ? {} : { tolerance },
  );
  place(end.x);
  return { theta: rightSigned(theta), value: end.value, converged: end.converged };
}

function profiledGradient(
  criterion: MixedCriterion,
  theta: RelativeFactor,
  free: FreeEntries,
  gradient: Float64Array,
): number {
  const solution = criterion.solve(theta);
  const whole = chainToTheta(covarianceSlope(solution, solution.sigma2), theta);
  free.forEach((entry, i) => {
    gradient[i] = itemAt(whole, entry);
  });
  return solution.value;
}

/** Of the factors that give one covariance, the one with a diagonal that is not negative. */
function rightSigned(theta: RelativeFactor): RelativeFactor {
  if (realAt(theta, 0) < 0) {
    theta[0] = -realAt(theta, 0);
    theta[1] = 0 - realAt(theta, 1); // not −0
  }
  theta[2] = Math.abs(realAt(theta, 2));
  return theta;
}

/** Puts entries that are next to 0 at 0, where the criterion is no higher there. */
function ontoBoundary(
  criterion: MixedCriterion,
  free: FreeEntries,
  from: MixedOptimum,
): MixedOptimum {
  let best = from;
  for (const entry of [2, 0, 1]) {
    const small = Math.abs(realAt(best.theta, entry));
    if (!free.includes(entry) || small === 0 || small > NEAR_ZERO) continue;
    if (entry === 1 && best.theta[2] !== 0) continue;
    const theta = best.theta.slice();
    theta[entry] = 0;
    const rest = free.filter((i) => theta[i] !== 0);
    const tried = rest.length > 0 ? descendFrom(criterion, rest, theta) : undefined;
    const value = tried?.value ?? criterion.value(theta);
    if (value <= best.value + 1e-10 * (1 + Math.abs(value))) {
      best = { theta: tried?.theta ?? theta, value, converged: tried?.converged ?? true };
    }
  }
  return best;
}

/** Newton steps in the entries that are off the boundary, while they shrink the gradient. */
function settled(criterion: MixedCriterion, free: FreeEntries, from: MixedOptimum): MixedOptimum {
  const moving = free.filter((entry) => from.theta[entry] !== 0);
  let { theta } = from;
  let gradient = gradientAt(criterion, theta, moving);
  for (let round = 0; round < 4 && largestOf(gradient) > FLAT; round++) {
    const factor = cholesky(curvature(criterion, theta, moving), moving.length);
    if (!factor) break;
    const step = solveCholesky(factor, gradient);
    const next = theta.slice();
    moving.forEach((entry, i) => {
      next[entry] = realAt(next, entry) - realAt(step, i);
    });
    const after = gradientAt(criterion, next, moving);
    if (!(largestOf(after) < largestOf(gradient))) break;
    theta = next;
    gradient = after;
  }
  const level = moving.every(
    (entry, i) => Math.abs(realAt(gradient, i) * realAt(theta, entry)) <= LEVEL,
  );
  return { theta, value: criterion.value(theta), converged: from.converged || level };
}

function gradientAt(criterion: MixedCriterion, theta: RelativeFactor, free: FreeEntries) {
  const gradient = new Float64Array(free.length);
  profiledGradient(criterion, theta, free, gradient);
  return gradient;
}

/** Hessian of the criterion in some entries of θ. */
function curvature(criterion: MixedCriterion, theta: RelativeFactor, free: FreeEntries) {
  return jacobian((at) => gradientAt(criterion, at, free), theta, free);
}

/**
 * Derivatives of a vector function in some entries of θ, by fourth-order central differences;
 * row i holds the derivatives of component i.
 */
export function jacobian(
  f: (theta: RelativeFactor) => Float64Array,
  theta: RelativeFactor,
  entries: FreeEntries,
): Float64Array {
  const matrix = new Float64Array(entries.length * entries.length);
  entries.forEach((entry, column) => {
    const h = 1e-3 * Math.max(0.1, Math.abs(realAt(theta, entry)));
    const at = (by: number) => {
      const moved = theta.slice();
      moved[entry] = realAt(moved, entry) + by * h;
      return f(moved);
    };
    const [up, down, up2, down2] = [at(1), at(-1), at(2), at(-2)];
    entries.forEach((_, row) => {
      matrix[row * entries.length + column] =
        (8 * (realAt(up, row) - realAt(down, row)) - (realAt(up2, row) - realAt(down2, row))) /
        (12 * h);
    });
  });
  return matrix;
}

function largestOf(gradient: Float64Array): number {
  return gradient.reduce((most, x) => Math.max(most, Math.abs(x)), 0);
}
