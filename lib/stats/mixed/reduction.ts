import { itemAt, realAt, wholeAt } from "../../entry.js";
import { InputError } from "../../errors.js";
import { dot, largest, subtract } from "../../num/vector.js";
import type { MixedDesign } from "./model-matrix.js";

/**
 * The rows of a mixed model boiled down to what its likelihood needs.
 *
 * The outcome is y = `scale`·(Q·`fitted` + r): r is its residual, from ordinary least squares
 * unless asked otherwise, scaled to a mean square of 1. The p columns of Q and r (column p) are split within each
 * subject into the part that its random effects can reach, u = Eᵢᵀ[Q r] (2 × (p + 1) a subject),
 * and the rest, of which only the cross-products `within` matter ((p + 1) × (p + 1)).
 */
export interface MixedReduction {
  /** The design that was reduced. */
  readonly design: MixedDesign;
  /** The part within reach of the random effects, 2 × (p + 1) per subject. */
  readonly u: Float64Array;
  /** Cross-products of the rest, (p + 1) × (p + 1), row by row. */
  readonly within: Float64Array;
  /** Coefficients of Q that r is the residual of, in units of `scale`. */
  readonly fitted: Float64Array;
  /** Outcome units in one unit of r. */
  readonly scale: number;
}

/** The part of a reduction that does not depend on the outcome; made once for a bootstrap. */
export interface ReducedDesign {
  /** The design that was reduced. */
  readonly design: MixedDesign;
  /** The part within reach of the random effects, 2 × (p + 1) per subject. */
  readonly u: Float64Array;
  /** Cross-products of the rest, (p + 1) × (p + 1), row by row. */
  readonly within: Float64Array;
  /** What is left of each column of Q after its subject's random effects. */
  readonly rests: readonly Float64Array[];
}

export function reduceDesign(design: MixedDesign): ReducedDesign {
  const p = design.names.length;
  const u = new Float64Array(design.subjects.length * 2 * (p + 1));
  const rests = design.q.map((column, j) => splitColumn(design, column, u, j));
  const within = new Float64Array((p + 1) * (p + 1));
  for (let j = 0; j < p; j++) {
    for (let k = 0; k <= j; k++) put(within, p + 1, j, k, dot(itemAt(rests, j), itemAt(rests, k)));
  }
  checkSubjects(design, u, within);
  return { design, u, within, rests };
}

/**
 * Reduces one outcome (rows in sorted order).
 *
 * @param about coefficients of Q to take the residual about, in the outcome's unit, instead of
 *   ordinary least squares
 * @throws InputError when the outcome leaves no residual to learn from
 */
export function reduceOutcome(
  reduced: ReducedDesign,
  y: Float64Array,
  about?: Float64Array,
): MixedReduction {
  const { design, rests } = reduced;
  const p = design.names.length;
  const size = largest(y);
  if (size === 0) throw exactFit("the fixed effects", "0 throughout");
  const residual = y.map((value) => value / size);
  const fitted = about?.map((coefficient) => coefficient / size) ?? sweepFixed(design.q, residual);
  if (about)
    for (const [j, direction] of design.q.entries())
      subtract(residual, direction, realAt(fitted, j));
  const spread = Math.sqrt(dot(residual, residual) / y.length);
  if (spread <= 1e-14) throw exactFit("the fixed effects", "their exact combination");
  for (let row = 0; row < residual.length; row++) residual[row] = realAt(residual, row) / spread;

  const u = reduced.u.slice();
  const rest = splitColumn(design, residual, u, p);
  const within = reduced.within.slice();
  for (let j = 0; j < p; j++) put(within, p + 1, p, j, dot(rest, itemAt(rests, j)));
  put(within, p + 1, p, p, dot(rest, rest));
  // Rounding in y alone leaves about this much.
  const noise = y.length * (2e-15 * (1 + 1 / spread)) ** 2;
  if (swept(within, p).unexplained <= noise) {
    throw exactFit("each subject's own coefficients", "without any error about them");
  }
  return { design, u, within, fitted: fitted.map((x) => x / spread), scale: size * spread };
}

function exactFit(by: string, got: string): InputError {
  return new InputError({
    expected: `an outcome with some residual after ${by}`,
    got,
    where: "fitMixed, y",
  });
}

/**
 * Each random effect needs more subjects than there are fixed effects of its own kind (constant
 * within subjects, or proportional to the slope's term there); else any spread would do.
 */
function checkSubjects(design: MixedDesign, u: Float64Array, within: Float64Array): void {
  const p = design.names.length;
  const width = p + 1;
  const subjects = design.subjects.length;
  const aboutMeans = within.slice();
  for (let i = 0; i < subjects; i++) {
    const at = (2 * i + 1) * width;
    for (let j = 0; j < p; j++) {
      for (let k = 0; k < p; k++)
        aboutMeans[j * width + k] =
          realAt(aboutMeans, j * width + k) + realAt(u, at + j) * realAt(u, at + k);
    }
  }
  const varying = swept(aboutMeans, p).rank;
  if (subjects <= p - varying) {
    const expected = `more subjects than the ${p - varying} fixed effects that only tell them apart`;
    throw new InputError({ expected, got: `${subjects}`, where: "fitMixed, subject" });
  }
  if (!design.hasSlope) return;
  const sloped = design.roots.filter((root, i) => i % 3 === 2 && root > 0).length;
  const slopes = varying - swept(within, p).rank;
  if (sloped > slopes) return;
  const expected = `a term that varies within more than ${slopes} subjects`;
  throw new InputError({ expected, got: `${sloped}`, where: "fitMixed, slope" });
}

/** Takes the fixed effects out of a column, in two sweeps, and returns their coefficients. */
function sweepFixed(q: readonly Float64Array[], column: Float64Array): Float64Array {
  const coefficients = new Float64Array(q.length);
  for (let sweep = 0; sweep < 2; sweep++) {
    q.forEach((direction, j) => {
      const part = dot(direction, column);
      coefficients[j] = realAt(coefficients, j) + part;
      subtract(column, direction, part);
    });
  }
  return coefficients;
}

/** Puts Eᵢᵀ·column into column j of u and returns the rest of the column. */
function splitColumn(design: MixedDesign, column: Float64Array, u: Float64Array, j: number) {
  const { starts, second } = design;
  const width = design.names.length + 1;
  const rest = new Float64Array(column.length);
  for (let i = 0; i < design.subjects.length; i++) {
    const from = wholeAt(starts, i);
    const to = wholeAt(starts, i + 1);
    let sum = 0;
    for (let row = from; row < to; row++) sum += realAt(column, row);
    const mean = sum / (to - from);
    let along = 0;
    for (let row = from; row < to; row++)
      along += realAt(second, row) * (realAt(column, row) - mean);
    for (let row = from; row < to; row++)
      rest[row] = realAt(column, row) - mean - along * realAt(second, row);
    u[2 * i * width + j] = mean * Math.sqrt(to - from);
    u[(2 * i + 1) * width + j] = along;
  }
  return rest;
}

/** Sweeps the fixed effects out of the within-subject cross-products. */
function swept(within: Float64Array, p: number) {
  const a = within.slice();
  const width = p + 1;
  let rank = 0;
  for (let j = 0; j < p; j++) {
    const pivot = realAt(a, j * width + j);
    if (pivot <= 1e-12) continue;
    rank++;
    for (let k = j + 1; k < width; k++) {
      const factor = realAt(a, k * width + j) / pivot;
      for (let l = j + 1; l < width; l++)
        a[k * width + l] = realAt(a, k * width + l) - factor * realAt(a, j * width + l);
    }
  }
  // What is left of the outcome: its sum of squares that no fixed effect explains.
  return { rank, unexplained: realAt(a, p * width + p) };
}

function put(a: Float64Array, width: number, j: number, k: number, value: number): void {
  a[j * width + k] = value;
  a[k * width + j] = value;
}
