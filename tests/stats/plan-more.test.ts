import { describe, expect, it } from "vitest";
import { InputError } from "../../lib/errors.js";
import { powerTwoGroups } from "../../lib/stats/plan.js";
import { planAncova } from "../../lib/stats/plan-ancova.js";
import { planBySimulation } from "../../lib/stats/plan-by-simulation.js";
import { planCorrelation, powerCorrelation } from "../../lib/stats/plan-correlation.js";
import { planEquivalence, powerEquivalence } from "../../lib/stats/plan-equivalence.js";
import { designEffect, planRetest } from "../../lib/stats/plan-retest.js";
import { agrees } from "../reference/agree.js";
import { referenceCase, rowsOf } from "../reference/cases.js";

const integrated = { rel: 1e-6, why: "integral by quadrature" };
const closed = { rel: 1e-8, why: "closed form and one distribution function" };
const table = (id: string, name: string) =>
  rowsOf(referenceCase("planning", id).computed[name]!.value);

describe("planCorrelation", () => {
  const twoSided = table("correlation_power", "power").filter(({ sides }) => sides === 2);
  it.each(twoSided)("gives the exact power %o", ({ n, rho, alpha, power_exact }) => {
    agrees(powerCorrelation({ n: n!, correlation: rho!, level: 1 - alpha! }), power_exact!, {
      quantity: "power",
      ...integrated,
    });
  });

  it.each(table("correlation_power", "smallest_n"))("gives the smallest n %o", (row) => {
    const { rho, target, alpha, n_exact } = row;
    const plan = planCorrelation({ correlation: rho!, power: target!, level: 1 - alpha! });
    expect(plan.n).toBe(n_exact);
    const fewer = powerCorrelation({ n: plan.n - 1, correlation: rho!, level: 1 - alpha! });
    expect(fewer).toBeLessThan(target!);
  });

  it("has the level of the test where there is no correlation, from n = 4", () => {
    for (const n of [4, 5, 9, 60]) {
      agrees(powerCorrelation({ n, correlation: 1e-9 }), 0.05, {
        quantity: "level",
        ...integrated,
      });
    }
  });
});

describe("planEquivalence", () => {
  it.each(table("equivalence_power", "power"))("gives the exact power %o", (row) => {
    const { design, n, true: difference, sd, low, high, alpha, power_tost } = row;
    const power = powerEquivalence({
      n: n!,
      difference: difference!,
      sd: sd!,
      low: low!,
      high: high!,
      alpha: alpha!,
      paired: design === 1,
    });
    agrees(power, power_tost!, { quantity: "power", ...integrated });
  });

  it.each(table("equivalence_power", "smallest_n"))("gives the smallest n %o", (row) => {
    const { design, true: difference, sd, low, high, alpha, target, n, power } = row;
    const plan = planEquivalence({
      difference: difference!,
      sd: sd!,
      low: low!,
      high: high!,
      alpha: alpha!,
      power: target!,
      paired: design === 1,
    });
    expect(plan.n).toBe(n);
    agrees(plan.power, power!, { quantity: "power at n", ...integrated });
  });

  it("refuses a difference outside the limits", () => {
    expect(() => planEquivalence({ difference: 3, sd: 1, low: -2, high: 2, paired: true })).toThrow(
      /within the limits/,
    );
  });
});

describe("planAncova, planRetest and designEffect", () => {
  it.each(table("ancova_clusters_retest", "ancova"))("sizes two arms %o", (row) => {
    const { difference, sd, rho, target, n_ancova_t, power_at_n_ancova } = row;
    const plan = planAncova({
      difference: difference!,
      sd: sd!,
      correlation: rho!,
      power: target!,
    });
    expect(plan).toMatchObject({ n1: n_ancova_t, n2: n_ancova_t });
    agrees(plan.power, power_at_n_ancova!, { quantity: "power", ...closed });
  });

  it.each(table("ancova_clusters_retest", "retest"))("sizes a retest study %o", (row) => {
    const { trials, level, largest_factor, n_upper, df, low_factor, high_factor } = row;
    const plan = planRetest({ trials: trials!, factor: largest_factor!, level: level! });
    expect(plan).toMatchObject({ n: n_upper, df });
    agrees(plan.lowFactor, low_factor!, { quantity: "lower factor", ...closed });
    agrees(plan.highFactor, high_factor!, { quantity: "upper factor", ...closed });
  });

  it.each(table("ancova_clusters_retest", "clusters"))("gives the design effect %o", (row) => {
    const { cluster_size, icc, cv_of_size, design_effect_unequal } = row;
    const effect = designEffect({ size: cluster_size!, icc: icc!, cv: cv_of_size! });
    agrees(effect, design_effect_unequal!, { quantity: "design effect", ...closed });
  });

  it("refuses a correlation of 1 and a factor of 1", () => {
    expect(() => planAncova({ difference: 1, sd: 1, correlation: 1 })).toThrow(InputError);
    expect(() => planRetest({ trials: 2, factor: 1 })).toThrow(/above 1/);
  });

  it("takes clusters of one and a correlation of 0 or 1, and names what lies outside", () => {
    expect(designEffect({ size: 1, icc: 0.3 })).toBe(1);
    expect(designEffect({ size: 5, icc: 0 })).toBe(1);
    expect(designEffect({ size: 5, icc: 1 })).toBe(5);
    for (const icc of [-0.1, 2, Number.NaN])
      expect(() => designEffect({ size: 4, icc })).toThrow(
        expect.objectContaining({
          expected: "an intraclass correlation from 0 to 1",
          got: String(icc),
          where: "designEffect, icc",
        }),
      );
    expect(() => designEffect({ size: 0.5, icc: 0.1 })).toThrow(
      expect.objectContaining({
        expected: "a mean cluster size of at least 1",
        got: "0.5",
        where: "designEffect, size",
      }),
    );
  });
});

describe("planBySimulation", () => {
  it("comes within 4 Monte-Carlo errors of the t test's power when changes are compared", () => {
    const design = {
      trained: 20,
      control: 20,
      sd: 6,
      trialError: 1.5,
      analysis: "changes",
    } as const;
    const result = planBySimulation({ design, effect: 1.6, simulations: 4000, seed: 3 });
    // the SD of a change is √2 typical errors
    const exact = powerTwoGroups({ n1: 20, n2: 20, difference: 1.6, sd: 1.5 * Math.SQRT2 });
    expect(Math.abs(result.power - exact)).toBeLessThan(4 * result.se);
    expect(Math.abs(result.coverage - 0.95)).toBeLessThan(4 * result.coverageSe);
  });

  it("comes within 4 Monte-Carlo errors of planAncova's power when adjusted", () => {
    // correlation 0.7 between visits: error variance 30 of 100
    const design = { trained: 34, control: 34, sd: Math.sqrt(70), trialError: Math.sqrt(30) };
    const result = planBySimulation({ design, effect: 5, simulations: 4000, seed: 5 });
    const { power } = planAncova({ difference: 5, sd: 10, correlation: 0.7 });
    expect(Math.abs(result.power - power)).toBeLessThan(4 * result.se);
  });

  it("counts the people who drop out, and takes the same draws from the same seed", () => {
    const design = { trained: 30, control: 30, sd: 6, trialError: 1.5, trials: 3 };
    const input = {
      design,
      effect: 1,
      dropout: { trained: 0.3, control: 0 },
      simulations: 500,
      seed: 1,
    };
    const result = planBySimulation(input);
    expect(Math.abs(result.completers.trained - 21)).toBeLessThan(0.6);
    expect(result.completers.control).toBe(30);
    expect(planBySimulation(input)).toEqual(result);
  });

  it("refuses a design that cannot be analysed, and a missing seed", () => {
    const design = { trained: 2, control: 2, sd: 1, trialError: 1 };
    expect(() =>
      planBySimulation({ design, effect: 1, dropout: 0.99, simulations: 20, seed: 1 }),
    ).toThrow(/too few/);
    expect(() => planBySimulation({ design, effect: 1 } as never)).toThrow(/seed/);
    expect(() =>
      planBySimulation({ design: { ...design, trails: 3 }, effect: 1, seed: 1 } as never),
    ).toThrow(/trials/);
  });
});
