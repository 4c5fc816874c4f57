import { itemAt } from "../entry.js";
import { convert } from "../units/convert.js";
import { readUnit, type Unit, unitsKnown } from "../units/unit.js";
import type { Slip, Solution } from "./solution.js";
import type { ReplyWords } from "./words/reply-words.js";

/** What an answer to an exercise came to. */
export type AnswerVerdict = "right" | "wrong" | "no answer" | "not read";

/** What an answer is worth: right, or what kind of wrong. */
export interface Judged {
  /** Whether the answer is right, wrong, missing or not readable as a number. */
  readonly verdict: AnswerVerdict;
  /** The kind of mistake in a word or two; left out where it is not known, or nothing is wrong. */
  readonly slip?: string;
  /** The reply to the student, in a sentence or two. */
  readonly says: string;
}

interface Read {
  readonly value: number;
  /** Digits written after the decimal sign. */
  readonly decimals: number;
  /** What stands behind the number, "" for nothing. */
  readonly unit: string;
}

const written = /^([+\-−]?\s*(?:\d+(?:[.,]\d*)?|[.,]\d+)(?:e[+-]?\d+)?)\s*(.*)$/is;

/** A number, or a text that begins with one: "1.4", "1,4 kgf", "−0.3 mph per kgf". */
function read(answer: unknown): Read | undefined {
  if (typeof answer === "number") {
    if (!Number.isFinite(answer)) return undefined;
    return { value: answer, decimals: decimalsOf(String(answer)), unit: "" };
  }
  if (typeof answer !== "string") return undefined;
  const found = written.exec(answer.trim());
  if (!found) return undefined;
  const digits = itemAt(found, 1).replace(/\s/g, "").replace("−", "-").replace(",", ".");
  return { value: Number(digits), decimals: decimalsOf(digits), unit: itemAt(found, 2).trim() };
}

function decimalsOf(text: string): number {
  return /\.(\d*)/.exec(text)?.[1]?.length ?? 0;
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
    return undefined; // a unit that is not in the list is a mistake, and is told as one
  }
}

/** What one `given` is in `asked`, also for "mph per kgf"; undefined where it is no such amount. */
function factor(given: string, asked: string): number | undefined {
  if (plainUnit(given) === plainUnit(asked)) return 1;
  // A plain unit such as m/s is known as a whole; only a slope is taken apart.
  const whole = known(asked);
  const same = whole && known(given, whole.quantity);
  if (whole) return same && convert(1, same.symbol, whole.symbol);
  const [parts, wanted] = [partsOf(given), partsOf(asked)];
  if (parts.length !== wanted.length) return undefined;
  const factors = wanted.map((part, i) => factorOfPart(itemAt(parts, i), part));
  const [top, bottom = 1] = factors;
  return top === undefined || factors.includes(undefined) ? undefined : top / bottom;
}

/** "m/s per kgf" has the parts "m/s" and "kgf"; without "per" the stroke parts them: "mph/kgf". */
function partsOf(unit: string): readonly string[] {
  const parts = unit.trim().split(/\s+per\s+/i);
  return parts.length > 1 ? parts : unit.trim().split(/\s*\/\s*/);
}

function factorOfPart(given: string, asked: string): number | undefined {
  const target = known(asked);
  const found = target && known(given, target.quantity);
  return target && found && convert(1, found.symbol, target.symbol);
}

function mistake(kind: string, says: string, words: ReplyWords): Judged {
  return { verdict: "wrong", slip: kind, says: `${words.notYet(kind)} ${says}` };
}

/** Numbers that the answer would be in other units of the same quantity. */
function unitSlips({ value, unit }: Solution, words: ReplyWords): Slip[] {
  const target = known(unit);
  if (!target) return [];
  const others = unitsKnown().filter(
    ({ quantity, symbol }) => quantity === target.quantity && symbol !== target.symbol,
  );
  return others.map(({ symbol }) => ({
    kind: words.kinds.unit,
    value: convert(value, target.symbol, symbol),
    says: words.otherUnit(symbol, unit),
  }));
}

function generalSlips(solution: Solution, words: ReplyWords): Slip[] {
  const { value, unit } = solution;
  const { kinds } = words;
  const slips = [
    { kind: kinds.sign, value: -value, says: words.sign },
    ...unitSlips(solution, words),
  ];
  if (unit !== "%") return slips;
  return [...slips, { kind: kinds.fraction, value: value / 100, says: words.fraction }];
}

/** Half a unit of the last digit asked for, and a little for how halves are rounded. */
export function allowance({ digits }: Pick<Solution, "digits">): number {
  return 0.6 * 10 ** -digits;
}

/** So many allowances away, a number that fits no known mistake was rounded on the way. */
const near = 5;

function judgeNumber(
  { value, decimals }: { readonly value: number; readonly decimals: number },
  solution: Solution,
  words: ReplyWords,
): Judged {
  const { digits } = solution;
  const slack = allowance(solution);
  const off = Math.abs(value - solution.value);
  if (off <= slack) return { verdict: "right", says: words.right };
  const fits = [...solution.slips, ...generalSlips(solution, words)].filter(
    (slip) => Math.abs(value - slip.value) <= Math.min(slack, 0.02 * Math.abs(slip.value) + 1e-9),
  );
  const nearest = fits.sort((a, b) => Math.abs(a.value - value) - Math.abs(b.value - value))[0];
  if (nearest) return mistake(nearest.kind, nearest.says, words);
  // Two per cent of a small number is less than its rounding; a swapped sign is plain all the same.
  if (Math.abs(value + solution.value) <= slack)
    return mistake(words.kinds.sign, words.sign, words);
  const { rounding } = words.kinds;
  const size = Math.abs(solution.value);
  const isCoarse =
    decimals < digits &&
    off <= allowance({ digits: decimals }) &&
    // A whole number says something of the answer only where it is near to it.
    (decimals > 0 || off <= 0.1 * size);
  if (isCoarse) return { verdict: "wrong", slip: rounding, says: words.coarse(digits) };
  if (off <= Math.max(near * slack, 0.02 * size) && off <= 0.05 * size)
    return mistake(rounding, words.close, words);
  return { verdict: "wrong", says: words.unknown };
}

/** What is wrong with a text that looks like a number with a typing mistake in it. */
function typingMistake(answer: unknown, words: ReplyWords): string | undefined {
  if (typeof answer !== "string") return undefined;
  const text = answer.trim();
  if (/^[+\-−]?\d+\s+\d/.test(text)) return words.gap(text);
  return /^[+\-−]?\d*[.,]\d*[.,]/.test(text) ? words.twoPoints(text) : undefined;
}

/**
 * Judges an answer against a solution. A number counts when it agrees to the digits asked for; a
 * text may carry its unit, and another unit of the same quantity is converted. Nothing is thrown:
 * what cannot be read is said to be unread.
 */
export function judgeAnswer(answer: unknown, solution: Solution, words: ReplyWords): Judged {
  if (isMissing(answer)) return { verdict: "no answer", says: words.noAnswer };
  const typing = typingMistake(answer, words);
  if (typing !== undefined) return { verdict: "not read", says: typing };
  const found = read(answer);
  if (!found) return { verdict: "not read", says: words.notNumber(solution.unit) };
  const scale = found.unit === "" ? 1 : factor(found.unit, solution.unit);
  if (scale === undefined)
    return mistake(words.kinds.unit, words.unit(solution.unit, found.unit), words);
  const isRightAsNumber = Math.abs(found.value - solution.value) <= allowance(solution);
  const judged = judgeNumber({ ...found, value: found.value * scale }, solution, words);
  if (judged.verdict === "wrong" && scale !== 1 && isRightAsNumber)
    return mistake(words.kinds.unit, words.wrongUnit(solution.unit, found.unit), words);
  return judged;
}
