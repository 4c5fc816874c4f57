/** How much an issue stops: the study, the row, or nothing until a person has answered. */
export type Severity = "stop" | "error" | "ask" | "note";

/** One thing found in a file. `row` is the row a spreadsheet shows, where the header is row 1. */
export interface Issue {
  /** File inside the study folder, or the folder's name when the study as a whole is meant. */
  readonly file: string;
  /** Row in the file, 1 for the header; 0 when the file as a whole is meant. */
  readonly row: number;
  /** Name of the column; "" where the row or the file as a whole is meant. */
  readonly column: string;
  /** Kind of the issue. */
  readonly code: IssueCode;
  /** Whether it stops the check, sets the row aside, asks a person to decide, or only informs. */
  readonly severity: Severity;
  /** What stands there, shortened to one line. */
  readonly value: string;
  /** What should be there instead, in words. */
  readonly expected: string;
  /** What is wrong and what to do, in a sentence. */
  readonly message: string;
  /** How many rows it is about; 0 where it is about no single row. */
  readonly count: number;
}

/** Every kind of issue, with how much it stops. The words are made in issue-messages.ts. */
export const severityOf = {
  "no-package": "stop",
  "package-unreadable": "stop",
  "package-incomplete": "stop",
  "file-missing": "stop",
  "file-refused": "stop",
  "file-too-large": "stop",
  "file-unreadable": "stop",
  "header-missing": "stop",
  "header-repeated": "stop",
  "column-missing": "stop",
  "column-refused": "stop",
  "personal-data": "stop",
  "mapping-wrong": "stop",
  "key-unknown": "error",
  "key-unread": "note",
  "plan-unknown": "error",
  "resource-unread": "ask",
  "file-unread": "ask",
  "files-other": "note",
  "no-trials": "note",
  "encoding-said": "note",
  "decimal-comma": "note",
  "unit-converted": "note",
  "column-unknown": "note",
  "rows-empty": "note",
  "hidden-rows": "note",
  "merged-cells": "note",
  "sheet-chosen": "note",
  "formula-cells": "note",
  "row-width": "error",
  "value-needed": "error",
  "cell-control": "error",
  "cell-long": "error",
  "cell-formula": "error",
  "quote-open": "error",
  "not-a-number": "error",
  "unit-in-cell": "error",
  "not-whole": "error",
  "dash-for-minus": "error",
  "not-a-date": "error",
  "not-a-time": "error",
  "not-listed": "error",
  "below-least": "error",
  "above-most": "error",
  "pattern-missed": "error",
  "thousands-or-decimals": "error",
  "unit-unknown": "error",
  "participant-unknown": "error",
  "participant-repeated": "error",
  "arm-changed": "error",
  "occasion-unknown": "error",
  "position-unknown": "error",
  "arm-unknown": "error",
  "trial-repeated": "error",
  "set-aside-wrong": "error",
  "set-aside-unmatched": "error",
  "rule-changed": "error",
  "device-changed": "ask",
  "handle-changed": "ask",
  implausible: "ask",
  "unit-mixed": "note",
  "unit-mix-up": "ask",
  "side-doubt": "ask",
  "trial-order": "ask",
  "rest-short": "ask",
  "hands-not-alternated": "ask",
  "trials-few": "note",
  "swings-few": "note",
  "swings-planned-few": "note",
  "one-occasion": "note",
  "dates-out-of-order": "ask",
  "date-in-future": "ask",
  "after-withdrawal": "ask",
  "calibration-off": "ask",
  "calibration-applied": "note",
  "calibration-impossible": "error",
  "trial-outlying": "ask",
  "cells-small": "note",
} as const satisfies Record<string, Severity>;

/** Kind of an issue, such as "unit-unknown". */
export type IssueCode = keyof typeof severityOf;

/** A row that no analysis uses, and why. */
export interface SetAside {
  /** File inside the study folder. */
  readonly file: string;
  /** Row that a spreadsheet shows. */
  readonly row: number;
  /** Code of the golfer as the file has it. */
  readonly participant: string;
  /** Occasion as the file has it. */
  readonly occasion: string;
  /** Hand and position, or club, and the trial's number: what a person needs to find it again. */
  readonly what: string;
  /** The measured value; null where there is none. */
  readonly value: number | null;
  /** Unit of the value as the file has it. */
  readonly unit: string;
  /** Why no analysis uses the row, in a clause. */
  readonly reason: string;
  /**
   * "set-aside" for a line of the set-aside file, "status" for a trial not valid, "mapping" for a
   * row that the datapackage says is no trial, else "error".
   */
  readonly by: "set-aside" | "status" | "mapping" | "error";
}

/** Rows of one file: `rows` = `used` + the sum of `setAside`. */
export interface AccountLine {
  /** File inside the study folder. */
  readonly file: string;
  /** Name of the resource in the descriptor. */
  readonly resource: string;
  /** Rows of the file, the header not counted. */
  readonly rows: number;
  /** Rows that analyses use. */
  readonly used: number;
  /** Rows that no analysis uses, by reason. */
  readonly setAside: readonly { readonly reason: string; readonly rows: number }[];
}
