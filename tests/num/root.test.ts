import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { InputError } from "../../lib/errors.js";
import { findRoot } from "../../lib/num/root.js";

describe("findRoot", () => {
  it("finds known roots to rounding", () => {
    expect(findRoot((x) => x * x - 2, 0, 2)).toBeCloseTo(Math.SQRT2, 15);
    expect(findRoot((x) => Math.cos(x), 1, 2)).toBeCloseTo(Math.PI / 2, 15);
    expect(findRoot((x) => Math.exp(x) - 1e-8, -40, 0)).toBeCloseTo(Math.log(1e-8), 13);
  });

  it("takes an end that is a root", () => {
    expect(findRoot((x) => x, 0, 5)).toBe(0);
    expect(findRoot((x) => x - 5, 0, 5)).toBe(5);
  });

  it("survives flat stretches and steps, where interpolation misleads", () => {
    expect(findRoot((x) => (x - 0.3) ** 9, 0, 1)).toBeCloseTo(0.3, 1);
    expect(findRoot((x) => (x < 0.7 ? -1 : 1), 0, 1)).toBeCloseTo(0.7, 14);
  });

  it("finds the root of any rising cubic", () => {
    fc.assert(
      fc.property(fc.double({ min: -50, max: 50, noNaN: true }), (at) => {
        const root = findRoot((x) => (x - at) * (1 + (x - at) ** 2), -60, 70);
        expect(Math.abs(root - at)).toBeLessThanOrEqual(1e-13 * (1 + Math.abs(at)));
      }),
      { seed: 12, numRuns: 200 },
    );
  });

  it("says so when there is no change of sign", () => {
    expect(() => findRoot((x) => x * x + 1, -1, 1)).toThrow(
      /expected a change of sign, got 2 at -1/,
    );
    expect(() => findRoot(() => Number.NaN, -1, 1)).toThrow(InputError);
  });
});
