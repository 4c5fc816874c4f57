import { describe, expect, it } from "vitest";
import * as stats from "../../lib/entries/stats.js";

/**
 * A change of unit multiplies results by that unit and changes no test. Powers of ten far from 1
 * show where squares, cubes or fixed tolerances would leave the range of a double.
 */
const scales = [1e-140, 1e-100, 1e-30, 1e30, 1e100, 1e140];

const before = [41.2, 38.5, 52.1, 47.3, 44, 39.9, 50.4, 43.7, 46.8, 48.2];
const after = [43.9, 38.1, 55.6, 48.8, 47.2, 41.5, 50.1, 46.9, 47.7, 52.3];
const other = [3.1, 0.2, 1.7, 2.9, 0.4, 2.2, 1.1, 3.6, 0.9, 2.4];
const people = before.map((_, i) => `p${i % 4}`);
const estimate = [0.5, 0.3, 0.8, 0.1, 0.6, 0.9, 0.2];
const se = [0.2, 0.1, 0.3, 0.2, 0.25, 0.1, 0.2];
const times = (column: readonly number[], k: number) => column.map((value) => value * k);

/** Numbers at one scale: those that carry the unit, and those that carry none. */
interface AtScale {
  readonly unit: readonly number[];
  readonly squared?: readonly number[];
  readonly free: readonly number[];
}
const limits = ({ interval }: stats.Estimate) => [interval?.low ?? NaN, interval?.high ?? NaN];

const cases: Readonly<Record<string, (k: number) => AtScale>> = {
  "the acceleration of a jackknife": (k) => {
    const mean = ([x]: readonly ArrayLike<number>[]) =>
      Array.from(x ?? []).reduce((sum, value) => sum + value, 0) / (x?.length ?? 1);
    const { estimate: value, se: error, acceleration } = stats.jackknife([times(before, k)], mean);
    return { unit: [value, error], free: [acceleration ?? NaN] };
  },
  "HC3 errors of a line, both columns": (k) => {
    const line = { x: times(before, k), y: times(after, k) };
    const { slope, intercept } = stats.fitLine(line, { standardErrors: "HC3" });
    return { unit: limits(intercept), free: [slope.value, ...limits(slope), slope.p ?? NaN] };
  },
  "CR2 degrees of freedom, the predictor": (k) => {
    const columns = { y: times(after, k), terms: { x: times(before, k) } };
    const options = { standardErrors: "CR2", clusters: people } as const;
    const slope = stats.fitLinear(columns, options).coefficients.x as stats.Estimate;
    return { unit: [], free: [slope.df ?? NaN, slope.p ?? NaN, ...limits(slope)] };
  },
  "limits of a quantile line": (k) => {
    const line = stats.quantileLine({ x: other, y: times(after, k) }, { q: 0.5 });
    return { unit: [line.objective, ...limits(line.slope), ...limits(line.intercept)], free: [] };
  },
  "limits of a quantile line, the predictor": (k) => {
    const line = stats.quantileLine({ x: times(other, k), y: times(after, k) }, { q: 0.5 });
    return { unit: limits(line.intercept), free: limits(line.slope) };
  },
  "a spline, both columns": (k) => {
    const fit = stats.fitSpline({ x: times(before, k), y: times(after, k) }, { knots: 4 });
    return { unit: [fit.residualSd], free: [fit.nonlinear.p, fit.rSquared ?? NaN] };
  },
  "pooling by REML": (k) => {
    const pooled = stats.pool({ estimate: times(estimate, k), se: times(se, k) });
    const { low, high } = pooled.tau2Interval as stats.Interval;
    const squared = Math.abs(Math.log10(k)) < 140 ? [pooled.tau2, low, high] : [];
    return { unit: limits(pooled.estimate), squared, free: [pooled.i2, pooled.q.p] };
  },
  "pooling by moments": (k) => {
    const pooled = stats.pool({ estimate: times(estimate, k), se: times(se, k) }, { method: "DL" });
    return { unit: limits(pooled.estimate), free: [pooled.i2, pooled.estimate.p ?? NaN] };
  },
  "pooling on three levels": (k) => {
    const study = ["a", "a", "b", "b", "c", "d", "d"];
    const pooled = stats.poolNested({ estimate: times(estimate, k), se: times(se, k), study });
    return { unit: limits(pooled.estimate), free: [pooled.i2.total, pooled.icc ?? NaN] };
  },
  "pooling of people": (k) => {
    const columns = {
      study: before.map((_, i) => (i < 5 ? "a" : "b")),
      group: before.map((_, i) => (i % 2 ? "grip" : "control")),
    };
    const pooled = stats.poolPeople({
      ...columns,
      before: times(before, k),
      after: times(after, k),
      reference: "control",
    });
    return { unit: limits(pooled.difference), free: [pooled.difference.df ?? NaN] };
  },
  "ICC(2,1)": (k) => {
    const table = before.map((value, i) => times([value, after[i] ?? NaN], k));
    return { unit: [], free: limits(stats.icc(table)["ICC(2,1)"] as stats.Estimate) };
  },
};

describe("statistics do not depend on the unit", () => {
  const close = (actual: number, expected: number) =>
    expect(Math.abs(actual - expected)).toBeLessThanOrEqual(1e-6 * Math.abs(expected) + 1e-12);
  it.each(Object.keys(cases))("%s", (name) => {
    const at = cases[name] as (k: number) => AtScale;
    const base = at(1);
    for (const k of scales) {
      const scaled = at(k);
      base.unit.forEach((value, i) => void close((scaled.unit[i] ?? NaN) / k, value));
      base.free.forEach((value, i) => void close(scaled.free[i] ?? NaN, value));
      (scaled.squared ?? []).forEach(
        (value, i) => void close(value / k / k, base.squared?.[i] ?? NaN),
      );
    }
  });
});

describe("permutation of a difference far from 0", () => {
  it("counts a split and its mirror image alike", () => {
    // 10 values near 1e6: of equal groups every split has a mirror, so the count is even
    const first = [17, -1, 13, 3, -11].map((value) => 1e6 + value / 1000 + 1e-10 * value ** 2);
    const second = [-3, -10, 8, -12, 5].map((value) => 1e6 + value / 1000 + 1e-10 * value ** 3);
    const { p, arrangements } = stats.permuteDifference(first, second);
    expect(Math.round(p * arrangements) % 2).toBe(0);
    const near = (column: number[]) => column.map((value) => value - 1e6);
    expect(p).toBe(stats.permuteDifference(near(first), near(second)).p);
  });
});

describe("a result that has no interval is refused in words", () => {
  it("names clusters that fix a coefficient alone", () => {
    const columns = { y: [5, 5, 6], terms: { x: [1, 2, 1] } };
    const options = { standardErrors: "CR2", clusters: ["a", "b", "a"] } as const;
    expect(() => stats.fitLinear(columns, options)).toThrow(/clusters that vary/);
  });
});
