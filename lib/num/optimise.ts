/**
 * Small optimisers for smooth problems with few parameters. All are deterministic and take nothing
 * but the function's values.
 */
import { InputError } from "../errors.js";
import { cholesky, solveCholesky } from "./linear.js";

const EPSILON = 2 ** -52;

export interface RootOptions {
  /** Stop when the bracket is this narrow, relative to the root. Default 2⁻⁵⁰. */
  tolerance?: number;
  maxEvaluations?: number;
}

/**
 * A root of f between `low` and `high`, where f changes sign.
 *
 * Brent's method: inverse quadratic interpolation and secant steps, with bisection to fall back on.
 *
 * @throws InputError when f has the same sign at both ends or is not a number there
 * @see Brent (1973) Algorithms for minimization without derivatives, ch. 4
 */
export function findRoot(
  f: (x: number) => number,
  low: number,
  high: number,
  { tolerance = 2 ** -50, maxEvaluations = 200 }: RootOptions = {},
): number {
  let a = low;
  let b = high;
  let fa = f(a);
  let fb = f(b);
  if (!(fa * fb <= 0)) {
    const got = `${fa} at ${low} and ${fb} at ${high}`;
    throw new InputError({ expected: "a change of sign", got, where: "findRoot" });
  }
  let c = a;
  let fc = fa;
  let step = b - a;
  let before = step;
  for (let n = 2; n < maxEvaluations; n++) {
    if (Math.abs(fc) < Math.abs(fb)) {
      [a, b, c] = [b, c, b];
      [fa, fb, fc] = [fb, fc, fb];
    }
    const least = 2 * EPSILON * Math.abs(b) + (tolerance * Math.abs(b)) / 2 + Number.MIN_VALUE;
    const half = (c - b) / 2;
    if (Math.abs(half) <= least || fb === 0) return b;
    const tried = interpolated(a, b, c, fa, fb, fc);
    if (Math.abs(before) >= least && Math.abs(fa) > Math.abs(fb) && fits(tried, half, before)) {
      before = step;
      step = tried;
    } else {
      step = half;
      before = half;
    }
    a = b;
    fa = fb;
    b += Math.abs(step) > least ? step : Math.sign(half) * least;
    fb = f(b);
    if (fb > 0 === fc > 0) {
      c = a;
      fc = fa;
      step = b - a;
      before = step;
    }
  }
  return b;
}

/** Step from b by inverse quadratic interpolation, or by the secant when only two points differ. */
function interpolated(a: number, b: number, c: number, fa: number, fb: number, fc: number): number {
  const s = fb / fa;
  if (a === c) return ((c - b) * s) / (s - 1);
  const q = fa / fc;
  const r = fb / fc;
  const top = s * ((c - b) * q * (q - r) - (b - a) * (r - 1));
  return -top / ((q - 1) * (r - 1) * (s - 1));
}

function fits(step: number, half: number, before: number): boolean {
  return step / half > 0 && Math.abs(step) < Math.min(1.5 * Math.abs(half), Math.abs(before) / 2);
}

export interface ScalarMinimum {
  readonly x: number;
  readonly value: number;
  readonly evaluations: number;
  readonly converged: boolean;
}

/**
 * The least value of f on [low, high], for a function with one dip.
 *
 * Brent's method: golden sections and parabolas. Function values alone place a minimum to about
 * the square root of rounding, 1e-8 relative.
 *
 * @see Brent (1973) Algorithms for minimization without derivatives, ch. 5
 */
export function minimiseScalar(
  f: (x: number) => number,
  low: number,
  high: number,
  { tolerance = 1e-9, maxEvaluations = 200 }: RootOptions = {},
): ScalarMinimum {
  const golden = 0.3819660112501051;
  let a = low;
  let b = high;
  let x = a + golden * (b - a);
  let w = x;
  let v = x;
  let fx = f(x);
  let fw = fx;
  let fv = fx;
  let step = 0;
  let before = 0;
  for (let evaluations = 1; ; evaluations++) {
    const middle = (a + b) / 2;
    const least = tolerance * Math.abs(x) + 1e-12;
    const converged = Math.abs(x - middle) <= 2 * least - (b - a) / 2;
    if (converged || evaluations >= maxEvaluations) {
      return { x, value: fx, evaluations, converged };
    }
    const parabola = parabolaStep(x, w, v, fx, fw, fv);
    const inside = x + parabola - a > 2 * least && b - (x + parabola) > 2 * least;
    if (Math.abs(before) > least && Math.abs(parabola) < Math.abs(before) / 2 && inside) {
      before = step;
      step = parabola;
    } else {
      before = (x < middle ? b : a) - x;
      step = golden * before;
    }
    const u = x + (Math.abs(step) >= least ? step : Math.sign(step) * least);
    const fu = f(u);
    if (fu <= fx) {
      if (u < x) b = x;
      else a = x;
      [v, w, x] = [w, x, u];
      [fv, fw, fx] = [fw, fx, fu];
    } else {
      if (u < x) a = u;
      else b = u;
      if (fu <= fw || w === x) {
        [v, w] = [w, u];
        [fv, fw] = [fw, fu];
      } else if (fu <= fv || v === x || v === w) {
        v = u;
        fv = fu;
      }
    }
  }
}

/** Step from x to the bottom of the parabola through three points; infinite when there is none. */
function parabolaStep(x: number, w: number, v: number, fx: number, fw: number, fv: number): number {
  const r = (x - w) * (fx - fv);
  const q = (x - v) * (fx - fw);
  const bottom = 2 * (q - r);
  const step = -((x - v) * q - (x - w) * r) / bottom;
  return Number.isFinite(step) ? step : Number.POSITIVE_INFINITY;
}

export interface MinimiseOptions {
  lower?: ArrayLike<number>;
  upper?: ArrayLike<number>;
  /** First step along each parameter; default 0.2, or a fifth of the value where that is larger. */
  steps?: ArrayLike<number>;
  /** Relative change of the function below which the simplex stops. Default 1e-10. */
  tolerance?: number;
  maxEvaluations?: number;
}

export interface Minimum {
  readonly x: Float64Array;
  readonly value: number;
  readonly evaluations: number;
  readonly converged: boolean;
  /** Indices of parameters that ended on a bound. */
  readonly atBound: readonly number[];
}

/**
 * The least value of a smooth function of a few parameters within bounds.
 *
 * A Nelder–Mead simplex finds the valley, trial points being put back on the bounds they cross;
 * Newton steps from finite differences, in the parameters off their bounds, then settle the digits
 * that a simplex cannot.
 *
 * @see Nelder, Mead (1965) Comput J 7:308–313; Nocedal, Wright (2006) Numerical optimization, ch. 3, 8
 */
export function minimise(
  f: (x: Float64Array) => number,
  start: ArrayLike<number>,
  options: MinimiseOptions = {},
): Minimum {
  const box = boundsOf(start.length, options);
  let evaluations = 0;
  const counted = (x: Float64Array) => {
    evaluations++;
    const value = f(x);
    return Number.isNaN(value) ? Number.POSITIVE_INFINITY : value;
  };
  const { tolerance = 1e-10, maxEvaluations = 500 * (start.length + 1) } = options;
  const first = simplexAround(box.inside(Float64Array.from(start)), options.steps, box, counted);
  const settled = nelderMead(first, box, counted, tolerance, () => evaluations >= maxEvaluations);
  const best = polish(first[0]!, box, counted);
  const atBound = [...best.x.keys()].filter((i) => box.touches(best.x, i));
  return { x: best.x, value: best.value, evaluations, converged: settled, atBound };
}

interface Box {
  /** Puts the parameters back inside, in place. */
  inside<T extends Float64Array>(x: T): T;
  touches(x: Float64Array, i: number): boolean;
}

function boundsOf(count: number, { lower, upper }: MinimiseOptions): Box {
  const low = (i: number) => lower?.[i] ?? Number.NEGATIVE_INFINITY;
  const high = (i: number) => upper?.[i] ?? Number.POSITIVE_INFINITY;
  return {
    inside(x) {
      for (let i = 0; i < count; i++) x[i] = Math.min(high(i), Math.max(low(i), x[i]!));
      return x;
    },
    touches: (x, i) => x[i]! <= low(i) || x[i]! >= high(i),
  };
}

interface Vertex {
  x: Float64Array;
  value: number;
}

type Objective = (x: Float64Array) => number;

function simplexAround(
  centre: Float64Array,
  steps: ArrayLike<number> | undefined,
  box: Box,
  f: Objective,
): Vertex[] {
  const simplex = [{ x: centre, value: f(centre) }];
  for (let i = 0; i < centre.length; i++) {
    const step = steps?.[i] ?? Math.max(0.2, Math.abs(centre[i]!) / 5);
    let x = centre.slice();
    x[i]! += step;
    x = box.inside(x);
    if (x[i] === centre[i]) x[i]! -= step;
    simplex.push({ x, value: f(x) });
  }
  return simplex;
}

/** Shrinks the simplex in place until it is flat; the best vertex comes first. */
function nelderMead(
  simplex: Vertex[],
  box: Box,
  f: Objective,
  tolerance: number,
  spent: () => boolean,
): boolean {
  const last = simplex.length - 1;
  for (;;) {
    simplex.sort((a, b) => a.value - b.value);
    const best = simplex[0]!;
    const worst = simplex[last]!;
    if (worst.value - best.value <= tolerance * (Math.abs(best.value) + tolerance)) return true;
    if (spent()) return false;
    const middle = centroid(simplex, last);
    const towards = (share: number): Vertex => {
      const x = box.inside(middle.map((m, i) => m + share * (worst.x[i]! - m)));
      return { x, value: f(x) };
    };
    const reflected = towards(-1);
    if (reflected.value < best.value) {
      const expanded = towards(-2);
      simplex[last] = expanded.value < reflected.value ? expanded : reflected;
    } else if (reflected.value < simplex[last - 1]!.value) {
      simplex[last] = reflected;
    } else {
      const contracted = towards(reflected.value < worst.value ? -0.5 : 0.5);
      if (contracted.value < Math.min(worst.value, reflected.value)) simplex[last] = contracted;
      else shrink(simplex, f);
    }
  }
}

function centroid(simplex: Vertex[], count: number): Float64Array {
  const middle = new Float64Array(simplex[0]!.x.length);
  for (let v = 0; v < count; v++) {
    for (let i = 0; i < middle.length; i++) middle[i]! += simplex[v]!.x[i]! / count;
  }
  return middle;
}

function shrink(simplex: Vertex[], f: Objective): void {
  const best = simplex[0]!;
  for (const vertex of simplex.slice(1)) {
    vertex.x = vertex.x.map((value, i) => (value + best.x[i]!) / 2);
    vertex.value = f(vertex.x);
  }
}

/** Newton steps with a finite-difference gradient and Hessian, as long as they lower f. */
function polish(from: Vertex, box: Box, f: Objective): Vertex {
  let best = from;
  for (let round = 0; round < 6; round++) {
    const free = [...best.x.keys()].filter((i) => !box.touches(best.x, i));
    const step = newtonStep(best, free, f);
    if (!step) return best;
    const next = backtrack(best, step, box, f);
    if (next.value > best.value) return best;
    const moved = next.x.some((x, i) => Math.abs(x - best.x[i]!) > 1e-10 * (1 + Math.abs(x)));
    best = next;
    if (!moved) return best;
  }
  return best;
}

function backtrack(from: Vertex, step: Float64Array, box: Box, f: Objective): Vertex {
  for (let share = 1; ; share /= 4) {
    const x = box.inside(from.x.map((value, i) => value + share * step[i]!));
    const value = f(x);
    if (value <= from.value || share < 0.01) return { x, value };
  }
}

/** −H⁻¹g in the free parameters, 0 elsewhere; nothing when H is not positive definite. */
function newtonStep(at: Vertex, free: number[], f: Objective): Float64Array | undefined {
  const k = free.length;
  if (k === 0) return undefined;
  const h = free.map((i) => 1e-4 * Math.max(0.1, Math.abs(at.x[i]!)));
  const moved = (...moves: [number, number][]) => {
    const x = at.x.slice();
    for (const [i, by] of moves) x[free[i]!]! += by;
    return f(x);
  };
  const gradient = new Float64Array(k);
  const hessian = new Float64Array(k * k);
  for (let i = 0; i < k; i++) {
    const up = moved([i, h[i]!]);
    const down = moved([i, -h[i]!]);
    gradient[i] = (up - down) / (2 * h[i]!);
    hessian[i * k + i] = (up - 2 * at.value + down) / h[i]! ** 2;
    for (let j = 0; j < i; j++) {
      const same = moved([i, h[i]!], [j, h[j]!]) + moved([i, -h[i]!], [j, -h[j]!]);
      const cross = moved([i, h[i]!], [j, -h[j]!]) + moved([i, -h[i]!], [j, h[j]!]);
      const mixed = (same - cross) / (4 * h[i]! * h[j]!);
      hessian[i * k + j] = mixed;
      hessian[j * k + i] = mixed;
    }
  }
  const solution = solvePositive(hessian, gradient);
  if (!solution) return undefined;
  const step = new Float64Array(at.x.length);
  for (let i = 0; i < k; i++) step[free[i]!] = -solution[i]!;
  return step;
}

function solvePositive(matrix: Float64Array, right: Float64Array): Float64Array | undefined {
  const factor = cholesky(matrix, right.length);
  return factor && solveCholesky(factor, right);
}
