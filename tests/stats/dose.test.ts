import { describe, expect, it } from "vitest";
import { randomStream } from "../../lib/num/random.js";
import { doseRelation } from "../../lib/stats/dose.js";
import { agrees } from "../reference/agree.js";
import { referenceCase } from "../reference/cases.js";

describe("doseRelation", () => {
  it("agrees with R on published weights and a made dose", () => {
    const { data } = referenceCase("paired", "anorexia");
    const rows = [...data.group.keys()].filter((i) => data.group[i] === "FT");
    const { computed } = referenceCase("baseline", "anorexia_dose");
    const result = doseRelation({
      before: rows.map((i) => data.before[i]),
      after: rows.map((i) => data.after[i]),
      dose: rows.map((_, i) => 10 + ((5 * i) % 9)),
    });
    const full = { rel: 1e-10, why: "R by QR in double precision" };
    const [value, se, low, high] = computed.slope!.value;
    agrees(result.slope.value, value, { quantity: "slope", rel: 1e-8, why: "a small difference" });
    agrees(result.slope.se!, se, { quantity: "se", ...full });
    agrees(result.slope.interval!.low, low, { quantity: "low", ...full });
    agrees(result.slope.interval!.high, high, { quantity: "high", ...full });
    agrees(result.proportional, computed.proportional!.value, { quantity: "share", ...full });
  });

  it("finds the slope where change is the dose times it, and then it is the proportional one", () => {
    const stream = randomStream(3, "dose");
    const before = Array.from({ length: 200 }, () => 40 + 8 * stream.normal());
    const dose = before.map(() => 6 + 12 * stream.uniform());
    const after = before.map((x, i) => x + 0.2 * dose[i]! + 0.5 * stream.normal());
    const { slope, proportional, warnings } = doseRelation({ before, after, dose });
    // Standard error of both about 0.01 and 0.003
    expect(Math.abs(slope.value - 0.2)).toBeLessThan(0.035);
    expect(Math.abs(proportional - 0.2)).toBeLessThan(0.012);
    expect(warnings).toEqual([]);
  });

  it("warns when everybody did nearly the same, and refuses one dose for all", () => {
    const before = [40, 42, 44, 46, 48];
    const after = [41, 44, 44, 48, 49];
    const close = doseRelation({ before, after, dose: [16, 17, 18, 17, 16] });
    expect(close.warnings).toHaveLength(1);
    expect(() => doseRelation({ before, after, dose: [16, 16, 16, 16, 16] })).toThrow(
      /doses that differ/,
    );
    expect(() => doseRelation({ before, after, dose: [16, 17] })).toThrow("doseRelation, dose");
  });
});
