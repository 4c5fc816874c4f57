import { itemAt, realAt, wholeAt } from "../../entry.js";
import { cholesky, invertCholesky } from "../../num/linear.js";
import { addMultiple, fromRows, multiply, rowsOf, sandwich, transposed } from "../../num/matrix.js";
import { type FixedInference, kenwardRogerParts, type LinearVariance } from "./inference.js";
import type { MixedFit } from "./mixed.js";
import { type MixedDesign, mixedDesign } from "./model-matrix.js";
import { type ReducedDesign, reduceDesign } from "./reduction.js";

/** dD/dφ of the random effects' covariance D, for each variance and covariance that is free. */
const DIRECTIONS = {
  intercept: Float64Array.of(1, 0, 0, 0),
  both: Float64Array.of(0, 1, 1, 0),
  slope: Float64Array.of(0, 0, 0, 1),
};

/**
 * Kenward and Roger's inference for a mixed model with one grouping. Its parameters are the
 * variances and covariance of the random effects and the residual variance, in which the covariance
 * of the outcome is linear; a variance of 0 counts as one of them. It needs the design and the
 * variances, not the outcome, so it is made from the fit's own columns when it is asked for.
 *
 * @returns nothing when the expected information on the variances is not positive definite
 * @see Kenward, Roger (1997) Biometrics 53:983–997
 */
export function mixedKenwardRoger(fit: MixedFit): FixedInference["kenwardRoger"] {
  const { subject, terms, coding, slope, correlated, factor } = fit.model;
  const columns = { subject, terms, y: fit.fitted };
  const design = mixedDesign(columns, { slope, correlated, coding });
  const found = kenwardRogerParts(linearVariance(reduceDesign(design), design, factor));
  if (!found) return undefined;
  // From coefficients of Q with a residual variance of 1 to the caller's columns and unit.
  const p = design.names.length;
  const unit = fit.residualSd ** 2;
  const back = (rows: readonly (readonly number[])[]) =>
    rowsOf(
      sandwich(design.back, fromRows(rows), p, p).map((value) => unit * value),
      p,
    );
  return {
    covariance: back(found.covariance),
    slopes: found.slopes.map(back),
    parameters: found.parameters,
  };
}

function directionsOf({ hasSlope, correlated }: MixedDesign): Float64Array[] {
  const { intercept, both, slope } = DIRECTIONS;
  if (!hasSlope) return [intercept];
  return correlated ? [intercept, both, slope] : [intercept, slope];
}

/** ZᵀV⁻ᵏZ (2 × 2), ZᵀV⁻ᵏQ (2 × p) and the reachable part of QᵀV⁻ᵏQ, for k = 1, 2, 3. */
interface SubjectPowers {
  readonly zz: readonly Float64Array[];
  readonly zq: readonly Float64Array[];
  readonly qq: readonly Float64Array[];
}

/** The sums that Kenward and Roger's method is made of, with a residual variance of 1. */
function linearVariance(
  { u, within }: ReducedDesign,
  design: MixedDesign,
  factor: readonly number[],
): LinearVariance {
  const p = design.names.length;
  const directions = directionsOf(design);
  const k = directions.length + 1;
  const rest = restProducts(within, p);
  const square = () => new Float64Array(p * p);
  const information = square();
  const first = Array.from({ length: k }, square);
  const second = Array.from({ length: k }, () => Array.from({ length: k }, square));
  const traces = new Float64Array(k * k);
  const addTrace = (i: number, j: number, by: number) => {
    traces[i * k + j] = realAt(traces, i * k + j) + by;
  };
  for (let i = 0; i < design.subjects.length; i++) {
    const { powers, ofInverseSquares } = subjectPowers(u, design, factor, i);
    const { zz, zq, qq } = powers;
    addMultiple(information, itemAt(qq, 0), 1);
    addMultiple(itemAt(first, k - 1), itemAt(qq, 1), 1);
    addMultiple(itemAt(itemAt(second, k - 1), k - 1), itemAt(qq, 2), 1);
    addTrace(k - 1, k - 1, ofInverseSquares);
    const links = itemAt(zq, 0);
    for (const [a, direction] of directions.entries()) {
      const one = multiply(transposed(links, 2, p), direction, [p, 2, 2]);
      addMultiple(itemAt(first, a), multiply(one, links, [p, 2, p]), 1);
      const mixed = multiply(one, itemAt(zq, 1), [p, 2, p]);
      addMultiple(itemAt(itemAt(second, a), k - 1), mixed, 1);
      addMultiple(itemAt(itemAt(second, k - 1), a), transposed(mixed, p, p), 1);
      const ofBoth = traceOf(multiply(direction, itemAt(zz, 1), [2, 2, 2]));
      addTrace(a, k - 1, ofBoth);
      addTrace(k - 1, a, ofBoth);
      const through = multiply(one, itemAt(zz, 0), [p, 2, 2]);
      const along = multiply(direction, itemAt(zz, 0), [2, 2, 2]);
      for (const [b, other] of directions.entries()) {
        const reached = multiply(multiply(through, other, [p, 2, 2]), links, [p, 2, p]);
        addMultiple(itemAt(itemAt(second, a), b), reached, 1);
        const product = multiply(along, multiply(other, itemAt(zz, 0), [2, 2, 2]), [2, 2, 2]);
        addTrace(a, b, traceOf(product));
      }
    }
  }
  addMultiple(information, rest, 1);
  addMultiple(itemAt(first, k - 1), rest, 1);
  addMultiple(itemAt(itemAt(second, k - 1), k - 1), rest, 1);
  const root = cholesky(information, p);
  const covariance = root ? invertCholesky(root, p) : information.fill(Number.NaN);
  return { covariance, traces, first, second };
}

/** The cross-products of Q outside the reach of the random effects, p × p. */
function restProducts(within: Float64Array, p: number): Float64Array {
  return Float64Array.from({ length: p * p }, (_, at) =>
    realAt(within, Math.floor(at / p) * (p + 1) + (at % p)),
  );
}

function subjectPowers(
  u: Float64Array,
  design: MixedDesign,
  factor: readonly number[],
  i: number,
): { powers: SubjectPowers; ofInverseSquares: number } {
  const p = design.names.length;
  const width = p + 1;
  const [r11, r12, r22] = [0, 1, 2].map((at) => realAt(design.roots, 3 * i + at)) as [
    number,
    number,
    number,
  ];
  const root = Float64Array.of(r11, r12, 0, r22);
  const lambda = Float64Array.of(itemAt(factor, 0), 0, itemAt(factor, 1), itemAt(factor, 2));
  const t = multiply(root, lambda, [2, 2, 2]);
  const s = multiply(t, transposed(t, 2, 2), [2, 2, 2]);
  s[0] = 1 + realAt(s, 0);
  s[3] = 1 + realAt(s, 3);
  const inverse = invertCholesky(cholesky(s, 2) ?? s.fill(Number.NaN), 2);
  const e = Float64Array.from({ length: 2 * p }, (_, at) =>
    realAt(u, (2 * i + Math.floor(at / p)) * width + (at % p)),
  );
  const rootTurned = transposed(root, 2, 2);
  const eTurned = transposed(e, 2, p);
  const powers: { zz: Float64Array[]; zq: Float64Array[]; qq: Float64Array[] } = {
    zz: [],
    zq: [],
    qq: [],
  };
  let power = inverse;
  for (let k = 1; k <= 3; k++) {
    const left = multiply(rootTurned, power, [2, 2, 2]);
    powers.zz.push(multiply(left, root, [2, 2, 2]));
    powers.zq.push(multiply(left, e, [2, 2, p]));
    powers.qq.push(multiply(multiply(eTurned, power, [p, 2, 2]), e, [p, 2, p]));
    power = multiply(power, inverse, [2, 2, 2]);
  }
  const rows = wholeAt(design.starts, i + 1) - wholeAt(design.starts, i);
  const squares = multiply(inverse, inverse, [2, 2, 2]);
  return { powers, ofInverseSquares: rows - 2 + traceOf(squares) };
}

function traceOf(a: Float64Array): number {
  return realAt(a, 0) + realAt(a, 3);
}
