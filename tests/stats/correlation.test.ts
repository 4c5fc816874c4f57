import fc from "fast-check";
import * as simple from "simple-statistics";
import { describe, expect, it } from "vitest";
import { InputError } from "../../lib/errors.js";
import { correlation } from "../../lib/stats/correlation.js";
import { midranks } from "../../lib/stats/ranks.js";
import { repeatedMeasuresCorrelation } from "../../lib/stats/repeated-correlation.js";
import { agrees } from "../reference/agree.js";
import { agreesAsPrinted, referenceCase } from "../reference/cases.js";

const full = { rel: 1e-12, why: "R prints 15 to 17 digits; its own rounding is a few of the last" };

describe("correlation, Pearson's", () => {
  it("gives the printed .776 of the law school data (Efron & Tibshirani 1993)", () => {
    const law = referenceCase("correlation", "law");
    const { value } = correlation(law.data.LSAT, law.data.GPA);
    agreesAsPrinted(value, law, "correlation");
    agrees(value, law.computed.r!.value, { quantity: "r", ...full });
    const second = simple.sampleCorrelation(law.data.LSAT, law.data.GPA);
    agrees(value, second, { quantity: "r by simple-statistics", ...full });
  });

  it.each(["1", "2", "3", "4"])("gives r, p and Fisher's interval on Anscombe's set %s", (set) => {
    const { data, computed } = referenceCase("correlation", "anscombe");
    const ours = correlation(data[`x${set}`], data[`y${set}`]);
    const [low, high] = computed[`set${set}_pearson_ci95`]!.value;
    agrees(ours.value, computed[`set${set}_pearson_r`]!.value, { quantity: "r", ...full });
    agrees(ours.p, computed[`set${set}_pearson_p`]!.value, { quantity: "p", ...full });
    agrees(ours.interval!.low, low, { quantity: "lower limit", ...full });
    agrees(ours.interval!.high, high, { quantity: "upper limit", ...full });
    expect(ours.df).toBe(9);
  });

  it("keeps p near r = 1, where 1 − r² has lost its digits (NIST Norris)", () => {
    const { data, computed } = referenceCase("correlation", "norris");
    const ours = correlation(data.x, data.y);
    agrees(ours.value, computed.ols_pearson_r!.value, { quantity: "r", ...full });
    // The slope's p: R's cor.test, from 1 − r², differs from it in the tenth digit.
    const p = computed.ols_p!.value.slope;
    agrees(ours.p, p, { quantity: "p", rel: 1e-11, why: "t ≈ 2332 to the 34th power" });
  });

  it("gives the interval .060 to .817 for r = .54, n = 16 (Brown et al. 2011, lead-hand grip)", () => {
    const turn = (i: number) => (2 * Math.PI * i) / 16;
    const x = Array.from({ length: 16 }, (_, i) => Math.cos(turn(i)));
    const y = x.map((u, i) => 0.54 * u + Math.sqrt(1 - 0.54 ** 2) * Math.sin(turn(i)));
    const { value, interval, p } = correlation(x, y);
    agrees(value, 0.54, { quantity: "r", rel: 1e-12, why: "made so" });
    agrees(interval!.low, 0.06, { quantity: "lower limit", rel: 0.5 / 60, why: "three decimals" });
    agrees(interval!.high, 0.817, {
      quantity: "upper limit",
      rel: 0.5 / 817,
      why: "three decimals",
    });
    expect(p).toBeLessThan(0.05); // printed as p < 0.05
  });
});

describe("correlation, Spearman's exact p", () => {
  const swiss = referenceCase("exact-tests", "swiss_rank_correlation");
  const counted = { rel: 1e-9, why: "counts of orders divided by their number" };

  it.each(Object.keys(swiss.computed))("counts every order: %s", (name) => {
    const { value } = swiss.computed[name]!;
    const first = (column: number[]) => column.slice(0, value.n);
    const x = value.x ?? first(swiss.data.x);
    const y = value.y ?? first(swiss.data.y);
    const ours = correlation(x, y, { kind: "spearman" });
    agrees(ours.value, value.rho, { quantity: "rho", ...counted });
    agrees(ours.p, value.p_two_sided_as_far_from_zero, { quantity: "p", ...counted });
    expect(ours.exact).toBe(true);
    expect(ours.warnings.join()).not.toContain("line");
  });

  it("has no interval at a rank correlation of 1, and no p of 0", () => {
    for (const n of [3, 4, 9, 12]) {
      const x = Array.from({ length: n }, (_, i) => i * i);
      const ours = correlation(x, x, { kind: "spearman" });
      expect(ours).not.toHaveProperty("interval");
      expect(ours.p).toBeGreaterThan(0);
    }
    // 12 rows in step, in either direction: 2 of 12! orders
    const x = Array.from({ length: 12 }, (_, i) => i);
    expect(correlation(x, x, { kind: "spearman" }).p).toBeCloseTo(2 / 479001600, 15);
  });

  it("draws orders when asked, and comes near the count", () => {
    const x = [15, 6, 5, 12, 17, 9, 16, 14, 3, 8];
    const y = [12, 9, 5, 7, 15, 7, 7, 8, 6, 11];
    const drawn = correlation(x, y, { kind: "spearman", resamples: 20_000, seed: 2 });
    const approximate = correlation(x, y, { kind: "spearman" });
    expect(drawn.exact).toBe(false);
    expect(Math.abs(drawn.p - approximate.p)).toBeLessThan(0.02);
    expect(() => correlation(x, y, { kind: "spearman", resamples: 99 })).toThrow(/seed/);
    expect(() => correlation(x, y, { seed: 1 })).toThrow(/spearman/);
  });
});

describe("correlation, Spearman's with midranks", () => {
  it("gives rho, t and p of the tied stopping distances, and the Bonett–Wright interval", () => {
    const { data, computed } = referenceCase("correlation", "cars");
    const ours = correlation(data.speed, data.dist, { kind: "spearman" });
    agrees(ours.value, computed.ols_spearman_rho_midrank!.value, { quantity: "rho", ...full });
    agrees(ours.statistic!, computed.spearman_t!.value, { quantity: "t", ...full });
    agrees(ours.p, computed.spearman_p_t!.value, { quantity: "p", ...full });
    const [low, high] = computed.spearman_ci95_bonett_wright!.value;
    agrees(ours.interval!.low, low, { quantity: "lower limit", ...full });
    agrees(ours.interval!.high, high, { quantity: "upper limit", ...full });
  });

  it.each(["1", "2", "3", "4"])("gives rho on Anscombe's set %s", (set) => {
    const { data, computed } = referenceCase("correlation", "anscombe");
    const { value } = correlation(data[`x${set}`], data[`y${set}`], { kind: "spearman" });
    agrees(value, computed[`set${set}_spearman_rho_midrank`]!.value, { quantity: "rho", ...full });
  });

  it("tied values share the mean of their ranks", () => {
    expect([...midranks([3, 1, 3, 2, 3])]).toEqual([4, 1, 4, 2, 4]);
  });
});

describe("repeatedMeasuresCorrelation on pH and PaCO2 (Bland & Altman 1995)", () => {
  const bland = referenceCase("correlation", "bland1995");
  const { Subject, pH, PaCO2 } = bland.data;
  const subject = Subject.map(String);
  const ours = repeatedMeasuresCorrelation(subject, PaCO2, pH);

  it("gives the printed r = −0.51 on 38 degrees of freedom", () => {
    agreesAsPrinted(ours.value, bland, "r within subjects");
    expect(ours.df).toBe(38);
    agreesAsPrinted(ours.value, bland, "r (rmcorr)");
    agreesAsPrinted(ours.p, bland, "p (rmcorr)");
    agreesAsPrinted(ours.interval!.low, bland, "CI lower (rmcorr)");
    agreesAsPrinted(ours.interval!.high, bland, "CI upper (rmcorr)");
  });

  it("gives R's full digits from the analysis of covariance", () => {
    const at = (quantity: string) => bland.computed[quantity]!.value;
    agrees(ours.value, at("r_rm"), { quantity: "r", ...full });
    agrees(ours.p, at("p"), { quantity: "p", ...full });
    agrees(ours.statistic! ** 2, at("F"), { quantity: "t² = F", ...full });
    agrees(ours.commonSlope, at("common_slope"), { quantity: "common slope", ...full });
    const [low, high] = at("ci95_fisher_z_se_1_over_sqrt_df_minus_1");
    agrees(ours.interval!.low, low, { quantity: "lower limit", ...full });
    agrees(ours.interval!.high, high, { quantity: "upper limit", ...full });
  });

  it("is neither the pooled correlation nor that of the means", () => {
    const pooled = correlation(PaCO2, pH).value;
    const naive = bland.computed.naive_pooled_pearson!.value;
    agrees(pooled, naive, { quantity: "pooled r", rel: 1e-11, why: "a small r of large numbers" });
    expect(Math.abs(pooled - ours.value)).toBeGreaterThan(0.4);
  });

  it("a person with a single row adds nothing, and is counted in a warning", () => {
    const more = repeatedMeasuresCorrelation([...subject, "new"], [...PaCO2, 9], [...pH, 9]);
    expect(more.value).toBe(ours.value);
    expect(more.df).toBe(38);
    expect(more.warnings).toEqual(["people with a single row, who add nothing: 1"]);
  });
});

describe("correlations behave", () => {
  const pairs = fc
    .array(fc.tuple(fc.integer({ min: -99, max: 99 }), fc.integer({ min: -99, max: 99 })), {
      minLength: 4,
      maxLength: 15,
    })
    .filter((rows) => [0, 1].every((c) => new Set(rows.map((row) => row[c])).size > 2));

  it("stay within −1 and 1, inside their interval, and survive swapping, shifting, scaling", () => {
    fc.assert(
      fc.property(pairs, fc.constantFrom("pearson" as const, "spearman" as const), (rows, kind) => {
        const x = rows.map((row) => row[0]);
        const y = rows.map((row) => row[1]);
        const { value, interval, p } = correlation(x, y, { kind });
        expect(Math.abs(value)).toBeLessThanOrEqual(1);
        if (Math.abs(value) < 1 - 1e-9) {
          expect(interval!.low).toBeLessThanOrEqual(value + 1e-12);
          expect(interval!.high).toBeGreaterThanOrEqual(value - 1e-12);
        }
        expect(p).toBeGreaterThanOrEqual(0);
        expect(p).toBeLessThanOrEqual(1);
        const moved = correlation(
          y,
          x.map((v) => 3 * v + 7),
          { kind },
        );
        expect(Math.abs(moved.value - value)).toBeLessThan(1e-12);
        const turned = correlation(
          x.map((v) => -v),
          y,
          { kind },
        );
        expect(Math.abs(turned.value + value)).toBeLessThan(1e-12);
      }),
      { seed: 51, numRuns: 300 },
    );
  });

  it("points on a line: r is 1 exactly, p is 0, and a warning", () => {
    const perfect = correlation([1, 2, 3, 4], [2, 4, 6, 8]);
    expect(perfect.value).toBe(1);
    expect(perfect.p).toBe(0);
    expect(perfect).not.toHaveProperty("statistic");
    expect(perfect).not.toHaveProperty("interval");
    expect(perfect.warnings).toEqual([
      "a correlation of 1 or −1 has no interval",
      "the points lie exactly on a line",
    ]);
    expect(JSON.parse(JSON.stringify(perfect))).toEqual(perfect);
  });

  it("three rows give no interval, and say so", () => {
    const three = correlation([1, 2, 3], [1, 3, 2]);
    expect(three).not.toHaveProperty("interval");
    expect(three.warnings).toEqual(["too few rows for an interval"]);
  });

  it.each([
    [() => correlation([1, 2], [1, 2]), "correlation, x: expected at least 3 values"],
    [() => correlation([1, 2, 3], [1, 2, 3, 4]), "correlation, y: expected 3 values, got 4"],
    [() => correlation([0.1, 0.1, 0.1], [1, 2, 3]), "correlation, x: expected values that differ"],
    [() => correlation([1, 2, 3], [5, 5, 5]), "correlation, y: expected values that differ"],
    [() => correlation([1, 2, 3], [1, 2, 4], { kind: "kendall" as "pearson" }), 'got "kendall"'],
    [
      () => repeatedMeasuresCorrelation(["a", "b", "c"], [1, 2, 3], [1, 2, 3]),
      "repeatedMeasuresCorrelation: expected at least two more rows than people, got 3 rows of 3",
    ],
    [
      () => repeatedMeasuresCorrelation(["a", "a", "a", "b"], [1, 1, 1, 2], [1, 2, 3, 4]),
      "repeatedMeasuresCorrelation, x within each person: expected values that differ",
    ],
  ])("refusal %#", (call, message) => {
    expect(call).toThrow(InputError);
    expect(call).toThrow(message);
  });
});
