import { readFileSync } from "node:fs";
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { InputError } from "../../lib/errors.js";
import {
  chiSquared,
  type Distribution,
  fisherF,
  noncentralT,
  normal,
  studentT,
} from "../../lib/num/distributions.js";
import { agrees } from "../reference/agree.js";

interface Row {
  dist: "normal" | "t" | "chi2" | "F" | "nct";
  params: Record<string, number>;
  fn: "cdf" | "upper" | "quantile";
  arg: number;
  value: string;
}

function reference(name: string) {
  return JSON.parse(readFileSync(new URL(`../reference/${name}.json`, import.meta.url), "utf8"));
}

function law({ dist, params: { df, df1, df2, shift, ncp } }: Row): Distribution {
  switch (dist) {
    case "normal":
      return normal();
    case "t":
      return studentT(df!);
    case "chi2":
      return chiSquared(df!);
    case "F":
      return fisherF(df1!, df2!);
    case "nct":
      return noncentralT(df!, (shift ?? ncp)!);
  }
}

/** Below the smallest normal double a value has no twelve digits to agree with. */
const holdsTwelveDigits = (row: Row) => Math.abs(Number(row.value)) > 2.3e-308;

function agreesWithRow(row: Row): void {
  agrees(law(row)[row.fn](row.arg), Number(row.value), {
    quantity: `${row.dist} ${JSON.stringify(row.params)} ${row.fn}(${row.arg})`,
    rel: row.dist === "nct" ? 1e-9 : 1e-12,
    why: "digits asked of a distribution; the reference has 20",
  });
}

describe("distributions against values of 20 digits", () => {
  const grid: Row[] = reference("distributions").rows;
  const random: Row[] = reference("distributions-random").rows;

  for (const dist of ["normal", "t", "chi2", "F", "nct"] as const) {
    it(`${dist}: the published grid of tails and quantiles`, () => {
      const rows = grid.filter((row) => row.dist === dist && holdsTwelveDigits(row));
      expect(rows.length).toBeGreaterThan(20);
      rows.forEach(agreesWithRow);
    });

    it(`${dist}: random points, df from 0.5 to 1e6, tails to 1e-300`, () => {
      const rows = random.filter((row) => row.dist === dist);
      expect(rows.length).toBeGreaterThan(50);
      rows.forEach(agreesWithRow);
    });
  }

  it("tables in print: each value rounds to the digits shown", () => {
    for (const row of reference("distributions").published) {
      const decimals = row.printed.split(".")[1].length;
      const value = law(row)[row.fn as Row["fn"]](row.arg);
      agrees(value, Number(row.printed), {
        quantity: `${row.where}: ${row.dist} ${row.fn}(${row.arg})`,
        rel: (0.50001 * 10 ** -decimals) / Number(row.printed),
        why: "half a unit in the last printed digit",
      });
    }
  });

  it("subnormal tails come to the few digits a double has there", () => {
    agrees(normal().cdf(-38), 2.88542835e-316, {
      quantity: "normal cdf(-38)",
      rel: 1e-8,
      why: "a subnormal of 26 bits",
    });
  });
});

const df = fc.double({ min: -0.3, max: 6, noNaN: true }).map((power) => 10 ** power);
const tailDepth = fc.double({ min: -290, max: -0.31, noNaN: true }).map((power) => 10 ** power);
const runs = { seed: 1908, numRuns: 150 };

/** What a small relative error in x does to a tail, for the tolerance of a round trip. */
function conditioning(of: Distribution, x: number): number {
  const step = 1e-7 * Math.abs(x);
  const tail = Math.min(of.cdf(x), of.upper(x));
  return (Math.abs(of.cdf(x + step) - of.cdf(x - step)) / (2 * step) / tail) * Math.abs(x);
}

describe("distributions as functions", () => {
  it("the quantile undoes the cdf deep into the lower tail", () => {
    fc.assert(
      fc.property(df, df, tailDepth, (df1, df2, p) => {
        for (const of of [normal(), studentT(df1), chiSquared(df1), fisherF(df1, df2)]) {
          const x = of.quantile(p);
          if (Math.abs(x) < 1e-300 || Math.abs(x) > 1e300) continue;
          const slack = 1e-12 + 3e-15 * conditioning(of, x);
          expect(Math.abs(of.cdf(x) / p - 1), `${of.kind} ${df1} ${df2}`).toBeLessThan(slack);
        }
      }),
      runs,
    );
  });

  it("quantiles rise with p", () => {
    fc.assert(
      fc.property(df, df, fc.double({ min: 1e-12, max: 0.99, noNaN: true }), (df1, df2, p) => {
        for (const of of [normal(), studentT(df1), chiSquared(df1), fisherF(df1, df2)]) {
          expect(of.quantile(p * 1.01)).toBeGreaterThanOrEqual(of.quantile(p));
        }
      }),
      runs,
    );
  });

  it("t is symmetric, and its square is F with 1 and df degrees of freedom", () => {
    fc.assert(
      fc.property(df, fc.double({ min: 1e-6, max: 1e4, noNaN: true }), (df, t) => {
        const student = studentT(df);
        expect(student.cdf(-t)).toBe(student.upper(t));
        const square = fisherF(1, df).upper(t * t);
        expect(Math.abs(2 * student.upper(t) - square)).toBeLessThanOrEqual(1e-13 * square);
      }),
      runs,
    );
  });

  it("exchanging the mean squares of F exchanges its tails", () => {
    fc.assert(
      fc.property(df, df, fc.double({ min: -3, max: 3, noNaN: true }), (df1, df2, power) => {
        const upper = fisherF(df1, df2).upper(10 ** power);
        const lower = fisherF(df2, df1).cdf(10 ** -power);
        const conditioned = conditioning(fisherF(df1, df2), 10 ** power);
        if (lower < 1e-290 || lower > 0.9) return;
        expect(Math.abs(upper / lower - 1)).toBeLessThan(1e-12 + 4e-16 * conditioned);
      }),
      runs,
    );
  });

  it("limits: t with many df is normal, F with many df2 is chi-squared over df1", () => {
    expect(studentT(1e12).upper(3)).toBeCloseTo(normal().upper(3), 12);
    expect(studentT(Number.POSITIVE_INFINITY).quantile(0.975)).toBe(normal().quantile(0.975));
    expect(fisherF(4, 1e12).upper(2)).toBeCloseTo(chiSquared(4).upper(8), 11);
  });

  it("noncentral t without shift is t; its tails sum to 1; exchanging signs exchanges them", () => {
    fc.assert(
      fc.property(
        fc.double({ min: 1, max: 300, noNaN: true }),
        fc.double({ min: -5, max: 5, noNaN: true }),
        fc.double({ min: -8, max: 8, noNaN: true }),
        (df, shift, t) => {
          const of = noncentralT(df, shift);
          expect(of.cdf(t) + of.upper(t)).toBeCloseTo(1, 11);
          const mirrored = noncentralT(df, -shift).upper(-t);
          expect(Math.abs(of.cdf(t) - mirrored)).toBeLessThanOrEqual(1e-12 * mirrored);
          const central = studentT(df).cdf(t);
          const unshifted = noncentralT(df, 0).cdf(t);
          expect(Math.abs(unshifted / central - 1)).toBeLessThan(1e-11);
        },
      ),
      { seed: 1908, numRuns: 60 },
    );
  });

  it("noncentral t: the quantile undoes the cdf", () => {
    for (const [df, shift] of [
      [0.7, 1],
      [3, -4],
      [11, 2.5],
      [200, 30],
    ] as const) {
      for (const p of [1e-30, 1e-6, 0.025, 0.5, 0.8]) {
        const of = noncentralT(df, shift);
        expect(Math.abs(of.cdf(of.quantile(p)) / p - 1)).toBeLessThan(1e-10);
      }
    }
  });

  it("noncentral t far from 0: both ways of averaging meet, and the limit is known", () => {
    for (const t of [60, 100, 200]) {
      const [below, above] = [noncentralT(11, 100), noncentralT(11, 100 * (1 + 1e-12))];
      expect(Math.abs(above.cdf(t) / below.cdf(t) - 1)).toBeLessThan(1e-8);
      expect(noncentralT(11, 100.5).cdf(t)).toBe(noncentralT(11, -100.5).upper(-t));
    }
    // when Z is nothing beside the shift, T is shift / s
    const limit = 1e6 * Math.sqrt(3 / chiSquared(3).quantile(0.5));
    expect(noncentralT(3, 1e6).quantile(0.5) / limit).toBeCloseTo(1, 9);
  });

  it("ends of the range", () => {
    expect(normal().cdf(Number.NEGATIVE_INFINITY)).toBe(0);
    expect(studentT(3).upper(Number.NEGATIVE_INFINITY)).toBe(1);
    expect(studentT(3).quantile(0)).toBe(Number.NEGATIVE_INFINITY);
    expect(chiSquared(3).quantile(0)).toBe(0);
    expect(chiSquared(3).cdf(-1)).toBe(0);
    expect(fisherF(2, 3).upper(Number.POSITIVE_INFINITY)).toBe(0);
    expect(fisherF(2, 3).quantile(1)).toBe(Number.POSITIVE_INFINITY);
    expect(noncentralT(5, 1).quantile(1)).toBe(Number.POSITIVE_INFINITY);
    expect(noncentralT(5, 1).cdf(Number.POSITIVE_INFINITY)).toBe(1);
    expect(noncentralT(5, 1).upper(Number.POSITIVE_INFINITY)).toBe(0);
    expect(noncentralT(5, 1).cdf(Number.NEGATIVE_INFINITY)).toBe(0);
    expect(noncentralT(5, 1).upper(1e300)).toBe(0);
    expect(normal(10, 2).quantile(0.5)).toBe(10);
  });

  it("a Cauchy tail too far out to square keeps its power law", () => {
    // the upper tail of t with 1 df at large x is 1 / (πx)
    expect(studentT(1).upper(1e200) * Math.PI * 1e200).toBeCloseTo(1, 12);
    expect(studentT(1).quantile(1e-200) * Math.PI * 1e-200).toBeCloseTo(-1, 12);
    const ratio = noncentralT(0.5, 0).upper(1e200) / studentT(0.5).upper(1e200);
    expect(ratio).toBeCloseTo(1, 11);
  });

  it("refuses what is no distribution, point or probability, and says which", () => {
    expect(() => studentT(0)).toThrow(/studentT, df: expected a positive number, got 0/);
    expect(() => fisherF(2, -1)).toThrow(/fisherF, df2/);
    expect(() => normal(0, Number.NaN)).toThrow(InputError);
    expect(() => normal(Number.POSITIVE_INFINITY)).toThrow(InputError);
    expect(() => noncentralT(4, Number.NaN)).toThrow(/noncentralT, shift/);
    expect(() => normal().quantile(97.5)).toThrow(/a probability from 0 to 1, got 97.5/);
    expect(() => chiSquared(1).cdf(Number.NaN)).toThrow(/chiSquared, cdf/);
  });

  it("a distribution is frozen and says its kind", () => {
    expect(Object.isFrozen(studentT(4))).toBe(true);
    expect(studentT(4).kind).toBe("studentT");
  });
});
