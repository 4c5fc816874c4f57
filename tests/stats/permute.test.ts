import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { InputError } from "../../lib/errors.js";
import { permuteAdjusted } from "../../lib/stats/permute-adjusted.js";
import { permuteDifference } from "../../lib/stats/permute-groups.js";
import { agrees } from "../reference/agree.js";
import { referenceCase } from "../reference/cases.js";

const counted = { rel: 1e-9, why: "counts divided by their number" };

describe("permuteDifference", () => {
  it.each([
    ["ToothGrowth_dose2_exact", "orange_juice", "ascorbic_acid"],
    ["permeability", "term", "weeks12to26"],
  ])("counts every split of %s", (id, a, b) => {
    const { data, computed } = referenceCase("exact-tests", id);
    const { value } = computed.two_means!;
    const result = permuteDifference(data[a], data[b]);
    expect(result.exact).toBe(true);
    agrees(result.statistic, value.mean_difference, { quantity: "difference", ...counted });
    agrees(result.p, value.p_two_sided_as_far_from_centre, { quantity: "p", ...counted });
    agrees(result.pUpper, value.p_upper, { quantity: "upper p", ...counted });
    agrees(result.pLower, value.p_lower, { quantity: "lower p", ...counted });
  });

  it("draws splits where they are too many, and comes near the count", () => {
    const a = Array.from({ length: 20 }, (_, i) => Math.sin(i * 12.9898) + 0.3);
    const b = Array.from({ length: 20 }, (_, i) => Math.sin(i * 78.233));
    expect(() => permuteDifference(a, b)).toThrow(/seed/);
    const drawn = permuteDifference(a, b, { seed: 1, resamples: 20_000 });
    expect(drawn.exact).toBe(false);
    expect(permuteDifference(a, b, { seed: 1, resamples: 20_000 })).toEqual(drawn);
    const other = permuteDifference(a, b, { seed: 2, resamples: 20_000 });
    // two shares of 20 000 draws differ by less than 5 standard errors
    const error = 5 * Math.sqrt((2 * drawn.p * (1 - drawn.p)) / 20_000);
    expect(Math.abs(other.p - drawn.p)).toBeLessThan(error);
  });

  it("is symmetric in the groups and never below one split of all", () => {
    const column = fc.array(fc.integer({ min: 0, max: 9 }), { minLength: 1, maxLength: 7 });
    fc.assert(
      fc.property(column, column, (a, b) => {
        const { p, arrangements } = permuteDifference(a, b);
        expect(p).toBeGreaterThanOrEqual(1 / arrangements);
        expect(permuteDifference(b, a).p).toBeCloseTo(p, 12);
      }),
    );
  });
});

describe("permuteAdjusted", () => {
  const chicks = referenceCase("exact-tests", "ChickWeight_freedman_lane_8");
  const columns = {
    before: chicks.data.pre,
    after: chicks.data.post,
    group: chicks.data.arm.map(String),
    reference: "0",
  };

  it("counts every order of the residuals (Freedman and Lane)", () => {
    const result = permuteAdjusted(columns);
    const { observed, freedman_lane: orders } = chicks.computed;
    agrees(result.difference, observed!.value.coefficient, { quantity: "difference", ...counted });
    agrees(result.statistic, observed!.value.t, { quantity: "t", ...counted });
    agrees(result.p, orders!.value.p_two_sided, { quantity: "p", ...counted });
    agrees(result.pUpper, orders!.value.p_upper, { quantity: "upper p", ...counted });
    agrees(result.pLower, orders!.value.p_lower, { quantity: "lower p", ...counted });
    expect(result).toMatchObject({ exact: true, arrangements: orders!.value.orders });
  });

  it("drawn orders come near the count", () => {
    const twice = (column: number[]) => [...column, ...column.map((value) => value + 0.5)];
    const more = {
      before: twice(columns.before),
      after: twice(columns.after),
      group: [...columns.group, ...columns.group],
      reference: "0",
    };
    expect(() => permuteAdjusted(more)).toThrow(/seed/);
    const first = permuteAdjusted(more, { seed: 4, resamples: 4000 });
    const second = permuteAdjusted(more, { seed: 5, resamples: 4000 });
    expect(first.exact).toBe(false);
    expect(Math.abs(first.p - second.p)).toBeLessThan(5 * Math.sqrt(0.5 / 4000));
  });

  it("refuses three arms and an unknown column", () => {
    expect(() =>
      permuteAdjusted({ ...columns, group: ["0", "1", "2", "0", "1", "2", "0", "1"] }),
    ).toThrow(/two arms/);
    expect(() => permuteAdjusted({ ...columns, weight: [1] } as never)).toThrow(InputError);
  });
});
