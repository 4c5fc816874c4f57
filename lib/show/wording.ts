/** U+2212, so that a minus is never mistaken for a dash between two numbers. */
const minus = "−";
/** Between groups of three digits: narrow and unbreakable. */
const groupSpace = "\u202f";

/**
 * The decimal places that an error bar of this half-width justifies: two significant digits of the
 * error if it begins 100…354, one if it begins 355…949, two again above that.
 *
 * Negative results mean rounding to tens, hundreds and so on.
 * @see Particle Data Group, Review of Particle Physics, Introduction, section 5.3 (the rounding rule)
 * @example decimalsFor(0.75) // 1
 */
export function decimalsFor(error: number): number {
  const exponent = Math.floor(Math.log10(Math.abs(error)));
  const leading = Math.round((Math.abs(error) / 10 ** exponent) * 100);
  if (leading >= 950) return -exponent;
  return leading < 355 ? 1 - exponent : -exponent;
}

/**
 * A number with a fixed count of decimals, a true minus sign, and digits grouped by three from five
 * digits up. A value that rounds to zero has no sign.
 * @example fixedText(-2.649, 1) // "−2.6"
 */
export function fixedText(value: number, decimals: number): string {
  const size = Math.abs(value);
  const step = 10 ** -decimals;
  const rounded = decimals < 0 ? Math.round(size / step) * step : size;
  const digits = rounded.toFixed(Math.max(0, decimals));
  const [whole = "", part] = digits.split(".");
  const grouped = whole.length > 4 ? whole.replace(/\B(?=(\d{3})+$)/g, groupSpace) : whole;
  const negative = value < 0 && /[1-9]/.test(digits);
  return `${negative ? minus : ""}${grouped}${part ? `.${part}` : ""}`;
}

const superscripts = "⁰¹²³⁴⁵⁶⁷⁸⁹";

function powerOfTen(value: number, digits: number): string {
  const [mantissa = "", exponent = ""] = Math.abs(value)
    .toExponential(digits - 1)
    .split("e");
  const power = [...exponent.replace("+", "")]
    .map((c) => (c === "-" ? "⁻" : superscripts[Number(c)]))
    .join("");
  return `${value < 0 ? minus : ""}${mantissa} × 10${power}`;
}

/**
 * A number that comes without an error: whole numbers as they are, others to `digits` significant
 * digits, very small or large ones as a power of ten.
 * @example significantText(0.123456, 3) // "0.123"
 */
export function significantText(value: number, digits = 3): string {
  if (value === 0) return "0";
  const size = Math.abs(value);
  if (Number.isInteger(value) && size < 1e7) return fixedText(value, 0);
  if (size < 1e-4 || size >= 1e7) return powerOfTen(value, digits);
  const decimals = Math.max(0, digits - 1 - Math.floor(Math.log10(size)));
  const written = String(size).split(".")[1]?.length ?? 0;
  return fixedText(value, Math.min(decimals, written));
}

/** Joins a number and its unit: one space, none before a degree sign. */
export function withUnit(number: string, unit: string): string {
  if (unit === "" || unit === "1") return number;
  return /^[°′″]/.test(unit) ? `${number}${unit}` : `${number} ${unit}`;
}

/** The least a formatter needs of a result: a value, with limits if there are any. */
export interface Measured {
  /** The value, in the unit that is printed behind it. */
  readonly value: number;
  /** Lower limit, same unit. */
  readonly low?: number | undefined;
  /** Upper limit, same unit. */
  readonly high?: number | undefined;
  /** Confidence level of the limits as a fraction. */
  readonly level?: number | undefined;
}

/** The decimal places that the interval of a result justifies; undefined without an interval. */
export function decimalsOf(measured: Measured): number | undefined {
  if (measured.low === undefined || measured.high === undefined) return undefined;
  const half = (measured.high - measured.low) / 2;
  return half > 0 ? tellingSides(decimalsFor(half), [measured.low, measured.high]) : undefined;
}

/** A limit beside zero must not read as zero: a reader wants to know on which side it lies. */
function tellingSides(decimals: number, limits: readonly number[]): number {
  const readsAsZero = (limit: number, places: number) =>
    limit !== 0 && Math.abs(limit) < 0.5 * 10 ** -places;
  const telling = [decimals, decimals + 1, decimals + 2].find(
    (places) => !limits.some((limit) => readsAsZero(limit, places)),
  );
  return telling ?? decimals;
}

function crowded(measured: Measured, decimals: number): boolean {
  return decimals > 6 || Math.abs(measured.value) >= 1e9;
}

/** A writer of numbers that rounds to what the interval of `measured` justifies. */
export function rounderFor(measured: Measured): (value: number) => string {
  const decimals = decimalsOf(measured);
  return decimals === undefined || crowded(measured, decimals)
    ? (value) => significantText(value)
    : (value) => fixedText(value, decimals);
}

/**
 * The value with its unit, no finer than its interval justifies.
 * @example valueText({ value: 2.6412, low: 1.9, high: 3.4 }, "kgf") // "2.6 kgf"
 */
export function valueText(measured: Measured, unit: string): string {
  return withUnit(rounderFor(measured)(measured.value), unit);
}

/**
 * The limits in words, with the level they were made for.
 * @example intervalText({ value: 2.6, low: 1.881, high: 3.377, level: 0.95 }) // "95 % CI 1.9 to 3.4"
 */
export function intervalText(measured: Measured): string {
  const { low, high, level = 0.95 } = measured;
  if (low === undefined || high === undefined) return "no interval";
  const write = rounderFor(measured);
  return `${percentLevel(level)} CI ${write(low)} to ${write(high)}`;
}

/** A confidence level as a reader says it: 0.95 is 95 %. */
export function percentLevel(level: number): string {
  return `${Number((level * 100).toPrecision(6))} %`;
}

/**
 * A p value: three decimals, or "p < 0.001".
 * @example probabilityText(0.0314) // "p = 0.031"
 */
export function probabilityText(p: number): string {
  return p < 0.001 ? "p < 0.001" : `p = ${fixedText(p, 3)}`;
}

/** The unit shown beside another one, with the exact factor between them. */
const companions: Readonly<Record<string, { unit: string; factor: number }>> = {
  kgf: { unit: "N", factor: 9.80665 },
  mph: { unit: "m/s", factor: 0.44704 },
};

/**
 * The same result in the companion unit: kgf with N, mph with m/s. Undefined for other units.
 * @example companionText({ value: 2.6, low: 1.9, high: 3.4 }, "kgf") // "25 N"
 */
export function companionText(measured: Measured, unit: string): string | undefined {
  const other = companions[unit];
  if (!other) return undefined;
  const times = (value?: number) => (value === undefined ? undefined : value * other.factor);
  const value = measured.value * other.factor;
  return valueText({ value, low: times(measured.low), high: times(measured.high) }, other.unit);
}

/** How many a counting result is out of, when its unit says so ("of 26"); undefined for all else. */
export function countedOf(unit: string): number | undefined {
  const total = /^of (\d+)$/.exec(unit)?.[1];
  return total === undefined ? undefined : Number(total);
}
