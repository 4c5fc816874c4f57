import { describe, expect, it } from "vitest";
import * as stats from "../../lib/entries/stats.js";

// invented: grip (kgf) before and after a block, and club speed
const x = [38, 41, 35, 44, 39, 47, 36, 42, 40, 37, 43, 45];
const y = [40, 42, 38, 45, 43, 47, 35, 46, 44, 39, 43, 48];
const arm = x.map((_, i) => (i % 2 ? "grip" : "swing"));
const golfer = x.map((_, i) => `g${i >> 1}`);
const close = (a: number, b: number) => expect(Math.abs(a - b)).toBeLessThan(1e-10);

/** Every fit of rows, with the estimates in the order of its covariance; none for fits by ranks. */
const fits = {
  fitLine: () => {
    const fit = stats.fitLine({ x, y });
    return { fit, estimates: [fit.intercept, fit.slope] };
  },
  fitLinear: () => {
    const fit = stats.fitLinear({ y, terms: { x, arm } });
    return { fit, estimates: Object.values(fit.coefficients) };
  },
  fitDeming: () => {
    const fit = stats.fitDeming({ x, y });
    return { fit, estimates: [fit.intercept, fit.slope] };
  },
  fitMixed: () => {
    const fit = stats.fitMixed({ subject: golfer, y, terms: { x } });
    return { fit, estimates: Object.values(fit.fixed) };
  },
  fitVarianceComponents: () => {
    const fit = stats.fitVarianceComponents({ y, terms: { x }, groups: { golfer } });
    return { fit, estimates: Object.values(fit.fixed) };
  },
  fitSpline: () => {
    const fit = stats.fitSpline({ x, y }, { knots: 3 });
    return { fit, estimates: Object.values(fit.coefficients) };
  },
  fitRobust: () => {
    const fit = stats.fitRobust({ x, y });
    return { fit, estimates: [fit.intercept, fit.slope] };
  },
  fitRobustLinear: () => {
    const fit = stats.fitRobustLinear({ y, terms: { x } });
    return { fit, estimates: Object.values(fit.coefficients) };
  },
  adjustForBaseline: () => {
    const columns = { before: x, after: y, group: arm, reference: "swing" };
    const fit = stats.adjustForBaseline(columns, { standardErrors: "HC3" });
    return { fit, estimates: [undefined, fit.slope, fit.difference] };
  },
  theilSen: () => ({ fit: stats.theilSen({ x, y }), estimates: [] }),
  fitPassingBablok: () => ({ fit: stats.fitPassingBablok({ x, y }), estimates: [] }),
  quantileLine: () => ({ fit: stats.quantileLine({ x, y }, { q: 0.5 }), estimates: [] }),
};

describe("every fit gives its rows", () => {
  it.each(Object.entries(fits))("%s: fitted + residual is y, row by row", (_, make) => {
    const { fit } = make();
    expect(fit.fitted).toHaveLength(y.length);
    for (const [i, value] of y.entries()) close(fit.fitted[i]! + fit.residuals[i]!, value);
  });

  it.each(Object.entries(fits))("%s: its covariance has the squared errors", (_, make) => {
    const { fit, estimates } = make();
    if (!("covariance" in fit)) {
      expect(estimates).toEqual([]);
      return;
    }
    expect(fit.covariance.names).toHaveLength(estimates.length);
    for (const [j, estimate] of estimates.entries()) {
      if (estimate) close(fit.covariance.matrix[j]![j]!, estimate.se! ** 2);
    }
  });
});

it("allometricExponent gives what it expects of each person, and the logarithm of the rest", () => {
  const fit = stats.allometricExponent({ mass: [60, 70, 80, 95], y: [38, 44, 45, 53] });
  close(fit.fitted[0]!, fit.factor.value * 60 ** fit.exponent.value);
  close(fit.residuals[3]!, Math.log(53 / fit.fitted[3]!));
  close(fit.covariance.matrix[1]![1]!, fit.exponent.se! ** 2);
});

it("correlation warns where people repeat, and not where they do not", () => {
  const repeated = stats.correlation(x, y, { clusters: golfer });
  expect(repeated.warnings).toEqual([
    expect.stringMatching(/^6 people give 12 rows, up to 2 each/),
  ]);
  const ranks = stats.correlation(x, y, { kind: "spearman", clusters: golfer });
  expect(ranks.warnings).toEqual(repeated.warnings);
  expect(stats.correlation(x, y, { clusters: x.map((_, i) => i) }).warnings).toEqual([]);
});
