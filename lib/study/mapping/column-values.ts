import { medianInPlace } from "../../num/median.js";
import type { Decisions } from "./decisions.js";
import type { RawColumn } from "./raw-table.js";

const number = /^[-+−]?(?:\d+(?:[.,]\d+)?|[.,]\d+)$/;

/** The number that a cell holds, with either decimal mark; NaN where it holds none. */
export function numberIn(text: string): number {
  if (!number.test(text)) return Number.NaN;
  return Number(text.replace("−", "-").replace(",", "."));
}

/** Whether most of the cells that are filled hold a number. */
export function isNumeric({ values }: RawColumn): boolean {
  if (values.length === 0) return false;
  const numbers = values.filter((value) => number.test(value)).length;
  return numbers >= 0.7 * values.length;
}

/** Median of the numbers of a column; NaN where there are none. */
export function medianOf(cells: readonly string[]): number {
  const numbers = cells.map(numberIn).filter((value) => !Number.isNaN(value));
  return medianInPlace(Float64Array.from(numbers));
}

const slashed = /^(\d{1,2})([/.-])(\d{1,2})\2(\d{4}|\d{2})((?:[ T]\d{1,2}:\d{2}(?::\d{2})?)?)$/;
const iso = /^\d{4}-\d{2}-\d{2}(?:[ T]00:00(?::00(?:\.0+)?)?Z?)?$/;
const isoTime = /^\d{4}-\d{2}-\d{2}([ T])\d{1,2}:\d{2}(:\d{2})?$/;
const turned = /^(\d{4})([/.])(\d{1,2})\2(\d{1,2})$/;

/** Whether a column looks like days. */
export function holdsDates({ values }: RawColumn): boolean {
  if (values.length === 0) return false;
  return values.every((value) => [slashed, iso, isoTime, turned].some((one) => one.test(value)));
}

/** How a column writes its days: "" for ISO, null where it is ambiguous. */
export function dateFormat(
  values: readonly string[],
  place: { readonly key: string; readonly column: string },
  decisions: Decisions,
): string | null {
  if (values.every((value) => iso.test(value))) return "";
  const timed = isoTime.exec(values[0] ?? "");
  if (timed && values.every((value) => isoTime.test(value)))
    return `%Y-%m-%d${timed[1]}%H:%M${timed[2] ? ":%S" : ""}`;
  const year = turned.exec(values[0] ?? "");
  if (year && values.every((value) => turned.test(value))) return `%Y${year[2]}%m${year[2]}%d`;
  const parts = values.map((value) => slashed.exec(value));
  const [first] = parts;
  if (!first || parts.some((part) => part === null || part[2] !== first[2])) return null;
  const [, , mark = ".", , lastPart = "", clock = ""] = first;
  if (parts.some((part) => part?.[4]?.length !== lastPart.length)) return null;
  const tail = `${lastPart.length === 2 ? "%y" : "%Y"}${clockFormat(clock)}`;
  const dayFirst = `%d${mark}%m${mark}${tail}`;
  const monthFirst = `%m${mark}%d${mark}${tail}`;
  const over = (k: 1 | 3) => parts.some((part) => Number(part?.[k]) > 12);
  if (over(1) && over(3)) return null;
  if (over(1) || mark === ".") return over(3) ? null : dayFirst;
  if (over(3)) return monthFirst;
  const answer = decisions.choose({
    key: place.key,
    text: `In the column "${place.column}", does ${values[0]} mean day ${first[1]} of month ${first[3]}, or month ${first[1]}, day ${first[3]}?`,
    choices: ["day first", "month first"],
  });
  if (answer === undefined) return null;
  return answer === "day first" ? dayFirst : monthFirst;
}

function clockFormat(clock: string): string {
  if (clock === "") return "";
  return `${clock[0]}%H:%M${clock.split(":").length === 3 ? ":%S" : ""}`;
}

/** The unit of a force that its heading, a unit column or the size of its values decides. */
export function forceUnit(given: string, median: number): string | undefined {
  const stated: Readonly<Record<string, string>> = {
    kg: "kgf",
    kgs: "kgf",
    kgf: "kgf",
    kp: "kgf",
    n: "N",
    newton: "N",
    lb: "lbf",
    lbs: "lbf",
    lbf: "lbf",
    pound: "lbf",
    pounds: "lbf",
  };
  if (given !== "") return stated[given];
  // Nobody squeezes 150 kgf or 150 lbf as a median; in newtons it is weak but common.
  return median > 200 ? "N" : undefined;
}

/** The unit of a speed that its heading or the size of its values decides. */
export function speedUnit(given: string, median: number): string | undefined {
  const stated: Readonly<Record<string, string>> = {
    mph: "mph",
    "mi/h": "mph",
    "m/s": "m/s",
    "m.s-1": "m/s",
    "m s-1": "m/s",
    "ms-1": "m/s",
    "km/h": "km/h",
    kmh: "km/h",
    kph: "km/h",
  };
  if (given !== "") return stated[given];
  // A driver swung at 45 m/s is fast, one swung at 45 mph is hardly a swing.
  return median > 20 && median < 48 ? "m/s" : undefined;
}

/** The unit of body mass or height, by heading or size; undefined where both could be meant. */
export function bodyUnit(
  what: "mass" | "height",
  given: string,
  median: number,
): string | undefined {
  if (what === "mass") {
    if (/^kgs?$/.test(given)) return "kg";
    if (/^(?:lbs?|pounds?)$/.test(given)) return "lb";
    if (given !== "") return undefined;
    if (median >= 45 && median <= 105) return "kg";
    return median > 135 && median < 260 ? "lb" : undefined;
  }
  if (given !== "") return given === "inch" || given === "inches" ? "in" : given;
  if (median >= 140 && median <= 210) return "cm";
  if (median >= 1.4 && median <= 2.1) return "m";
  return median >= 55 && median <= 82 ? "in" : undefined;
}
