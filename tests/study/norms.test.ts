import { readFileSync } from "node:fs";
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { InputError } from "../../lib/errors.js";
import { normPercentile, publishedMedian } from "../../lib/study/norms.js";
import { convert } from "../../lib/units/convert.js";
import { agrees } from "../reference/agree.js";

function published(name: string): Record<string, string>[] {
  const text = readFileSync(new URL(`../../data/published/${name}.csv`, import.meta.url), "utf8");
  const [header, ...rows] = text.split("\n").filter((line) => line && !line.startsWith("#"));
  const columns = header!.split(",");
  return rows.map((row) =>
    Object.fromEntries(row.split(",").map((cell, i) => [columns[i]!, cell])),
  );
}
const printed = (quantity: string) => ({ quantity, rel: 1e-12, why: "a cell of the table" });

describe("every cell of the international table (Tomkinson et al. 2025, table 2)", () => {
  const rows = published("norms-tomkinson2025");
  const columns = [5, 10, 20, 30, 40, 50, 60, 70, 80, 90, 95];

  it("34 rows of 11 cells come back as their own percentile, at both ends of the age group", () => {
    expect(rows.length).toBe(34);
    for (const row of rows) {
      const from = Number(row.age_from_y);
      for (const p of columns) {
        for (const ageYears of [from, from + 4.99]) {
          const gripKgf = Number(row[`p${p}`]);
          const place = normPercentile({ sex: row.sex!, ageYears, gripKgf });
          agrees(place.percentile, p, printed(`P${p}, ${row.sex} ${from}`));
          expect(place.beyond).toBeUndefined();
        }
      }
    }
  });

  it("age 24.5 falls in 20 to 24, not past the end of the table", () => {
    const place = normPercentile({ sex: "male", ageYears: 24.5, gripKgf: 48.0 });
    expect([place.percentile, place.group]).toEqual([50, "male, 20 to 24 years"]);
  });

  it("the medians peak at 30 to 34: 49.7 kgf men, 29.7 women (tie with 35 to 39)", () => {
    const ages = rows.filter((row) => row.sex === "male").map((row) => Number(row.age_from_y));
    const peak = (sex: string) =>
      Math.max(...ages.map((ageYears) => publishedMedian({ sex, ageYears })));
    expect([peak("male"), publishedMedian({ sex: "male", ageYears: 32 })]).toEqual([49.7, 49.7]);
    expect([peak("female"), publishedMedian({ sex: "female", ageYears: 37 })]).toEqual([
      29.7, 29.7,
    ]);
  });

  it("men lie above women in every cell", () => {
    for (const row of rows.filter((one) => one.sex === "female")) {
      const other = rows.find((one) => one.sex === "male" && one.age_from_y === row.age_from_y)!;
      for (const p of columns) expect(Number(other[`p${p}`])).toBeGreaterThan(Number(row[`p${p}`]));
    }
  });

  it("bands change at the 20th, 40th, 60th and 80th percentile", () => {
    const band = (gripKgf: number) => normPercentile({ sex: "f", ageYears: 42, gripKgf }).band;
    expect([23.6, 23.7, 27.5, 27.6, 31.0, 31.1, 35.1, 35.2].map(band)).toEqual([
      "low",
      "somewhat low",
      "somewhat low",
      "moderate",
      "moderate",
      "somewhat high",
      "somewhat high",
      "high",
    ]);
  });

  it("outside the outer columns the percentile is a bound and says so", () => {
    const weak = normPercentile({ sex: "male", ageYears: 50, gripKgf: 10 });
    expect([weak.percentile, weak.beyond, weak.band]).toEqual([5, "below", "low"]);
    const strong = normPercentile({ sex: "male", ageYears: 50, gripKgf: 90 });
    expect([strong.percentile, strong.beyond, strong.band]).toEqual([95, "above", "high"]);
  });

  it("more grip is never a lower percentile", () => {
    const grip = fc.double({ min: 1, max: 90, noNaN: true });
    const age = fc.double({ min: 20, max: 110, noNaN: true });
    fc.assert(
      fc.property(grip, grip, age, fc.constantFrom("female", "male"), (a, b, ageYears, sex) => {
        const at = (gripKgf: number) => normPercentile({ sex, ageYears, gripKgf }).percentile;
        return a <= b ? at(a) <= at(b) : at(a) >= at(b);
      }),
      { seed: 25, numRuns: 1000 },
    );
  });
});

describe("German norms (Steiber 2016)", () => {
  const byHeight = published("norms-steiber2016-height");
  const byAge = published("norms-steiber2016-age");
  const table = "steiber2016";
  const first = (text: string) => Number(text.replace("+", "").split("-")[0]);

  it("195 rows by height: the mean is the 50th percentile, the printed threshold one SD lower", () => {
    expect(byHeight.length).toBe(195);
    for (const row of byHeight) {
      const person = {
        sex: row.sex!,
        ageYears: first(row.age_group_y!),
        heightCm: first(row.height_group_cm!) + 4.9,
      };
      const mean = Number(row.mean_grip_kgf);
      const sd = Number(row.sd_kgf_derived);
      expect(publishedMedian(person, { table })).toBe(mean);
      const at = (gripKgf: number) => normPercentile({ ...person, gripKgf }, { table });
      agrees(at(mean).percentile, 50, printed("mean"));
      // Φ(−1) = 0.158655253931457, standard normal table
      agrees(at(mean - sd).percentile, 15.8655253931457, {
        quantity: "mean − SD",
        rel: 1e-11,
        why: "a difference of decimals",
      });
      expect(Math.abs(mean - sd - Number(row.risk_threshold_kgf_mean_minus_1sd))).toBeLessThan(
        0.051,
      );
    }
  });

  it("by sex and age: 28 groups, 25,285 observations, peaks 53.8 and 34.5 kgf at 40 to 44", () => {
    expect(byAge.length).toBe(28);
    const total = byAge.reduce((sum, row) => sum + Number(row.n_observations), 0);
    expect(total).toBe(25_285);
    for (const row of byAge) {
      const person = { sex: row.sex!, ageYears: first(row.age_group_y!) };
      expect(publishedMedian(person, { table })).toBe(Number(row.p50_kgf));
      const gripKgf = Number(row.mean_grip_kgf);
      agrees(normPercentile({ ...person, gripKgf }, { table }).percentile, 50, printed("mean"));
    }
    const peak = (sex: string) =>
      Math.max(...byAge.filter((row) => row.sex === sex).map((row) => Number(row.mean_grip_kgf)));
    expect([peak("male"), peak("female")]).toEqual([53.8, 34.5]);
  });

  it("women of 80 to 90 years and 180 to 184 cm are an empty cell, refused in words", () => {
    const person = { sex: "female", ageYears: 85, heightCm: 182, gripKgf: 20 };
    expect(() => normPercentile(person, { table })).toThrow(/with people in it, or no height/);
    const { heightCm, ...noHeight } = person;
    expect(normPercentile(noHeight, { table }).group).toBe("female, 80 to 90 years");
    expect(heightCm).toBe(182);
  });
});

describe("sources against each other", () => {
  it("combined US peak of 216.4 lb is within 1.3 % of the international median of two hands", () => {
    // Perna et al. (2016) J Strength Cond Res 30:867–874, abstract
    const perHand = convert(216.4, "lb", "kg") / 2;
    const off = Math.abs(perHand / publishedMedian({ sex: "male", ageYears: 32 }) - 1);
    expect(off).toBeLessThan(0.013);
    expect(off).toBeGreaterThan(0.011);
  });

  it("British peaks 51 and 31 kgf (ratio 0.61, Dodds et al. 2014) lie within 5 % of it", () => {
    expect((31 / 51).toFixed(2)).toBe("0.61");
    expect(Math.abs(51 / publishedMedian({ sex: "male", ageYears: 32 }) - 1)).toBeLessThan(0.05);
    expect(Math.abs(31 / publishedMedian({ sex: "female", ageYears: 32 }) - 1)).toBeLessThan(0.05);
  });
});

describe("what it says and refuses", () => {
  it("states the spread of single people, the source and the cautions", () => {
    const place = normPercentile({ sex: "male", ageYears: 40, gripKgf: 50 });
    expect(place.individual).toEqual({ low: 48.8 - 11, high: 48.8 + 11 });
    expect(place.source).toMatch(/doi:10\.1016\/j\.jshs\.2024\.101014/);
    expect(place.cautions.join(" ")).toMatch(/±11 kgf/);
    expect(JSON.parse(JSON.stringify(place))).toEqual(place);
  });

  it.each([
    [{ sex: "male", ageYears: 19.99, gripKgf: 40 }, /age from 20/],
    [{ sex: "male", ageYears: Number.NaN, gripKgf: 40 }, /age from 20/],
    [{ sex: "", ageYears: 40, gripKgf: 40 }, /"female" or "male"/],
    [{ sex: "male", ageYears: 40, gripKgf: 0 }, /grip above 0/],
    [{ sex: "male", ageYears: 40, gripKgf: Number.POSITIVE_INFINITY }, /grip above 0/],
  ])("refuses %j", (person, words) => {
    expect(() => normPercentile(person)).toThrow(words);
    expect(() => normPercentile(person)).toThrow(InputError);
  });

  it("refuses an unknown table", () => {
    const person = { sex: "male", ageYears: 40, gripKgf: 40 };
    expect(() => normPercentile(person, { table: "mine" as never })).toThrow(/steiber2016/);
  });
});
