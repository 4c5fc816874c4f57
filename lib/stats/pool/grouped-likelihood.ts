import { itemAt, realAt } from "../../entry.js";
import { InputError } from "../../errors.js";
import { descend } from "../../num/descent.js";
import { cholesky, invertCholesky, solveCholesky } from "../../num/linear.js";
import { sum } from "../../num/sums.js";
import { dot } from "../../num/vector.js";

/**
 * The rows of one group. Its covariance is diag(known + σ²) + Σ ω z zᵀ, one ω and one column z for
 * each random effect that the rows of a group share.
 */
export interface GroupRows {
  /** Outcome of each row, in its own unit. */
  readonly y: Float64Array;
  /** Columns of the fixed effects, those of this group's rows. */
  readonly design: readonly Float64Array[];
  /** Variance of each row that is known beforehand; 0 where none is. */
  readonly known: Float64Array;
  /** Column z of each random effect, one value per row. */
  readonly shared: readonly Float64Array[];
}

/** The fit at given variances σ², ω₁ …, with the slopes of the criterion. */
export interface GroupedFit {
  /** −2 restricted log-likelihood with all constants but ln |XᵀX|. */
  readonly criterion: number;
  /** Slope of the criterion in each variance. */
  readonly slopes: Float64Array;
  /** Fixed effects, in the order of the columns. */
  readonly coefficients: Float64Array;
  /** (XᵀV⁻¹X)⁻¹, row-major. */
  readonly covariance: Float64Array;
  /** Slope of each coefficient's variance in each variance: [variance][coefficient]. */
  readonly varianceSlopes: readonly Float64Array[];
}

/** V⁻¹ of one group by Sherman–Morrison, one shared effect after the other. */
interface Inverse {
  readonly solve: (column: Float64Array) => Float64Array;
  readonly logDeterminant: number;
  readonly trace: number;
}

function inverseOf({ known, shared }: GroupRows, variances: Float64Array): Inverse {
  const diagonal = known.map((v) => 1 / (v + realAt(variances, 0)));
  const directions: { column: Float64Array; factor: number }[] = [];
  const solve = (column: Float64Array) => {
    const solved = column.map((value, i) => value * realAt(diagonal, i));
    for (const { column: direction, factor } of directions) {
      const along = factor * dot(direction, column);
      for (let i = 0; i < solved.length; i++) {
        solved[i] = realAt(solved, i) - along * realAt(direction, i);
      }
    }
    return solved;
  };
  let logDeterminant = -sum(diagonal.map(Math.log));
  let trace = sum(diagonal);
  for (const [k, z] of shared.entries()) {
    const omega = realAt(variances, k + 1);
    if (omega === 0) continue;
    const column = solve(z);
    const growth = 1 + omega * dot(z, column);
    directions.push({ column, factor: omega / growth });
    logDeterminant += Math.log(growth);
    trace -= (omega / growth) * dot(column, column);
  }
  return { solve, logDeterminant, trace };
}

/**
 * Restricted likelihood of grouped rows at given variances.
 * @throws InputError when the known variances are too small beside the others to be distinguished from 0
 * @see Harville (1977) J Am Stat Assoc 72:320–338
 */
export function groupedFit(groups: readonly GroupRows[], variances: Float64Array): GroupedFit {
  const p = itemAt(groups, 0).design.length;
  const information = new Float64Array(p * p);
  const right = new Float64Array(p);
  let logDeterminant = 0;
  const solved = groups.map((group) => {
    const inverse = inverseOf(group, variances);
    const columns = group.design.map(inverse.solve);
    for (let a = 0; a < p; a++) {
      right[a] = realAt(right, a) + dot(itemAt(columns, a), group.y);
      for (let b = 0; b < p; b++) {
        const at = a * p + b;
        information[at] =
          realAt(information, at) + dot(itemAt(columns, a), itemAt(group.design, b));
      }
    }
    logDeterminant += inverse.logDeterminant;
    return { group, inverse, columns };
  });
  const factor = cholesky(information, p);
  if (!factor) {
    throw new InputError({
      expected: "results that differ by less than about a million of their standard errors",
      got: "differences so large that rounding hides the standard errors",
      where: "restricted likelihood of grouped results",
    });
  }
  const coefficients = solveCholesky(factor, right);
  const covariance = invertCholesky(factor, p);
  let squares = 0;
  const slopes = new Float64Array(variances.length);
  const varianceSlopes = Array.from(variances, () => new Float64Array(p));
  for (const { group, inverse, columns } of solved) {
    const residuals = group.y.map(
      (value, i) =>
        value - sum(group.design.map((column, j) => realAt(column, i) * realAt(coefficients, j))),
    );
    const weighted = inverse.solve(residuals);
    squares += dot(residuals, weighted);
    slopes[0] = realAt(slopes, 0) + inverse.trace - dot(weighted, weighted);
    for (let i = 0; i < residuals.length; i++) {
      const row = columns.map((column) => realAt(column, i));
      slopes[0] -= spread(row, covariance, itemAt(varianceSlopes, 0));
    }
    for (const [k, z] of group.shared.entries()) {
      const along = columns.map((column) => dot(column, z));
      const uncertainty = spread(along, covariance, itemAt(varianceSlopes, k + 1));
      slopes[k + 1] =
        realAt(slopes, k + 1) + dot(z, inverse.solve(z)) - uncertainty - dot(z, weighted) ** 2;
    }
  }
  const rows = groups.reduce((count, { y }) => count + y.length, 0);
  const logInformation = 2 * sum(coefficients.map((_, j) => Math.log(realAt(factor, j * p + j))));
  const constant = (rows - p) * Math.log(2 * Math.PI);
  const criterion = constant + logDeterminant + logInformation + squares;
  return { criterion, slopes, coefficients, covariance, varianceSlopes };
}

/** rowᵀ C row; the squares of C row are added to `slopes`. */
function spread(row: readonly number[], covariance: Float64Array, slopes: Float64Array): number {
  const p = row.length;
  let total = 0;
  for (let j = 0; j < p; j++) {
    let along = 0;
    for (let l = 0; l < p; l++) along += realAt(covariance, j * p + l) * itemAt(row, l);
    total += along * itemAt(row, j);
    slopes[j] = realAt(slopes, j) + along * along;
  }
  return total;
}

/** Variances below this share of the largest count as 0. */
const edge = 1e-9;

/**
 * The variances of greatest restricted likelihood, each 0 or more, from a start above 0. `held`
 * keeps some of them at a value.
 *
 * The search runs over their roots, downhill by the slopes; Newton steps on the slopes then settle
 * the digits of those that are not 0.
 */
export function greatestLikelihood(
  groups: readonly GroupRows[],
  start: Float64Array,
  held: ReadonlyMap<number, number> = new Map(),
): Float64Array {
  const free = Array.from(start.keys()).filter((k) => !held.has(k));
  const full = (roots: ArrayLike<number>) => {
    const variances = Float64Array.from(start, (_, k) => held.get(k) ?? 0);
    for (const [place, k] of free.entries()) variances[k] = itemAt(roots, place) ** 2;
    return variances;
  };
  const { x } = descend(
    (roots, gradient) => {
      const { criterion, slopes } = groupedFit(groups, full(roots));
      for (const [place, k] of free.entries()) {
        gradient[place] = 2 * realAt(roots, place) * realAt(slopes, k);
      }
      return Number.isFinite(criterion) ? criterion : Number.MAX_VALUE;
    },
    free.map((k) => Math.sqrt(realAt(start, k))),
    { reach: 0.2 * Math.sqrt(Math.max(...start)) },
  );
  const variances = full(x);
  const most = Math.max(...variances);
  for (const k of free) if (realAt(variances, k) < edge * most) variances[k] = 0;
  const inside = free.filter((k) => realAt(variances, k) > 0);
  for (let step = 0; step < 4; step++) {
    const { slopes } = groupedFit(groups, variances);
    const factor = cholesky(curvature(groups, variances, inside), inside.length);
    if (!factor) break;
    const move = solveCholesky(
      factor,
      inside.map((k) => realAt(slopes, k)),
    );
    const next = variances.slice();
    for (const [place, k] of inside.entries()) next[k] = realAt(next, k) - realAt(move, place);
    if (inside.some((k) => !(realAt(next, k) > 0))) break;
    variances.set(next);
  }
  return variances;
}

/** Second derivatives of the criterion in some of the variances, by differences of its slopes. */
export function curvature(
  groups: readonly GroupRows[],
  variances: Float64Array,
  inside: readonly number[],
): Float64Array {
  const size = inside.length;
  const second = new Float64Array(size * size);
  for (const [row, k] of inside.entries()) {
    const step = 1e-4 * realAt(variances, k);
    const at = (share: number) => {
      const moved = variances.slice();
      moved[k] = realAt(moved, k) + share * step;
      return groupedFit(groups, moved).slopes;
    };
    // five points, so that the error is of the fourth order in the step
    const [a, b, c, d] = [at(-2), at(-1), at(1), at(2)];
    for (const [column, l] of inside.entries()) {
      second[row * size + column] =
        (realAt(a, l) - 8 * realAt(b, l) + 8 * realAt(c, l) - realAt(d, l)) / (12 * step);
    }
  }
  for (let i = 0; i < size; i++) {
    for (let j = 0; j < i; j++) {
      const both = (realAt(second, i * size + j) + realAt(second, j * size + i)) / 2;
      second[i * size + j] = both;
      second[j * size + i] = both;
    }
  }
  return second;
}

/**
 * Satterthwaite's degrees of freedom of a coefficient: 2 f²/(gᵀ Var g), f its variance, g the
 * slopes of f in the variances, Var = 2 (second derivatives of the criterion)⁻¹. Variances on the
 * edge are left out.
 * @see Giesbrecht & Burns (1985) Biometrics 41:477–486
 */
export function satterthwaiteDf(
  groups: readonly GroupRows[],
  variances: Float64Array,
  coefficient: number,
): number {
  const fit = groupedFit(groups, variances);
  const p = fit.coefficients.length;
  const inside = Array.from(variances.keys()).filter((k) => realAt(variances, k) > 0);
  const factor = cholesky(curvature(groups, variances, inside), inside.length);
  const value = realAt(fit.covariance, coefficient * p + coefficient);
  const slopes = inside.map((k) => realAt(itemAt(fit.varianceSlopes, k), coefficient));
  if (!factor) return Number.NaN;
  const solved = solveCholesky(factor, slopes);
  return (value * value) / sum(slopes.map((g, i) => g * realAt(solved, i)));
}
