import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { agreement } from "../../lib/stats/agreement.js";
import { agrees } from "../reference/agree.js";
import { agreesAsPrinted, referenceCase } from "../reference/cases.js";

const full = { rel: 1e-13, why: "R gives 15 to 17 digits of differences of whole numbers" };

describe("agreement of the two PEFR meters (Bland & Altman 1986)", () => {
  const one = referenceCase("reliability", "bland_altman_1986");
  const value = (name: string) => one.computed[`wright1_minus_mini1_${name}`]!.value;
  const { wright1, mini1 } = one.data;
  const result = agreement(wright1, mini1);

  it("gives the printed bias, SD and standard error", () => {
    agreesAsPrinted(result.bias.value, one, "mean difference");
    agreesAsPrinted(result.sdDifference, one, "SD");
    agreesAsPrinted(result.bias.se!, one, "SE mean");
    agreesAsPrinted(result.bias.interval!.high, one, "CI of bias upper");
  });

  it("sets limits at the normal quantile, where the paper took 2 SD of rounded figures", () => {
    const [lower, upper] = value("loa_exact_z");
    agrees(result.lower.value, lower, { quantity: "lower limit", ...full });
    agrees(result.upper.value, upper, { quantity: "upper limit", ...full });
    const [low, high] = value("loa_1.96");
    const why = "1.96 for the quantile 1.95996";
    agrees(result.lower.value, low, { quantity: "lower limit", rel: 2e-5, why });
    agrees(result.upper.value, high, { quantity: "upper limit", rel: 2e-5, why });
    const [bias, sd] = [value("bias"), value("sd")];
    agrees(bias - 2 * sd, value("loa_2sd")[0], { quantity: "the paper's 2 SD", ...full });
  });

  it("takes exact intervals of the limits from the non-central t", () => {
    const [low, high] = value("exact_nct_ci_for_upper_limit");
    const why = "R's non-central t is good to about 1e-11";
    agrees(result.upper.interval!.low, low, { quantity: "upper limit, low", rel: 1e-10, why });
    agrees(result.upper.interval!.high, high, { quantity: "upper limit, high", rel: 1e-10, why });
    const lower = referenceCase("reliability", "pefr_slope").computed.lower_exact_ci95!.value;
    agrees(result.lower.interval!.low, lower[0], { quantity: "lower limit, low", rel: 1e-10, why });
    agrees(result.lower.interval!.high, lower[1], {
      quantity: "lower limit, high",
      rel: 1e-10,
      why,
    });
  });

  it("offers the approximation of 1986 by name", () => {
    const old = agreement(wright1, mini1, { limitIntervals: "1986" });
    const { lower, upper } = value("ci_limits_1.96sd_with_approx_se");
    const near = { rel: 4e-5, why: "1.96 for the quantile 1.95996" };
    agrees(old.lower.interval!.low, lower[0], { quantity: "lower, low", ...near });
    agrees(old.lower.interval!.high, lower[1], { quantity: "lower, high", ...near });
    agrees(old.upper.interval!.low, upper[0], { quantity: "upper, low", ...near });
    agrees(old.upper.interval!.high, upper[1], { quantity: "upper, high", ...near });
    expect(old.upper.interval!.method).toContain("1986");
    expect(old.bias).toEqual(result.bias);
    agreesAsPrinted(old.upper.se!, one, "SE of limit");
    expect(result.upper).not.toHaveProperty("se");
    const half = (old.upper.interval!.high - old.upper.interval!.low) / 2;
    agrees(half, 2.1199052992 * value("se_limit_approx_sqrt_3s2_over_n"), {
      quantity: "half width, t(16) = 2.1199",
      rel: 1e-9,
      why: "ten digits of the t quantile",
    });
  });

  it("asks for proportional bias by the slope of difference on mean", () => {
    const { slope, slope_ci95 } = referenceCase("reliability", "pefr_slope").computed;
    const near = { rel: 1e-11, why: "R's lm, 15 digits" };
    const [estimate, se, , p] = slope!.value;
    agrees(result.proportional!.value, estimate, { quantity: "slope", ...near });
    agrees(result.proportional!.se!, se, { quantity: "se", ...near });
    agrees(result.proportional!.p!, p, { quantity: "p", ...near });
    agrees(result.proportional!.interval!.low, slope_ci95!.value[0], { quantity: "low", ...near });
  });
});

describe("agreement at the edges", () => {
  it("keeps a constant difference without t, and says so", () => {
    const result = agreement([28, 14.3, 20.1], [14, 0.3, 6.1]);
    expect(result).toMatchObject({ sdDifference: 0, bias: { value: 14, se: 0 } });
    expect(result.lower).toMatchObject({ value: 14, interval: { low: 14, high: 14 } });
    expect(result.proportional).toMatchObject({ value: 0, se: 0 });
    expect(result.warnings).toHaveLength(1);
  });

  it("leaves proportional out where the means of the pairs are one", () => {
    const result = agreement([1, 2, 3], [3, 2, 1]);
    expect(result).not.toHaveProperty("proportional");
    expect(result.warnings).toHaveLength(1);
  });

  it("refuses two people and an unknown kind of interval", () => {
    expect(() => agreement([1, 2], [2, 3])).toThrow(/at least 3/);
    expect(() => agreement([1, 2, 3], [2, 3, 4], { limitIntervals: "1999" as never })).toThrow(
      '"exact" or "1986"',
    );
  });

  it("turns about 0 when the two change places, and holds its limits in their intervals", () => {
    const reading = fc.integer({ min: 100, max: 999 });
    const people = fc.array(fc.tuple(reading, reading), { minLength: 3, maxLength: 20 });
    fc.assert(
      fc.property(people, (pairs) => {
        const [a, b] = [pairs.map(([x]) => x), pairs.map(([, y]) => y)];
        const there = agreement(a, b);
        const back = agreement(b, a);
        expect(back.lower.value).toBeCloseTo(-there.upper.value, 9);
        expect(back.upper.interval!.high).toBeCloseTo(-there.lower.interval!.low, 6);
        for (const limit of [there.lower, there.upper]) {
          expect(limit.interval!.low).toBeLessThanOrEqual(limit.value + 1e-9);
          expect(limit.interval!.high).toBeGreaterThanOrEqual(limit.value - 1e-9);
        }
      }),
      { seed: 20260112, numRuns: 25 },
    );
  });
});
