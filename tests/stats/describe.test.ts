import { op, table } from "arquero";
import fc from "fast-check";
import * as simple from "simple-statistics";
import { expect, it, describe as suite } from "vitest";
import { InputError } from "../../lib/errors.js";
import {
  describe,
  type QuantileDefinition,
  quantile,
  serialCorrelation,
} from "../../lib/stats/describe.js";
import { agreeingDigits, agrees } from "../reference/agree.js";
import { agreesAsPrinted, nist, referenceCase } from "../reference/cases.js";

const full = { rel: 4e-15, why: "sums of a few exact terms, a few units in the last place" };

suite("describe", () => {
  for (const id of ["shapiro_wilk_mens_weights", "nist_outliers", "one_to_ten", "sleep_diff"]) {
    const one = referenceCase("descriptives", id);
    it(`gives R's mean, sd (n − 1), median, quartiles by definition 7 and mad: ${id}`, () => {
      const result = describe(one.data.x);
      const { mean, sd, median, mad_raw, quantile_type7 } = one.computed;
      agrees(result.mean, mean!.value, { quantity: "mean", ...full });
      agrees(result.sd, sd!.value, { quantity: "sd", ...full });
      agrees(result.median, median!.value, { quantity: "median", ...full });
      agrees(result.q1, quantile_type7!.value["0.25"], { quantity: "q1", ...full });
      agrees(result.q3, quantile_type7!.value["0.75"], { quantity: "q3", ...full });
      agrees(result.mad, one.computed["mad_1.4826"]!.value, { quantity: "mad × 1.4826", ...full });
      agrees(result.mad, 1.4826 * mad_raw!.value, { quantity: "mad from the raw mad", ...full });
      const se = sd!.value / Math.sqrt(one.data.x.length);
      agrees(result.se, se, { quantity: "se", ...full });
      const cv = (100 * sd!.value) / mean!.value;
      agrees(result.cvPercent!, cv, { quantity: "coefficient of variation", ...full });
      expect(result.n).toBe(one.data.x.length);
    });
  }

  it("gives the median NIST prints for its outlier example", () => {
    const one = referenceCase("descriptives", "nist_outliers");
    agreesAsPrinted(describe(one.data.x).median, one, "median");
  });

  for (const [name, digits] of [
    ["NumAcc1", 15],
    ["NumAcc2", 14],
    ["NumAcc3", 8.5],
    ["Lew", 13.8],
    ["Lottery", 14],
    ["PiDigits", 14],
  ] as const) {
    it(`keeps NIST StRD ${name}'s certified mean, sd and lag-1 autocorrelation to ${digits} digits`, () => {
      const { data, certified } = nist(name);
      const result = describe(data.y);
      expect(agreeingDigits(result.mean, certified.mean)).toBeGreaterThanOrEqual(14);
      expect(agreeingDigits(result.sd, certified.sd)).toBeGreaterThanOrEqual(digits);
      const lag = serialCorrelation(data.y);
      expect(agreeingDigits(lag, certified.lag1Autocorrelation)).toBeGreaterThanOrEqual(
        Math.min(digits, 13),
      );
    });
  }

  it("agrees with simple-statistics where the two compute the same thing", () => {
    const x = [48.2, 51.7, 39.9, 44.1, 46.3, 50.8, 42.2];
    const result = describe(x);
    agrees(result.sd, simple.sampleStandardDeviation(x), { quantity: "sd", ...full });
    agrees(result.mean, simple.mean(x), { quantity: "mean", ...full });
    agrees(result.median, simple.median(x), { quantity: "median", ...full });
    const mad = 1.4826 * simple.medianAbsoluteDeviation(x);
    agrees(result.mad, mad, { quantity: "mad", ...full });
  });

  it("agrees with arquero on sd and on quartiles by definition 7", () => {
    const x = [48.2, 51.7, 39.9, 44.1, 46.3, 50.8, 42.2, 47.5];
    const theirs = table({ x })
      .rollup({ sd: op.stdev("x"), q1: op.quantile("x", 0.25), q3: op.quantile("x", 0.75) })
      .object() as Record<"sd" | "q1" | "q3", number>;
    const result = describe(x);
    for (const name of ["sd", "q1", "q3"] as const) {
      agrees(result[name], theirs[name], { quantity: name, ...full });
    }
  });

  it("says when the coefficient of variation means little, and leaves it out at a mean of 0", () => {
    expect(describe([-1, 2, 3]).warnings).toHaveLength(1);
    const balanced = describe([-1, 1]);
    expect(balanced).not.toHaveProperty("cvPercent");
    expect(balanced.warnings[0]).toMatch(/mean is 0/);
  });

  it("gives exactly 0 spread for a repeated value that binary cannot hold", () => {
    expect(describe([0.1, 0.1, 0.1, 0.1, 0.1, 0.1])).toMatchObject({ mean: 0.1, sd: 0, mad: 0 });
  });

  it("refuses text, gaps and single values, naming the place", () => {
    expect(() => describe([1])).toThrow("describe: expected at least 2 values, got 1");
    expect(() => describe([1, Number.NaN])).toThrow("describe, index 1: expected a finite number");
    expect(() => describe(["4", 5] as never)).toThrow(InputError);
  });

  it("moves with shift and scale and ignores order", () => {
    const column = fc.array(fc.integer({ min: -9999, max: 9999 }), { minLength: 2, maxLength: 30 });
    fc.assert(
      fc.property(
        column,
        fc.integer({ min: -500, max: 500 }),
        fc.constantFrom(-4, 0.5, 8),
        (x, a, b) => {
          const plain = describe(x);
          const moved = describe(x.map((value) => a + b * value).reverse());
          const close = (p: number, q: number) => expect(p).toBeCloseTo(q, 7);
          close(moved.mean, a + b * plain.mean);
          close(moved.median, a + b * plain.median);
          close(moved.sd, Math.abs(b) * plain.sd);
          close(moved.mad, Math.abs(b) * plain.mad);
          close(b > 0 ? moved.q1 : moved.q3, a + b * plain.q1);
        },
      ),
      { seed: 20260103 },
    );
  });
});

suite("quantile", () => {
  const definitions = [1, 2, 3, 4, 5, 6, 7, 8, 9] as QuantileDefinition[];
  for (const definition of definitions) {
    for (const id of ["shapiro_wilk_mens_weights", "nist_outliers", "one_to_ten", "sleep_diff"]) {
      it(`definition ${definition} of Hyndman and Fan is R's type ${definition}: ${id}`, () => {
        const one = referenceCase("descriptives", id);
        const expected: Record<string, number> = one.computed[`quantile_type${definition}`]!.value;
        for (const [p, value] of Object.entries(expected)) {
          const actual = quantile(one.data.x, Number(p), { definition });
          agrees(actual, value, {
            quantity: `quantile ${p}`,
            rel: 2e-14,
            why: "one interpolation, and R's own rounding of the position",
          });
        }
      });
    }
  }

  it("definition 6 gives the quartiles NIST prints", () => {
    const one = referenceCase("descriptives", "nist_outliers");
    agreesAsPrinted(quantile(one.data.x, 0.25, { definition: 6 }), one, "lower quartile");
    agreesAsPrinted(quantile(one.data.x, 0.75, { definition: 6 }), one, "upper quartile");
  });

  it("never falls as p rises, and stays between the smallest and the largest value", () => {
    const column = fc.array(
      fc.double({ noNaN: true, noDefaultInfinity: true, min: -1e6, max: 1e6 }),
      {
        minLength: 1,
        maxLength: 20,
      },
    );
    fc.assert(
      fc.property(column, fc.constantFrom(...definitions), (x, definition) => {
        let last = Math.min(...x);
        for (let p = 0; p <= 1; p += 1 / 64) {
          const value = quantile(x, p, { definition });
          expect(value).toBeGreaterThanOrEqual(last);
          last = value;
        }
        expect(last).toBe(Math.max(...x));
      }),
      { seed: 20260104 },
    );
  });

  it("takes the one value there is, at any p", () => {
    for (const definition of definitions) expect(quantile([7], 0.3, { definition })).toBe(7);
  });

  it("refuses a percentage, a definition that is none, and an empty column", () => {
    expect(() => quantile([1, 2], 25)).toThrow("quantile, p: expected a probability from 0 to 1");
    expect(() => quantile([1, 2], 0.5, { definition: 10 as never })).toThrow(/from 1 to 9/);
    expect(() => quantile([], 0.5)).toThrow(/at least 1/);
  });
});

suite("serialCorrelation", () => {
  it("refuses a column that does not vary or is too short", () => {
    expect(() => serialCorrelation([2, 2, 2])).toThrow(/values that differ/);
    expect(() => serialCorrelation([1, 2], { lag: 1 })).toThrow(/at least 3/);
    expect(() => serialCorrelation([1, 2, 4], { lag: 0 })).toThrow(/whole number/);
  });
});
