import { present } from "../../entry.js";
import type { Field } from "../package/dictionary.js";
import type { IssueCode } from "./issue.js";

/** A cell's text after reading: a text, a number, or nothing. */
export type CellValue = string | number | null;

/** Why the text of a cell cannot be read in its column. */
export interface CellFault {
  /** Kind of the fault. */
  readonly code: IssueCode;
  /** What should be there instead, in words. */
  readonly expected: string;
}

/** What one text means in a column of this type, or why it means nothing. */
export interface ReadCell {
  /** What the text means; null where it means nothing. */
  readonly value: CellValue;
  /** Why it means nothing; null where it is fine. */
  readonly fault: CellFault | null;
}

/** How numbers are written in a column. */
export type DecimalMark = "." | ",";

/** Control characters other than tab and line end, and marks that turn the reading direction. */
const controls = /[^\P{Cc}\t\n\r]|[\u2028-\u202e\u2066-\u2069]/u;

/** Reads one text by the type and constraints of its field. The text has no outer spaces. */
export function readCell(text: string, field: Field, decimal: DecimalMark): ReadCell {
  if (controls.test(text)) return fault("cell-control", "text without control characters");
  switch (field.type) {
    case "number":
    case "integer":
      return checkedNumber(text, field, decimal);
    case "date":
    case "datetime":
      return readDate(text, field.format);
    case "time":
      return readTime(text);
    default:
      return checkedText(text, field);
  }
}

function fault(code: IssueCode, expected: string): ReadCell {
  return { value: null, fault: { code, expected } };
}

function checkedText(text: string, { constraints = {} }: Field): ReadCell {
  if (/^=|^[+@-][A-Za-z_.]+\(/.test(text)) return fault("cell-formula", "a plain text");
  if (constraints.enum && !constraints.enum.includes(text))
    return fault("not-listed", constraints.enum.join(", "));
  if (constraints.pattern && !new RegExp(`^(?:${constraints.pattern})$`, "u").test(text))
    return fault("pattern-missed", constraints.pattern);
  return { value: text, fault: null };
}

const withPoint = /^[+-]?(\d+(\.\d*)?|\.\d+)([eE][+-]?\d{1,3})?$/;
const withComma = /^[+-]?(\d+(,\d*)?|,\d+)([eE][+-]?\d{1,3})?$/;
/**
 * A number with a unit behind it, as devices write it: "30.5 kg", "102mph", "45 m/s". One letter is
 * N or m; any other is a slip of the keyboard, such as "4l" for 41.
 */
const numberWithUnit = /^[+-]?[\d.,]*\d ?(?:[NnMm]|[a-zA-Z]{2,6}|[a-zA-Z]{1,2}\/[a-zA-Z]{1,2})$/;

function checkedNumber(text: string, field: Field, decimal: DecimalMark): ReadCell {
  const plain = text.replace(/\u2212/g, "-");
  if (/^[\u2012-\u2015]\s*[\d.,]/.test(plain))
    return fault("dash-for-minus", "a minus sign (-) or no sign");
  const pattern = decimal === "," ? withComma : withPoint;
  if (!pattern.test(plain)) {
    const code = numberWithUnit.test(plain) ? "unit-in-cell" : "not-a-number";
    return fault(code, `a number such as 41${decimal}5`);
  }
  const value = Number(plain.replace(",", "."));
  if (!Number.isFinite(value)) return fault("not-a-number", "a finite number");
  if (field.type === "integer" && !Number.isInteger(value))
    return fault("not-whole", "a whole number");
  return withinLimits(value, field);
}

/** A number within the limits of its field. */
export function withinLimits(value: number, field: Field): ReadCell {
  const { minimum, maximum } = field.constraints ?? {};
  const unit = field.unit ? ` ${field.unit}` : "";
  if (minimum !== undefined && value < minimum)
    return fault("below-least", `at least ${minimum}${unit}`);
  if (maximum !== undefined && value > maximum)
    return fault("above-most", `at most ${maximum}${unit}`);
  return { value, fault: null };
}

const parts: Record<string, string> = {
  "%Y": "(?<year>\\d{4})",
  "%y": "(?<year>\\d{2})",
  "%m": "(?<month>\\d{1,2})",
  "%d": "(?<day>\\d{1,2})",
  "%H": "\\d{1,2}",
  "%M": "\\d{2}",
  "%S": "\\d{2}",
};

/** A pattern for dates laid out as a Table Schema format says, such as %d/%m/%Y. */
function datePattern(format: string): RegExp | null {
  const once = (part: string) => format.split(part).length === 2;
  if (!once("%m") || !once("%d") || once("%Y") === once("%y")) return null;
  const escaped = format.replace(/[.*+?^${}()|[\]\\]/g, "\\$&");
  return new RegExp(`^${escaped.replace(/%[YymdHMS]/g, (part) => present(parts[part]))}$`);
}

const isoDate = /^(?<year>\d{4})-(?<month>\d{2})-(?<day>\d{2})(?:[T ]00:00(?::00(?:\.0+)?)?Z?)?$/;

/** Dates become ISO text, yyyy-mm-dd; only real days of the calendar pass. */
function readDate(text: string, format = "default"): ReadCell {
  const pattern = format === "default" || format === "any" ? isoDate : datePattern(format);
  const expected = pattern === isoDate || !pattern ? "a date such as 2025-01-31" : format;
  const groups = pattern?.exec(text)?.groups;
  if (!groups) return fault("not-a-date", expected);
  // POSIX: two digits from 69 are of the twentieth century.
  const short = groups.year?.length === 2 ? (Number(groups.year) < 69 ? 2000 : 1900) : 0;
  const [year, month, day] = [
    short + Number(groups.year),
    Number(groups.month),
    Number(groups.day),
  ];
  const real = new Date(Date.UTC(year, month - 1, day));
  if (real.getUTCMonth() !== month - 1 || real.getUTCDate() !== day || year < 1900)
    return fault("not-a-date", expected);
  return { value: real.toISOString().slice(0, 10), fault: null };
}

function readTime(text: string): ReadCell {
  const match = /^([01]?\d|2[0-3]):([0-5]\d)(?::([0-5]\d))?$/.exec(text);
  if (!match) return fault("not-a-time", "a time such as 14:05:30");
  const [, hours, minutes, seconds = "00"] = match;
  return { value: `${present(hours).padStart(2, "0")}:${minutes}:${seconds}`, fault: null };
}

/**
 * Which mark a column uses for decimals, judged by its different texts: a comma where more of them
 * have a comma than a point, so that one slip is one error, and where not every one could as well be
 * thousands ("1,234").
 */
export function decimalMark(texts: readonly string[]): DecimalMark | "unclear" {
  const commas = texts.filter(
    (text) => withComma.test(text.replace(/\u2212/g, "-")) && text.includes(","),
  );
  if (commas.length === 0) return ".";
  const points = texts.filter((text) => withPoint.test(text) && text.includes(".")).length;
  const thousands = commas.every((text) => /^[+-]?[1-9]\d{0,2},\d{3}$/.test(text));
  if (points > 0 && (thousands || points >= commas.length)) return ".";
  return thousands ? "unclear" : ",";
}
