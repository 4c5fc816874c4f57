import fc from "fast-check";
import { describe, expect, it } from "vitest";
import {
  planPaired,
  planPrecision,
  planTwoGroups,
  powerPaired,
  powerTwoGroups,
} from "../../lib/stats/plan.js";
import { agrees } from "../reference/agree.js";
import { agreesAsPrinted, referenceCase } from "../reference/cases.js";

const reference = referenceCase("plan", "t_tests");
const { computed } = reference;
const exact = computed.EXACT_mpmath!.value;
const precise = { rel: 1e-12, why: "52-digit non-central t" };
const byR = { rel: 1e-9, why: "R's pt is good to about 1e-11 here" };

describe("power by the non-central t, both tails", () => {
  it("agrees with 52-digit arithmetic", () => {
    const cohen = powerTwoGroups({ n1: 30, n2: 30, difference: 2, sd: 2.8 });
    const one = powerTwoGroups({ n1: 20, n2: 20, difference: 1, sd: 1 });
    agrees(one, exact.two_sample_n20_d1[1], { quantity: "n 20, d 1", ...precise });
    agrees(cohen, exact["cohen_ex2.1"][1], { quantity: "Cohen 2.1", ...precise });
    const small = powerPaired({ n: 60, difference: 0.2, sdChange: 1, level: 0.9 });
    agrees(small, exact["cohen_ex2.5_one_sample_alpha.10"][1], {
      quantity: "Cohen 2.5",
      ...precise,
    });
    const paired = powerPaired({ n: 40, difference: 8, sdChange: 16 * Math.sqrt(0.8) });
    agrees(paired, exact.cohen_p50_paired[1], { quantity: "Cohen p. 50", ...precise });
    for (const [n, d] of [
      [64, 0.5],
      [26, 0.8],
      [393, 0.2],
    ] as const) {
      const power = powerTwoGroups({ n1: n, n2: n, difference: d, sd: 1 });
      agrees(power, exact[`n${n}_d${String(d).slice(1)}`][1], { quantity: `n ${n}`, ...precise });
    }
  });

  it("rounds to the printed powers", () => {
    const n64 = powerTwoGroups({ n1: 64, n2: 64, difference: 0.5, sd: 1 });
    agreesAsPrinted(n64, reference, "n=64 per group d=.5");
    const n26 = powerTwoGroups({ n1: 26, n2: 26, difference: 0.8, sd: 1 });
    agreesAsPrinted(n26, reference, "n=26 per group d=.8");
    const paired = powerPaired({ n: 40, difference: 8, sdChange: 16 * Math.sqrt(0.8) });
    agreesAsPrinted(paired, reference, "Cohen paired p.50");
    const one = powerPaired({ n: 60, difference: 0.2, sdChange: 1, level: 0.9 });
    agreesAsPrinted(one, reference, "Cohen one-sample p.47");
    const r = powerTwoGroups({ n1: 20, n2: 20, difference: 1, sd: 1 });
    // R prints the one region in the direction of the effect: 2e-7 less.
    agrees(r, 0.8689528, { quantity: "R ?power.t.test", rel: 3e-7, why: "both tails counted" });
  });

  it("agrees with R at tiny n and tiny effects", () => {
    agrees(powerPaired({ n: 2, difference: 1, sdChange: 1 }), computed.paired_n2_d1!.value, {
      quantity: "n 2",
      ...byR,
    });
    const tiny = powerTwoGroups({ n1: 3, n2: 3, difference: 0.01, sd: 1 });
    agrees(tiny, computed["two_sample_n3_d.01"]!.value, { quantity: "d 0.01", ...byR });
    agrees(powerPaired({ n: 9, difference: 0, sdChange: 3 }), 0.05, {
      quantity: "no effect",
      rel: 1e-13,
      why: "the level of the test itself",
    });
  });
});

describe("sample sizes are the smallest whole numbers", () => {
  const root = (name: string): number => computed[name]!.value;

  it("paired: gains of 1.6 and 4 % with a typical error of 1.5 % take 16 and 5", () => {
    for (const [gain, n] of [
      [1.6, 16],
      [4, 5],
    ] as const) {
      const plan = planPaired({ difference: gain, sdChange: 1.5 * Math.SQRT2 });
      expect(plan.n).toBe(n);
      agrees(plan.power, root(`paired_gain_${gain}_n${n}`), { quantity: `gain ${gain}`, ...byR });
      expect(root(`paired_gain_${gain}_n${n - 1}`)).toBeLessThan(0.8);
    }
    expect(planPaired({ difference: -0.5, sdChange: 2 }).n).toBe(
      Math.ceil(root("paired_n_for_.80_d.25")),
    );
  });

  it("two groups", () => {
    const ninety = planTwoGroups({ difference: 1, sd: 1, power: 0.9 });
    expect([ninety.n1, ninety.n2]).toEqual([23, 23]);
    expect(Math.ceil(root("two_sample_n_for_power.90_delta1_strict"))).toBe(23);
    const strict = planTwoGroups({ difference: 3, sd: 2.5, level: 0.99, power: 0.95 });
    expect(strict.n1).toBe(Math.ceil(root("two_sample_n_for_.95_alpha.01")));
    const faint = planTwoGroups({ difference: 0.2, sd: 1 });
    expect(faint.n2).toBe(Math.ceil(root("two_sample_n_for_.80_d.2")));
  });

  it("two groups of unequal size: n2 is n1·ratio rounded up", () => {
    const plan = planTwoGroups({ difference: 1, sd: 1, power: 0.9, ratio: 2 });
    expect(plan.n2).toBe(2 * plan.n1);
    expect(plan.power).toBeGreaterThanOrEqual(0.9);
    const less = powerTwoGroups({ n1: plan.n1 - 1, n2: plan.n2 - 2, difference: 1, sd: 1 });
    expect(less).toBeLessThan(0.9);
    // 20 × 1.1 is a rounding error above 22 in doubles.
    const tenth = planTwoGroups({ difference: 0.9, sd: 1, ratio: 1.1 });
    expect([tenth.n1, tenth.n2]).toEqual([20, 22]);
  });

  it("precision", () => {
    const plan = planPrecision({ halfWidth: 1, sdChange: 2 });
    expect(plan.n).toBe(Math.ceil(root("half_width_1_sd_2")));
    expect(plan.halfWidth).toBeLessThanOrEqual(1);
    const ninety = planPrecision({ halfWidth: 1, sdChange: 5, level: 0.9 });
    expect(ninety.n).toBe(Math.ceil(root("half_width_1_sd_5_level_90")));
  });

  it("is minimal for any plan", () => {
    const positive = fc.double({ min: 0.05, max: 5, noNaN: true });
    const share = fc.double({ min: 0.3, max: 0.99, noNaN: true });
    fc.assert(
      fc.property(positive, positive, share, (difference, sdChange, power) => {
        const { n } = planPaired({ difference, sdChange, power });
        expect(powerPaired({ n, difference, sdChange })).toBeGreaterThanOrEqual(power);
        if (n > 2) expect(powerPaired({ n: n - 1, difference, sdChange })).toBeLessThan(power);
      }),
      { seed: 41, numRuns: 200 },
    );
  });
});

describe("plans refuse what makes no sense", () => {
  it("names the argument", () => {
    expect(() => planPaired({ difference: 0, sdChange: 1 })).toThrow(
      /planPaired, difference.*other than 0/,
    );
    expect(() => planPaired({ difference: 1, sdChange: 0 })).toThrow(/sdChange.*positive/);
    expect(() => planPaired({ difference: 1, sdChange: 1, power: 80 })).toThrow(
      /power.*such as 0.8/,
    );
    expect(() => planPaired({ difference: 1, sdChange: 1, level: 95 })).toThrow(
      /level.*such as 0.95/,
    );
    expect(() => planPaired({ difference: 1e-9, sdChange: 1 })).toThrow(/a billion people/);
    expect(() => planTwoGroups({ difference: 1, sd: 1, ratio: -1 })).toThrow(/ratio.*positive/);
    expect(() => powerPaired({ n: 2.5, difference: 1, sdChange: 1 })).toThrow(/n.*whole number/);
    expect(() => planPrecision({ halfWidth: Number.NaN, sdChange: 1 })).toThrow(
      /halfWidth.*positive/,
    );
  });
});
