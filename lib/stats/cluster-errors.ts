import { realAt } from "../entry.js";
import { InputError } from "../errors.js";
import { fisherF } from "../num/distributions.js";
import { cholesky, invertCholesky } from "../num/linear.js";
import { fromRows, multiply, quadratic, rowsOf, sandwich, transposed } from "../num/matrix.js";
import { symmetricEigen } from "../num/symmetric.js";
import type { ContrastRows, ContrastTest, MatrixRows } from "./mixed/inference.js";
import type { ClusterErrors } from "./robust.js";

/** What degrees of freedom need of a fit with cluster-robust errors; survives JSON. */
export interface ClusterShares {
  /** Kind of the cluster-robust errors. */
  readonly kind: ClusterErrors;
  /** Number of clusters. */
  readonly count: number;
  /** L with (XᵀX)⁻¹ = LLᵀ. */
  readonly root: MatrixRows;
  /** LᵀXᵢᵀXᵢL of each cluster i: its share of the information, adding up to the unit matrix. */
  readonly shares: readonly MatrixRows[];
}

/** 1 − λ below this: the cluster alone fixes a direction, which then says nothing of its errors. */
const OWN_DIRECTION = 1e-10;

/** A cluster's share in its own axes: λ, vectors, and the factor that undoes its fitted part. */
function axesOf(share: Float64Array, p: number, kind: ClusterErrors) {
  const { values, vectors } = symmetricEigen(share, p);
  const factors = values.map((value) => {
    if (kind !== "CR2") return 1;
    return 1 - value < OWN_DIRECTION ? 0 : 1 / Math.sqrt(1 - value);
  });
  return { values, vectors, factors };
}

/** V f(Λ) Vᵀ of a cluster's axes. */
function rebuilt(vectors: readonly Float64Array[], weights: Float64Array): Float64Array {
  const p = vectors.length;
  const matrix = new Float64Array(p * p);
  vectors.forEach((vector, k) => {
    for (let i = 0; i < p; i++) {
      for (let j = 0; j < p; j++)
        matrix[i * p + j] =
          realAt(matrix, i * p + j) + realAt(weights, k) * realAt(vector, i) * realAt(vector, j);
    }
  });
  return matrix;
}

/**
 * Cluster-robust covariance of least-squares coefficients, whole people being the clusters:
 *   C (Σᵢ XᵢᵀAᵢeᵢeᵢᵀAᵢXᵢ) C, C = (XᵀX)⁻¹,
 * with Aᵢ = I (CR0), I·√(m/(m − 1)) (CR1) or (I − Hᵢᵢ)^(−1/2) (CR2, unbiased where errors are
 * independent and of one variance). Everything is found from p × p sums of each cluster.
 *
 * @param covariance (XᵀX)⁻¹, p rows of p
 * @throws InputError for fewer than two clusters, or too few for the coefficients
 * @see Bell, McCaffrey (2002) Survey Methodology 28:169–181; Pustejovsky, Tipton (2018) J Bus Econ
 *   Stat 36:672–683
 */
export function clusterCovariance(
  design: readonly Float64Array[],
  residuals: Float64Array,
  covariance: readonly Float64Array[],
  labels: readonly string[],
  kind: ClusterErrors,
  where: string,
): { matrix: Float64Array; shares: ClusterShares } {
  const p = design.length;
  const rows = clusterRows(labels);
  if (rows.length < 2) {
    const expected = "at least two clusters";
    throw new InputError({ expected, got: `${rows.length}`, where: `${where}, clusters` });
  }
  const root = cholesky(
    covariance.flatMap((row) => Array.from(row)),
    p,
  );
  if (!root) {
    const expected = "columns whose sums of products a double can hold";
    throw new InputError({ expected, got: "a singular matrix", where: `${where}, terms` });
  }
  const meat = new Float64Array(p * p);
  const shares = rows.map((members) => {
    const { share, score } = clusterSums(design, residuals, root, members);
    const { vectors, factors } = axesOf(share, p, kind);
    const adjusted = multiply(rebuilt(vectors, factors), score, [p, p, 1]);
    for (let i = 0; i < p; i++) {
      for (let j = 0; j < p; j++)
        meat[i * p + j] = realAt(meat, i * p + j) + realAt(adjusted, i) * realAt(adjusted, j);
    }
    return rowsOf(share, p);
  });
  const factor = kind === "CR1" ? rows.length / (rows.length - 1) : 1;
  return {
    matrix: sandwich(root, meat, p, p).map((value) => factor * value),
    shares: { kind, count: rows.length, root: rowsOf(root, p), shares },
  };
}

function clusterRows(labels: readonly string[]): number[][] {
  const rows = new Map<string, number[]>();
  for (const [row, label] of labels.entries()) {
    const members = rows.get(label);
    if (members) members.push(row);
    else rows.set(label, [row]);
  }
  return [...rows.values()];
}

/** Sums over one cluster of u uᵀ and u e, u = Lᵀx of a row. */
function clusterSums(
  design: readonly Float64Array[],
  residuals: Float64Array,
  root: Float64Array,
  members: readonly number[],
) {
  const p = design.length;
  const share = new Float64Array(p * p);
  const score = new Float64Array(p);
  const u = new Float64Array(p);
  for (const row of members) {
    u.fill(0);
    design.forEach((column, k) => {
      const x = realAt(column, row);
      for (let j = 0; j <= k; j++) u[j] = realAt(u, j) + realAt(root, k * p + j) * x;
    });
    for (let i = 0; i < p; i++) {
      score[i] = realAt(score, i) + realAt(u, i) * realAt(residuals, row);
      for (let j = 0; j < p; j++)
        share[i * p + j] = realAt(share, i * p + j) + realAt(u, i) * realAt(u, j);
    }
  }
  return { share, score };
}

/** One cluster's part in the variance of q contrasts: weights through its axes. */
interface ClusterPart {
  /** q × p: the part that the fit takes out of other clusters. */
  readonly taken: Float64Array;
  /** q × q: what its own errors bring. */
  readonly ownErrors: Float64Array;
}

function clusterParts(
  { kind, root, shares }: ClusterShares,
  l: Float64Array,
  q: number,
): ClusterPart[] {
  const p = root.length;
  const c = multiply(l, fromRows(root), [q, p, p]);
  return shares.map((rows) => {
    const { values, vectors, factors } = axesOf(fromRows(rows), p, kind);
    const once = rebuilt(
      vectors,
      values.map((value, k) => value * realAt(factors, k)),
    );
    const twice = rebuilt(
      vectors,
      values.map((value, k) => value * realAt(factors, k) ** 2),
    );
    return { taken: multiply(c, once, [q, p, p]), ownErrors: sandwich(c, twice, q, p) };
  });
}

/**
 * Satterthwaite degrees of freedom of a contrast with cluster-robust errors: (Σ Pᵢᵢ)²/ΣΣ Pᵢⱼ²,
 * Pᵢⱼ being the covariances of the clusters' parts under errors that are independent and of one
 * variance.
 *
 * @see Pustejovsky, Tipton (2018) J Bus Econ Stat 36:672–683, sect. 3
 */
export function clusterDf(clusters: ClusterShares, weights: Float64Array): number {
  const p = weights.length;
  const outer = new Float64Array(p * p);
  let trace = 0;
  let squares = 0;
  // only the direction counts: of length 1 in the working errors, whose unit then cannot overflow
  const length = Math.hypot(...multiply(weights, fromRows(clusters.root), [1, p, p]));
  const direction = weights.map((weight) => weight / length);
  for (const { taken, ownErrors: own } of clusterParts(clusters, direction, 1)) {
    const back = taken.reduce((sum, v) => sum + v * v, 0);
    const part = realAt(own, 0) - back;
    trace += part;
    squares += part * part - back * back;
    for (let i = 0; i < p; i++) {
      for (let j = 0; j < p; j++)
        outer[i * p + j] = realAt(outer, i * p + j) + realAt(taken, i) * realAt(taken, j);
    }
  }
  const df = trace ** 2 / (squares + outer.reduce((sum, x) => sum + x * x, 0));
  if (df > 0) return df;
  const expected = "clusters that vary in what the coefficient compares";
  const got = `${clusters.count} clusters, each fixing it alone`;
  throw new InputError({ expected, got, where: `standardErrors ${clusters.kind}` });
}

/**
 * Joint test of q contrasts with cluster-robust errors: the Wald statistic's matrix is taken for a
 * Wishart with η degrees of freedom, and F = (η − q + 1)/(ηq) · Wald on q and η − q + 1.
 *
 * @throws InputError when there are too few clusters: η ≤ q − 1
 * @see Tipton, Pustejovsky (2015) J Educ Behav Stat 40:604–634
 */
export function clusterTest(
  covariance: MatrixRows,
  clusters: ClusterShares,
  { rows, values }: ContrastRows,
): ContrastTest {
  const q = rows.length;
  const p = covariance.length;
  const l = fromRows(rows.map((row) => Array.from(row)));
  const root = fromRows(clusters.root);
  const working = sandwich(multiply(l, root, [q, p, p]), unit(p), q, p);
  const { values: spread, vectors } = symmetricEigen(working, q);
  const standard = rebuilt(
    vectors,
    spread.map((value) => 1 / Math.sqrt(value)),
  );
  const parts = clusterParts(clusters, multiply(standard, l, [q, q, p]), q);
  const eta = (q * (q + 1)) / productSums(parts, q, p);
  if (!(eta > q - 1)) {
    const expected = `more clusters to test ${q} coefficients jointly`;
    throw new InputError({ expected, got: `${clusters.count}`, where: "jointTest" });
  }
  const wald = quadratic(inverse(sandwich(l, fromRows(covariance), q, p), q), values);
  const f = ((eta - q + 1) / (eta * q)) * wald;
  return { f, df1: q, df2: eta - q + 1, p: fisherF(q, eta - q + 1).upper(f) };
}

/** Σᵢⱼ (tr Pᵢⱼ)² + tr(PᵢⱼPᵢⱼ), q × q blocks over pairs of clusters. */
function productSums(parts: readonly ClusterPart[], q: number, p: number): number {
  let sum = 0;
  for (const [i, one] of parts.entries()) {
    for (const [j, other] of parts.entries()) {
      const block = multiply(one.taken, transposed(other.taken, q, p), [q, p, q]);
      for (let k = 0; k < block.length; k++)
        block[k] = (i === j ? realAt(one.ownErrors, k) : 0) - realAt(block, k);
      let trace = 0;
      for (let s = 0; s < q; s++) {
        trace += realAt(block, s * q + s);
        for (let t = 0; t < q; t++) sum += realAt(block, s * q + t) * realAt(block, t * q + s);
      }
      sum += trace * trace;
    }
  }
  return sum;
}

function unit(size: number): Float64Array {
  return Float64Array.from({ length: size * size }, (_, at) => (at % (size + 1) === 0 ? 1 : 0));
}

function inverse(a: Float64Array, size: number): Float64Array {
  const factor = cholesky(a, size);
  if (factor) return invertCholesky(factor, size);
  const expected = "contrasts whose variances are not 0";
  throw new InputError({ expected, got: "a singular covariance", where: "jointTest" });
}

/** The largest number of rows that one label has, and how many labels there are. */
export function repeats(labels: readonly string[]): { people: number; most: number } {
  const sizes = clusterRows(labels).map((rows) => rows.length);
  return { people: sizes.length, most: sizes.reduce((most, size) => Math.max(most, size), 0) };
}

/** The warning that rows of one person are not independent; nothing when nobody repeats. */
export function repeatWarnings(labels: readonly string[], instead: string): string[] {
  const { people, most } = repeats(labels);
  if (most < 2) return [];
  return [
    `${people} people give ${labels.length} rows, up to ${most} each, and this method treats rows as ` +
      `independent: its intervals are too narrow and its p values too small. Use ${instead}.`,
  ];
}
