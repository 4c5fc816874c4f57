import { InputError } from "../errors.js";
import { readUnit, type Unit } from "./unit.js";

/** A conversion is value · over / under with whole numbers, so that it rounds at most twice. */
interface Ratio {
  readonly over: number;
  readonly under: number;
}

const ratios = new Map<string, Ratio>();

/**
 * Converts a value from one unit to another of the same quantity, by the exact defined factor.
 *
 * `value · (size of from) / (size of to)`, with both sizes whole-number ratios, so the answer is
 * within one unit in the last place. Units: force kgf, N, lbf; speed m/s, mph, km/h; length m, cm,
 * mm, in; mass kg, lb, g, in any spelling of `unitsKnown`. A mass is not a force: a dynamometer's
 * "kg" must be said as "kgf".
 * @param value a finite number in `from`
 * @param from the unit it is in
 * @param to the unit wanted
 * @returns the number in `to`
 * @throws InputError for a value that is not finite, an unknown unit, or two different quantities
 * @see NIST Special Publication 811 (2008), appendix B.8
 * @example convert(45, "kgf", "N") // 441.29925
 */
export function convert(value: number, from: string, to: string): number {
  if (typeof value !== "number" || !Number.isFinite(value)) {
    throw new InputError({
      expected: "a finite number",
      got: String(value),
      where: "convert, value",
    });
  }
  const { over, under } = ratio(from, to);
  const product = value * over;
  return Number.isFinite(product) ? product / under : inRange(value * (over / under), value, to);
}

/**
 * The exact size of one unit in another, as the nearest double: `convert(1, from, to)`.
 * @param from the unit to be expressed
 * @param to the unit it is expressed in
 * @throws InputError for an unknown unit or two different quantities
 * @see NIST Special Publication 811 (2008), appendix B.8
 * @example conversionFactor("lbf", "N") // 4.4482216152605
 */
export function conversionFactor(from: string, to: string): number {
  const { over, under } = ratio(from, to);
  return over / under;
}

function inRange(result: number, value: number, to: string): number {
  if (Number.isFinite(result)) return result;
  throw new InputError({
    expected: `a value whose size in ${to} is a finite number`,
    got: String(value),
    where: "convert, value",
  });
}

function ratio(from: string, to: string): Ratio {
  const source = readUnit(from, { where: "convert, from" });
  const target = readUnit(to, { where: "convert, to" });
  const key = `${source.symbol} ${target.symbol}`; // symbols, not spellings: the map stays small
  let found = ratios.get(key);
  if (!found) {
    found = exactRatio(source, target);
    ratios.set(key, found);
  }
  return found;
}

function exactRatio(from: Unit, to: Unit): Ratio {
  if (from.quantity !== to.quantity) throw mismatch(from, to);
  const over = BigInt(from.over) * BigInt(to.under);
  const under = BigInt(from.under) * BigInt(to.over);
  const shared = greatestCommonDivisor(over, under);
  return { over: Number(over / shared), under: Number(under / shared) };
}

function greatestCommonDivisor(a: bigint, b: bigint): bigint {
  return b === 0n ? a : greatestCommonDivisor(b, a % b);
}

function mismatch(from: Unit, to: Unit): InputError {
  const forces = [from, to].some((one) => one.quantity === "force");
  const masses = [from, to].some((one) => one.quantity === "mass");
  const hint =
    forces && masses ? "; the kg or lb of a dynamometer is a force, written kgf or lbf" : "";
  return new InputError({
    expected: `two units of one quantity${hint}`,
    got: `${from.symbol} (${from.quantity}) and ${to.symbol} (${to.quantity})`,
    where: "convert",
  });
}
