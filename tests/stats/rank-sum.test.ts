import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { pairwiseSum } from "../../lib/num/pairwise.js";
import { compareRanks } from "../../lib/stats/rank-sum.js";
import { agrees } from "../reference/agree.js";
import { referenceCase } from "../reference/cases.js";

const counted = { rel: 1e-9, why: "counts of splits divided by their number" };

describe("compareRanks", () => {
  it.each([
    ["ToothGrowth_dose2_exact", "orange_juice", "ascorbic_acid"],
    ["permeability", "term", "weeks12to26"],
  ])("gives the exact rank sum of %s, ties included", (id, a, b) => {
    const { data, computed } = referenceCase("exact-tests", id);
    const { value } = computed.rank_sum!;
    const result = compareRanks(data[a], data[b]);
    expect(result).toMatchObject({
      exact: true,
      statistic: value.rank_sum,
      u: value.mann_whitney_U,
    });
    agrees(result.p, value.p_two_sided_as_far_from_centre, { quantity: "p", ...counted });
    agrees(result.shift.value, value.hodges_lehmann, { quantity: "shift", ...counted });
    agrees(result.superiority, value.probability_of_superiority, {
      quantity: "superiority",
      ...counted,
    });
  });

  it("gives the interval of Hollander and Wolfe's permeability data", () => {
    const { data, computed } = referenceCase("exact-tests", "permeability");
    const { interval } = compareRanks(data.term, data.weeks12to26).shift;
    const [low, high] = computed.rank_sum!.value.interval95;
    agrees(interval!.low, low, { quantity: "lower limit", ...counted });
    agrees(interval!.high, high, { quantity: "upper limit", ...counted });
  });

  // 1/C(10, 5) in each tail: the two groups do not overlap.
  it("gives 2/252 for two groups of five that do not overlap", () => {
    expect(compareRanks([6, 7, 8, 9, 10], [1, 2, 3, 4, 5]).p).toBeCloseTo(2 / 252, 15);
  });

  it("does not depend on the order of the groups, and follows a shift", () => {
    const column = fc.array(fc.integer({ min: -20, max: 20 }), { minLength: 2, maxLength: 12 });
    fc.assert(
      fc.property(column, column, fc.integer({ min: -9, max: 9 }), (a, b, by) => {
        const forward = compareRanks(a, b);
        const back = compareRanks(b, a);
        expect(back.p).toBeCloseTo(forward.p, 12);
        expect(back.shift.value).toBeCloseTo(-forward.shift.value, 12);
        const moved = compareRanks(
          a.map((value) => value + by),
          b,
        );
        expect(moved.shift.value).toBeCloseTo(forward.shift.value + by, 9);
      }),
      { numRuns: 40 },
    );
  });

  it("the normal approximation stays near the exact p where both can be had", () => {
    const a = Array.from({ length: 40 }, (_, i) => Math.sin(i * 12.9898) + 0.35);
    const b = Array.from({ length: 40 }, (_, i) => Math.sin(i * 78.233));
    const exact = compareRanks(a, b);
    const more = compareRanks([...a, 0.1], b);
    expect(exact.exact).toBe(true);
    expect(more.exact).toBe(false);
    expect(Math.abs(more.p - exact.p)).toBeLessThan(0.04);
  });

  it("says that equal values leave nothing to test", () => {
    const result = compareRanks([3, 3, 3], [3, 3]);
    expect(result.p).toBe(1);
    expect(result.warnings.join()).toContain("equal");
  });
});

describe("pairwiseSum", () => {
  const column = fc.array(
    fc.oneof(fc.integer({ min: -3, max: 3 }), fc.double({ min: -1, max: 1, noNaN: true })),
    { minLength: 1, maxLength: 25 },
  );
  it("is the k-th smallest of all sums, with ties", () => {
    fc.assert(
      fc.property(column, column, fc.nat(), (first, second, pick) => {
        const a = Float64Array.from(first).sort();
        const b = Float64Array.from(second).sort();
        const all = first.flatMap((x) => second.map((y) => x + y)).sort((x, y) => x - y);
        const k = (pick % all.length) + 1;
        expect(pairwiseSum(a, b, k)).toBe(all[k - 1]! + 0);
      }),
    );
  });
});
