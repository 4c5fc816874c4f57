import { itemAt, realAt } from "../../entry.js";
import { type Jet, logOf, ratioOf, rootOf, scaled, still, sumOf } from "../../num/jet.js";
import { cholesky, invertCholesky } from "../../num/linear.js";
import { multiply, quadratic, traceOfProduct } from "../../num/matrix.js";
import { type ComponentSums, type ComponentSystem, componentSums } from "./component-system.js";
import { leading } from "./visit-likelihood.js";

/** A model with random intercepts, reduced to sums over the levels of its groups. */
export interface ComponentProblem {
  /** The sums over levels of the groups, with the room to factor them. */
  readonly system: ComponentSystem;
  /** Number of rows. */
  readonly rows: number;
  /** Whether the likelihood is the restricted one. */
  readonly reml: boolean;
}

/** log|QᵀV⁻¹Q|, the residual sum of squares and Φ = (QᵀV⁻¹Q)⁻¹, with derivatives along a curve. */
interface FixedSums {
  readonly logFixed: Jet;
  readonly residualSs: Jet;
  readonly covariance: Float64Array;
  readonly gamma: Float64Array;
}

function fixedSums({ cross }: ComponentSums, p: number): FixedSums | undefined {
  const [zero, one, two] = cross;
  const factor = cholesky(leading(zero, p), p);
  if (!factor) return undefined;
  const covariance = invertCholesky(factor, p);
  const width = p + 1;
  const right = Float64Array.from({ length: p }, (_, j) => realAt(zero, j * width + p));
  const gamma = multiply(covariance, right, [p, p, 1]);
  const d = Float64Array.of(...gamma.map((value) => -value), 1);
  const moved = multiply(one, d, [width, width, 1]).slice(0, p);
  let logDeterminant = 0;
  for (let j = 0; j < p; j++) logDeterminant += 2 * Math.log(realAt(factor, j * p + j));
  const turned = multiply(covariance, leading(one, p), [p, p, p]);
  return {
    logFixed: [
      logDeterminant,
      traceOf(turned, p),
      traceOfProduct(covariance, leading(two, p), p) - traceOfProduct(turned, turned, p),
    ],
    // γ is at its best for each V: only second derivatives see it move.
    residualSs: [
      quadratic(zero, d),
      quadratic(one, d),
      quadratic(two, d) - 2 * quadratic(covariance, moved),
    ],
    covariance,
    gamma,
  };
}

function traceOf(matrix: Float64Array, size: number): number {
  let trace = 0;
  for (let j = 0; j < size; j++) trace += realAt(matrix, j * size + j);
  return trace;
}

/** n, or n − p for REML. */
function errorDf({ system, rows, reml }: ComponentProblem): number {
  return rows - (reml ? system.p : 0);
}

/**
 * −2 log-likelihood with the residual variance at its best for θ, the SDs of the groups in units of
 * the residual SD; fills in the gradient when asked.
 */
export function profiledCriterion(
  problem: ComponentProblem,
  theta: ArrayLike<number>,
  gradient?: Float64Array,
): number {
  const df = errorDf(problem);
  let value = Number.POSITIVE_INFINITY;
  const directions = gradient ? Array.from(gradient.keys()) : [-1];
  for (const direction of directions) {
    const curve = Array.from(theta, (x, g): Jet => [x, g === direction ? 1 : 0, 0]);
    const sums = componentSums(problem.system, curve, gradient ? 1 : 0);
    const fixed = sums && fixedSums(sums, problem.system.p);
    if (!sums || !fixed || !(fixed.residualSs[0] > 0)) return Number.POSITIVE_INFINITY;
    const logFixed = problem.reml ? fixed.logFixed : ([0, 0, 0] as const);
    const [rss, slope] = fixed.residualSs;
    value = sums.logV[0] + logFixed[0] + df * (1 + Math.log((2 * Math.PI * rss) / df));
    if (gradient) gradient[direction] = sums.logV[1] + logFixed[1] + (df * slope) / rss;
  }
  return value;
}

/** The residual variance that is best for θ. */
export function residualVariance(problem: ComponentProblem, theta: ArrayLike<number>): number {
  const sums = componentSums(
    problem.system,
    Array.from(theta, (x): Jet => [x, 0, 0]),
    0,
  );
  const fixed = sums && fixedSums(sums, problem.system.p);
  return fixed ? fixed.residualSs[0] / errorDf(problem) : Number.NaN;
}

/** −2 log-likelihood and what it is made of, with derivatives along a line of variances. */
interface AlongVariances {
  readonly value: Jet;
  readonly logV: Jet;
  /** QᵀV⁻¹Q: value, first and second derivative. */
  readonly fixed: readonly [Float64Array, Float64Array, Float64Array];
  readonly covariance: Float64Array;
}

/**
 * Moves the variances (groups, then residual) along `direction`, V = Σ σ²ZZᵀ + σₑ²I. The relative
 * SDs θ = √(σ²/σₑ²) follow; a group whose variance is 0 stays there.
 */
function alongVariances(
  problem: ComponentProblem,
  variances: ArrayLike<number>,
  direction: ArrayLike<number>,
): AlongVariances | undefined {
  const { system, rows, reml } = problem;
  const m = variances.length - 1;
  const residual: Jet = [itemAt(variances, m), itemAt(direction, m), 0];
  const theta = Array.from({ length: m }, (_, g) => {
    if (itemAt(variances, g) === 0) return still(0);
    return rootOf(ratioOf([itemAt(variances, g), itemAt(direction, g), 0], residual));
  });
  const sums = componentSums(system, theta, 2);
  const fixed = sums && fixedSums(sums, system.p);
  if (!sums || !fixed) return undefined;
  const df = errorDf(problem);
  const value = sumOf(
    still(df * Math.log(2 * Math.PI)),
    scaled(logOf(residual), df),
    sums.logV,
    reml ? fixed.logFixed : still(0),
    ratioOf(fixed.residualSs, residual),
  );
  const [zero, one, two] = sums.cross;
  const relative = Array.from(zero, (entry, at) =>
    ratioOf([entry, realAt(one, at), realAt(two, at)], residual),
  );
  const part = (k: 0 | 1 | 2) =>
    leading(
      Float64Array.from(relative, (jet) => jet[k]),
      system.p,
    );
  return {
    value,
    logV: sumOf(sums.logV, scaled(logOf(residual), rows)),
    fixed: [part(0), part(1), part(2)],
    covariance: fixed.covariance.map((entry) => entry * residual[0]),
  };
}

/** Derivatives of −2 log-likelihood in the variances that are not 0, and what they are made of. */
export interface ComponentInformation {
  /** −2 log-likelihood. */
  readonly value: number;
  /** Indexes of these variances: groups, then the residual. */
  readonly free: readonly number[];
  /** First derivatives of `value` in the free variances. */
  readonly gradient: Float64Array;
  /** Second derivatives of `value` in the free variances, row by row. */
  readonly hessian: Float64Array;
  /** Φ = (QᵀV⁻¹Q)⁻¹. */
  readonly covariance: Float64Array;
  /** tr(V⁻¹VₐV⁻¹Vᵦ). */
  readonly traces: Float64Array;
  /** Pₐ = QᵀV⁻¹VₐV⁻¹Q. */
  readonly first: readonly Float64Array[];
  /** The symmetric part of Qₐᵦ = QᵀV⁻¹VₐV⁻¹VᵦV⁻¹Q. */
  readonly second: readonly (readonly Float64Array[])[];
}

/**
 * Exact first and second derivatives in the variances, each from its own line and from the lines
 * between two: V is linear in them, so that those of log|V| and of QᵀV⁻¹Q hold the traces and the
 * matrices of Kenward and Roger's method.
 *
 * @returns nothing where the likelihood is not defined
 */
export function componentInformation(
  problem: ComponentProblem,
  variances: ArrayLike<number>,
): ComponentInformation | undefined {
  const free = Array.from({ length: variances.length }, (_, a) => a).filter(
    (a) => itemAt(variances, a) > 0,
  );
  // Each variance moves in its own size, so that lines between two see both.
  const line = (indexes: readonly number[]) =>
    alongVariances(
      problem,
      variances,
      Array.from(variances, (size, a) => (indexes.includes(a) ? size : 0)),
    );
  const lines = free.map((a) => line([a]));
  const { p } = problem.system;
  const k = free.length;
  const gradient = new Float64Array(k);
  const hessian = new Float64Array(k * k);
  const traces = new Float64Array(k * k);
  const first: Float64Array[] = [];
  const second: Float64Array[][] = free.map(() => []);
  for (const [i, a] of free.entries()) {
    const one = lines[i];
    if (!one) return undefined;
    gradient[i] = one.value[1] / itemAt(variances, a);
    first.push(one.fixed[1].map((entry) => -entry / itemAt(variances, a)));
    for (let j = 0; j <= i; j++) {
      const b = itemAt(free, j);
      const other = lines[j];
      const both = i === j ? one : line([a, b]);
      if (!both || !other) return undefined;
      const sizes = itemAt(variances, a) * itemAt(variances, b);
      const mixed = (along: number, alone: number, alone2: number) =>
        (i === j ? along : (along - alone - alone2) / 2) / sizes;
      hessian[i * k + j] = mixed(both.value[2], one.value[2], other.value[2]);
      hessian[j * k + i] = realAt(hessian, i * k + j);
      traces[i * k + j] = -mixed(both.logV[2], one.logV[2], other.logV[2]);
      traces[j * k + i] = realAt(traces, i * k + j);
      const middle = Float64Array.from({ length: p * p }, (_, at) => {
        const [along, alone] = [realAt(both.fixed[2], at), realAt(one.fixed[2], at)];
        return mixed(along, alone, realAt(other.fixed[2], at)) / 2;
      });
      itemAt(second, i)[j] = middle;
      itemAt(second, j)[i] = middle;
    }
  }
  const [any] = lines;
  if (!any) return undefined;
  const { covariance } = any;
  return { value: any.value[0], free, gradient, hessian, covariance, traces, first, second };
}
