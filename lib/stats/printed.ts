import { itemAt } from "../entry.js";
import { InputError } from "../errors.js";
import { shown } from "./input.js";

/** A number as a paper prints it: any value that rounds to it may stand behind it. */
export interface PrintedNumber {
  /** The number as printed. */
  readonly text: string;
  /** "<" and ">" where the paper prints a bound. */
  readonly relation: "=" | "<" | ">";
  /** The printed digits as a number. */
  readonly value: number;
  /** Smallest value that the text allows. */
  readonly low: number;
  /** Largest value that the text allows. */
  readonly high: number;
}

/**
 * Reads a printed number, "0.38", "−.38", "< 0.05", "≤ 0.05" or a number. The text keeps the zeros
 * that a number has lost: "0.50" is known to two decimals, 0.5 to one.
 * @throws InputError when it is no number
 */
export function printedNumber(given: number | string, where: string): PrintedNumber {
  const text = String(given).trim();
  const match = /^([=<>≤≥]|<=|>=)?\s*([-−]?\d*\.?\d+)$/.exec(
    text.replace(/^[prPR]\s*(?=[=<>≤≥])/, ""),
  );
  if (!match) {
    throw new InputError({
      expected: 'a number as printed, such as "0.38"',
      got: shown(given),
      where,
    });
  }
  const digits = itemAt(match, 2).replace("−", "-");
  const value = Number(digits);
  const half = 0.5 * 10 ** -(digits.split(".")[1]?.length ?? 0);
  const sign = itemAt(match[1] ?? "=", 0);
  const relation = "<≤".includes(sign) ? "<" : ">≥".includes(sign) ? ">" : "=";
  return { text, relation, value, low: value - half, high: value + half };
}
