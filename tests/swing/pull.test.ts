import { readFileSync } from "node:fs";
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { InputError } from "../../lib/errors.js";
import { clubPull } from "../../lib/swing/pull.js";
import { convert } from "../../lib/units/convert.js";
import { agrees } from "../reference/agree.js";

const rows = readFileSync(new URL("../reference/swing-pull.csv", import.meta.url), "utf8")
  .split("\n")
  .filter((line) => line && !line.startsWith("#"));
const header = rows[0]!.split(",");
const worked = rows
  .slice(1)
  .map((row) => Object.fromEntries(row.split(",").map((cell, i) => [header[i], Number(cell)])));

describe("pull against the worked table (assumptions in its header)", () => {
  for (const row of worked) {
    it(`${row.chs_mph} mph`, () => {
      const pull = clubPull({ speedMps: convert(row.chs_mph!, "mph", "m/s") });
      const printed = (quantity: string, digits: number) => ({
        quantity,
        rel: 0.55 * 10 ** (1 - digits),
        why: `${digits} printed digits`,
      });
      agrees(pull.forceN, row.A_club_N!, printed("club N", 4));
      agrees(pull.forceKgf, row.A_club_kgf!, printed("club kgf", 3));
      agrees(pull.headN, row.A_head_N!, printed("head N", 4));
      agrees(pull.radiusM, row.A_eff_radius_m!, printed("radius m", 4));
    });
  }

  it("the one-line textbook form m v²/R lies below and near it", () => {
    for (const row of worked) {
      const pull = clubPull({ speedMps: row.chs_m_per_s! });
      const textbook = (0.2 * row.chs_m_per_s! ** 2) / pull.radiusM;
      agrees(pull.headN, textbook, { quantity: "head", rel: 1e-14, why: "same formula" });
    }
  });
});

describe("the square law", () => {
  it("F(120 mph) / F(80 mph) is 2.25 exactly", () => {
    const ratio = clubPull({ speedMps: 53.6448 }).forceN / clubPull({ speedMps: 35.7632 }).forceN;
    agrees(ratio, 2.25, { quantity: "ratio", rel: 1e-15, why: "a handful of roundings" });
  });

  it("10 % more speed asks for 21 % more pull, whatever the club", () => {
    const amount = (min: number, max: number) => fc.double({ min, max, noNaN: true });
    fc.assert(
      fc.property(
        amount(10, 70),
        amount(0.15, 0.25),
        amount(0.08, 0.15),
        amount(0.9, 1.2),
        (speedMps, headKg, shaftKg, clubRadiusM) => {
          const club = { headKg, shaftKg, clubRadiusM };
          const one = clubPull({ speedMps, ...club }).forceN;
          const more = clubPull({ speedMps: 1.1 * speedMps, ...club }).forceN;
          return Math.abs(more / one - 1.21) < 1e-13;
        },
      ),
      { seed: 47, numRuns: 500 },
    );
  });
});

describe("the band", () => {
  const pull = clubPull({ speedMps: 44.704 });

  it("one input at a time: the 100 mph pull moves within about 320 to 370 N", () => {
    for (const input of pull.inputs) {
      expect(input.forceN.low).toBeGreaterThanOrEqual(320);
      expect(input.forceN.high).toBeLessThanOrEqual(370);
    }
    const radius = pull.inputs.find((one) => one.name === "clubRadiusM")!;
    // by hand: L = 1.00 m, w = 36.657, 0.2 (1343.7 + 99.6) + 0.115 (537.5 + 99.6) = 361.9 N
    agrees(radius.forceN.high, 361.9, { quantity: "L = 1.00 m", rel: 2e-4, why: "four digits" });
  });

  it("holds the estimate, and the extremes hold the band", () => {
    expect(pull.band.low).toBeLessThan(pull.forceN);
    expect(pull.band.high).toBeGreaterThan(pull.forceN);
    expect(pull.extremes.low).toBeLessThan(pull.band.low);
    expect(pull.extremes.high).toBeGreaterThan(pull.band.high);
  });

  it("with no slack it closes on the estimate", () => {
    const none = Object.fromEntries(pull.inputs.map((one) => [one.name, 0]));
    const exact = clubPull({ speedMps: 44.704, slack: none });
    expect(exact.band).toEqual({ low: exact.forceN, high: exact.forceN });
    expect(exact.extremes).toEqual(exact.band);
  });

  it("an uncertain speed counts twice: ±5 % of speed is about ±10 % of pull", () => {
    const none = Object.fromEntries(pull.inputs.map((one) => [one.name, 0]));
    const { band, forceN } = clubPull({ speedMps: 40, slack: { ...none, speedMps: 2 } });
    agrees(band.high / forceN, 1.1025, { quantity: "high", rel: 1e-12, why: "1.05²" });
    agrees(band.low / forceN, 0.9025, { quantity: "low", rel: 1e-12, why: "0.95²" });
  });
});

describe("use and misuse", () => {
  it("is a frozen record that survives JSON and says how it was worked out", () => {
    const pull = clubPull({ speedMps: 44.704 });
    expect(JSON.parse(JSON.stringify(pull))).toEqual(pull);
    expect(Object.isFrozen(pull) && Object.isFrozen(pull.band)).toBe(true);
    expect(pull.working.at(-1)).toBe("pull 343.4 N = 35.0 kgf on both hands together");
  });

  it("asks about a speed that looks like mph", () => {
    expect(clubPull({ speedMps: 100 }).warnings[0]).toMatch(/mph or km\/h\?/);
    expect(clubPull({ speedMps: 60 }).warnings).toEqual([]);
  });

  it.each([
    { speedMps: 0 },
    { speedMps: Number.NaN },
    { speedMps: 45, headKg: -0.2 },
    { speedMps: 45, headKg: 0.2, slack: { headKg: 0.2 } },
    { speedMps: 45, handShare: 0.99 },
    { speedMps: 45, slack: { shaftKg: -0.1 } },
  ])("refuses %j", (input) => {
    expect(() => clubPull(input)).toThrow(InputError);
  });
});
