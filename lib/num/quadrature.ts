import { realAt } from "../entry.js";

/** Places and weights of a rule: the integral is about Σ weight · f(place). */
export interface Quadrature {
  /** Points at which the function is evaluated, ascending. */
  readonly places: Float64Array;
  /** Weight of each point; they sum to the length of the interval. */
  readonly weights: Float64Array;
}

/** Nodes of the rule used on each panel. */
const order = 20;

/** Gauss–Legendre rule on −1 to 1, by Newton's method on the Legendre polynomial. */
const standard: Quadrature = (() => {
  const places = new Float64Array(order);
  const weights = new Float64Array(order);
  for (let i = 0; i < order; i++) {
    let x = Math.cos((Math.PI * (i + 0.75)) / (order + 0.5));
    let slope = 0;
    for (let step = 0; step < 20; step++) {
      let [before, at] = [1, x];
      for (let k = 2; k <= order; k++)
        [before, at] = [at, ((2 * k - 1) * x * at - (k - 1) * before) / k];
      slope = (order * (x * at - before)) / (x * x - 1);
      x -= at / slope;
    }
    places[order - 1 - i] = x;
    weights[order - 1 - i] = 2 / ((1 - x * x) * slope * slope);
  }
  return { places, weights };
})();

/**
 * Gauss–Legendre rule of 20 nodes on each of `panels` equal parts of low … high. Exact for
 * polynomials up to degree 39 on each part.
 * @see Davis & Rabinowitz (1984) Methods of Numerical Integration, 2nd ed., sect. 2.7
 */
export function gaussPanels(low: number, high: number, panels: number): Quadrature {
  const places = new Float64Array(panels * order);
  const weights = new Float64Array(panels * order);
  const half = (high - low) / panels / 2;
  for (let panel = 0; panel < panels; panel++) {
    const centre = low + (2 * panel + 1) * half;
    for (let i = 0; i < order; i++) {
      places[panel * order + i] = centre + half * realAt(standard.places, i);
      weights[panel * order + i] = half * realAt(standard.weights, i);
    }
  }
  return { places, weights };
}

/** Integral of f from low to high by `gaussPanels`. */
export function integral(f: (x: number) => number, low: number, high: number, panels = 8): number {
  const { places, weights } = gaussPanels(low, high, panels);
  let total = 0;
  for (let i = 0; i < places.length; i++) total += realAt(weights, i) * f(realAt(places, i));
  return total;
}
