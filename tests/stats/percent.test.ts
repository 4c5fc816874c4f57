import { describe, expect, it } from "vitest";
import { adjustedPercent, percentDifference } from "../../lib/stats/percent.js";
import { agrees } from "../reference/agree.js";
import { referenceCase } from "../reference/cases.js";

describe("percentDifference", () => {
  it("44 against 40 kgf is 9.09, 10.00 or 9.52 % by its denominator (Laterality 2019)", () => {
    const printed = { rel: 6e-4, why: "three printed digits" };
    const { ofFirst, ofSecond, ofMean, logPoints } = percentDifference(44, 40);
    agrees(ofFirst, 9.09, { quantity: "of the stronger", ...printed });
    agrees(ofSecond, 10, { quantity: "of the weaker", ...printed });
    agrees(ofMean, 9.52, { quantity: "of the mean", ...printed });
    agrees(logPoints, -percentDifference(40, 44).logPoints, {
      quantity: "exchange of the two",
      rel: 1e-14,
      why: "one formula",
    });
  });

  it("refuses zero and what is not a number", () => {
    expect(() => percentDifference(0, 40)).toThrow("percentDifference, first");
    expect(() => percentDifference(40, Number.NaN)).toThrow("percentDifference, second");
  });
});

describe("adjustedPercent", () => {
  it("agrees with R's lm of logarithms on published weights", () => {
    const { data } = referenceCase("paired", "anorexia");
    const rows = [...data.group.keys()].filter((i) => data.group[i] !== "CBT");
    const of = (name: string) => rows.map((i) => data[name][i]);
    const columns = { before: of("before"), after: of("after"), group: of("group") };
    const { difference, n } = adjustedPercent({ ...columns, reference: "Cont" });
    const { value, low, high, p } = referenceCase("baseline", "anorexia_percent").computed.percent!
      .value;
    const full = { rel: 1e-11, why: "R by QR in double precision" };
    expect(n).toBe(43);
    agrees(difference.value, value, { quantity: "percent", ...full });
    agrees(difference.interval!.low, low, { quantity: "low", ...full });
    agrees(difference.interval!.high, high, { quantity: "high", ...full });
    agrees(difference.p!, p, { quantity: "p", ...full });
    expect(difference).not.toHaveProperty("se");
  });

  it("does not depend on the unit, and names what it is a percentage of", () => {
    const columns = {
      before: [40, 42, 44, 41, 43, 45],
      after: [44, 46, 49, 41, 44, 45],
      group: [..."tttccc"],
      reference: "c",
    };
    const kgf = adjustedPercent(columns);
    const newton = adjustedPercent({
      ...columns,
      before: columns.before.map((x) => 9.80665 * x),
      after: columns.after.map((x) => 9.80665 * x),
    });
    expect(newton.difference.value).toBeCloseTo(kgf.difference.value, 11);
    expect(kgf.denominator).toContain("arm c after the block");
    expect(() => adjustedPercent({ ...columns, before: [0, 42, 44, 41, 43, 45] })).toThrow(
      "adjustedPercent, before, index 0",
    );
    expect(() => adjustedPercent({ ...columns, group: [..."ttccdd"] })).toThrow(/two arms/);
  });
});
