import { describe, expect, it } from "vitest";
import { randomStream } from "../../lib/num/random.js";
import { baselineRelation, selectionGain } from "../../lib/stats/baseline-relation.js";
import { meanAndSd } from "../../lib/stats/describe.js";
import { fitLine } from "../../lib/stats/regression.js";
import { reliability } from "../../lib/stats/reliability.js";
import { agrees } from "../reference/agree.js";
import { referenceCase } from "../reference/cases.js";

/** People whose true change is `slope` times their distance from 40, measured twice with error 3. */
function people(n: number, slope: number, seed: number, error = 3) {
  const stream = randomStream(seed, "baseline relation");
  const rows = Array.from({ length: n }, () => {
    const start = 40 + 8 * stream.normal();
    const end = start + 2 + slope * (start - 40);
    return [start + error * stream.normal(), end + error * stream.normal()] as const;
  });
  return { before: rows.map(([b]) => b), after: rows.map(([, a]) => a) };
}

describe("baselineRelation (Blomqvist 1977)", () => {
  it("expects ρ − 1 of a test with reliability ρ: 0.92 gives −0.08 (Bobos et al. 2020; Hayes 1988)", () => {
    const before = [28, 33, 37, 40, 41, 46, 55];
    const sd = meanAndSd(Float64Array.from(before)).sd;
    const relation = baselineRelation(before, before, { typicalError: sd * Math.sqrt(1 - 0.92) });
    agrees(relation.expected, -0.08, { quantity: "slope by error", rel: 1e-12, why: "exact" });
  });

  it("finds no relation in a published retest in which nobody changed (Bland & Altman 1986)", () => {
    const { data } = referenceCase("reliability", "wright_pair");
    const [before, after] = [0, 1].map((k) => data.rows.map((row: number[]) => row[k]));
    const { typicalError } = reliability(data.rows);
    const relation = baselineRelation(before, after, {
      typicalError: typicalError.value,
      typicalErrorDf: typicalError.df!,
    });
    const seen = fitLine({
      x: before,
      y: after.map((y: number, i: number) => y - before[i]),
    }).slope;
    const share = typicalError.value ** 2 / meanAndSd(Float64Array.from(before)).sd ** 2;
    agrees(relation.slope.value, seen.value, { quantity: "slope", rel: 1e-12, why: "one formula" });
    agrees(relation.corrected!.value, (seen.value + share) / (1 - share), {
      quantity: "(b + k) / (1 − k)",
      rel: 1e-12,
      why: "one formula",
    });
    expect(relation.corrected!.interval!.low).toBeLessThan(0);
    expect(relation.corrected!.interval!.high).toBeGreaterThan(0);
  });

  it.each([0, -0.3, 0.2])(
    "is unbiased for a true slope of %d, where the slope seen is not",
    (slope) => {
      const found = Array.from({ length: 300 }, (_, seed) => {
        const { before, after } = people(60, slope, seed);
        return baselineRelation(before, after, { typicalError: 3 });
      });
      const average = (values: number[]) =>
        values.reduce((sum, one) => sum + one, 0) / values.length;
      const corrected = average(found.map((one) => one.corrected!.value));
      const seen = average(found.map((one) => one.slope.value));
      // Simulation error of a mean of 300 slopes with SD about 0.09 is 0.005
      expect(Math.abs(corrected - slope)).toBeLessThan(0.016);
      // k = 9 / 73
      expect(Math.abs(seen - (slope * (1 - 9 / 73) - 9 / 73))).toBeLessThan(0.016);
      const covered = found.filter(
        ({ corrected: { interval } = {} }) => interval!.low <= slope && slope <= interval!.high,
      ).length;
      // 95 % of 300 is 285 with SD 3.8
      expect(covered).toBeGreaterThan(273);
      expect(covered).toBeLessThan(296);
    },
  );

  it("gives no p of the slope seen, and no corrected slope where error is all there is", () => {
    const { before, after } = people(20, 0, 5);
    const relation = baselineRelation(before, after, { typicalError: 30 });
    expect(relation.slope).not.toHaveProperty("p");
    expect(relation).not.toHaveProperty("corrected");
    expect(relation.warnings).toHaveLength(1);
    expect(baselineRelation(before, after, { typicalError: 0 }).corrected!.value).toBe(
      relation.slope.value,
    );
  });

  it("refuses unequal columns, two people, a negative error", () => {
    const error = { typicalError: 1 };
    expect(() => baselineRelation([1, 2, 3], [1, 2], error)).toThrow("baselineRelation, after");
    expect(() => baselineRelation([1, 2], [1, 2], error)).toThrow(/at least 3/);
    expect(() => baselineRelation([1, 2, 3], [1, 2, 4], { typicalError: -1 })).toThrow(
      /number from 0 up/,
    );
    expect(() =>
      baselineRelation([1, 2, 3], [1, 2, 4], { typicalError: 1, typicalErrorDf: 0 }),
    ).toThrow(/degrees of freedom above 0/);
  });
});

describe("selectionGain (Davis 1976)", () => {
  it("agrees with the mean of a truncated normal by scipy", () => {
    const { data, computed } = referenceCase("baseline", "selection");
    const rise = computed.rise!;
    for (const [i, mean] of data.mean.entries()) {
      const [sd, typicalError, below] = [data.sd[i], data.typicalError[i], data.below[i]];
      agrees(selectionGain({ mean, sd, typicalError, below }).value, rise.value[i], {
        quantity: `rise below ${below}`,
        rel: 1e-12,
        why: "scipy in double precision",
      });
    }
  });

  it("is what a simulation of people who do not change shows", () => {
    const { before, after } = people(40_000, 0, 11);
    const picked = before
      .map((x, i) => ({ x, change: after[i]! - x - 2 }))
      .filter(({ x }) => x < 36);
    const rise = picked.reduce((sum, { change }) => sum + change, 0) / picked.length;
    const expected = selectionGain({ mean: 40, sd: Math.hypot(8, 3), typicalError: 3, below: 36 });
    // SD of a change is 4.2, so the mean of about 12 800 has error 0.04
    expect(Math.abs(rise - expected.value)).toBeLessThan(0.13);
    expect(Math.abs(picked.length / 40_000 - expected.share)).toBeLessThan(0.01);
  });

  it("stays finite far below the mean, and refuses an error above the spread", () => {
    const far = selectionGain({ mean: 40, sd: 1, typicalError: 0.5, below: -10 });
    expect(far.value).toBeCloseTo(12.5, 10);
    expect(() => selectionGain({ mean: 40, sd: 1, typicalError: 2, below: 30 })).toThrow(
      /not below the typical error/,
    );
  });
});
