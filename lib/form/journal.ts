import type { FormFile, FormRow } from "./form-content.js";

/** What was done in a form, one event after another. Nothing in a journal is ever changed. */
export type JournalEvent =
  | {
      readonly event: "visit-opened";
      readonly participant: string;
      readonly occasion: string;
      readonly tester: string;
      readonly devices: FormRow;
    }
  | {
      readonly event: "screened";
      readonly participant: string;
      readonly occasion: string;
      /** Answers to the screening questions: true for yes. */
      readonly answers: readonly boolean[];
      /** Who allowed the test after a yes; left out where every answer was no. */
      readonly permittedBy?: string;
      /** False when the golfer is not tested today. */
      readonly tested: boolean;
    }
  | {
      readonly event: "warmed-up";
      readonly participant: string;
      readonly occasion: string;
      readonly seconds: number;
    }
  | {
      readonly event: "row";
      readonly file: FormFile;
      readonly row: FormRow;
      /** Questions that were asked and answered with "keep". */
      readonly kept: readonly string[];
    }
  | {
      readonly event: "corrected";
      /** Number of the entry that is corrected. */
      readonly entry: number;
      /** The whole row as it is now; the old one stays in its entry. */
      readonly row: FormRow;
      readonly reason: string;
    }
  | { readonly event: "withdrawn"; readonly entry: number; readonly reason: string }
  | {
      readonly event: "rest-cut";
      readonly participant: string;
      readonly occasion: string;
      /** Rest that was left out, in seconds. */
      readonly seconds: number;
      readonly reason: string;
    }
  | {
      readonly event: "unit-changed";
      readonly quantity: "force" | "speed";
      readonly from: string;
      readonly to: string;
      readonly reason: string;
    }
  | { readonly event: "calibration-skipped"; readonly date: string; readonly reason: string }
  | {
      readonly event: "visit-closed";
      readonly participant: string;
      readonly occasion: string;
      readonly note: string;
    };

/** An event with its number in the journal and the clock time of the device. */
export interface JournalEntry {
  /** Number of the entry, rising; the order of the journal does not depend on the clock. */
  readonly number: number;
  /** Time by the clock of the device, ISO with seconds. */
  readonly at: string;
  /** What was done. */
  readonly what: JournalEvent;
}

/** A row as it is after all corrections. */
export interface StandingRow {
  /** Number of the entry that recorded it. */
  readonly entry: number;
  /** Time of that entry. */
  readonly at: string;
  /** File to which the row belongs. */
  readonly file: FormFile;
  /** The row. */
  readonly row: FormRow;
  /** The row before each correction, oldest first, with the reason. */
  readonly earlier: readonly { readonly row: FormRow; readonly reason: string }[];
}

/**
 * The rows of a journal after corrections and withdrawals, in the order in which they were recorded.
 */
export function standingRows(journal: readonly JournalEntry[]): readonly StandingRow[] {
  const rows = new Map<number, StandingRow>();
  for (const { number, at, what } of journal) {
    if (what.event === "row")
      rows.set(number, { entry: number, at, file: what.file, row: what.row, earlier: [] });
    if (what.event === "withdrawn") rows.delete(what.entry);
    if (what.event === "corrected") {
      const before = rows.get(what.entry);
      if (!before) continue;
      const earlier = [...before.earlier, { row: before.row, reason: what.reason }];
      rows.set(what.entry, { ...before, row: what.row, earlier });
    }
  }
  return [...rows.values()];
}

/** The columns that say which trial, session or check a row is about. */
const identity: Readonly<Record<FormFile, readonly string[]>> = {
  "grip-trials": ["participant", "occasion", "hand", "position", "trial"],
  "swing-trials": ["participant", "occasion", "club", "swing"],
  "training-log": ["participant", "date"],
  calibration: ["date", "device", "known_load"],
};

/** Which trial, session or check a row is about, as one text. */
export function identityOf(file: FormFile, row: FormRow): string {
  return JSON.stringify([file, ...identity[file].map((column) => row[column] ?? "")]);
}

/** The unit that a quantity is written in after the changes of unit in a journal. */
export function unitNow(
  journal: readonly JournalEntry[],
  quantity: "force" | "speed",
  first: string,
): string {
  let unit = first;
  for (const { what } of journal)
    if (what.event === "unit-changed" && what.quantity === quantity) unit = what.to;
  return unit;
}

/** The entries about one golfer at one visit. */
export function entriesOf(
  journal: readonly JournalEntry[],
  participant: string,
  occasion: string,
): readonly JournalEntry[] {
  return journal.filter(
    ({ what }) =>
      "participant" in what && what.participant === participant && what.occasion === occasion,
  );
}
