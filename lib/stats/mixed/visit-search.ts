import { itemAt, realAt } from "../../entry.js";
import { descend } from "../../num/descent.js";
import { cholesky, solveCholesky } from "../../num/linear.js";
import { dot } from "../../num/vector.js";
import type { CovarianceStructure } from "./visit-covariance.js";
import { contracted, type VisitProblem } from "./visit-groups.js";
import { type VisitInformation, visitInformation } from "./visit-information.js";
import { outerOf, type VisitSolution, visitSolution } from "./visit-likelihood.js";

/** The Σ of least −2 log-likelihood, in the scaled problem. */
export interface VisitOptimum {
  /** Σ, T × T, row by row. */
  readonly sigma: Float64Array;
  /** Fixed effects at this Σ. */
  readonly solution: VisitSolution;
  /** Derivatives of the likelihood at this Σ. */
  readonly information: VisitInformation;
  /** Whether the search for the estimates settled. */
  readonly converged: boolean;
}

/** A Newton step that promises less than this leaves the parameters right to their last digits. */
const SETTLED = 1e-18;
/** What a step may still promise of the criterion when the search counts as finished. */
const FLAT = 1e-7;

/**
 * Goes down from the moments of the residuals by quasi-Newton steps in θ and settles the last
 * digits by Newton steps in φ. Where that comes to no end, it starts again without correlation.
 *
 * @returns nothing when no Σ near the starts has a likelihood
 */
export function searchVisits(
  problem: VisitProblem,
  structure: CovarianceStructure,
): VisitOptimum | undefined {
  const { sd, correlation } = residualMoments(problem);
  let best: VisitOptimum | undefined;
  for (const start of [correlation, 0]) {
    const end = descendFrom(problem, structure, sd, structure.start(sd, start));
    if (!end) continue;
    const optimum = settled(problem, structure, end.sigma, end.solution);
    if (!best || optimum.solution.value < best.solution.value) best = optimum;
    if (best.converged) return best;
  }
  return best;
}

function descendFrom(
  problem: VisitProblem,
  structure: CovarianceStructure,
  sd: Float64Array,
  start: Float64Array,
) {
  const units = structure.units(sd);
  const thetaAt = (x: Float64Array) => x.map((value, i) => value * realAt(units, i));
  const end = descend(
    (x, gradient) => {
      const theta = thetaAt(x);
      const solution = visitSolution(problem, structure.ofTheta(theta));
      if (!solution) return Number.POSITIVE_INFINITY;
      const slope = structure.chain(theta, solution.gradient);
      for (let i = 0; i < x.length; i++) gradient[i] = realAt(slope, i) * realAt(units, i);
      return solution.value;
    },
    start.map((value, i) => value / realAt(units, i)),
    { tolerance: 1e-11, maxIterations: 500 },
  );
  const sigma = structure.ofTheta(thetaAt(end.x));
  const solution = visitSolution(problem, sigma);
  return solution && { sigma, solution };
}

/** Newton steps in φ as long as each promises less than the one before. */
function settled(
  problem: VisitProblem,
  structure: CovarianceStructure,
  sigma: Float64Array,
  solution: VisitSolution,
): VisitOptimum {
  let best = { sigma, solution };
  let information = visitInformation(problem, structure, sigma, solution);
  let promise = Number.POSITIVE_INFINITY;
  for (let round = 0; round < 12; round++) {
    const factor = cholesky(information.hessian, structure.size);
    if (!factor) break;
    const step = solveCholesky(factor, information.gradient);
    const ahead = dot(step, information.gradient);
    if (!(ahead < promise)) break;
    promise = ahead;
    if (promise < SETTLED) break;
    const phi = structure.phiOf(best.sigma).map((value, a) => value - realAt(step, a));
    const next = structure.ofPhi(phi);
    if (!cholesky(next, structure.visits)) break;
    const tried = visitSolution(problem, next);
    if (!tried || tried.value > best.solution.value + 1e-9) break;
    best = { sigma: next, solution: tried };
    information = visitInformation(problem, structure, next, tried);
  }
  return { ...best, information, converged: promise < FLAT };
}

/** SD of the least-squares residuals at each visit, and their mean correlation between visits. */
function residualMoments({ groups, visits, p, varying }: VisitProblem) {
  const none = outerOf(new Float64Array(p));
  const products = groups.map((group) => contracted(group, none, varying));
  const squares = new Float64Array(visits);
  const counts = new Float64Array(visits);
  groups.forEach(({ visits: seen, count }, g) => {
    seen.forEach((visit, j) => {
      const square = realAt(itemAt(products, g), j * seen.length + j);
      squares[visit] = realAt(squares, visit) + square;
      counts[visit] = realAt(counts, visit) + count;
    });
  });
  const most = Math.sqrt(Math.max(...squares.map((sum, v) => sum / realAt(counts, v))));
  const sd = squares.map((sum, v) => Math.max(Math.sqrt(sum / realAt(counts, v)), 1e-6 * most));
  let together = 0;
  let pairs = 0;
  groups.forEach(({ visits: seen, count }, g) => {
    seen.forEach((one, j) => {
      seen.slice(0, j).forEach((other, k) => {
        const product = realAt(itemAt(products, g), j * seen.length + k);
        together += product / (realAt(sd, one) * realAt(sd, other));
        pairs += count;
      });
    });
  });
  const mean = pairs === 0 ? 0 : together / pairs;
  return { sd, correlation: Math.max(-0.5 / (visits - 1), Math.min(0.9, mean)) };
}
