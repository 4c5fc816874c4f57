import { byteAt, present } from "../../entry.js";
import { NEWLINE, QUOTE } from "./csv-cells.js";

/** The candidate that stands most often in the header row, outside quotes. */
export function findDelimiter(bytes: Uint8Array, headerRow = 1): string {
  const counts = new Map([",", ";", "\t", "|"].map((mark) => [mark, 0]));
  let quoted = false;
  let row = 1;
  let blank = true;
  for (let i = 0; i < bytes.length && i < 100_000; i++) {
    const byte = byteAt(bytes, i);
    if (byte === QUOTE) quoted = !quoted;
    if (quoted) continue;
    if (byte === NEWLINE) {
      if (row >= headerRow && !blank) break;
      row++;
      for (const mark of counts.keys()) counts.set(mark, 0);
      blank = true;
      continue;
    }
    if (byte > 32) blank = false;
    const mark = String.fromCharCode(byte);
    if (counts.has(mark)) counts.set(mark, present(counts.get(mark)) + 1);
  }
  return [...counts].reduce((best, one) => (one[1] > best[1] ? one : best))[0];
}

/** Headings of two rows as one: a merged upper heading reaches over the empty cells to its right. */
export function joinedHeadings(
  upper: readonly (readonly string[])[],
  last: readonly string[],
): string[] {
  const reached = upper.map((row) => {
    let above = "";
    return last.map((_, c) => {
      const own = row[c]?.trim() ?? "";
      if (own !== "") above = own;
      return above;
    });
  });
  return last.map((name, c) =>
    [...reached.map((row) => row[c] ?? ""), name.trim()].filter((part) => part !== "").join(" "),
  );
}
