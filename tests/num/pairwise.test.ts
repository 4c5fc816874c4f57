import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { medianSum, pairwiseSum, walshAverage } from "../../lib/num/pairwise.js";

/** Columns with many ties, without ties, and with values far outside the others. */
const value = fc.oneof(
  fc.integer({ min: 0, max: 5 }),
  fc.double({ min: -10, max: 10, noNaN: true }),
  fc.constantFrom(-1e150, 1e-9, 1e6, 1e6 + 1e-9, 1e150),
);
const column = fc
  .array(value, { minLength: 1, maxLength: 30 })
  .map((values) => Float64Array.from(values).sort());

describe("order statistics of sums that are not made", () => {
  it("are those of all sums, made and sorted", () => {
    fc.assert(
      fc.property(column, column, fc.double({ min: 0, max: 1, noNaN: true }), (a, b, share) => {
        const all = Float64Array.from([...a].flatMap((x) => [...b].map((y) => x + y))).sort();
        const k = 1 + Math.floor(share * (all.length - 1));
        expect(pairwiseSum(a, b, k)).toBe(all[k - 1]);
        const [lower, upper] = [all[Math.ceil(all.length / 2) - 1]!, all[all.length >> 1]!];
        expect(medianSum(a, b)).toBe(lower === upper ? lower : lower / 2 + upper / 2);
      }),
      { numRuns: 300, seed: 14 },
    );
  });

  it("take each pair of one column once, and each value with itself", () => {
    fc.assert(
      fc.property(column, fc.double({ min: 0, max: 1, noNaN: true }), (halves, share) => {
        const pairs = [...halves].flatMap((x, i) => [...halves.subarray(i)].map((y) => x + y));
        const all = Float64Array.from(pairs).sort();
        const k = 1 + Math.floor(share * (all.length - 1));
        expect(walshAverage(halves, k)).toBe(all[k - 1]);
      }),
      { numRuns: 300, seed: 14 },
    );
  });
});
