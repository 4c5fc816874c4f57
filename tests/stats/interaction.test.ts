import { describe, expect, it } from "vitest";
import { randomStream } from "../../lib/num/random.js";
import { adjustForBaseline } from "../../lib/stats/baseline.js";
import { effectByTrait } from "../../lib/stats/interaction.js";
import { agrees } from "../reference/agree.js";
import { referenceCase } from "../reference/cases.js";

const full = { rel: 1e-10, why: "R by QR in double precision" };

const { data } = referenceCase("paired", "anorexia");
const rows = [...data.group.keys()].filter((i) => data.group[i] !== "CBT");
const columns = {
  before: rows.map((i) => data.before[i]),
  after: rows.map((i) => data.after[i]),
  group: rows.map((i) => data.group[i]),
  reference: "Cont",
};

describe("effectByTrait", () => {
  it("agrees with R on published weights and a trait of two values", () => {
    const { computed } = referenceCase("baseline", "anorexia_alternate");
    const result = effectByTrait({ ...columns, trait: rows.map((_, i) => i % 2) });
    const [zero, one] = result.effects;
    for (const [name, estimate] of [
      ["at_zero", zero!.effect],
      ["at_one", one!.effect],
      ["interaction", result.interaction],
    ] as const) {
      const [value, se, low, high] = computed[name]!.value;
      agrees(estimate.value, value, { quantity: `${name}, value`, rel: 1e-9, why: "small value" });
      agrees(estimate.se!, se, { quantity: `${name}, se`, ...full });
      agrees(estimate.interval!.low, low, { quantity: `${name}, low`, ...full });
      agrees(estimate.interval!.high, high, { quantity: `${name}, high`, ...full });
    }
    agrees(result.interaction.p!, computed.p!.value, { quantity: "p", ...full });
    expect([zero!.trained, zero!.control, one!.trained, one!.control]).toEqual([9, 13, 8, 13]);
    expect(zero!.effect).not.toHaveProperty("p");
  });

  it("agrees with R on a number, told at its quartiles", () => {
    const { computed } = referenceCase("baseline", "anorexia_number");
    const result = effectByTrait({ ...columns, trait: rows.map((_, i) => 140 + 7 * i) });
    expect(result.effects.map(({ trait }) => trait)).toEqual([213.5, 360.5]);
    const lower = computed.at_lower_quartile!.value;
    agrees(result.effects[0]!.effect.value, lower[0], { quantity: "effect", ...full });
    agrees(result.effects[0]!.effect.se!, lower[1], { quantity: "se", ...full });
    const [value, se] = computed.interaction!.value;
    agrees(result.interaction.value, value, { quantity: "interaction", ...full });
    agrees(result.interaction.se!, se, { quantity: "its se", ...full });
    expect(result.warnings).toEqual([]);
  });

  it("is about twice as wide as the effect itself in a balanced trial, and says when cells are small", () => {
    const stream = randomStream(4, "interaction");
    const n = 24;
    const before = Array.from({ length: n }, () => 40 + 8 * stream.normal());
    const group = before.map((_, i) => (i % 2 ? "t" : "c"));
    const after = before.map((x, i) => x + (i % 2 ? 2 : 0) + 2 * stream.normal());
    const trait = before.map((_, i) => Number(i % 4 > 1));
    const result = effectByTrait({ before, after, group, reference: "c", trait });
    expect(result.widthRatio).toBeGreaterThan(1.8);
    expect(result.widthRatio).toBeLessThan(2.3);
    expect(result.warnings[0]).toContain("Only 6 people");
    const overall = adjustForBaseline({ before, after, group, reference: "c" }).difference!;
    expect(result.overall).toEqual(overall);
  });

  it("refuses a trait that does not vary in an arm, three arms, a missing reference", () => {
    const before = [40, 42, 44, 46, 41, 43, 45, 47];
    const group = [..."ttttcccc"];
    const base = { before, after: before.map((x) => x + 1), group, reference: "c" };
    const trait = [1, 1, 1, 1, 0, 1, 0, 1];
    expect(() => effectByTrait({ ...base, trait })).toThrow(/one value in arm "t"/);
    const fine = [0, 1, 0, 1, 0, 1, 0, 1];
    expect(() => effectByTrait({ ...base, trait: fine, reference: "x" })).toThrow(/two arms/);
    expect(() => effectByTrait({ ...base, trait: fine.slice(1) })).toThrow(/trait/);
  });
});
