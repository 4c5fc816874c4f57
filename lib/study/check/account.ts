import { realAt, wholeAt } from "../../entry.js";
import type { AccountLine, SetAside } from "./issue.js";
import type { Rows } from "./rows.js";
import { rowPlace, textAt } from "./rows.js";
import type { Trials } from "./trials.js";

/** Rows in = rows used + rows set aside, for each file. */
export function accountOf({ kind, parts, fates }: Rows): AccountLine[] {
  return parts.map(({ file, start, rowCount }) => {
    return { file, resource: kind, rows: rowCount, ...fates.counts(start, start + rowCount) };
  });
}

/** The rows of a file that no analysis uses, each with its reason. */
export function setAsidesOf(rows: Rows, trials?: Trials): SetAside[] {
  const found: SetAside[] = [];
  for (let i = 0; i < rows.rowCount; i++) {
    const fate = rows.fates.of(i);
    if (!fate) continue;
    const value = trials ? realAt(trials.canonical, i) : Number.NaN;
    found.push({
      ...rowPlace(rows, i),
      participant: textAt(rows, "participant", i) ?? "",
      occasion: textAt(rows, "occasion", i) ?? "",
      what: trials ? whatOf(trials, i) : "",
      value: Number.isNaN(value) ? null : value,
      unit: trials && !Number.isNaN(value) ? trials.kind.unit : "",
      ...fate,
    });
  }
  return found;
}

/** "lead hand, address, trial 2" or "driver, swing 5". */
function whatOf({ rows, kind, hand, place, places, number }: Trials, i: number): string {
  const parts = [
    kind.handed ? handText(rows, wholeAt(hand, i), i) : "",
    places[wholeAt(place, i)] ?? "",
    wholeAt(number, i) >= 0 ? `${kind.numberName} ${number[i]}` : "",
  ];
  return parts.filter((part) => part !== "").join(", ");
}

function handText(rows: Rows, hand: number, i: number): string {
  if (hand >= 0) return hand === 0 ? "lead hand" : "trail hand";
  const written = textAt(rows, "hand", i);
  return written ? `${written} hand` : "";
}
