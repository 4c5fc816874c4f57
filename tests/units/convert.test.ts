import { readFileSync } from "node:fs";
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { InputError } from "../../lib/errors.js";
import { conversionFactor, convert } from "../../lib/units/convert.js";
import { readUnit, unitsKnown } from "../../lib/units/unit.js";
import { agrees } from "../reference/agree.js";

interface Factor {
  from: string;
  to: string;
  factor: number;
}
interface Worked {
  value: number;
  from: string;
  to: string;
  expected: number;
  digits?: number;
}
const reference = JSON.parse(
  readFileSync(new URL("../reference/units.json", import.meta.url), "utf8"),
) as { factors: Factor[]; worked: Worked[] };

describe("exact factors of NIST SP 811", () => {
  for (const { from, to, factor } of reference.factors) {
    it(`1 ${from} in ${to}`, () => {
      const tolerance = { quantity: `${from} to ${to}`, rel: 2.3e-16, why: "one rounding" };
      agrees(conversionFactor(from, to), factor, tolerance);
      agrees(convert(1, from, to), factor, tolerance);
    });
  }

  for (const { value, from, to, expected, digits } of reference.worked) {
    it(`${value} ${from} is ${expected} ${to}`, () => {
      agrees(convert(value, from, to), expected, {
        quantity: `${value} ${from}`,
        rel: digits ? 0.6 * 10 ** (1 - digits) : 2.3e-16,
        why: digits ? "printed digits" : "a short exact product",
      });
    });
  }

  it("the pound-force is the pound times standard gravity", () => {
    const product = convert(convert(1, "lb", "kg"), "kgf", "N");
    agrees(convert(1, "lbf", "N"), product, {
      quantity: "1 lbf",
      rel: 4.5e-16,
      why: "two roundings",
    });
  });

  it("does not use the rounded 9.81 for gravity", () => {
    expect(Math.abs(convert(45, "kgf", "N") - 45 * 9.81)).toBeGreaterThan(0.1);
  });
});

describe("spellings", () => {
  const written: [string, string][] = [
    ["Kgf", "kgf"],
    [" KGF ", "kgf"],
    ["kg force", "kgf"],
    ["kp", "kgf"],
    ["n", "N"],
    ["Newtons", "N"],
    ["LBF", "lbf"],
    ["MPH", "mph"],
    ["mi/h", "mph"],
    ["kph", "km/h"],
    ["m s⁻¹", "m/s"],
    ["Inches", "in"],
    ["lbs", "lb"],
    ["grams", "g"],
  ];
  it.each(written)("%s reads as %s", (text, symbol) => {
    expect(readUnit(text).symbol).toBe(symbol);
  });

  it("no spelling stands for two units", () => {
    const all = unitsKnown().flatMap((one) => one.spellings);
    expect(new Set(all).size).toBe(all.length);
  });

  it("kg is a mass, except in a column that measures force", () => {
    expect(readUnit("kg").quantity).toBe("mass");
    expect(readUnit("kg", { quantity: "force" }).symbol).toBe("kgf");
    expect(readUnit("Lbs", { quantity: "force" }).symbol).toBe("lbf");
    expect(() => readUnit("g", { quantity: "force" })).toThrow(/expected a unit of force/);
    expect(() => readUnit("kg", { quantity: "speed" })).toThrow(/expected a unit of speed/);
  });

  it.each(["", "kfg", "stone", "kg/f", "m/s²", "toString", "__proto__", "kgf\u0000"])(
    "%j is refused",
    (text) => {
      expect(() => readUnit(text)).toThrow(InputError);
    },
  );
});

describe("refusals of convert", () => {
  it("names both quantities when they differ", () => {
    expect(() => convert(1, "kgf", "mph")).toThrow(/kgf \(force\) and mph \(speed\)/);
  });
  it("says why a mass is not a force", () => {
    expect(() => convert(45, "kg", "N")).toThrow(/dynamometer is a force, written kgf/);
  });
  it.each([Number.NaN, Number.POSITIVE_INFINITY, "45" as unknown as number])(
    "refuses %s",
    (value) => {
      expect(() => convert(value, "kgf", "N")).toThrow(InputError);
    },
  );
  it("refuses a result beyond the largest double", () => {
    expect(() => convert(1e308, "kgf", "N")).toThrow(/finite/);
    expect(convert(1e308, "mph", "m/s")).toBeCloseTo(4.4704e307, -295);
  });
});

describe("properties", () => {
  const pairs = unitsKnown().flatMap((a) =>
    unitsKnown()
      .filter((b) => b.quantity === a.quantity)
      .map((b) => [a.symbol, b.symbol] as const),
  );
  const amount = fc.double({ min: -1e9, max: 1e9, noNaN: true });

  it("there and back is the same number to four roundings", () => {
    fc.assert(
      fc.property(amount, fc.constantFrom(...pairs), (value, [from, to]) => {
        const back = convert(convert(value, from, to), to, from);
        // below 1e-290 a double no longer carries 53 bits
        return Math.abs(value) < 1e-290 || Math.abs(back - value) <= 9e-16 * Math.abs(value);
      }),
      { seed: 811, numRuns: 2000 },
    );
  });

  it("keeps order and sign", () => {
    fc.assert(
      fc.property(amount, amount, fc.constantFrom(...pairs), (a, b, [from, to]) => {
        const [x, y] = [convert(a, from, to), convert(b, from, to)];
        return a <= b ? x <= y : x >= y;
      }),
      { seed: 812, numRuns: 1000 },
    );
  });
});
