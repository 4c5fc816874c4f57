import { describe, expect, it } from "vitest";
import * as tautline from "../../lib/entries/stats.js";
import { frozen } from "../../lib/stats/estimate.js";

const before = [41.2, 38.4, 29.5, 52.1, 33.3, 47.8, 36.9, 44.4, 30.2, 39.7];
const after = [43.0, 39.9, 30.1, 55.0, 34.8, 48.1, 38.8, 45.2, 32.9, 41.5];
const arm = ["t", "c", "t", "c", "t", "c", "t", "c", "t", "c"];
const person = before.flatMap((_, i) => [`G${i}`, `G${i}`, `G${i}`]);
const times = person.map((_, i) => i % 3);
const repeated = person.map((_, i) => before[Math.floor(i / 3)]! + (i % 3) + ((i * 7) % 5) / 5);

const scaled = (values: readonly number[], by: number) => values.map((value) => value * by);

/** Public statistics of columns in one unit, as functions of that unit's size. */
const statistics: Record<string, (by: number) => unknown> = {
  describe: (by) => tautline.describe(scaled(before, by)),
  pairedChange: (by) => tautline.pairedChange(scaled(before, by), scaled(after, by)),
  signedRank: (by) => tautline.signedRank(scaled(before, by), scaled(after, by)),
  signFlip: (by) => tautline.signFlip(scaled(before, by), scaled(after, by)),
  compareGroups: (by) => tautline.compareGroups(scaled(before, by), scaled(after, by)),
  adjustForBaseline: (by) =>
    tautline.adjustForBaseline({
      before: scaled(before, by),
      after: scaled(after, by),
      group: arm,
      reference: "c",
    }),
  fitLine: (by) => tautline.fitLine({ x: scaled(before, by), y: scaled(after, by) }),
  fitLinear: (by) =>
    tautline.fitLinear({ y: scaled(after, by), terms: { before: scaled(before, by) } }),
  fitDeming: (by) => tautline.fitDeming({ x: scaled(before, by), y: scaled(after, by) }),
  correlation: (by) => tautline.correlation(scaled(before, by), scaled(after, by)),
  repeatedMeasuresCorrelation: (by) =>
    tautline.repeatedMeasuresCorrelation(person, times, scaled(repeated, by)),
  subjectSlopes: (by) => tautline.subjectSlopes(person, times, scaled(repeated, by)),
  "subjectSlopes, x": (by) => tautline.subjectSlopes(person, scaled(times, by), repeated),
  slopesByGroup: (by) => tautline.slopesByGroup(arm, scaled(before, by), scaled(after, by)),
  individualResponse: (by) => tautline.individualResponse(scaled(before, by), scaled(after, by)),
  smallestWorthwhile: (by) => tautline.smallestWorthwhile(scaled(before, by)),
  responders: (by) => tautline.responders(scaled(before, by), { typicalError: by }),
  agreement: (by) => tautline.agreement(scaled(before, by), scaled(after, by)),
  reliability: (by) => tautline.reliability(before.map((v, i) => [v * by, after[i]! * by])),
  icc: (by) => tautline.icc(before.map((v, i) => [v * by, after[i]! * by])),
  normality: (by) => tautline.normality(scaled(before, by)),
  oneWayAnova: (by) => tautline.oneWayAnova(scaled(before, by), arm),
  pool: (by) => tautline.pool({ estimate: scaled([2, 1, 3], by), se: scaled([1, 0.5, 1], by) }),
};

function numbersIn(value: unknown): number[] {
  if (typeof value === "number") return [value];
  return value !== null && typeof value === "object" ? Object.values(value).flatMap(numbersIn) : [];
}

describe("columns as large or as small as a double allows", () => {
  for (const [name, statistic] of Object.entries(statistics)) {
    it(`${name} returns finite numbers or refuses them`, () => {
      for (const by of [1, 1e100, 1e-100, 1e150, 1e-155, 1e200, 1e-200, 1e300, 1e-300]) {
        let result: unknown;
        try {
          result = statistic(by);
        } catch (error) {
          expect(error, `× ${by}: ${error}`).toBeInstanceOf(tautline.InputError);
          expect(Math.abs(Math.log10(by)), `refuses × ${by}: ${error}`).toBeGreaterThan(90);
          continue;
        }
        const wrong = numbersIn(result).filter((value) => !Number.isFinite(value));
        expect(wrong, `× ${by}`).toEqual([]);
      }
    });
  }

  it("a spread that vanishes when squared is refused, not called 0", () => {
    expect(() => tautline.describe([1e-300, 2e-300])).toThrow(/squares a double can hold/);
    expect(() => tautline.describe([1e300, 2e300])).toThrow(/describe, index 0.*at most/);
    const tiny = before.map((v, i) => [v * 1e-200, after[i]! * 1e-200]);
    expect(() => tautline.icc(tiny)).toThrow(/icc, mean squares/);
    expect(() => tautline.subjectSlopes(person, times, scaled(repeated, 1e-200))).toThrow(
      /squares a double can hold/,
    );
    expect(tautline.describe([1e-300, 1e-300]).sd).toBe(0);
  });

  it("residuals that are rounding alone are no reason to refuse", () => {
    const line = tautline.subjectSlopes(["a", "a", "a"], [33, 30.6, 30.6], [94.2, 94.5, 94.5]);
    expect(line.slope.value).toBeCloseTo(-0.125, 12);
    expect(line.subjects[0]!.residualSd).toBeLessThan(1e-13);
  });

  it("a line through one height has slope 0, whatever x repeats", () => {
    const x = Array.from({ length: 13 }, (_, i) => (i % 2 ? 4 : 9));
    const { slope } = tautline.theilSen({ x, y: x.map(() => 7) });
    expect(slope).toMatchObject({ value: 0, interval: { low: 0, high: 0 } });
  });

  it("results too far apart for their standard errors are refused as such", () => {
    const results = { estimate: [1e150, -2e150, 3e149], se: [40, 42, 41] };
    expect(() => tautline.poolNested({ ...results, study: ["a", "a", "b"] })).toThrow(
      tautline.InputError,
    );
    expect(() => tautline.poolNested({ ...results, study: ["a", "a", "b"] })).toThrow(
      /differ by less than about a million of their standard errors/,
    );
  });

  it("the place of a number that is not finite is named in full", () => {
    const record = () => ({ kind: "line", slope: { value: 1, limits: [0, Number.NaN] } });
    expect(() => frozen(record())).toThrow("line, slope, limits, 1");
    const rows = { kind: "rows", rows: [{ a: 1 }, { a: Number.POSITIVE_INFINITY }] };
    expect(() => frozen(rows)).toThrow("rows, rows, 1, a");
    const sound = frozen({ kind: "sound", rows: [{ a: 1 }, { a: null }], names: ["x"] });
    expect(Object.isFrozen(sound.rows[1]) && Object.isFrozen(sound.names)).toBe(true);
  });

  it("a correlation keeps its value when only the product of the squares overflows", () => {
    const r = tautline.correlation(before, after).value;
    for (const by of [1e100, 1e-100])
      expect(tautline.correlation(scaled(before, by), scaled(after, by)).value).toBeCloseTo(r, 12);
  });
});
