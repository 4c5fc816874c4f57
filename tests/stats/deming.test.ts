import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { InputError } from "../../lib/errors.js";
import { fitDeming } from "../../lib/stats/deming.js";
import { agrees } from "../reference/agree.js";
import { agreesAsPrinted, referenceCase } from "../reference/cases.js";

const full = { rel: 1e-12, why: "R prints 15 to 17 digits; its own rounding is a few of the last" };

describe("fitDeming on Pearson's ten points (1901)", () => {
  const pearson = referenceCase("regression", "pearson_1901");
  const { x, y } = pearson.data;

  it("gives Pearson's printed slope of the orthogonal line", () => {
    const { slope, intercept } = fitDeming({ x, y });
    agreesAsPrinted(slope.value, pearson, "slope");
    // Pearson rounded his sums: his intercept 5.7857 belongs to slope −0.546 exactly.
    agrees(intercept.value, 5.7857, {
      quantity: "intercept",
      rel: 5e-4,
      why: "printed, rounded sums",
    });
  });

  it("is the first principal axis when the error variances are equal", () => {
    const axis = pearson.computed.orthogonal_check_prcomp_slope!.value;
    agrees(fitDeming({ x, y }).slope.value, axis, { quantity: "slope", ...full });
  });

  it.each([1, 0.5, 2])(
    "gives slope, intercept and jackknife errors at variance ratio %d",
    (ratio) => {
      const fit = fitDeming({ x, y }, { varianceRatio: ratio });
      const wanted = pearson.computed[`deming_lambda_${ratio}`]!.value;
      agrees(fit.slope.value, wanted.slope, { quantity: "slope", ...full });
      agrees(fit.intercept.value, wanted.intercept, { quantity: "intercept", ...full });
      agrees(fit.slope.se!, wanted.jack_se_slope, { quantity: "se of slope", ...full });
      agrees(fit.intercept.se!, wanted.jack_se_intercept, { quantity: "se of intercept", ...full });
    },
  );

  it("takes t on n − 2 degrees of freedom", () => {
    const { interval, df } = fitDeming({ x, y }).slope;
    const [low, high] = pearson.computed.deming_lambda1_slope_ci95_jackknife_t_n_minus_2!.value;
    expect(df).toBe(8);
    agrees(interval!.low, low, { quantity: "lower limit", ...full });
    agrees(interval!.high, high, { quantity: "upper limit", ...full });
  });
});

describe("fitDeming behaves", () => {
  const points = fc
    .array(fc.tuple(fc.integer({ min: -99, max: 99 }), fc.integer({ min: -99, max: 99 })), {
      minLength: 5,
      maxLength: 12,
    })
    .map((rows) => [rows.map(([x]) => x), rows.map(([x, y]) => 2 * x + y / 3)] as const)
    .filter(([x]) => new Set(x).size > 3);

  it("swapping the axes turns the slope over, which least squares does not", () => {
    fc.assert(
      fc.property(points, fc.constantFrom(0.25, 1, 4), ([x, y], ratio) => {
        const there = fitDeming({ x, y }, { varianceRatio: ratio }).slope.value;
        const back = fitDeming({ x: y, y: x }, { varianceRatio: 1 / ratio }).slope.value;
        expect(Math.abs(there * back - 1)).toBeLessThan(1e-8);
      }),
      { seed: 31, numRuns: 200 },
    );
  });

  it("shifts move the intercept alone", () => {
    fc.assert(
      fc.property(points, fc.integer({ min: -50, max: 50 }), ([x, y], shift) => {
        const fit = fitDeming({ x, y });
        const moved = fitDeming({ x, y: y.map((value) => value + shift) });
        const scale = 1e-8 * (1 + Math.abs(fit.slope.value)) ** 3;
        expect(Math.abs(moved.slope.value - fit.slope.value)).toBeLessThan(scale);
        const rise = moved.intercept.value - fit.intercept.value - shift;
        expect(Math.abs(rise)).toBeLessThan(1e3 * scale);
      }),
      { seed: 32, numRuns: 200 },
    );
  });

  it("points on a line give that line, no width and a warning", () => {
    const fit = fitDeming({ x: [0, 1, 2, 3], y: [1, 3, 5, 7] });
    expect(fit.slope.value).toBe(2);
    expect(fit.slope.se).toBe(0);
    expect(fit.warnings).toEqual(["the points lie exactly on a line"]);
  });

  it.each([
    [() => fitDeming({ x: [1, 2], y: [1, 2] }), "fitDeming, x: expected at least 3 values"],
    [() => fitDeming({ x: [1, 1, 1], y: [1, 2, 3] }), "fitDeming, x: expected values that differ"],
    [() => fitDeming({ x: [1, 2, 3], y: [4, 4, 4] }), "fitDeming, y: expected values that differ"],
    [() => fitDeming({ x: [1, 2, 3, 4], y: [1, 2, 3] }), "fitDeming, y: expected 4 values"],
    [
      () => fitDeming({ x: [1, 2, 3], y: [1, 2, 4] }, { varianceRatio: 0 }),
      "fitDeming, varianceRatio",
    ],
    [
      () => fitDeming({ x: [-1, 0, 1, 0], y: [0, 1, 0, -1] }),
      "fitDeming: expected columns that rise or fall",
    ],
  ])("refusal %#", (call, message) => {
    expect(call).toThrow(InputError);
    expect(call).toThrow(message);
  });
});
