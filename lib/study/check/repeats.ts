import { wholeAt } from "../../entry.js";
import type { IssueLog } from "./issue-log.js";
import type { Rows } from "./rows.js";
import { rowPlace } from "./rows.js";
import type { Trials } from "./trials.js";

/** Remembers for each whole-number key the first row that had it. */
interface FirstRows {
  get(key: number): number;
  set(key: number, row: number): void;
}

/** A flat table where keys are few, a hash where they are spread thin. */
function firstRows(keys: number, rowCount: number): FirstRows {
  if (keys <= Math.max(1_000_000, 4 * rowCount)) {
    const rows = new Int32Array(keys).fill(-1);
    return {
      get: (key) => wholeAt(rows, key),
      set: (key, row) => {
        rows[key] = row;
      },
    };
  }
  const rows = new Map<number, number>();
  return { get: (key) => rows.get(key) ?? -1, set: (key, row) => void rows.set(key, row) };
}

/**
 * Finds trials that appear in the file twice. When the values agree the first is used and the repeat
 * left out; when they differ none of them is used, because the right one is not known.
 */
export function leaveOutRepeats(trials: Trials, people: number, log: IssueLog): void {
  const { rows, person, occasion, hand, place, places, number, canonical } = trials;
  const occasions = 1 + occasion.reduce((most, one) => Math.max(most, one), 0);
  const most = 1 + number.reduce((largest, one) => Math.max(largest, one), 0);
  const cells = 2 * Math.max(1, places.length);
  const first = firstRows(people * occasions * cells * most, rows.rowCount);
  const doubtful = new Set<number>();
  for (let i = 0; i < rows.rowCount; i++) {
    if (rows.fates.codes[i] !== 0) continue;
    const cell = wholeAt(place, i) * 2 + wholeAt(hand, i);
    const key =
      ((wholeAt(person, i) * occasions + wholeAt(occasion, i)) * cells + cell) * most +
      wholeAt(number, i);
    const earlier = first.get(key);
    if (earlier < 0) {
      first.set(key, i);
      continue;
    }
    const same = canonical[earlier] === canonical[i];
    sayRepeated(trials, { index: i, earlier, same }, log);
    rows.fates.leaveOut(
      i,
      same ? "repeat of a trial" : "trial given twice, with two values",
      "error",
    );
    if (!same) doubtful.add(earlier);
  }
  for (const i of doubtful) rows.fates.leaveOut(i, "trial given twice, with two values", "error");
}

function earlierPlace(rows: Rows, index: number, earlier: number): string {
  const [here, there] = [rowPlace(rows, index), rowPlace(rows, earlier)];
  return here.file === there.file ? `row ${there.row}` : `${there.file}, row ${there.row}`;
}

function sayRepeated(
  { rows, kind, canonical }: Trials,
  { index, earlier, same }: { index: number; earlier: number; same: boolean },
  log: IssueLog,
): void {
  log.add({
    ...rowPlace(rows, index),
    column: kind.numberName,
    code: "trial-repeated",
    value: same ? "the same value" : `another value (${canonical[earlier]} ${kind.unit})`,
    expected: earlierPlace(rows, index, earlier),
  });
}
