import { expect, it } from "vitest";
import { compareTexts } from "../../lib/notebook/compare-text.js";

const verdict = (before: string, after: string) => compareTexts(before, after).verdict;

it("two texts of a third of a million digits are compared in passing", () => {
  const digits = "1234567890".repeat(30_103);
  expect(verdict(digits, digits)).toBe("same");
  expect(verdict(digits, `${digits.slice(0, -1)}1`)).toBe("different");
  expect(verdict(`${digits}.5`, `9${digits.slice(1)}.5`)).toBe("different");
  expect(verdict("<".repeat(300_000), `${"<".repeat(299_999)}>`)).toBe("different");
});
