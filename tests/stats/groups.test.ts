import fc from "fast-check";
import * as simple from "simple-statistics";
import { describe, expect, it } from "vitest";
import { adjustForBaseline } from "../../lib/stats/baseline.js";
import type { Estimate } from "../../lib/stats/estimate.js";
import { compareGroups } from "../../lib/stats/groups.js";
import { oneWayAnova } from "../../lib/stats/variance.js";
import { agreeingDigits, agrees } from "../reference/agree.js";
import { agreesAsPrinted, nist, referenceCase } from "../reference/cases.js";

const full = { rel: 3e-14, why: "R gives 15 to 17 digits; a t quantile costs a few of the last" };

describe("compareGroups on the sleep data taken as two groups", () => {
  const sleep = referenceCase("paired", "sleep");
  const effects = referenceCase("effects", "sleep_as_independent").computed;
  const { drug1, drug2 } = sleep.data;

  it("unequal: Welch's t, df, p and interval as R prints them and in full", () => {
    const { difference } = compareGroups(drug1, drug2);
    agreesAsPrinted(difference.statistic!, sleep, "Welch t");
    agreesAsPrinted(difference.df!, sleep, "Welch df");
    agreesAsPrinted(difference.p!, sleep, "Welch p");
    agrees(difference.df!, sleep.computed.welch_df!.value, { quantity: "df", ...full });
    agrees(difference.p!, sleep.computed.welch_p!.value, { quantity: "p", ...full });
    const [low, high] = sleep.computed.welch_ci95!.value;
    agrees(difference.interval!.low, low, { quantity: "low", ...full });
    agrees(difference.interval!.high, high, { quantity: "high", ...full });
  });

  it("equal: pooled t as R prints it and in full", () => {
    const { difference } = compareGroups(drug1, drug2, { variances: "equal" });
    agreesAsPrinted(difference.p!, sleep, "pooled p");
    agreesAsPrinted(difference.interval!.low, sleep, "pooled CI lower");
    agreesAsPrinted(difference.interval!.high, sleep, "pooled CI upper");
    agrees(difference.statistic!, sleep.computed.pooled_t!.value, { quantity: "t", ...full });
    agrees(difference.p!, sleep.computed.pooled_p!.value, { quantity: "p", ...full });
    expect(difference.df).toBe(18);
  });

  it("equal: t is simple-statistics' two-sample t", () => {
    const { difference } = compareGroups(drug1, drug2, { variances: "equal" });
    const theirs = simple.tTestTwoSample(drug1, drug2, 0)!;
    agrees(difference.statistic!, theirs, { quantity: "t", ...full });
  });

  it("hedgesG takes the pooled SD and the exact factor, its interval the non-central t", () => {
    const factor = referenceCase("effects", "hedges_J").computed.exact_gamma_J_df_2_to_50!
      .value[18];
    for (const level of [0.9, 0.95]) {
      const { hedgesG } = compareGroups(drug2, drug1, { level });
      agrees(hedgesG!.value, effects.hedges_g_exact!.value, { quantity: "g", ...full });
      const [low, high] = effects.nct_ci_EXACT_mpmath!.value[String(level)].d;
      const why = "non-central t inverted, itself good to about 1e-12";
      agrees(hedgesG!.interval!.low, factor * low, { quantity: "low", rel: 1e-10, why });
      agrees(hedgesG!.interval!.high, factor * high, { quantity: "high", rel: 1e-10, why });
    }
  });

  it("keeps a difference and leaves out t where neither group varies", () => {
    const result = compareGroups([0.1, 0.1, 0.1], [0.4, 0.4]);
    expect(result.difference).toMatchObject({ se: 0, df: expect.any(Number) });
    expect(result.difference.df).toBeGreaterThan(0);
    expect(result).not.toHaveProperty("hedgesG");
    expect(result.warnings).toHaveLength(1);
    expect(compareGroups([1, 1, 1], [2, 3, 5]).difference.df).toBeCloseTo(2, 12);
  });

  it("refuses a group of one and a variance it does not know", () => {
    expect(() => compareGroups([1], [1, 2])).toThrow(
      "compareGroups, first group: expected at least 2",
    );
    expect(() => compareGroups([1, 2], [1, 2], { variances: "same" as never })).toThrow(
      'expected "unequal" or "equal", got "same"',
    );
  });

  it("turns its sign with the order of groups and scales with the unit", () => {
    const group = fc.array(fc.integer({ min: 100, max: 999 }), { minLength: 2, maxLength: 15 });
    fc.assert(
      fc.property(group, group, fc.constantFrom(0.1, 9.80665), (a, b, unit) => {
        const plain = compareGroups(a, b);
        const turned = compareGroups(
          b.map((x) => unit * x),
          [...a].reverse().map((x) => unit * x),
        );
        expect(turned.difference.value).toBeCloseTo(-unit * plain.difference.value, 7);
        if (plain.pooledSd === 0) return;
        expect(turned.difference.p!).toBeCloseTo(plain.difference.p!, 8);
        const { low, high } = plain.difference.interval!;
        expect(low).toBeLessThanOrEqual(plain.difference.value);
        expect(high).toBeGreaterThanOrEqual(plain.difference.value);
      }),
      { seed: 20260109, numRuns: 40 },
    );
  });
});

function agreesAsRow(actual: Estimate, row: readonly number[], limits: number[], what: string) {
  const [value, se, t, p] = row;
  const near = { rel: 2e-12, why: "R fits by QR and gives 15 digits" };
  agrees(actual.value, value!, { quantity: `${what}, value`, ...near });
  agrees(actual.se!, se!, { quantity: `${what}, se`, ...near });
  agrees(actual.statistic!, t!, { quantity: `${what}, t`, ...near });
  agrees(actual.p!, p!, { quantity: `${what}, p`, ...near, rel: 1e-11 });
  agrees(actual.interval!.low, limits[0]!, { quantity: `${what}, low`, ...near, rel: 1e-11 });
  agrees(actual.interval!.high, limits[1]!, { quantity: `${what}, high`, ...near, rel: 1e-11 });
}

describe("adjustForBaseline (analysis of covariance)", () => {
  const one = referenceCase("paired", "anorexia");
  const { before, after, group } = one.data;
  const computed = (name: string) => one.computed[name]!.value;
  const result = adjustForBaseline({ before, after, group, reference: "CBT" });

  it("gives the published coefficients of the anorexia trial, three arms", () => {
    agreesAsPrinted(result.differences.Cont!.value, one, "TreatCont");
    agreesAsPrinted(result.differences.Cont!.se!, one, "se TreatCont");
    agreesAsPrinted(result.differences.FT!.value, one, "TreatFT");
    expect(result).not.toHaveProperty("difference");
  });

  it("gives R's lm in full: differences, slope, residual SD, test of one slope", () => {
    agreesAsRow(result.differences.Cont!, computed("Cont"), computed("Cont_ci95"), "Cont");
    agreesAsRow(result.differences.FT!, computed("FT"), computed("FT_ci95"), "FT");
    agreesAsRow(result.slope, computed("slope"), computed("slope_ci95"), "slope");
    const near = { rel: 1e-12, why: "R gives 15 digits" };
    agrees(result.residualSd, computed("residual_sd"), { quantity: "residual SD", ...near });
    const { statistic, p, df1, df2 } = result.parallelSlopes!;
    agrees(statistic, computed("parallel_F"), { quantity: "F of slopes", ...near, rel: 1e-11 });
    agrees(p, computed("parallel_p"), { quantity: "p of slopes", ...near, rel: 1e-10 });
    expect([df1, df2]).toEqual([2, computed("parallel_df2")]);
  });

  it("gives `difference` too with two arms", () => {
    const keep = (_: unknown, i: number) => group[i] !== "CBT";
    const two = adjustForBaseline({
      before: before.filter(keep),
      after: after.filter(keep),
      group: group.filter(keep),
      reference: "Cont",
    });
    agreesAsRow(two.difference!, computed("two_arms_FT"), computed("two_arms_ci95"), "FT − Cont");
    expect(two.differences.FT).toBe(two.difference);
    agrees(two.slope.value, computed("two_arms_slope")[0], {
      quantity: "slope",
      rel: 1e-12,
      why: "R gives 15 digits",
    });
  });

  it("adjusts means to the mean baseline, so that they differ by the difference", () => {
    const mean = (name: string) => result.groups.find((arm) => arm.group === name)!.adjustedMean;
    expect(mean("FT") - mean("CBT")).toBeCloseTo(result.differences.FT!.value, 10);
  });

  it("refuses a reference that is no arm, one arm, too few people, and a flat baseline", () => {
    const columns = { before: [1, 2, 3, 4], after: [2, 3, 5, 4], group: ["a", "a", "b", "b"] };
    expect(() => adjustForBaseline({ ...columns, reference: "c" })).toThrow(
      'expected the reference arm "c" among the labels, got "a", "b"',
    );
    expect(() =>
      adjustForBaseline({ ...columns, group: ["a", "a", "a", "a"], reference: "a" }),
    ).toThrow("at least two arms");
    expect(() =>
      adjustForBaseline({ ...columns, group: ["a", "b", "c", "d"], reference: "a" }),
    ).toThrow("more than 5 people for 4 arms");
    expect(() => adjustForBaseline({ ...columns, before: [1, 1, 2, 2], reference: "a" })).toThrow(
      "adjustForBaseline, before: expected values of before that differ within an arm",
    );
  });

  it("says when the fit is exact", () => {
    const exact = adjustForBaseline({
      before: [1, 2, 3, 1, 2, 3],
      after: [1, 2, 3, 3, 4, 5],
      group: ["c", "c", "c", "t", "t", "t"],
      reference: "c",
    });
    expect(exact.difference).toMatchObject({ value: 2, se: 0 });
    expect(exact.warnings).toHaveLength(1);
  });
});

describe("oneWayAnova", () => {
  for (const [name, digits] of [
    ["SiRstv", 12.1],
    ["SmLs01", 14],
    ["SmLs04", 9.1],
    ["SmLs07", 3],
  ] as const) {
    it(`keeps NIST StRD ${name}'s certified table to ${digits} digits`, () => {
      const { data, certified } = nist(name);
      const labels = data.groups.flatMap((group: number[], i: number) => group.map(() => `${i}`));
      const result = oneWayAnova(data.groups.flat(), labels);
      for (const [actual, expected] of [
        [result.statistic!, certified.F],
        [result.between.sumOfSquares, certified.between.ss],
        [result.within.sumOfSquares, certified.within.ss],
        [result.within.meanSquare, certified.within.ms],
        [result.rSquared!, certified.rSquared],
        [result.residualSd, certified.residualSD],
      ]) {
        expect(agreeingDigits(actual!, expected!)).toBeGreaterThanOrEqual(digits);
      }
      expect([result.between.df, result.within.df]).toEqual([
        certified.between.df,
        certified.within.df,
      ]);
    });
  }

  it("gives R's F and p for the gear diameters of NIST's handbook", () => {
    const { data, computed } = referenceCase("descriptives", "gear");
    const x: number[] = data.diameter_10_batches_of_10;
    const result = oneWayAnova(
      x,
      x.map((_, i) => `batch ${Math.floor(i / 10)}`),
    );
    const { F, p } = computed.oneway_anova!.value;
    const why = "R squares deviations of data with three decimals near 1";
    agrees(result.statistic!, F, { quantity: "F", rel: 1e-11, why });
    agrees(result.p!, p, { quantity: "p", rel: 1e-10, why });
  });

  it("says when nothing varies, and refuses one group or one value a group", () => {
    const flat = oneWayAnova([1, 1, 2, 2], ["a", "a", "b", "b"]);
    expect(flat).not.toHaveProperty("statistic");
    expect(flat.warnings).toHaveLength(1);
    expect(() => oneWayAnova([1, 2, 3], ["a", "a", "a"])).toThrow("1 groups of 3 values");
    expect(() => oneWayAnova([1, 2, 3], ["a", "b", "c"])).toThrow("3 groups of 3 values");
  });
});
