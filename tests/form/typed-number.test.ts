import { describe, expect, it } from "vitest";
import { typedNumber } from "../../lib/form/typed-number.js";

describe("a number typed into the form", () => {
  it.each([
    ["41.5", 41.5, "41.5"],
    [" 41.50 ", 41.5, "41.50"],
    ["041.5", 41.5, "41.5"],
    ["0", 0, "0"],
    [".5", 0.5, "0.5"],
    ["88.", 88, "88"],
  ])("takes %j as %d", (typed, value, text) => {
    expect(typedNumber(typed, "kgf")).toEqual({ kind: "value", value, text });
  });

  it("asks about a decimal comma and proposes the point", () => {
    expect(typedNumber("41,5", "kgf")).toMatchObject({ kind: "question", proposal: "41.5" });
  });

  it.each([
    ["", /empty/],
    ["-3", /negative/],
    ["−3", /negative/],
    ["1e9", /digits only/],
    ["41.5kg", /digits only; the unit is kgf/],
    ["4 1.5", /not a number/],
    ["41.5.2", /two decimal signs/],
    ["1.234,5", /two decimal signs/],
    ["41,555", /not a number/],
    ["12345678", /too many digits/],
    ["٤١", /not a number/],
    ["41..5", /two decimal signs/],
  ])("asks about %j and proposes nothing", (typed, question) => {
    const found = typedNumber(typed, "kgf");
    expect(found).toMatchObject({ kind: "question", question: expect.stringMatching(question) });
    expect(found).not.toHaveProperty("proposal");
  });
});
