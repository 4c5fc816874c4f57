import { withUnit } from "../show/wording.js";
import { numbersOf } from "./recorded-numbers.js";
import type { QuestionFacts } from "./study-facts.js";
import { numbersIn, type WrittenNumber } from "./written-number.js";

/** A finding that a number in a text may come from. */
export interface PossibleSource {
  /** Path of the notebook. */
  readonly notebook: string;
  /** Id of the finding. */
  readonly id: string;
  /** What the finding is about. */
  readonly title: string;
  /** Which part of it: value, lower limit and so on. */
  readonly part: string;
  /** The number as the record writes it, with its unit. */
  readonly recorded: string;
}

/** A number of a text with its unit, and the findings that it may come from. */
export interface QuotedNumber {
  /** Line of the text, from 1. */
  readonly line: number;
  /** As written, with its unit. */
  readonly inText: string;
  /** The best fitting findings first; none where the record has no such number. */
  readonly sources: readonly PossibleSource[];
}

/** The longest units first, so that "mph per kgf" is not read as mph. */
const unitsKnown = ["mph per kgf", "km/h", "m/s", "mph", "kgf", "lbf", "kg", "lb", "N", "%"];

/** Units that the record gives in another one, with the exact factor: 1 kgf = 9.80665 N. */
const companions: Readonly<Record<string, { readonly unit: string; readonly factor: number }>> = {
  N: { unit: "kgf", factor: 9.80665 },
  "m/s": { unit: "mph", factor: 0.44704 },
};

/** At most so many findings per number are listed. */
const mostSources = 5;

interface Candidate extends PossibleSource {
  readonly value: number;
  readonly unit: string;
}

/**
 * Every number of a text that has a unit, follows "p" or belongs to an interval, with the findings
 * it may come from: those with a number that rounds to it, in its unit or one with an exact factor.
 */
export function quotedNumbers(
  study: string,
  questions: readonly QuestionFacts[],
  text: string,
): QuotedNumber[] {
  const candidates = candidatesOf(study, questions);
  return text.split(/\r?\n/).flatMap((line, i) =>
    withUnits(line).map(({ number, unit }) => ({
      line: i + 1,
      inText: asWritten(line, number, unit),
      sources: sourcesOf(number, unit, line, candidates),
    })),
  );
}

/** A number as the text has it, with its unit or "p" and its sign. */
function asWritten(line: string, { text, start }: WrittenNumber, unit: string): string {
  if (unit !== "p") return withUnit(text, unit);
  return `p ${boundBefore(line, start) ?? "="} ${text}`;
}

/** The sign that makes the number at a place a bound: "p < 0.001". */
function boundBefore(line: string, start: number): string | undefined {
  return /[<>≤≥]\s*$/.exec(line.slice(0, start))?.[0].trim();
}

function candidatesOf(study: string, questions: readonly QuestionFacts[]): Candidate[] {
  return questions.flatMap((question) =>
    question.results.flatMap((result) => {
      const { value, low, high, p, id, title, unit } = result;
      const written = numbersOf(study, question, result);
      const exact = { value, low, high, p };
      return Object.entries(exact).flatMap(([part, number]) => {
        const quoted = written.get(part);
        if (number === undefined || quoted === undefined) return [];
        const partUnit = part === "p" ? "p" : unit;
        const recorded = part === "p" ? quoted.text : withUnit(quoted.text, unit);
        const { notebook } = question;
        return [{ notebook, id, title, part, recorded, value: number, unit: partUnit }];
      });
    }),
  );
}

/** A number of a line with its unit, "p", or "" where an interval has none. */
interface Measured {
  readonly number: WrittenNumber;
  readonly unit: string;
}

/**
 * The numbers of a line that say a result: those with a unit, those after "p", and an estimate with
 * its interval. The unit of one is the unit of all three: "2.4 kgf (95 % CI 0.5 to 4.2)",
 * "2.4 [0.5, 4.2] kgf".
 */
function withUnits(line: string): Measured[] {
  const numbers = numbersIn(line).filter((number) => !isLevel(line, number));
  const units = numbers.map(({ start, end }) =>
    pBefore.test(line.slice(0, start)) ? "p" : unitAt(line.slice(end)),
  );
  const between = (i: number) => line.slice(numbers[i]?.end, numbers[i + 1]?.start);
  const limits = (i: number) => i + 1 < numbers.length && pairJoint.test(between(i));
  const isClosed = (i: number) => closing.test(line.slice(numbers[i]?.end));
  for (let i = numbers.length - 2; i >= 0; i--) if (limits(i)) units[i] ??= units[i + 1];
  for (let i = 0; i < numbers.length; i++) {
    if (!limits(i + 1) || units[i] === "p") continue;
    const joint = between(i);
    if (!intervalJoint.test(joint) || !(levelWords.test(joint) || isClosed(i + 2))) continue;
    const unit = units[i] ?? units[i + 1] ?? "";
    for (const at of [i, i + 1, i + 2]) units[at] ??= unit;
  }
  return numbers.flatMap((number, i) => {
    const unit = units[i];
    return unit === undefined ? [] : [{ number, unit }];
  });
}

/** What stands before a p value. */
const pBefore = /\bp(?:[\s-]*values?)?\s*(?:[=<>≤≥:]|\bof\b|\bwas\b)\s*$/i;
/** Between the limits of an interval. */
const pairJoint = /^\s*(?:to|through|–|−|-|and|,|;|±)\s*$/;
const levelWords = /%\s*(?:CI|CrI|confidence|interval)/i;
/** Between an estimate and the lower limit of its interval. */
const intervalJoint =
  /^\s*(?:(?:mph per kgf|km\/h|m\/s|mph|kgf|lbf|kg|lb|N|%)\s*)?[,;:]?\s*[[(]?\s*(?:with\s+)?(?:an?\s+)?(?:\d+\s*%\s*(?:CI|CrI|confidence interval|interval)s?)?\s*[:,=]?\s*(?:of|from|was)?\s*[[(]?\s*$/i;
/** The upper limit is followed by the end of a bracket. */
const closing = /^\s*(?:mph per kgf|km\/h|m\/s|mph|kgf|lbf|kg|lb|N|%)?\s*[\])]/;

/** "95 % CI" names a level; it is no result. */
function isLevel(line: string, { end }: WrittenNumber): boolean {
  return /^\s*%\s*(?:CI|CrI|confidence|interval)/i.test(line.slice(end));
}

function unitAt(behind: string): string | undefined {
  const text = behind.replace(/^[\])]?[\s\u00a0\u202f]?/, "");
  return unitsKnown.find(
    (unit) => text.startsWith(unit) && !/^[\p{L}\p{N}/]/u.test(text.slice(unit.length)),
  );
}

function sourcesOf(
  number: WrittenNumber,
  unit: string,
  line: string,
  candidates: readonly Candidate[],
): PossibleSource[] {
  const stated = Number(number.digits);
  const decimals = number.digits.split(".")[1]?.length ?? 0;
  const half = 0.5 * 10 ** -decimals * (1 + 1e-9);
  const other = companions[unit];
  const bound = unit === "p" ? boundBefore(line, number.start) : undefined;
  const fits = ({ value, unit: candidateUnit }: Candidate) => {
    if (bound !== undefined && candidateUnit === "p")
      return /[<≤]/.test(bound) ? value < stated : value > stated;
    if (candidateUnit === unit || (unit === "" && candidateUnit !== "p"))
      return Math.abs(value - stated) <= half;
    return other?.unit === candidateUnit && Math.abs(value * other.factor - stated) <= half;
  };
  const wanted = new Set(line.toLowerCase().match(/\p{L}{3,}/gu));
  const shared = ({ title }: PossibleSource) =>
    (title.toLowerCase().match(/\p{L}{3,}/gu) ?? []).filter((word) => wanted.has(word)).length;
  return candidates
    .filter(fits)
    .map(({ value: _, unit: __, ...source }) => source)
    .sort((a, b) => shared(b) - shared(a))
    .slice(0, mostSources);
}
