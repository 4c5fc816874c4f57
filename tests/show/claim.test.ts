import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { claim } from "../../lib/show/claim.js";
import { finding } from "../../lib/show/finding.js";

const change = finding({
  id: "lead",
  says: "Change of lead-hand grip",
  value: 2.6,
  low: 1.9,
  high: 3.4,
  unit: "kgf",
  n: 24,
  method: "paired t",
  versus: [
    { says: "typical error", value: 1.4 },
    { says: "mdc95", value: 3.9 },
    { says: "worthwhile", value: 2.2 },
  ],
});

describe("claim", () => {
  it("supports a sentence only when the whole interval agrees with it", () => {
    expect(claim({ says: "Up by 1.5 or more.", finding: change, atLeast: 1.5 }).support).toBe(
      "supported",
    );
    expect(claim({ says: "Up by 2.5 or more.", finding: change, atLeast: 2.5 }).support).toBe(
      "not settled",
    );
    expect(claim({ says: "Up by 4 or more.", finding: change, atLeast: 4 }).support).toBe(
      "contradicted",
    );
    expect(claim({ says: "Below 4.", finding: change, atMost: 4 }).support).toBe("supported");
    expect(claim({ says: "It changed.", finding: change, excludesZero: true }).support).toBe(
      "supported",
    );
  });

  it("holds the size against the yardsticks the finding carries, in either direction", () => {
    const exceeds = (name: "typical error" | "mdc95" | "worthwhile") =>
      claim({ says: "Larger.", finding: change, exceeds: name }).support;
    expect(exceeds("typical error")).toBe("supported");
    expect(exceeds("worthwhile")).toBe("not settled");
    expect(exceeds("mdc95")).toBe("contradicted");
    const fall = finding({
      id: "f",
      says: "Change",
      value: -2.6,
      low: -3.4,
      high: -1.9,
      unit: "kgf",
      n: 9,
      method: "t",
      versus: [{ says: "typical error", value: 1.4 }],
    });
    expect(claim({ says: "Larger.", finding: fall, exceeds: "typical error" }).support).toBe(
      "supported",
    );
  });

  it("needs every condition, and one broken condition speaks against the sentence", () => {
    const both = claim({ says: "Between 2 and 4.", finding: change, atLeast: 2, atMost: 4 });
    expect(both.conditions.map((c) => c.support)).toEqual(["not settled", "supported"]);
    expect(both.support).toBe("not settled");
    expect(claim({ says: "x", finding: change, atLeast: 1, atMost: 1.5 }).support).toBe(
      "contradicted",
    );
  });

  it("does not call an interval that ends at zero different from zero", () => {
    const touching = finding({
      id: "t",
      says: "Change",
      value: 1,
      low: 0,
      high: 2,
      unit: "kgf",
      n: 9,
      method: "t",
    });
    const made = claim({ says: "It changed.", finding: touching, excludesZero: true });
    expect(made.support).toBe("not settled");
    expect(made.strongest).toContain("direction is not shown");
  });

  it("says the strongest sentence the interval carries", () => {
    expect(claim({ says: "x", finding: change, atLeast: 3 }).strongest).toBe(
      "Change of lead-hand grip is above zero, by at least 1.9 kgf (95 % interval).",
    );
  });

  it("rounds the bound it leans on towards zero, never up", () => {
    const near = finding({
      id: "r",
      says: "Change",
      value: 2.6,
      low: 1.88,
      high: 3.4,
      unit: "kgf",
      n: 9,
      method: "t",
    });
    expect(claim({ says: "x", finding: near, atLeast: 3 }).strongest).toContain("at least 1.8 kgf");
  });

  it("refuses a finding without interval, a missing yardstick, and no condition", () => {
    const bare = finding({ id: "b", says: "Count", value: 3, unit: "", n: 3, method: "counting" });
    expect(() => claim({ says: "x", finding: bare, atLeast: 1 })).toThrow(
      /a finding with an interval/,
    );
    const noYard = finding({
      id: "c",
      says: "Change",
      value: 1,
      low: 0,
      high: 2,
      unit: "",
      n: 3,
      method: "t",
    });
    expect(() => claim({ says: "x", finding: noYard, exceeds: "mdc95" })).toThrow(
      /versus holds "mdc95"/,
    );
    expect(() => claim({ says: "x", finding: change })).toThrow(/a condition/);
  });

  it("never supports a claim that its own interval contradicts", () => {
    fc.assert(
      fc.property(
        fc.double({ min: -50, max: 50, noNaN: true }),
        fc.double({ min: 0.01, max: 20, noNaN: true }),
        fc.double({ min: -80, max: 80, noNaN: true }),
        (value, half, atLeast) => {
          const made = finding({
            id: "p",
            says: "V",
            value,
            low: value - half,
            high: value + half,
            unit: "",
            n: 5,
            method: "m",
          });
          const { support } = claim({ says: "s", finding: made, atLeast });
          expect(support === "supported").toBe(made.low! >= atLeast);
          expect(support === "contradicted").toBe(made.high! < atLeast);
        },
      ),
      { seed: 11, numRuns: 200 },
    );
  });
});
