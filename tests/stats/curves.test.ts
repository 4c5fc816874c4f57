import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { InputError } from "../../lib/errors.js";
import { allometricExponent } from "../../lib/stats/allometry.js";
import { fitRobust, fitRobustLinear } from "../../lib/stats/huber.js";
import { fitPassingBablok } from "../../lib/stats/passing-bablok.js";
import { quantileLine } from "../../lib/stats/quantile-line.js";
import { fitSpline, predictSpline } from "../../lib/stats/spline.js";
import { theilSen } from "../../lib/stats/theil-sen.js";
import { agrees } from "../reference/agree.js";
import { referenceCase, rowsOf } from "../reference/cases.js";

const closed = { rel: 1e-9, why: "closed form" };
const root = { rel: 1e-6, why: "a fixed point of reweighting" };

describe("fitRobust", () => {
  it("gives R's rlm for stack loss on three columns", () => {
    const { data, computed } = referenceCase("robust-curved", "stackloss_huber");
    const { y, ...terms } = data;
    const { value } = computed.huber!;
    const fit = fitRobustLinear({ y, terms });
    agrees(fit.scale, value.scale, { quantity: "scale", ...root });
    for (const [name, estimate] of Object.entries(fit.coefficients)) {
      const theirs = name === "intercept" ? "(Intercept)" : name;
      agrees(estimate.value, value.coefficients[theirs], { quantity: name, ...root });
      agrees(estimate.se!, value.se[theirs], { quantity: `se of ${name}`, ...root });
    }
    fit.weights.forEach((weight, i) => {
      agrees(weight, value.weights[i], { quantity: `weight ${i}`, ...root });
    });
  });

  it("gives R's rlm for stopping distances on speed", () => {
    const { data, computed } = referenceCase("robust-curved", "cars_huber");
    const { value } = computed.huber!;
    const fit = fitRobust({ x: data.speed, y: data.y });
    agrees(fit.slope.value, value.coefficients.speed, { quantity: "slope", ...root });
    agrees(fit.intercept.value, value.coefficients["(Intercept)"], {
      quantity: "intercept",
      ...root,
    });
    agrees(fit.slope.se!, value.se.speed, { quantity: "se of the slope", ...root });
  });

  it("hardly follows one wild row, and refuses a scale of 0", () => {
    const x = [1, 2, 3, 4, 5, 6, 7, 8];
    const y = [1.1, 1.9, 3.2, 3.9, 5.1, 5.8, 7.2, 80];
    expect(Math.abs(fitRobust({ x, y }).slope.value - 1)).toBeLessThan(0.1);
    expect(() => fitRobust({ x, y: [1, 2, 3, 4, 5, 6, 7, 80] })).toThrow(InputError);
  });
});

describe("theilSen and fitPassingBablok", () => {
  it.each(["peak_flow_methods", "cars_theil_sen"])("gives the published steps for %s", (id) => {
    const { data, computed } = referenceCase("robust-curved", id);
    const { value } = computed.theil_sen!;
    const line = theilSen(data);
    agrees(line.slope.value, value.slope, { quantity: "slope", ...closed });
    agrees(line.slope.interval!.low, value.slope_low, { quantity: "lower limit", ...closed });
    agrees(line.slope.interval!.high, value.slope_high, { quantity: "upper limit", ...closed });
    agrees(line.intercept.value, value.intercept_median_residual, {
      quantity: "intercept",
      ...closed,
    });
    expect(line.pairs).toBe(value.slopes);
  });

  it.each([95, 90])(
    "gives Passing and Bablok's line of the peak flow meters at %i %%",
    (percent) => {
      const { data, computed } = referenceCase("robust-curved", "peak_flow_methods");
      const { value } = computed[`passing_bablok_${percent}`]!;
      const line = fitPassingBablok(data, { level: percent / 100 });
      agrees(line.slope.value, value.slope, { quantity: "slope", ...closed });
      agrees(line.slope.interval!.low, value.slope_low, { quantity: "lower limit", ...closed });
      agrees(line.slope.interval!.high, value.slope_high, { quantity: "upper limit", ...closed });
      agrees(line.intercept.value, value.intercept, { quantity: "intercept", ...closed });
      agrees(line.intercept.interval!.low, value.intercept_low, {
        quantity: "lower intercept",
        ...closed,
      });
      agrees(line.intercept.interval!.high, value.intercept_high, {
        quantity: "upper intercept",
        ...closed,
      });
      expect(line).toMatchObject({ pairs: value.N, belowMinusOne: value.K });
    },
  );

  it("exchanging the methods inverts the Passing-Bablok slope", () => {
    const { data } = referenceCase("robust-curved", "peak_flow_methods");
    const forward = fitPassingBablok(data);
    const back = fitPassingBablok({ x: data.y, y: data.x });
    expect(back.slope.value * forward.slope.value).toBeCloseTo(1, 10);
  });

  it("refuses methods that run against each other", () => {
    expect(() => fitPassingBablok({ x: [1, 2, 3, 4], y: [40, 30, 20, 10] })).toThrow(
      /rise together/,
    );
  });
});

describe("quantileLine", () => {
  const engel = referenceCase("robust-curved", "engel_quantiles");
  const data = { x: engel.data.income, y: engel.data.y };

  it.each(rowsOf(engel.computed.fits!.value))("gives R's rq for Engel's data at %o", (row) => {
    const line = quantileLine(data, { q: row.tau! });
    agrees(line.intercept.value, row.intercept!, { quantity: "intercept", ...closed });
    agrees(line.slope.value, row.slope!, { quantity: "slope", ...closed });
    agrees(line.objective, row.objective!, { quantity: "objective", ...closed });
    expect(line.unique).toBe(true);
  });

  it.each(rowsOf(engel.computed.rank_inversion_intervals!.value))(
    "inverts the rank test at %o",
    (row) => {
      const { intercept, slope } = quantileLine(data, { q: row.tau! });
      agrees(slope.interval!.low, row.slope_low!, { quantity: "lower slope", ...closed });
      agrees(slope.interval!.high, row.slope_high!, { quantity: "upper slope", ...closed });
      agrees(intercept.interval!.low, row.intercept_low!, {
        quantity: "lower intercept",
        ...closed,
      });
      agrees(intercept.interval!.high, row.intercept_high!, {
        quantity: "upper intercept",
        ...closed,
      });
    },
  );

  it("no line through two points does better, ties and equal x included", () => {
    const place = fc.integer({ min: 0, max: 5 });
    const points = fc.array(fc.tuple(place, place), { minLength: 3, maxLength: 9 });
    fc.assert(
      fc.property(points, fc.constantFrom(0.1, 0.25, 0.5, 0.75, 0.9), (rows, q) => {
        const [x, y] = [rows.map(([a]) => a), rows.map(([, b]) => b)];
        fc.pre(new Set(x).size > 1);
        const loss = (slope: number, intercept: number) =>
          y.reduce((total, value, i) => {
            const e = value - intercept - slope * x[i]!;
            return total + (e > 0 ? q * e : (q - 1) * e);
          }, 0);
        const line = quantileLine({ x, y }, { q });
        let least = Number.POSITIVE_INFINITY;
        for (let i = 0; i < x.length; i++) {
          for (let j = 0; j < i; j++) {
            if (x[i] === x[j]) continue;
            const slope = (y[i]! - y[j]!) / (x[i]! - x[j]!);
            least = Math.min(least, loss(slope, y[i]! - slope * x[i]!));
          }
        }
        expect(line.objective).toBeLessThanOrEqual(least + 1e-9);
      }),
    );
  });

  it("says that other lines fit as well", () => {
    const line = quantileLine({ x: [0, 0, 1, 1], y: [0, 1, 0, 1] }, { q: 0.5 });
    expect(line.unique).toBe(false);
    expect(line.warnings.join()).toContain("Ties");
  });
});

describe("fitSpline", () => {
  const { data, computed } = referenceCase("robust-curved", "cars_spline");

  it.each([3, 4, 5])("gives Harrell's basis and R's lm with %i knots", (knots) => {
    const { value } = computed[`knots_${knots}`]!;
    const fit = fitSpline({ x: data.x, y: data.y }, { knots });
    expect(fit.knots).toEqual(value.knots);
    Object.values(fit.coefficients).forEach((estimate, j) => {
      agrees(estimate.value, value.coefficients[j], { quantity: `coefficient ${j}`, ...closed });
      agrees(estimate.se!, value.se[j], { quantity: `se ${j}`, ...closed });
    });
    agrees(fit.residualSd, value.residual_sd, { quantity: "residual SD", ...closed });
    agrees(fit.nonlinear.statistic!, value.nonlinear.F, { quantity: "F", ...closed });
    agrees(fit.nonlinear.p, value.nonlinear.p, { quantity: "p", rel: 1e-8, why: "tail of F" });
    const rows = rowsOf(value.predictions);
    const places = rows.map(({ x }) => x!);
    predictSpline(fit, places).forEach(({ y, mean }, i) => {
      agrees(y, rows[i]!.value!, { quantity: "prediction", ...closed });
      agrees(mean.low, rows[i]!.lower!, { quantity: "lower band", rel: 1e-8, why: "t quantile" });
      agrees(mean.high, rows[i]!.upper!, { quantity: "upper band", rel: 1e-8, why: "t quantile" });
    });
  });

  it("reproduces a straight line, and is straight beyond the outer knots", () => {
    const x = Array.from({ length: 12 }, (_, i) => i);
    const curve = fitSpline({ x, y: x.map((v) => v * v) }, { knots: [2, 5, 9] });
    const [a, b, c] = predictSpline(curve, [20, 25, 30]).map(({ y }) => y);
    expect(c! - b!).toBeCloseTo(b! - a!, 8);
    expect(predictSpline(curve, [20])[0]!.extrapolated).toBe(true);
  });

  it("refuses knots that coincide or do not rise", () => {
    const columns = { x: [1, 1, 1, 1, 1, 2, 3], y: [1, 2, 3, 4, 5, 6, 7] };
    expect(() => fitSpline(columns, { knots: 4 })).toThrow(/rising order/);
    expect(() => fitSpline(columns, { knots: [3, 2, 1] })).toThrow(/rising order/);
    expect(() => fitSpline(columns, { knots: 9 })).toThrow(/3 to 7/);
  });
});

describe("allometricExponent", () => {
  it("gives the exponent of brain on body weight (Weisberg 1985)", () => {
    const { data, computed } = referenceCase("robust-curved", "mammals_allometry");
    const { exponent, factor, major_axis: axis, scaled } = computed;
    const fit = allometricExponent({ mass: data.x, y: data.y });
    agrees(fit.exponent.value, exponent!.value.value, { quantity: "exponent", ...closed });
    agrees(fit.exponent.se!, exponent!.value.se, { quantity: "se", ...closed });
    agrees(fit.exponent.interval!.low, exponent!.value.lower, { quantity: "lower", ...closed });
    agrees(fit.exponent.interval!.high, exponent!.value.upper, { quantity: "upper", ...closed });
    agrees(fit.comparedWith.statistic!, exponent!.value.t_against_two_thirds, {
      quantity: "t against 2/3",
      ...closed,
    });
    agrees(fit.comparedWith.p, exponent!.value.p_against_two_thirds, {
      quantity: "p against 2/3",
      rel: 1e-8,
      why: "tail of t",
    });
    agrees(fit.factor.value, factor!.value.a, { quantity: "factor", ...closed });
    agrees(fit.factor.interval!.high, factor!.value.upper, { quantity: "upper factor", ...closed });
    agrees(fit.majorAxis.value, axis!.value.b, { quantity: "major axis", ...closed });
    agrees(fit.majorAxis.interval.low, axis!.value.lower, { quantity: "lower axis", ...closed });
    agrees(fit.majorAxis.interval.high, axis!.value.upper, { quantity: "upper axis", ...closed });
    fit.scaled.forEach((value, i) => {
      agrees(value, scaled!.value.y_over_x_to_b[i], { quantity: `scaled ${i}`, ...closed });
    });
  });

  it("refuses a mass of 0", () => {
    expect(() => allometricExponent({ mass: [0, 1, 2], y: [1, 2, 3] })).toThrow(/positive/);
  });
});
