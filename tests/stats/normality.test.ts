import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { normality } from "../../lib/stats/normality.js";
import { agrees } from "../reference/agree.js";
import { agreesAsPrinted, referenceCase } from "../reference/cases.js";

describe("normality (Shapiro–Wilk by Royston 1995)", () => {
  for (const id of [
    "shapiro_wilk_mens_weights",
    "one_to_ten",
    "sleep_diff",
    "nist_outliers",
    "shapiro_three",
    "shapiro_four",
    "shapiro_five",
    "shapiro_six",
    "shapiro_twelve",
    "shapiro_rivers",
    "shapiro_precip",
  ]) {
    it(`gives R's W and p: ${id}`, () => {
      const { data, computed } = referenceCase("descriptives", id);
      const { W, p } = computed.shapiro_wilk!.value;
      const result = normality(data.x);
      agrees(result.w!, W, { quantity: "W", rel: 1e-13, why: "weights from normal quantiles" });
      agrees(result.p!, p, { quantity: "p", rel: 1e-11, why: "p magnifies the rounding of 1 − W" });
    });
  }

  it("rounds to the W of Shapiro and Wilk's 11 weights (1965, p. 606)", () => {
    const one = referenceCase("descriptives", "shapiro_wilk_mens_weights");
    agreesAsPrinted(normality(one.data.x).w!, one, "W");
  });

  it("gives p = 1 to the three values that fit best and never less than 0", () => {
    expect(normality([1, 2, 3])).toMatchObject({ w: 1, p: 1 });
    expect(normality([0, 0, 1]).p).toBeCloseTo(0, 7);
  });

  it("leaves W out, with a warning, where every value is the same", () => {
    const result = normality([4, 4, 4, 4]);
    expect(result).not.toHaveProperty("w");
    expect(result.warnings[0]).toMatch(/same/);
  });

  it("refuses what the approximation was not made for", () => {
    expect(() => normality([1, 2])).toThrow(/at least 3/);
    expect(() => normality(new Float64Array(5001).map((_, i) => i))).toThrow(/at most 5000/);
  });

  it("does not change with shift, scale, mirror or order", () => {
    const column = fc.uniqueArray(fc.integer({ min: -999, max: 999 }), {
      minLength: 3,
      maxLength: 40,
    });
    fc.assert(
      fc.property(column, fc.constantFrom(-3, 0.01, 7e120), (x, unit) => {
        const plain = normality(x);
        const moved = normality(x.map((value) => unit * value).reverse());
        expect(moved.w!).toBeCloseTo(plain.w!, 10);
        expect(plain.w!).toBeGreaterThan(0);
        expect(plain.w!).toBeLessThanOrEqual(1);
        expect(plain.p!).toBeGreaterThanOrEqual(0);
        expect(plain.p!).toBeLessThanOrEqual(1);
      }),
      { seed: 20260108 },
    );
  });
});
