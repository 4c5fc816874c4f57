import { present } from "../entry.js";
import { InputError } from "../errors.js";
import { knownOptions } from "../options.js";

/** What is measured. Only units of one quantity convert into each other. */
export type Quantity = "force" | "speed" | "length" | "mass";

/** The units Tautline knows, by the symbol it prints. */
export type UnitSymbol =
  | "kgf"
  | "N"
  | "lbf"
  | "m/s"
  | "mph"
  | "km/h"
  | "m"
  | "cm"
  | "mm"
  | "in"
  | "kg"
  | "lb"
  | "g";

/** One unit, with its exact size as a ratio of whole numbers: size in SI units = over / under. */
export interface Unit {
  /** Name of the function that made it. */
  readonly kind: "unit";
  /** As it is written in a file or on a page, such as "kgf". */
  readonly symbol: UnitSymbol;
  /** What it measures. */
  readonly quantity: Quantity;
  /** Numerator of its size in SI units. */
  readonly over: number;
  /** Denominator of its size in SI units. */
  readonly under: number;
  /** Every spelling that is read as this unit, in lower case; nothing else is. */
  readonly spellings: readonly string[];
}

/**
 * The table of units. Sizes are exact by definition: standard gravity 9.806 65 m/s², the
 * international pound 0.453 592 37 kg, inch 0.0254 m and mile 1609.344 m. The pound-force is the
 * product of the first two, 4.448 221 615 260 5 N.
 * Source: NIST Special Publication 811 (2008), appendix B.8, factors in bold type, and its footnote
 * on the pound.
 */
const table: readonly Unit[] = [
  unit("N", "force", 1, 1, ["n", "newton", "newtons"]),
  unit("kgf", "force", 980_665, 100_000, [
    "kgf",
    "kg-f",
    "kg f",
    "kp",
    "kilopond",
    "kg force",
    "kg-force",
    "kilogram force",
    "kilogram-force",
    "kilograms-force",
  ]),
  unit("lbf", "force", 44_482_216_152_605, 10_000_000_000_000, [
    "lbf",
    "lb-f",
    "lb f",
    "lbs-f",
    "lbsf",
    "lb force",
    "lb-force",
    "pound force",
    "pound-force",
    "pounds-force",
  ]),
  unit("m/s", "speed", 1, 1, [
    "m/s",
    "mps",
    "m/sec",
    "m·s⁻¹",
    "m s⁻¹",
    "m·s-1",
    "m s-1",
    "m.s-1",
    "metres per second",
    "meters per second",
  ]),
  unit("mph", "speed", 44_704, 100_000, ["mph", "mi/h", "miles per hour"]),
  unit("km/h", "speed", 5, 18, [
    "km/h",
    "kmh",
    "kph",
    "km/hr",
    "km·h⁻¹",
    "km h⁻¹",
    "km·h-1",
    "km h-1",
    "km.h-1",
    "kilometres per hour",
    "kilometers per hour",
  ]),
  unit("m", "length", 1, 1, ["m", "metre", "metres", "meter", "meters"]),
  unit("cm", "length", 1, 100, ["cm", "centimetre", "centimetres", "centimeter", "centimeters"]),
  unit("mm", "length", 1, 1000, ["mm", "millimetre", "millimetres", "millimeter", "millimeters"]),
  unit("in", "length", 254, 10_000, ["in", "in.", "inch", "inches"]),
  unit("kg", "mass", 1, 1, ["kg", "kgs", "kilo", "kilos", "kilogram", "kilograms"]),
  unit("lb", "mass", 45_359_237, 100_000_000, ["lb", "lbs", "lb.", "lbs.", "pound", "pounds"]),
  unit("g", "mass", 1, 1000, ["g", "gram", "grams", "gramme", "grammes"]),
];

function unit(
  symbol: UnitSymbol,
  quantity: Quantity,
  over: number,
  under: number,
  spellings: string[],
): Unit {
  return Object.freeze({
    kind: "unit",
    symbol,
    quantity,
    over,
    under,
    spellings: Object.freeze(spellings),
  });
}

const bySpelling = new Map(table.flatMap((one) => one.spellings.map((text) => [text, one])));
const bySymbol = new Map<string, Unit>(table.map((one) => [one.symbol, one]));

/** What a force column means by a unit of mass: dynamometer dials print kg or lb for kgf or lbf. */
const dialUnits: Readonly<Record<string, UnitSymbol>> = Object.freeze({ kg: "kgf", lb: "lbf" });

/**
 * Every unit that can be read, in the order they are documented.
 * @example unitsKnown().filter((u) => u.quantity === "force").map((u) => u.symbol) // ["N","kgf","lbf"]
 */
export function unitsKnown(): readonly Unit[] {
  return Object.freeze(table);
}

/**
 * Reads a unit as a laboratory writes it. Capitals and spaces round the text do not matter; beyond
 * that a spelling must be in the list (`unitsKnown`). Without a `quantity`, "kg" is a mass. In a
 * force column, `{quantity: "force"}`, "kg" and "lb" mean what the dial of a dynamometer means by
 * them, kgf and lbf.
 * @param text the unit as written
 * @param options quantity: what the column measures, if that is known; where: the place an error
 *   should name
 * @throws InputError when the spelling is unknown, or the unit belongs to another quantity
 * @see NIST Special Publication 811 (2008), appendix B
 * @example readUnit("Kg", { quantity: "force" }).symbol // "kgf"
 */
export function readUnit(
  text: string,
  options: { quantity?: Quantity; where?: string } = {},
): Unit {
  knownOptions(options, ["quantity", "where"], "readUnit");
  const { quantity, where = "readUnit" } = options;
  const found = typeof text === "string" ? spelled(text) : undefined;
  if (!found) throw unknownUnit(text, where, quantity);
  if (quantity === undefined || found.quantity === quantity) return found;
  const dial = quantity === "force" ? dialUnits[found.symbol] : undefined;
  if (dial) return present(bySymbol.get(dial));
  throw new InputError({
    expected: `a unit of ${quantity} (${symbolsOf(quantity)})`,
    got: `${found.symbol}, a unit of ${found.quantity}`,
    where,
  });
}

function spelled(text: string): Unit | undefined {
  return bySymbol.get(text) ?? bySpelling.get(text.trim().replace(/\s+/g, " ").toLowerCase());
}

function unknownUnit(text: unknown, where: string, quantity?: Quantity): InputError {
  const known = quantity ? symbolsOf(quantity) : table.map((one) => one.symbol).join(", ");
  const got = typeof text === "string" ? JSON.stringify(text.slice(0, 40)) : `a ${typeof text}`;
  return new InputError({ expected: `one of the units ${known}`, got, where });
}

function symbolsOf(quantity: Quantity): string {
  const same = table.filter((one) => one.quantity === quantity);
  return same.map((one) => one.symbol).join(", ");
}
