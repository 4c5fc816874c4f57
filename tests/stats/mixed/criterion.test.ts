import { describe, expect, it } from "vitest";
import { cholesky, solveCholesky } from "../../../lib/num/linear.js";
import {
  chainToTheta,
  covarianceSlope,
  mixedCriterion,
} from "../../../lib/stats/mixed/criterion.js";
import { wholeCriterion } from "../../../lib/stats/mixed/mixed-summary.js";
import { inOrder, mixedDesign } from "../../../lib/stats/mixed/model-matrix.js";
import { reduceDesign, reduceOutcome } from "../../../lib/stats/mixed/reduction.js";
import { agrees } from "../../reference/agree.js";

/** Five people with 4, 1, 3, 2 and 5 rows, in mixed order. */
const subject = [..."abacadacbeaeebe"].map((letter) => (letter === "b" ? "e" : letter));
const x = subject.map((_, i) => ((i * 5) % 7) - 1.5);
const group = subject.map((person) => (person < "c" ? 0 : 1));
const y = subject.map((person, i) => 20 + person.charCodeAt(0) + x[i]! * 2 + Math.sin(3 * i));

function stages(correlated: boolean, about?: number[]) {
  const columns = { subject, y, terms: { x, group } };
  const design = mixedDesign(columns, { slope: "x", correlated });
  const outcome = inOrder(y, design.order);
  return reduceOutcome(reduceDesign(design), outcome, about && Float64Array.from(about));
}

/** −2 log-likelihood from the whole n × n covariance matrix, σ² profiled out. */
function dense(covariance: (i: number, j: number) => number, reml: boolean): number {
  const n = y.length;
  const v = y.flatMap((_, i) =>
    y.map((_, j) => (subject[i] === subject[j] ? covariance(i, j) : 0) + (i === j ? 1 : 0)),
  );
  const factor = cholesky(v, n)!;
  const columns = [y.map(() => 1), x, group];
  const weighted = [...columns, y].map((column) => solveCholesky(factor, column));
  const inner = (a: ArrayLike<number>, b: ArrayLike<number>) =>
    y.reduce((s, _, i) => s + a[i]! * b[i]!, 0);
  const information = cholesky(
    columns.flatMap((a) => weighted.slice(0, 3).map((b) => inner(a, b))),
    3,
  )!;
  const beta = solveCholesky(
    information,
    columns.map((a) => inner(a, weighted[3]!)),
  );
  const residual = y.map(
    (value, i) => value - columns.reduce((s, c, j) => s + beta[j]! * c[i]!, 0),
  );
  const squares = inner(residual, solveCholesky(factor, residual));
  const logDiagonal = (m: Float64Array, size: number) =>
    Array.from({ length: size }, (_, i) => 2 * Math.log(m[i * size + i]!)).reduce(
      (s, l) => s + l,
      0,
    );
  const df = reml ? n - 3 : n;
  const fixed = reml ? logDiagonal(information, 3) : 0;
  return logDiagonal(factor, n) + fixed + df * (1 + Math.log((2 * Math.PI * squares) / df));
}

const points = [
  [0.7, 0.4, 1.3],
  [3, -2, 0.01],
  [0, 0, 0],
  [40, 25, 60],
];

describe("the profiled criterion, from sums over subjects", () => {
  for (const reml of [true, false]) {
    for (const correlated of [true, false]) {
      it(`is that of the full covariance matrix: ${reml ? "REML" : "ML"}, correlated ${correlated}`, () => {
        const reduction = stages(correlated);
        const criterion = mixedCriterion(reduction, reml);
        const { centre, zScale } = reduction.design;
        for (const theta of points.map((point) => Float64Array.from(point))) {
          const [a, b, c] = theta as unknown as [number, number, number];
          const z = (i: number) => [1 / zScale[0], (x[i]! - centre) / zScale[1]] as const;
          const covariance = (i: number, j: number) => {
            const [z1, z2] = z(i);
            const [w1, w2] = z(j);
            return (z1 * a + z2 * b) * (w1 * a + w2 * b) + z2 * c * (w2 * c);
          };
          const ours = wholeCriterion(reduction, criterion, criterion.solve(theta));
          agrees(ours, dense(covariance, reml), {
            quantity: `criterion at ${theta}`,
            rel: 1e-9,
            why: "the full matrix loses digits as θ grows",
          });
        }
      });
    }

    it(`has the gradient that differences give: ${reml ? "REML" : "ML"}`, () => {
      const criterion = mixedCriterion(stages(true), reml);
      const theta = Float64Array.of(0.7, 0.4, 1.3);
      const solution = criterion.solve(theta);
      const gradient = chainToTheta(covarianceSlope(solution, solution.sigma2), theta);
      gradient.forEach((slope, entry) => {
        const at = (by: number) => criterion.value(theta.map((t, i) => (i === entry ? t + by : t)));
        const h = 1e-3;
        const byDifference = (8 * (at(h) - at(-h)) - (at(2 * h) - at(-2 * h))) / (12 * h);
        agrees(slope, byDifference, {
          quantity: `entry ${entry}`,
          rel: 1e-8,
          why: "fourth-order differences",
        });
      });
    });
  }

  it("does not depend on the line the residual is taken about", () => {
    const theta = Float64Array.of(2, 0.5, 1);
    const whole = (about?: number[]) => {
      const reduction = stages(true, about);
      const criterion = mixedCriterion(reduction, true);
      return wholeCriterion(reduction, criterion, criterion.solve(theta));
    };
    const why = "the same problem about another origin";
    agrees(whole([400, 10, -3]), whole(), { quantity: "criterion", rel: 1e-12, why });
    expect(Number.isFinite(whole())).toBe(true);
  });
});
