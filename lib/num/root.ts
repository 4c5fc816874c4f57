import { InputError } from "../errors.js";

export interface RootOptions {
  /** Stop when the bracket is this narrow, relative to the root. Default 2⁻⁵⁰. */
  tolerance?: number;
  /** Calls of the function after which the search gives up. */
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
  // by their signs: the product of two small values of one sign may be 0
  if (!(Math.sign(fa) * Math.sign(fb) <= 0)) {
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
    const least =
      2 * Number.EPSILON * Math.abs(b) + (tolerance * Math.abs(b)) / 2 + Number.MIN_VALUE;
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
