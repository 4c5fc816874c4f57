import { realAt } from "../entry.js";
import { difference, dot, largest } from "./vector.js";

/** A smooth function with its gradient: fills `gradient` and returns the value. */
export type SmoothFunction = (x: Float64Array, gradient: Float64Array) => number;

export interface DescentOptions {
  /** Stop when a full step promises less than this, relative to 1 + |f|. Default 1e-14. */
  tolerance?: number;
  /** Length of the first step, before anything is known of the curvature. Default 0.5. */
  reach?: number;
  /** Steps after which the search stops unconverged. */
  maxIterations?: number;
}

export interface Descent {
  /** The point at which the search stopped. */
  readonly x: Float64Array;
  /** The function's value there. */
  readonly value: number;
  /** The function's gradient there, one slope per parameter. */
  readonly gradient: Float64Array;
  /** Steps taken. */
  readonly iterations: number;
  /** Whether the search met its tolerance, and not its limit of steps. */
  readonly converged: boolean;
}

/**
 * The nearest minimum of a smooth function downhill of `start`, without bounds.
 *
 * BFGS: the inverse Hessian is learnt from the gradients met on the way; steps that do not lower
 * the function enough are halved. A minimum is reached to about rounding over curvature.
 *
 * @see Nocedal, Wright (2006) Numerical optimization, algorithms 3.1 and 6.1
 */
export function descend(
  f: SmoothFunction,
  start: ArrayLike<number>,
  { tolerance = 1e-14, reach = 0.5, maxIterations = 200 }: DescentOptions = {},
): Descent {
  let x = Float64Array.from(start);
  let gradient = new Float64Array(x.length);
  let value = f(x, gradient);
  let inverse = firstInverse(gradient, reach);
  for (let iterations = 0; ; iterations++) {
    let step = product(inverse, gradient, -1);
    let slope = dot(step, gradient);
    if (slope > 0) {
      inverse = firstInverse(gradient, reach);
      step = product(inverse, gradient, -1);
      slope = dot(step, gradient);
    }
    const converged = -slope <= tolerance * (1 + Math.abs(value));
    if (converged || iterations >= maxIterations) {
      return { x, value, gradient, iterations, converged };
    }
    const next = shortened(f, x, value, step, slope);
    if (!next) return { x, value, gradient, iterations, converged: flat(slope, value) };
    learn(inverse, difference(next.x, x), difference(next.gradient, gradient));
    ({ x, value, gradient } = next);
  }
}

/** Lets the first step go `reach` along each parameter, less where the slope is next to none. */
function firstInverse(gradient: Float64Array, reach: number): Float64Array {
  const size = gradient.length;
  const least = 1e-6 * largest(gradient) || 1;
  const inverse = new Float64Array(size * size);
  for (let i = 0; i < size; i++) {
    inverse[i * size + i] = reach / Math.max(Math.abs(realAt(gradient, i)), least);
  }
  return inverse;
}

/** A stalled search is at the bottom when what it still hoped for is lost in rounding. */
function flat(slope: number, value: number): boolean {
  return -slope <= 1e-9 * (1 + Math.abs(value));
}

/** The step, halved until the function falls by a share of what the slope promised. */
function shortened(
  f: SmoothFunction,
  from: Float64Array,
  value: number,
  step: Float64Array,
  slope: number,
) {
  const rounding = 4 * Number.EPSILON * (1 + Math.abs(value));
  for (let share = 1; share > 1e-10; share /= 2) {
    const x = from.map((at, i) => at + share * realAt(step, i));
    const gradient = new Float64Array(x.length);
    const lower = f(x, gradient);
    if (lower <= value + 1e-4 * share * slope + rounding) return { x, gradient, value: lower };
  }
  return undefined;
}

/** The BFGS update of an inverse Hessian, in place; where the function curves down, longer steps. */
function learn(inverse: Float64Array, s: Float64Array, y: Float64Array): void {
  const size = s.length;
  const curvature = dot(s, y);
  if (!(curvature > 1e-12 * norm(s) * norm(y))) {
    for (let at = 0; at < inverse.length; at++) inverse[at] = 4 * realAt(inverse, at);
    return;
  }
  const hy = product(inverse, y, 1);
  const along = (1 + dot(y, hy) / curvature) / curvature;
  for (let i = 0; i < size; i++) {
    for (let j = 0; j < size; j++) {
      const at = i * size + j;
      const cross = (realAt(hy, i) * realAt(s, j) + realAt(s, i) * realAt(hy, j)) / curvature;
      inverse[at] = realAt(inverse, at) + along * realAt(s, i) * realAt(s, j) - cross;
    }
  }
}

function product(matrix: Float64Array, x: Float64Array, sign: number): Float64Array {
  return x.map((_, i) => {
    let sum = 0;
    for (let j = 0; j < x.length; j++) sum += realAt(matrix, i * x.length + j) * realAt(x, j);
    return sign * sum;
  });
}

function norm(x: Float64Array): number {
  return Math.sqrt(dot(x, x));
}
