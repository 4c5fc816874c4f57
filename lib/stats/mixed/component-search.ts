import { itemAt, realAt } from "../../entry.js";
import { descend } from "../../num/descent.js";
import { cholesky, solveCholesky } from "../../num/linear.js";
import { dot } from "../../num/vector.js";
import {
  type ComponentInformation,
  type ComponentProblem,
  componentInformation,
  profiledCriterion,
  residualVariance,
} from "./component-likelihood.js";

/** The variances of least −2 log-likelihood, groups first and the residual last. */
export interface ComponentOptimum {
  /** Variance of each group, then of the residual, in units of the scaled problem. */
  readonly variances: Float64Array;
  /** Derivatives at these variances. */
  readonly information: ComponentInformation;
  /** Whether the search for the estimates settled. */
  readonly converged: boolean;
}

/** Trial sizes of a group's SD in units of the residual SD. */
const SIZES = [0.05, 0.3, 1, 3, 10, 50];
/** A group's SD below this part of the residual SD is tried at 0. */
const NEAR_ZERO = 0.02;
/** A Newton step that promises less than this leaves the variances right to their last digits. */
const SETTLED = 1e-18;
/** What a step may still promise of the criterion when the search counts as finished. */
const FLAT = 1e-7;

/**
 * Searches the SDs of the groups in units of the residual SD without bounds (the criterion is even
 * in each, so that 0 is an ordinary minimum): one group after the other over a coarse grid, then
 * quasi-Newton descent, then what ends next to 0 is tried at 0, then Newton steps in the variances.
 */
export function searchComponents(
  problem: ComponentProblem,
  groups: number,
): ComponentOptimum | undefined {
  const start = coarseStart(problem, groups);
  const all = Array.from({ length: groups }, (_, g) => g);
  const theta = ontoBoundary(problem, descendFrom(problem, start, all));
  const residual = residualVariance(problem, theta);
  const variances = Float64Array.of(...theta.map((x) => x * x * residual), residual);
  return settled(problem, variances);
}

/** Each group in turn takes the size that is best for the others, twice. */
function coarseStart(problem: ComponentProblem, groups: number): Float64Array {
  const theta = new Float64Array(groups).fill(1);
  let best = profiledCriterion(problem, theta);
  for (let round = 0; round < 2; round++) {
    for (let g = 0; g < groups; g++) {
      for (const size of SIZES) {
        const tried = theta.slice();
        tried[g] = size;
        const value = profiledCriterion(problem, tried);
        if (value < best) {
          best = value;
          theta[g] = size;
        }
      }
    }
  }
  return theta;
}

/** Goes downhill in some groups' θ, in units of the start. */
function descendFrom(
  problem: ComponentProblem,
  start: Float64Array,
  moving: readonly number[],
): Float64Array {
  const theta = start.slice();
  if (moving.length === 0) return theta;
  const unit = moving.map((g) => realAt(start, g) || 1);
  const place = (x: Float64Array) => {
    moving.forEach((g, i) => {
      theta[g] = itemAt(unit, i) * realAt(x, i);
    });
  };
  const whole = new Float64Array(start.length);
  const end = descend(
    (x, gradient) => {
      place(x);
      const value = profiledCriterion(problem, theta, whole);
      moving.forEach((g, i) => {
        gradient[i] = realAt(whole, g) * itemAt(unit, i);
      });
      return value;
    },
    moving.map((g, i) => realAt(start, g) / itemAt(unit, i)),
    { tolerance: 1e-12 },
  );
  place(end.x);
  return theta.map(Math.abs);
}

/** Puts groups that are next to 0 at 0, where the criterion is no higher there. */
function ontoBoundary(problem: ComponentProblem, from: Float64Array): Float64Array {
  let best = from;
  let value = profiledCriterion(problem, best);
  for (const g of from.keys()) {
    if (realAt(best, g) === 0 || realAt(best, g) > NEAR_ZERO) continue;
    const tried = best.slice();
    tried[g] = 0;
    const rest = Array.from(tried.keys()).filter((other) => realAt(tried, other) > 0);
    const moved = descendFrom(problem, tried, rest);
    const lower = profiledCriterion(problem, moved);
    if (lower <= value + 1e-9 * (1 + Math.abs(value))) {
      best = moved;
      value = lower;
    }
  }
  return best;
}

/** Newton steps in the variances that are not 0, as long as each promises less than the one before. */
function settled(problem: ComponentProblem, from: Float64Array): ComponentOptimum | undefined {
  let variances = from;
  let information = componentInformation(problem, variances);
  if (!information) return undefined;
  let promise = Number.POSITIVE_INFINITY;
  for (let round = 0; round < 12; round++) {
    const { free, gradient, hessian, value } = information;
    const factor = cholesky(hessian, free.length);
    if (!factor) break;
    const step = solveCholesky(factor, gradient);
    const ahead = dot(step, gradient);
    if (!(ahead < promise)) break;
    promise = ahead;
    if (promise < SETTLED) break;
    const next = variances.slice();
    free.forEach((a, i) => {
      next[a] = realAt(next, a) - realAt(step, i);
    });
    if (next.some((variance) => variance < 0)) break;
    const after = componentInformation(problem, next);
    if (!after || after.value > value + 1e-9 || after.free.length < free.length) break;
    variances = next;
    information = after;
  }
  return { variances, information, converged: promise < FLAT };
}
