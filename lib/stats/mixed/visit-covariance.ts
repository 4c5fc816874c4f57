import { realAt } from "../../entry.js";

/** How the errors of one subject may vary and correlate over the visits. */
export type VisitCovariance = "unstructured" | "ar1" | "compound";

/**
 * A covariance matrix Σ of the visits (T × T, row by row) as a function of its parameters, in two
 * ways. θ is searched without bounds: Σ is positive semi-definite for every θ and an edge is an
 * ordinary minimum. φ are the parameters whose precision gives degrees of freedom.
 */
export interface CovarianceStructure {
  /** Number of visits, T. */
  readonly visits: number;
  /** Number of parameters. */
  readonly size: number;
  /** Σ at some θ. */
  ofTheta(theta: Float64Array): Float64Array;
  /** Gradient in θ of a function with dF = Σ gⱼₖ dΣⱼₖ, g symmetric. */
  chain(theta: Float64Array, g: Float64Array): Float64Array;
  /** φ of a Σ of this structure, and back. */
  phiOf(sigma: Float64Array): Float64Array;
  /** Σ at some φ. */
  ofPhi(phi: Float64Array): Float64Array;
  /** dΣ/dφ of each parameter. */
  first(phi: Float64Array): readonly Float64Array[];
  /** d²Σ/dφₐdφᵦ; nothing where it is 0. */
  second(phi: Float64Array, a: number, b: number): Float64Array | undefined;
  /** θ to start from, given the SD of each visit and a common correlation. */
  start(sd: Float64Array, correlation: number): Float64Array;
  /** Size of each entry of θ, given the SD of each visit. */
  units(sd: Float64Array): Float64Array;
}

export function covarianceStructure(name: VisitCovariance, visits: number): CovarianceStructure {
  if (name === "unstructured") return unstructured(visits);
  return name === "ar1" ? firstOrder(visits) : compound(visits);
}

function filled(visits: number, entry: (j: number, k: number) => number): Float64Array {
  return Float64Array.from({ length: visits * visits }, (_, at) =>
    entry(Math.floor(at / visits), at % visits),
  );
}

/** Sum of products of two matrices, entry by entry. */
function inner(a: Float64Array, b: Float64Array): number {
  return a.reduce((sum, value, at) => sum + value * realAt(b, at), 0);
}

function meanVariance(sd: Float64Array): number {
  return sd.reduce((sum, one) => sum + one * one, 0) / sd.length;
}

/** Every variance and covariance free: θ is the Cholesky factor by rows, φ the lower half of Σ. */
function unstructured(visits: number): CovarianceStructure {
  const places: [number, number][] = [];
  for (let j = 0; j < visits; j++) for (let k = 0; k <= j; k++) places.push([j, k]);
  const factorOf = (theta: Float64Array) => {
    const l = new Float64Array(visits * visits);
    places.forEach(([j, k], a) => {
      l[j * visits + k] = realAt(theta, a);
    });
    return l;
  };
  const units = places.map(([row, column]) =>
    filled(visits, (j, k) => ((j === row && k === column) || (j === column && k === row) ? 1 : 0)),
  );
  return {
    visits,
    size: places.length,
    ofTheta: (theta) => {
      const l = factorOf(theta);
      return filled(visits, (j, k) => {
        let sum = 0;
        for (let m = 0; m <= Math.min(j, k); m++)
          sum += realAt(l, j * visits + m) * realAt(l, k * visits + m);
        return sum;
      });
    },
    chain: (theta, g) => {
      const l = factorOf(theta);
      return Float64Array.from(places, ([j, k]) => {
        let sum = 0;
        for (let m = k; m < visits; m++)
          sum += realAt(g, j * visits + m) * realAt(l, m * visits + k);
        return 2 * sum;
      });
    },
    phiOf: (sigma) => Float64Array.from(places, ([j, k]) => realAt(sigma, j * visits + k)),
    ofPhi: (phi) =>
      filled(visits, (j, k) => {
        const [row, column] = [Math.max(j, k), Math.min(j, k)];
        return realAt(phi, (row * (row + 1)) / 2 + column);
      }),
    first: () => units,
    second: () => undefined,
    start: (sd, correlation) => {
      // The Cholesky factor of the correlation matrix with one correlation, rows times the SDs.
      const l = filled(visits, () => 0);
      for (let j = 0; j < visits; j++) {
        for (let k = 0; k <= j; k++) {
          let rest = j === k ? 1 : correlation;
          for (let m = 0; m < k; m++) rest -= realAt(l, j * visits + m) * realAt(l, k * visits + m);
          l[j * visits + k] = j === k ? Math.sqrt(rest) : rest / realAt(l, k * visits + k);
        }
      }
      return Float64Array.from(places, ([j, k]) => realAt(sd, j) * realAt(l, j * visits + k));
    },
    units: (sd) => Float64Array.from(places, ([j]) => realAt(sd, j)),
  };
}

/**
 * One variance and one correlation for all pairs of visits. φ are the eigenvalues of Σ, along the
 * mean of the visits and across it, in which Σ is linear; θ their square roots. The correlation may
 * be negative, down to −1/(T − 1).
 */
function compound(visits: number): CovarianceStructure {
  const along = filled(visits, () => 1 / visits);
  const across = filled(visits, (j, k) => (j === k ? 1 : 0) - 1 / visits);
  const ofPhi = (phi: Float64Array) =>
    along.map((value, at) => realAt(phi, 0) * value + realAt(phi, 1) * realAt(across, at));
  return {
    visits,
    size: 2,
    ofPhi,
    ofTheta: (theta) => ofPhi(theta.map((root) => root * root)),
    chain: (theta, g) =>
      Float64Array.of(
        2 * realAt(theta, 0) * inner(g, along),
        2 * realAt(theta, 1) * inner(g, across),
      ),
    phiOf: (sigma) => Float64Array.of(inner(sigma, along), inner(sigma, across) / (visits - 1)),
    first: () => [along, across],
    second: () => undefined,
    start: (sd, correlation) => {
      const variance = meanVariance(sd);
      return Float64Array.of(
        Math.sqrt(variance * (1 + (visits - 1) * correlation)),
        Math.sqrt(variance * (1 - correlation)),
      );
    },
    units: (sd) => new Float64Array(2).fill(Math.sqrt(meanVariance(sd))),
  };
}

/** Of one variance, with correlation ρ^(visits apart): φ = (σ², ρ), θ = (σ, ρ/√(1 − ρ²)). */
function firstOrder(visits: number): CovarianceStructure {
  const apart = (j: number, k: number) => Math.abs(j - k);
  const slope = (rho: number, d: number) => (d === 0 ? 0 : d * rho ** (d - 1));
  const curve = (rho: number, d: number) => (d < 2 ? 0 : d * (d - 1) * rho ** (d - 2));
  const rhoOf = (theta: Float64Array) => realAt(theta, 1) / Math.hypot(1, realAt(theta, 1));
  const ofPhi = (phi: Float64Array) =>
    filled(visits, (j, k) => realAt(phi, 0) * realAt(phi, 1) ** apart(j, k));
  const first = (phi: Float64Array) => [
    filled(visits, (j, k) => realAt(phi, 1) ** apart(j, k)),
    filled(visits, (j, k) => realAt(phi, 0) * slope(realAt(phi, 1), apart(j, k))),
  ];
  return {
    visits,
    size: 2,
    ofPhi,
    ofTheta: (theta) => ofPhi(Float64Array.of(realAt(theta, 0) ** 2, rhoOf(theta))),
    chain: (theta, g) => {
      const rho = rhoOf(theta);
      const variance = realAt(theta, 0) ** 2;
      const power = filled(visits, (j, k) => rho ** apart(j, k));
      const moved = filled(visits, (j, k) => variance * slope(rho, apart(j, k)));
      return Float64Array.of(
        2 * realAt(theta, 0) * inner(g, power),
        inner(g, moved) * (1 - rho * rho) ** 1.5,
      );
    },
    phiOf: (sigma) => Float64Array.of(realAt(sigma, 0), realAt(sigma, 1) / realAt(sigma, 0)),
    first,
    second: (phi, a, b) => {
      if (a === 0 && b === 0) return undefined;
      const rho = realAt(phi, 1);
      if (a !== b) return filled(visits, (j, k) => slope(rho, apart(j, k)));
      return filled(visits, (j, k) => realAt(phi, 0) * curve(rho, apart(j, k)));
    },
    start: (sd, correlation) =>
      Float64Array.of(
        Math.sqrt(meanVariance(sd)),
        correlation / Math.sqrt(1 - correlation * correlation),
      ),
    units: (sd) => Float64Array.of(Math.sqrt(meanVariance(sd)), 1),
  };
}
