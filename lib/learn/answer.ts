import { itemAt } from "../entry.js";
import { convert } from "../units/convert.js";
import { readUnit, type Unit, unitsKnown } from "../units/unit.js";
import type { Slip, Solution } from "./solution.js";

/** What an answer to an exercise came to. */
export type AnswerVerdict = "right" | "wrong" | "no answer" | "not read";

/** What an answer is worth: right, or what kind of wrong. */
export interface Judged {
  /** Whether the answer is right, wrong, missing or not readable as a number. */
  readonly verdict: AnswerVerdict;
  /** The kind of wrong in a word or two: "unit", "sign", "n − 1", "percent of what". */
  readonly slip?: string;
  /** The reply to the student, in a sentence. */
  readonly says: string;
}

/** The kind of an answer that fits no slip. */
export const unknownSlip = "not known";

interface Read {
  readonly value: number;
  /** What stands behind the number, "" for nothing. */
  readonly unit: string;
}

const written = /^([+\-−]?\s*(?:\d+(?:[.,]\d*)?|[.,]\d+)(?:e[+-]?\d+)?)\s*(.*)$/is;

/** A number, or a text that begins with one: "1.4", "1,4 kgf", "−0.3 mph per kgf". */
function read(answer: unknown): Read | undefined {
  if (typeof answer === "number") {
    return Number.isFinite(answer) ? { value: answer, unit: "" } : undefined;
  }
  if (typeof answer !== "string") return undefined;
  const found = written.exec(answer.trim());
  if (!found) return undefined;
  const digits = itemAt(found, 1).replace(/\s/g, "").replace("−", "-").replace(",", ".");
  return { value: Number(digits), unit: itemAt(found, 2).trim() };
}

function isMissing(answer: unknown): boolean {
  if (answer === undefined || answer === null) return true;
  return typeof answer === "string" ? answer.trim() === "" : Number.isNaN(answer);
}

/** The same unit however it is spelled: "mph/kgf" is "mph per kgf". */
function plainUnit(unit: string): string {
  return unit
    .toLowerCase()
    .replace(/\s*\/\s*|\s+per\s+/g, " per ")
    .replace(/\s+/g, " ")
    .trim();
}

function known(unit: string, quantity?: Unit["quantity"]): Unit | undefined {
  try {
    return readUnit(unit, quantity && { quantity });
  } catch {
    return undefined; // a unit that is not in the list is told as a slip
  }
}

const wrong = (kind: string, says: string): Judged => ({ verdict: "wrong", slip: kind, says });

/** The answer in the unit asked for, or what is wrong with the unit that was written. */
function inUnit({ value, unit }: Read, { unit: asked }: Solution): number | Judged {
  if (unit === "" || plainUnit(unit) === plainUnit(asked)) return value;
  const target = known(asked);
  const given = target && known(unit, target.quantity);
  if (target && given) return convert(value, given.symbol, target.symbol);
  const wanted = asked === "" ? "a number without a unit" : asked;
  return wrong("unit", `The answer is asked as ${wanted}, not in ${unit}.`);
}

/** Numbers that the answer would be in other units of the same quantity. */
function unitSlips({ value, unit }: Solution): Slip[] {
  const target = known(unit);
  if (!target) return [];
  const others = unitsKnown().filter(
    ({ quantity, symbol }) => quantity === target.quantity && symbol !== target.symbol,
  );
  return others.map(({ symbol }) => ({
    kind: "unit",
    value: convert(value, target.symbol, symbol),
    says: `That looks like the right amount in ${symbol}: the answer is asked in ${unit}.`,
  }));
}

function generalSlips(solution: Solution): Slip[] {
  const { value, unit } = solution;
  const slips = [
    { kind: "sign", value: -value, says: "The size is right, the sign is not." },
    ...unitSlips(solution),
  ];
  if (unit !== "%") return slips;
  const says = "That is a fraction: times 100 it is a percentage.";
  return [...slips, { kind: "percent", value: value / 100, says }];
}

/** Half a unit of the last digit asked for, and a little for how halves are rounded. */
export function allowance({ digits }: Pick<Solution, "digits">): number {
  return 0.6 * 10 ** -digits;
}

/** So many allowances away, a number that fits no slip was rounded on the way. */
const near = 5;

function judgeNumber(value: number, solution: Solution): Judged {
  const slack = allowance(solution);
  const off = Math.abs(value - solution.value);
  if (off <= slack) return { verdict: "right", says: "Right." };
  const fits = [...solution.slips, ...generalSlips(solution)].filter(
    (slip) => Math.abs(value - slip.value) <= Math.min(slack, 0.02 * Math.abs(slip.value) + 1e-9),
  );
  const nearest = fits.sort((a, b) => Math.abs(a.value - value) - Math.abs(b.value - value))[0];
  if (nearest) return wrong(nearest.kind, nearest.says);
  if (off <= near * slack && off <= 0.05 * Math.abs(solution.value)) {
    return wrong("rounding", "Close: keep all digits on the way and round at the end.");
  }
  return wrong(unknownSlip, "Not yet, and no slip that is known leads there.");
}

/**
 * Judges an answer against a solution. A number counts when it agrees to the digits asked for; a
 * text may carry its unit, and another unit of the same quantity is converted. Nothing is thrown:
 * what cannot be read is said to be unread.
 */
export function judgeAnswer(answer: unknown, solution: Solution): Judged {
  if (isMissing(answer)) return { verdict: "no answer", says: "No answer yet." };
  const found = read(answer);
  if (!found) {
    const unit = solution.unit ? ` or "1.4 ${solution.unit}"` : "";
    return { verdict: "not read", says: `The answer is not a number: write 1.4${unit}.` };
  }
  const value = inUnit(found, solution);
  return typeof value === "number" ? judgeNumber(value, solution) : value;
}
