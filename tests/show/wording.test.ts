import { describe, expect, it } from "vitest";
import {
  companionText,
  decimalsFor,
  fixedText,
  intervalText,
  probabilityText,
  significantText,
  valueText,
} from "../../lib/show/wording.js";

describe("numbers in words", () => {
  // Particle Data Group, Review of Particle Physics, Introduction 5.3: "between 100 and 354, we
  // round to two significant digits … between 355 and 949 … to one … between 950 and 999 … up to
  // 1000 and keep two"; its own example: 0.827 ± 0.119 → 0.83 ± 0.12, 0.827 ± 0.367 → 0.8 ± 0.4.
  it.each([
    [0.119, 2],
    [0.367, 1],
    [0.75, 1],
    [0.354, 2],
    [0.0355, 2],
    [0.0096, 3],
    [1.25, 1],
    [25, 0],
    [400, -2],
  ])("an error of %s justifies %s decimals", (error, decimals) => {
    expect(decimalsFor(error)).toBe(decimals);
  });

  it("writes a true minus, never a hyphen, and no minus before zero", () => {
    expect(fixedText(-2.649, 1)).toBe("−2.6");
    expect(fixedText(-0.04, 1)).toBe("0.0");
  });

  it("groups by three from five digits and rounds to tens when asked", () => {
    expect(fixedText(1234, 0)).toBe("1234");
    expect(fixedText(1234567.5, 1)).toBe("1\u202f234\u202f567.5");
    expect(fixedText(1264, -1)).toBe("1260");
  });

  it("keeps whole numbers and writes very small ones as a power of ten", () => {
    expect(significantText(26)).toBe("26");
    expect(significantText(0.123456)).toBe("0.123");
    expect(significantText(-0.0000123456)).toBe("−1.23 × 10⁻⁵");
    expect(significantText(0)).toBe("0");
  });

  it("rounds value and limits to the same place", () => {
    const change = { value: 2.6412, low: 1.881, high: 3.377, level: 0.9 };
    expect(valueText(change, "kgf")).toBe("2.6 kgf");
    expect(intervalText(change)).toBe("90 % CI 1.9 to 3.4");
    expect(intervalText({ value: -0.2, low: -1.31, high: 0.92 })).toBe("95 % CI −1.3 to 0.9");
    expect(intervalText({ value: 1, low: 0, high: 2, level: 0.999 })).toContain("99.9 %");
  });

  it("never lets a limit beside zero read as zero", () => {
    const near = { value: -1, low: -2.02, high: 0.03 };
    expect(intervalText(near)).toBe("95 % CI −2.02 to 0.03");
    expect(intervalText({ ...near, high: -0.004 })).toBe("95 % CI −2.020 to −0.004");
    expect(intervalText({ ...near, high: 1e-9 })).toBe("95 % CI −2.0 to 0.0");
    expect(intervalText({ ...near, low: -2, high: 0 })).toBe("95 % CI −2.0 to 0.0");
  });

  it("puts one space before a unit, none before degrees (SI brochure 5.3.3)", () => {
    expect(valueText({ value: 8.7 }, "%")).toBe("8.7 %");
    expect(valueText({ value: 12.5 }, "°")).toBe("12.5°");
    expect(valueText({ value: 0.42 }, "")).toBe("0.42");
  });

  it("says small p values as a bound", () => {
    expect(probabilityText(0.0314)).toBe("p = 0.031");
    expect(probabilityText(0.00004)).toBe("p < 0.001");
  });

  it("gives force in newtons and speed in metres a second by the exact factors", () => {
    // 1 kgf = 9.80665 N, 1 mi/h = 0.44704 m/s exactly (NIST SP 811, appendix B.8)
    expect(companionText({ value: 45, low: 44.999, high: 45.001 }, "kgf")).toBe("441.299 N");
    expect(companionText({ value: 100, low: 99.9, high: 100.1 }, "mph")).toBe("44.70 m/s");
    expect(companionText({ value: 1 }, "%")).toBeUndefined();
  });
});
