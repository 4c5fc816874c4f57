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
  const words = trials ? new TrialWords(trials) : null;
  for (let i = 0; i < rows.rowCount; i++) {
    const fate = rows.fates.of(i);
    if (!fate) continue;
    const value = trials ? realAt(trials.canonical, i) : Number.NaN;
    // Every field by name: a million records made by copying others take several times as long.
    const { file, row } = rowPlace(rows, i);
    const one: SetAside = {
      file,
      row,
      participant: textAt(rows, "participant", i) ?? "",
      occasion: textAt(rows, "occasion", i) ?? "",
      what: words ? words.of(i) : "",
      value: Number.isNaN(value) ? null : value,
      unit: trials && !Number.isNaN(value) ? trials.kind.unit : "",
      reason: fate.reason,
      by: fate.by,
    };
    found.push(Object.freeze(one));
  }
  return found;
}

/** What a trial is, "lead hand, address, trial 2" or "driver, swing 5"; like trials share the words. */
class TrialWords {
  private readonly trials: Trials;
  private readonly known = new Map<string, string>();

  constructor(trials: Trials) {
    this.trials = trials;
  }

  of(i: number): string {
    const { rows, kind, hand, place, places, number } = this.trials;
    const parts = [
      kind.handed ? handText(rows, wholeAt(hand, i), i) : "",
      places[wholeAt(place, i)] ?? "",
      wholeAt(number, i) >= 0 ? `${kind.numberName} ${number[i]}` : "",
    ];
    const text = parts.filter((part) => part !== "").join(", ");
    const shared = this.known.get(text);
    if (shared !== undefined) return shared;
    if (this.known.size < mostWords) this.known.set(text, text);
    return text;
  }
}

/** Different words kept; hostile files can have any number. */
const mostWords = 10_000;

function handText(rows: Rows, hand: number, i: number): string {
  if (hand >= 0) return hand === 0 ? "lead hand" : "trail hand";
  const written = textAt(rows, "hand", i);
  return written ? `${written} hand` : "";
}
