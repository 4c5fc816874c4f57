import { itemAt, realAt } from "../entry.js";

/** Row numbers of each label (a person, an arm), labels in order of first appearance. */
export function groupRows(label: readonly string[]): Map<string, number[]> {
  const groups = new Map<string, number[]>();
  for (const [row, name] of label.entries()) {
    const rows = groups.get(name);
    if (rows) rows.push(row);
    else groups.set(name, [row]);
  }
  return groups;
}

/** The rows of one label as columns of their own. */
export interface LabelledRows {
  /** Label that the rows share. */
  readonly label: string;
  /** Their values of x. */
  readonly x: Float64Array;
  /** Their values of y. */
  readonly y: Float64Array;
}

/** Two columns taken apart by label, labels in order of first appearance. */
export function rowsByLabel(
  label: readonly string[],
  x: Float64Array,
  y: Float64Array,
): LabelledRows[] {
  return Array.from(groupRows(label), ([name, rows]) => ({
    label: name,
    x: picked(x, rows),
    y: picked(y, rows),
  }));
}

/** Some values of a column; a loop, because `from` with a function takes far longer. */
function picked(column: Float64Array, rows: readonly number[]): Float64Array {
  const values = new Float64Array(rows.length);
  for (let k = 0; k < values.length; k++) values[k] = realAt(column, itemAt(rows, k));
  return values;
}

/** Why no line can be laid through these rows, in words; "" where one can. */
export function obstacleToLine(x: Float64Array, least: number): string {
  if (x.length < least) {
    return `${x.length} ${x.length === 1 ? "row" : "rows"}, a line needs ${least}`;
  }
  const low = x.reduce((a, b) => Math.min(a, b));
  const high = x.reduce((a, b) => Math.max(a, b));
  // Means of equal trials may differ in their last digit; a slope would then be divided by nearly 0
  const isOneValue = high - low <= 1e-12 * Math.max(Math.abs(low), Math.abs(high));
  return isOneValue ? "x is the same in every row" : "";
}
