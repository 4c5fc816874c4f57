import { convert } from "../../units/convert.js";
import { readUnit } from "../../units/unit.js";
import type { Field } from "../package/dictionary.js";
import type { DecimalMark, ReadCell } from "./cells.js";
import { decimalMark, readCell, withinLimits } from "./cells.js";

/** The decimal mark of a column: as the descriptor has it, else by all of its texts. */
export function markOf(field: Field, texts: readonly string[]): DecimalMark | "unclear" {
  if (field.decimalChar === ",") return ",";
  return field.decimalChar === "." ? "." : decimalMark(texts);
}

function readLevel(text: string, field: Field, mark: DecimalMark | "unclear"): ReadCell {
  if (mark !== "unclear") return readCell(text, field, mark);
  if (!text.includes(",")) return readCell(text, field, ".");
  const expected = "decimalChar in the datapackage";
  return { value: null, fault: { code: "thousands-or-decimals", expected } };
}

/** What a text means in our unit, where the file has the column in another one. */
export function levelOf(text: string, field: Field, mark: DecimalMark | "unclear"): ReadCell {
  const { fileUnit, unit, constraints, ...rest } = field;
  if (fileUnit === undefined || unit === undefined) return readLevel(text, field, mark);
  const cell = readLevel(text, rest, mark);
  if (typeof cell.value !== "number") return cell;
  return withinLimits(convert(cell.value, readUnit(fileUnit).symbol, readUnit(unit).symbol), field);
}

/** What an empty cell means. */
export function missingCell(field: Field): ReadCell {
  if (!field.constraints?.required) return { value: null, fault: null };
  return { value: null, fault: { code: "value-needed", expected: "a value" } };
}
