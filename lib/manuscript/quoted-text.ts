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
  readonly said: string;
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
 * Every number of a text that has a unit or follows "p", with the findings it may come from: those
 * with a number that rounds to it, in its unit or one with an exact factor.
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
      said: unit === "p" ? `p ${number.text}` : withUnit(number.text, unit),
      sources: sourcesOf(number, unit, line, candidates),
    })),
  );
}

function candidatesOf(study: string, questions: readonly QuestionFacts[]): Candidate[] {
  return questions.flatMap((question) =>
    question.results.flatMap((result) => {
      const { value, low, high, p, id, title, unit } = result;
      const written = numbersOf(study, question, result);
      const exact = { value, low, high, p };
      return Object.entries(exact).flatMap(([part, number]) => {
        const own = written.get(part);
        if (number === undefined || own === undefined) return [];
        const partUnit = part === "p" ? "p" : unit;
        const recorded = part === "p" ? own.text : withUnit(own.text, unit);
        const { notebook } = question;
        return [{ notebook, id, title, part, recorded, value: number, unit: partUnit }];
      });
    }),
  );
}

/** Numbers with the unit behind them; of "0.5 to 4.2 kgf" both have it, p has its letter before it. */
function withUnits(line: string): { number: WrittenNumber; unit: string }[] {
  const numbers = numbersIn(line);
  const units = numbers.map(({ start, end }) => {
    if (/\bp\s*[=<>≤≥]\s*$/i.test(line.slice(0, start))) return "p";
    return unitAt(line.slice(end));
  });
  for (let i = numbers.length - 2; i >= 0; i--) {
    const between = line.slice(numbers[i]?.end, numbers[i + 1]?.start);
    if (units[i] === undefined && /^\s*(?:to|–|-|and|,|±)\s*$/.test(between))
      units[i] = units[i + 1];
  }
  return numbers.flatMap((number, i) => {
    const unit = units[i];
    return unit === undefined || isLevel(line, number, unit) ? [] : [{ number, unit }];
  });
}

/** "95 % CI" names a level; it is no result. */
function isLevel(line: string, { end }: WrittenNumber, unit: string): boolean {
  return unit === "%" && /^\s*%\s*(?:CI|confidence|interval)/i.test(line.slice(end));
}

function unitAt(behind: string): string | undefined {
  const text = behind.replace(/^[\s\u00a0\u202f]/, "");
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
  const said = Number(number.digits);
  const decimals = number.digits.split(".")[1]?.length ?? 0;
  const half = 0.5 * 10 ** -decimals * (1 + 1e-9);
  const other = companions[unit];
  const fits = ({ value, unit: own }: Candidate) => {
    if (own === unit) return Math.abs(value - said) <= half;
    return other?.unit === own && Math.abs(value * other.factor - said) <= half;
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
