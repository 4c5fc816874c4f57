import { describe, expect, it } from "vitest";
import { answerText } from "../../lib/report/answer-sentences.js";
import type { Finding } from "../../lib/show/finding-record.js";

const finding = (fields: Partial<Finding> = {}): Finding =>
  ({
    kind: "finding",
    id: "primary",
    title: "Lead-hand grip at address, week 6: grip block − swing practice",
    value: 2.38,
    low: 0.54,
    high: 4.22,
    level: 0.95,
    unit: "kgf",
    quantity: "difference",
    measure: { outcome: "grip", name: "Lead-hand grip at address", hand: "lead" },
    arms: { first: "Grip block", second: "Swing practice" },
    visits: {
      before: { title: "Before the block", week: 0 },
      at: { title: "After the block", week: 6 },
    },
    count: { n: 24, of: "golfers" },
    method: "analysis of covariance",
    references: [{ name: "smallest worthwhile change", value: 1.5 }],
    ...fields,
  }) as Finding;

describe("the answer to a study's question, the first sentence of its page", () => {
  it("names the week, both groups, the size and its interval, whatever a visit is called", () => {
    expect(answerText(finding())).toBe(
      "In week 6, lead-hand grip at address was on average 2.4 kgf higher in the grip block group than in the swing practice group (95 % CI 0.5 to 4.2; 24 golfers). Whether this exceeds the smallest worthwhile change of 1.5 kgf is not settled.",
    );
  });

  it("says lower where it is lower, and that nothing was shown where zero is included", () => {
    expect(answerText(finding({ value: -2.38, low: -4.22, high: -0.54 }))).toContain(
      "2.4 kgf lower in the grip block group",
    );
    expect(answerText(finding({ value: 0.4, low: -1, high: 1.8 }))).toMatch(
      /^In week 6, no difference was shown in lead-hand grip at address: .* and the interval includes zero\./,
    );
  });

  it("says how a group changed, from week to week", () => {
    const change = { quantity: "change", arms: { first: "Grip block" } } as const;
    expect(answerText(finding({ ...change, value: 3.4, low: 1.5, high: 5.3 }))).toBe(
      "Lead-hand grip at address in the grip block group rose by 3.4 kgf on average from week 0 to week 6 (95 % CI 1.5 to 5.3; 24 golfers). Whether this exceeds the smallest worthwhile change of 1.5 kgf is not settled. This includes any change that would have happened without training.",
    );
  });

  it.each([
    [{ low: 1.6, high: 4.2 }, "This exceeds"],
    [{ value: 0.2, low: -0.9, high: 1.3 }, "This is smaller than"],
  ])("compares %j with the smallest worthwhile change", (limits, words) => {
    expect(answerText(finding(limits))).toContain(words);
  });
});
