import { describe, expect, it } from "vitest";
import { fitLine, pairedChange } from "../../lib/entries/stats.js";
import { compareArms, openStudy } from "../../lib/index.js";
import { cellValueForms } from "../../lib/show/cell-value.js";

const plain = (value: unknown) => cellValueForms(value)?.["text/plain"];
const html = (value: unknown) => cellValueForms(value)?.["text/html"] ?? "";

describe("the value that a cell ends with", () => {
  const fit = fitLine({ x: [1, 2, 3, 4, 5], y: [2, 4, 5, 9, 9] });

  it("is a table of coefficients for a fit, as text and as markup", () => {
    expect(plain(fit)).toMatch(/^fitLine: 5 rows/);
    expect(html(fit)).toContain('<th scope="col">estimate</th>');
    expect(html(fit)).toContain(">slope</td>");
  });

  it("is a value with its interval for an estimate", () => {
    const estimate = { value: 2.41, interval: { low: 0.52, high: 4.21, level: 0.95 } };
    expect(plain(estimate)).toBe("2.4 (95 % CI 0.5 to 4.2)");
    expect(plain({ ...estimate, se: 0.9134, p: 0.0124 })).toBe(
      "2.4 (95 % CI 0.5 to 4.2), SE 0.913, p = 0.012",
    );
  });

  it("is a table of values for a result, with its method and the names of the rest", () => {
    const text = plain(pairedChange([40, 42, 44, 47], [42, 45, 44, 50])) ?? "";
    expect(text.split("\n").map((line) => line.replace(/ {2,}/g, " | ").trim())).toEqual([
      "pairedChange",
      "",
      "field | value",
      "n | 4",
      expect.stringMatching(/\| ?2\.0 \(95 % CI −0\.3 to 4\.3\), SE 0\.707, p = 0\.066$/),
      expect.stringMatching(/^percent \| /),
      expect.stringMatching(/^sdChange \| 1\.41$/),
      expect.stringMatching(/^dz \| 1\.4 \(95 % CI −0\.1 to 2\.8\)$/),
      expect.stringMatching(/^dAv \| /),
      expect.stringMatching(/^hedgesGAv \| /),
      expect.stringMatching(/^correlation \| 0\.910$/),
      "after − before, paired t with n − 1 degrees of freedom.",
      "More in its fields before, after.",
    ]);
  });

  it("is a sentence for an answer, and an account of files for a study", async () => {
    const study = await openStudy("winter-block");
    const answer = compareArms(study.primary.change());
    expect(plain(answer)).toMatch(/ kgf \(95 % CI [\d.]+ to [\d.]+\), n = 24 golfers, .*\.$/);
    expect(plain(study)).toMatch(/grip-trials\.csv +\d+ +\d+/);
    expect(html(study)).toContain("<table><caption>winter-block: ");
  });

  it("is cut with a count when it is a long text, and escaped", () => {
    expect(plain("<b>".repeat(10_000))).toMatch(/… \(10000 more characters\)$/);
    expect(html("<b>".repeat(10_000))).not.toContain("<b>");
  });

  it.each([[1], ["short"], [null], [{ value: 1 }], [{ value: 1, se: 2, other: 3 }], [new Map()]])(
    "%j is printed as it is",
    (value) => {
      expect(cellValueForms(value)).toBeUndefined();
    },
  );

  it("sets no colour, so that a dark front end shows it in its own", () => {
    expect(html(fit)).not.toMatch(/color|background/);
  });
});
