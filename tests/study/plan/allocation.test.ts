import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { InputError } from "../../../lib/errors.js";
import { allocate } from "../../../lib/study/plan/allocation.js";

const codes = (n: number) => Array.from({ length: n }, (_, i) => `G${i + 1}`);

describe("random allocation", () => {
  it("two arms never differ by more than one, in all and in every stratum", () => {
    const input = fc.record({
      strata: fc.array(fc.constantFrom("woman", "man", "senior"), { minLength: 1, maxLength: 40 }),
      arms: fc.constantFrom(["a", "b"], ["a", "b", "c"]),
      seed: fc.nat(),
    });
    fc.assert(
      fc.property(input, ({ strata, arms, seed }) => {
        const { counts } = allocate(codes(strata.length), { arms, strata, seed });
        return counts.every(({ arms: found }) => {
          const sizes = Object.values(found);
          return Math.max(...sizes) - Math.min(...sizes) <= 1;
        });
      }),
      { seed: 6, numRuns: 500 },
    );
  });

  it("an arm named twice takes twice as many", () => {
    const { counts } = allocate(codes(30), { arms: ["grip", "grip", "swing"], seed: 4 });
    expect(counts).toEqual([{ stratum: "everyone", arms: { grip: 20, swing: 10 } }]);
  });

  it("every golfer has the same chance of every arm, and pairs are not tied together", () => {
    // over 4 000 draws the share of an event with chance near 1/2 has SD 0.008: five of them allowed
    const draws = 4000;
    const first = new Array(8).fill(0) as number[];
    let together = 0;
    for (let seed = 0; seed < draws; seed++) {
      const { assignments } = allocate(codes(8), { arms: ["a", "b"], seed });
      assignments.forEach(({ arm }, i) => {
        if (arm === "a") first[i]!++;
      });
      if (assignments[0]!.arm === assignments[1]!.arm) together++;
    }
    for (const count of first) expect(Math.abs(count / draws - 0.5)).toBeLessThan(0.04);
    // when all splits of eight into four and four are equally likely, two share an arm by 3/7
    expect(Math.abs(together / draws - 3 / 7)).toBeLessThan(0.04);
  });

  it("the same seed draws the same, another seed another", () => {
    const draw = (seed: number) => allocate(codes(20), { arms: ["a", "b"], seed });
    expect(draw(7)).toEqual(draw(7));
    expect(draw(7).assignments).not.toEqual(draw(8).assignments);
  });

  it("warns of strata too small to balance", () => {
    const { warnings } = allocate(["1", "2", "3"], {
      arms: ["a", "b"],
      strata: ["man", "man", "woman"],
      seed: 1,
    });
    expect(warnings[0]).toMatch(/woman/);
  });

  it.each([
    () => allocate(["1", "1"], { arms: ["a", "b"], seed: 1 }),
    () => allocate(["1", "2"], { arms: ["a"], seed: 1 }),
    () => allocate(["1", "2"], { arms: ["a", "a"], seed: 1 }),
    () => allocate(["1", "2"], { arms: ["a", "b"], strata: ["x"], seed: 1 }),
    () => allocate(["1", "2"], { arms: ["a", "b"], seed: -1 }),
    () => allocate(undefined as never, { arms: ["a", "b"], seed: 1 }),
  ])("refuses what it cannot draw (%#)", (call) => {
    expect(call).toThrow(InputError);
  });
});
