import { describe, expect, it } from "vitest";
import { compareData, numbersApart, sizeOf } from "../../lib/notebook/compare-data.js";

const verdict = (before: unknown, after: unknown) => compareData(before, after).verdict;

describe("two numbers", () => {
  it.each([1, -1, 250, 1e-300, 1e200])("of the size of %s may differ by a billionth of it", (x) => {
    expect(verdict(x, x * (1 + 0.99e-9))).toBe("within tolerance");
    expect(verdict(x, x * (1 + 1.02e-9))).toBe("different");
    expect(verdict(x * (1 + 0.99e-9), x)).toBe("within tolerance");
    expect(verdict(x * (1 + 1.02e-9), x)).toBe("different");
  });

  it("of a list may differ by 1e-13 of its largest member", () => {
    for (const largest of [1, -40, 1e6]) {
      const list = (small: number) => [0.5, small, largest, -0.5];
      const size = Math.abs(largest);
      expect(verdict(list(0), list(0.99e-13 * size))).toBe("within tolerance");
      expect(verdict(list(0), list(1.01e-13 * size))).toBe("different");
      expect(verdict(list(0), list(-0.99e-13 * size))).toBe("within tolerance");
      expect(verdict(list(0), list(-1.01e-13 * size))).toBe("different");
    }
  });

  it("of a list may differ by exactly the permitted share", () => {
    // the difference d that equals what is permitted at itself: 1e-9 of d and 1e-13 of the 1
    let edge = 0;
    for (let turn = 0; turn < 5; turn++) edge = 1e-9 * edge + 1e-13;
    expect(verdict([0, 1], [edge, 1])).toBe("within tolerance");
    expect(verdict([0, 1], [edge * (1 + 1e-15), 1])).toBe("different");
  });

  it("outside of a list are not measured against their neighbours", () => {
    expect(verdict({ a: 0, b: 1e6 }, { a: 1e-13, b: 1e6 })).toBe("different");
    expect(verdict([{ a: 0 }, 1e6], [{ a: 1e-13 }, 1e6])).toBe("different");
  });

  it("of a finding may differ by its tolerance, read as a decimal", () => {
    const estimate = { tolerance: 0.1, scale: 0 };
    for (const key of ["value", "low", "high"]) {
      const at = (x: number) => ({ [key]: x });
      expect(compareData(at(2.6), at(2.7), estimate).verdict).toBe("within tolerance");
      expect(compareData(at(0), at(0.1 + 1.5e-10), estimate).verdict).toBe("within tolerance");
      expect(compareData(at(0), at(0.1 + 2.5e-10), estimate).verdict).toBe("different");
    }
    expect(compareData({ se: 2.6 }, { se: 2.7 }, estimate).verdict).toBe("different");
    expect(compareData({ a: { value: 2.6 } }, { a: { value: 2.7 } }, estimate).verdict).toBe(
      "different",
    );
  });

  it("of a finding are rounded like the largest of its estimate and limits", () => {
    const estimate = { tolerance: 0, scale: 50 };
    expect(compareData({ low: 0 }, { low: 4.99e-8 }, estimate).verdict).toBe("within tolerance");
    expect(compareData({ low: 0 }, { low: 5.01e-8 }, estimate).verdict).toBe("different");
    expect(compareData({ se: 0 }, { se: 4.99e-8 }, estimate).verdict).toBe("different");
  });

  it.each([
    [4.376015928960086, 4.198677341574031, "4.38 → 4.20"],
    [-1.05, -0.946, "−1.05 → −0.95"],
    [3.4, 3.40000003, "3.40000000 → 3.40000003"],
    [0.0123456, 0.0123999, "0.01235 → 0.01240"],
    [43, 44, "43 → 44"],
    [-2, 3, "−2 → 3"],
    [1234.5678, 1234.9, "1234.6 → 1234.9"],
    // 123.5 − 123.4 is 0.09999999999999432 in doubles, and a tenth to a reader
    [123.4, 123.5, "123.4 → 123.5"],
    // from 0.0001 to a billion as decimals, beyond in powers of ten
    [1.234e-4, 1e-9, "0.000123 → 0.000000"],
    [1.234e-5, 1e-9, "0.0000123 → 1.00e−9"],
    [123456789.5, 234567890.5, "123456790 → 234567891"],
    [1234567890.5, 2345678901.5, "1.23e+9 → 2.35e+9"],
  ])("%s and %s are written with as many digits as tell them apart", (before, after, text) => {
    expect(compareData({ cv: before }, { cv: after }).difference).toBe(`cv: ${text}`);
  });

  it("that are equal are written with three digits", () => {
    expect(numbersApart(2.345678, 2.345678)).toEqual(["2.35", "2.35"]);
  });

  it("give the largest difference, wherever it is", () => {
    expect(compareData([1, 2, 3], [1, 2.25, 3.125])).toEqual({
      verdict: "different",
      difference: "[1]: 2.00 → 2.25",
      largest: 0.25,
    });
    expect(compareData([1, 2], [1.5, 2.25]).largest).toBe(0.5);
    expect(compareData([1, 2], [1, 2])).toEqual({ verdict: "same" });
  });
});

describe("two values of different kinds", () => {
  it.each([
    [1, "1", '1 → "1"'],
    ["1", 1, '"1" → 1'],
    [1, null, "1 → null"],
    [null, 1, "null → 1"],
    [null, {}, "null → {}"],
    [{}, null, "{} → null"],
    [[], {}, "[] → {}"],
    [{}, [], "{} → []"],
    [[1], 1, "[1] → 1"],
    [1, [1], "1 → [1]"],
    ["a", null, '"a" → null'],
    [null, "a", 'null → "a"'],
    [true, false, "true → false"],
    [undefined, 1, "nothing → 1"],
  ])("%j and %j are different, and both are shown", (before, after, difference) => {
    expect(compareData(before, after)).toEqual({ verdict: "different", difference, largest: 0 });
  });

  it("are cut when they are long", () => {
    const long = Array.from({ length: 40 }, (_, i) => i);
    const [shown] = compareData(long, null).difference!.split(" → ");
    expect(shown).toBe(`${JSON.stringify(long).slice(0, 57)}…`);
    const fits = "a".repeat(58);
    expect(compareData(fits, 1).difference).toBe(`"${fits}" → 1`);
    expect(compareData(`${fits}a`, 1).difference).toBe(`"${"a".repeat(56)}… → 1`);
  });
});

describe("two records", () => {
  it("are compared key by key, missing keys before new ones", () => {
    expect(compareData({ a: 1 }, {}).difference).toBe("a: no longer there");
    expect(compareData({}, { a: 1 }).difference).toBe("a: new");
    expect(compareData({ a: undefined }, {}).verdict).toBe("different");
    expect(compareData({ b: { c: [0, { d: 1 }] } }, { b: { c: [0, { d: 2 }] } }).difference).toBe(
      "b.c[1].d: 1 → 2",
    );
  });
});

describe("two texts", () => {
  const difference = (before: string, after: string) => compareData(before, after).difference;

  it("are shown whole when they are short", () => {
    expect(difference("grip", "swing")).toBe('"grip" → "swing"');
    expect(difference("grip", "grip block")).toBe('"grip" → "grip block"');
  });

  it("are shown from 20 letters before the place where they part", () => {
    const start = "0123456789".repeat(5);
    expect(difference(`${start}A`, `${start}B`)).toBe(
      `"…${start.slice(-20)}A" → "…${start.slice(-20)}B"`,
    );
    const forty = start.slice(0, 40);
    expect(difference(`${forty}A`, `${forty}B`)).toBe(`"${forty}A" → "${forty}B"`);
    expect(difference(`${forty}_A`, `${forty}_B`)).toBe(
      `"…${forty.slice(21)}_A" → "…${forty.slice(21)}_B"`,
    );
  });

  it("are cut after 56 letters", () => {
    const rest = "0123456789".repeat(5);
    expect(difference(`A12345${rest}`, `B12345${rest}`)).toBe(`"A12345${rest}" → "B12345${rest}"`);
    expect(difference(`A123456${rest}`, "B")).toBe(`"A123456${rest.slice(0, 49)}…" → "B"`);
  });
});

describe("sizeOf", () => {
  it("is the largest absolute number of a list, whatever else the list has", () => {
    expect(sizeOf([3, -7, 5])).toBe(7);
    expect(sizeOf([7, 3])).toBe(7);
    expect(sizeOf(["900", 2, null, [100], { a: 800 }])).toBe(2);
    expect(sizeOf([])).toBe(0);
  });
});
