import fc from "fast-check";
import { describe, expect, it } from "vitest";
import {
  groupSums,
  mean,
  sum,
  sumOfProductDeviations,
  sumOfSquaredDeviations,
} from "../../lib/num/sums.js";
import { agrees } from "../reference/agree.js";
import { nist } from "../reference/cases.js";

/** One digit less than exact arithmetic reaches on the data as doubles, and never more than 15. */
function tolerance(set: { name: string; verification: Verification }, quantity: string) {
  const attainable = set.verification.attainableDigitsWithDoubleInput.digits;
  const digits = typeof attainable === "number" ? Math.min(attainable, 16) - 1 : 15;
  return {
    quantity: `${set.name}, ${quantity}`,
    rel: 10 ** -digits,
    why: "attainable digits with double input, less one",
  };
}

interface Verification {
  attainableDigitsWithDoubleInput: { digits: number | "exact" };
}

describe("NIST StRD univariate sets", () => {
  for (const name of ["PiDigits", "Lottery", "Lew", "NumAcc1", "NumAcc2", "NumAcc3"]) {
    it(`${name}: mean, sd (n − 1) and lag-1 autocorrelation`, () => {
      const set = nist(name);
      const y: number[] = set.data.y;
      const centre = mean(y);
      const squares = sumOfSquaredDeviations(y, centre);
      const lagged = sum(y.slice(1).map((value, i) => (value - centre) * (y[i]! - centre)));
      agrees(centre, set.certified.mean, tolerance(set, "mean"));
      agrees(Math.sqrt(squares / (y.length - 1)), set.certified.sd, tolerance(set, "sd"));
      agrees(
        lagged / squares,
        set.certified.lag1Autocorrelation,
        tolerance(set, "autocorrelation"),
      );
    });
  }
});

describe("NIST StRD analysis of variance sets", () => {
  for (const name of ["SiRstv", "SmLs01", "SmLs04", "SmLs07"]) {
    it(`${name}: sums of squares between and within groups, and F`, () => {
      const set = nist(name);
      const { between, within, dfBetween, dfWithin } = groupSums(set.data.groups);
      expect([dfBetween, dfWithin]).toEqual([set.certified.between.df, set.certified.within.df]);
      agrees(between, set.certified.between.ss, tolerance(set, "between"));
      agrees(within, set.certified.within.ss, tolerance(set, "within"));
      const f = between / dfBetween / (within / dfWithin);
      agrees(f, set.certified.F, tolerance(set, "F"));
    });
  }
});

const column = fc.array(fc.double({ min: -1e6, max: 1e6, noNaN: true }), {
  minLength: 2,
  maxLength: 40,
});
const runs = { seed: 77, numRuns: 200 };

describe("sums", () => {
  it("keep what cancellation would lose", () => {
    expect(sum([1e100, 1, -1e100])).toBe(1);
    expect(sum([])).toBe(0);
    expect(sum(Array.from({ length: 10 }, () => 0.1))).toBe(1);
    expect(mean([1e16, 1e16 + 2, 1e16 + 4])).toBe(1e16 + 2);
  });

  it("do not depend on the order of the values", () => {
    fc.assert(
      fc.property(column, (x) => {
        const turned = x.slice().reverse();
        const scale = x.reduce((most, value) => Math.max(most, Math.abs(value)), 1e-300);
        expect(Math.abs(sum(x) - sum(turned))).toBeLessThanOrEqual(
          2e-16 * Math.abs(sum(x)) + 1e-25 * scale,
        );
      }),
      runs,
    );
  });

  it("squared deviations: unmoved by a shift that is exact, and by a rounded centre", () => {
    fc.assert(
      fc.property(
        fc.array(fc.integer({ min: 0, max: 900 }), { minLength: 2, maxLength: 30 }),
        (x) => {
          const plain = sumOfSquaredDeviations(x);
          const shifted = x.map((value) => value + 2 ** 40);
          expect(sumOfSquaredDeviations(shifted)).toBeCloseTo(plain, 6);
          expect(sumOfSquaredDeviations(x, mean(x) + 0.25)).toBeCloseTo(plain, 6);
        },
      ),
      runs,
    );
  });

  it("products: Σ(x − x̄)(y − ȳ), equal to the squares when the columns are one", () => {
    expect(sumOfProductDeviations([1, 2, 3], [2, 4, 9])).toBeCloseTo(7, 14);
    fc.assert(
      fc.property(column, (x) => {
        expect(sumOfProductDeviations(x, x)).toBe(sumOfSquaredDeviations(x));
      }),
      runs,
    );
  });

  it("between and within add up to the total", () => {
    const groups = [
      [3, 4, 5],
      [8, 8.5],
      [1, 2, 2, 1],
    ];
    const { between, within } = groupSums(groups);
    expect(between + within).toBeCloseTo(sumOfSquaredDeviations(groups.flat()), 12);
  });
});
