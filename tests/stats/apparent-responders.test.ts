import { describe, expect, it } from "vitest";
import { apparentResponders } from "../../lib/stats/apparent-responders.js";
import { agrees } from "../reference/agree.js";

const world = { people: 12, gain: 2, typicalError: 1.44, threshold: 4 };

describe("apparentResponders", () => {
  it("counts what the binomial law of one chance says when everybody gains the same", () => {
    const result = apparentResponders(world, { studies: 4000, seed: 3 });
    // 1 − Φ(2 / (√2 · 1.44)) by scipy.stats.norm.sf(2 / (2**0.5 * 1.44))
    agrees(result.chance, 0.1630270780294043, {
      quantity: "chance",
      rel: 1e-12,
      why: "scipy in double precision",
    });
    const { chance } = result;
    const sd = Math.sqrt(12 * chance * (1 - chance));
    expect(Math.abs(result.mean - 12 * chance)).toBeLessThan((4 * sd) / Math.sqrt(4000));
    const variance =
      result.counts.reduce((sum, count) => sum + (count - result.mean) ** 2, 0) / 3999;
    expect(Math.abs(variance / sd ** 2 - 1)).toBeLessThan(0.1);
    // Whoever passed once passes again no oftener than anybody else
    expect(Math.abs(result.again - chance)).toBeLessThan(0.02);
  });

  it("calls five in a hundred responders who did not change, at the minimal detectable change", () => {
    const mdc = 1.959964 * Math.SQRT2 * 1.44;
    const both = apparentResponders({ ...world, gain: 0, threshold: mdc }, { seed: 1 }).chance;
    agrees(2 * both, 0.05, { quantity: "both tails", rel: 1e-6, why: "z to seven digits" });
  });

  it("spreads the changes as order statistics of 12 normal values do", () => {
    // Expected largest of 12 standard normal values: 1.62923 (scipy, by quadrature)
    const { spread } = apparentResponders(world, { studies: 20_000, seed: 8 });
    const error = Math.SQRT2 * 1.44;
    expect(Math.abs(spread.highest - (2 + 1.62923 * error))).toBeLessThan(0.05);
    expect(Math.abs(spread.lowest - (2 - 1.62923 * error))).toBeLessThan(0.05);
  });

  it("lets true responders pass again more often", () => {
    const same = apparentResponders(world, { seed: 2 });
    const mixed = apparentResponders({ ...world, responseSd: 3 }, { seed: 2 });
    expect(mixed.again).toBeGreaterThan(same.again + 0.2);
  });

  it("is the same for the same seed, and holds one count a study", () => {
    const run = (seed: number) => apparentResponders(world, { studies: 40, seed });
    expect(run(1)).toEqual(run(1));
    expect(run(2).counts).not.toEqual(run(1).counts);
    expect(run(1).counts).toHaveLength(40);
    expect(run(1).example).toHaveLength(12);
  });

  it("has a sure answer without error, and refuses half a person", () => {
    const sure = apparentResponders(
      { people: 3, gain: 5, typicalError: 0, threshold: 4 },
      { seed: 1 },
    );
    expect([sure.chance, sure.mean, sure.again]).toEqual([1, 3, 1]);
    expect(() => apparentResponders({ ...world, people: 2.5 }, { seed: 1 })).toThrow(
      /whole number/,
    );
    expect(() => apparentResponders({ ...world, gain: Number.NaN }, { seed: 1 })).toThrow(/finite/);
  });
});
