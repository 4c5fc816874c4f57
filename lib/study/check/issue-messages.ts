import { upperFirst } from "../../first-letter.js";
import type { IssueCode } from "./issue.js";

/** What a sentence about an issue may speak of. */
export interface IssueFacts {
  /** The value found there. */
  readonly value: string;
  /** What should be there instead, in words. */
  readonly expected: string;
  /** Name of the column. */
  readonly column: string;
  /** How many rows it is about. */
  readonly count: number;
  /** A line to paste into the datapackage, and where. */
  readonly paste: string;
}

type Sentence = (facts: IssueFacts) => string;

/** "330 rows" beside a value that several rows have. */
const inRows = ({ count }: IssueFacts) => (count > 1 ? ` (${count} rows)` : "");
const pasted = ({ paste }: IssueFacts) => (paste === "" ? "" : ` ${paste}`);

const quoted = (value: string) => (value === "" ? "nothing" : `"${value}"`);

/** The one place where an issue gets its words: what is wrong, and what to do about it. */
const sentences: Readonly<Record<IssueCode, Sentence>> = {
  "no-package": () => "There is no datapackage.json: a study needs one that names its files.",
  "package-unreadable": (f) => `datapackage.json is not valid JSON: ${f.value}.`,
  "package-incomplete": (f) =>
    `In datapackage.json, ${f.column || "the descriptor"} needs ${f.expected}; it has ${f.value}.`,
  "file-missing": () => "The datapackage names this file, but it is not in the study folder.",
  "file-refused": (f) => `This path is not read: ${f.expected} is needed.`,
  "file-too-large": (f) => `The file is too large: ${f.value}, where ${f.expected} is read.`,
  "file-unreadable": (f) => `The file cannot be read: ${f.expected} is needed; it is ${f.value}.`,
  "header-missing": (f) =>
    f.column === ""
      ? "There is no row of column names. Give the number of their row in dialect.headerRows."
      : `Column ${f.column} has no name but holds values. Give it a name or empty it.`,
  "header-repeated": (f) =>
    `Two columns are called ${quoted(f.value)}. Each name may appear only once.`,
  "column-missing": (f) =>
    `The column ${quoted(f.expected)} is missing. Add it, or name the column in the datapackage (reading.columns).`,
  "column-refused": (f) => `A column cannot be called ${quoted(f.value)}. Give it another name.`,
  "personal-data": (f) =>
    `${f.value} looks like personal data (${f.expected}). Take it out of the file: keep codes here, and the list of names elsewhere, under lock.`,
  "mapping-wrong": (f) =>
    `The mapping in the datapackage names ${quoted(f.value)}, but ${f.expected}.`,
  "key-unknown": (f) =>
    `${quoted(f.value)} in ${f.column} is not a key that is read. Did you mean ${quoted(f.expected)}? Until it is corrected it has no effect.`,
  "key-unread": (f) =>
    `${quoted(f.value)} in ${f.column} is not a key that is read; it has no effect. Keys here: ${f.expected}.`,
  "plan-unknown": (f) =>
    `The plan names ${quoted(f.value)} in ${f.column}, which the design does not have; expected ${f.expected}.`,
  "resource-unread": (f) =>
    `The resource ${quoted(f.value)} has no kind, so its file is not read. If it holds data of the study, add "kind": one of ${f.expected}.`,
  "file-unread": () =>
    "This file is in the study folder, but the datapackage does not name it, so it is not read. Add it to resources, or let tautline map propose how to read it.",
  "files-other": (f) => `Other files in the folder, not read: ${f.value}.`,
  "no-trials": (f) => `No trials for ${f.value}, which the design has.`,
  "encoding-said": (f) =>
    `The file is not UTF-8; it was read as ${f.value}. Check accented letters.`,
  "unit-converted": (f) =>
    `Values in this column were converted from ${f.value} to ${f.expected}, as the datapackage says.`,
  "decimal-comma": () => "Numbers in this column were read with a decimal comma.",
  "column-unknown": (f) =>
    `The column ${quoted(f.value)} is not described in the datapackage; it was not read.`,
  "rows-empty": (f) => `${f.value} blank rows were skipped.`,
  "hidden-rows": (f) => `The sheet has hidden rows ${f.value}. They were read like the other rows.`,
  "merged-cells": (f) =>
    `The sheet has merged cells (${f.value}). Only the first cell of each carries its value; the others are empty.`,
  "sheet-chosen": (f) =>
    `The workbook has several sheets (${f.expected}); ${quoted(f.value)} was read. Name the right one in dialect.sheetName.`,
  "formula-cells": (f) => `${f.value} cells hold formulas; the values stored with them were read.`,
  "row-width": (f) => `The row has ${f.value}; the header has ${f.expected}.`,
  "value-needed": (f) => `${f.column} is empty, but ${f.expected} is needed.`,
  "cell-control": () => "The cell holds control characters. Type it again.",
  "cell-long": (f) => `The cell is too long: ${f.expected} are read.`,
  "cell-formula": (f) => `${quoted(f.value)} is a formula, which is not run. Put its value there.`,
  "quote-open": () =>
    "A quotation mark opens here and is never closed, so the rest of the row cannot be read.",
  "not-a-number": (f) =>
    `${quoted(f.value)} is not a number. ${upperFirst(f.expected)} is expected; a value not measured is left empty, with a status that gives the reason.`,
  "unit-in-cell": (f) =>
    `${quoted(f.value)} has a text behind its number. Write the number alone, or state in datapackage.json what the text means ("cellUnits" of the reading; tautline map proposes it).`,
  "not-whole": (f) => `${quoted(f.value)} is not a whole number.`,
  "dash-for-minus": (f) =>
    `${quoted(f.value)} begins with a dash. Is it a range, or a minus sign? Write it again.`,
  "not-a-date": (f) => `${quoted(f.value)} is not a date written as expected (${f.expected}).`,
  "not-a-time": (f) => `${quoted(f.value)} is not a clock time; expected ${f.expected}.`,
  "not-listed": (f) => `${quoted(f.value)}${inRows(f)} is not one of: ${f.expected}.${pasted(f)}`,
  "below-least": (f) => `${f.value} is too small; expected ${f.expected}.`,
  "above-most": (f) => `${f.value} is too large; expected ${f.expected}.`,
  "pattern-missed": (f) => `${quoted(f.value)} does not have the form ${f.expected}.`,
  "thousands-or-decimals": (f) =>
    `${quoted(f.value)} may mean thousands or decimals. Set decimalChar for this field in the datapackage.`,
  "unit-unknown": (f) =>
    `The unit ${quoted(f.value)}${inRows(f)} is not known here; expected ${f.expected}.${pasted(f)}`,
  "participant-unknown": (f) =>
    `${quoted(f.value)}${inRows(f)} is not in the participants file. Is the code mistyped?${pasted(f)}`,
  "participant-repeated": (f) =>
    `${quoted(f.value)} appears twice in the participants file. Only the first row is used.`,
  "arm-changed": (f) =>
    `The participant has a second row with another arm (${f.value}); expected ${f.expected}.`,
  "occasion-unknown": (f) =>
    `${quoted(f.value)}${inRows(f)} is not an occasion of the design (${f.expected}).${pasted(f)}`,
  "position-unknown": (f) =>
    `${quoted(f.value)}${inRows(f)} is not a ${f.column} of the design (${f.expected}).${pasted(f)}`,
  "arm-unknown": (f) =>
    `${quoted(f.value)}${inRows(f)} is not an arm of the design (${f.expected}).${pasted(f)}`,
  "trial-repeated": (f) =>
    `This trial is already in ${f.expected}, with ${f.value}. Which one is right?`,
  "set-aside-unmatched": (f) =>
    `This line sets aside ${f.value}, but no row of the data matches it.`,
  "set-aside-wrong": (f) =>
    `This line of the set-aside file cannot be followed: ${quoted(f.value)}, where ${f.expected} is expected.`,
  "rule-changed": (f) =>
    `The summary rule changes between visits (${f.value}). Use one rule for all visits: a change of rule looks like a change of strength.`,
  "device-changed": (f) =>
    `The device changed to ${f.value}; before it was ${f.expected}. Devices differ by up to 16 % on the same hand.`,
  "handle-changed": (f) =>
    `The handle setting changed to ${f.value} mm; before it was ${f.expected} mm.`,
  implausible: (f) => `${f.value} is outside what is plausible (${f.expected}). Is the unit right?`,
  "unit-mixed": (f) => `The file mixes units: ${f.value}. Each row is converted by its own unit.`,
  "unit-mix-up": (f) =>
    `${f.value} would be plausible if ${f.expected}. Nothing was converted: please check.`,
  "side-doubt": (f) => `${f.value}; expected ${f.expected}. Are the sides mixed up?`,
  "trial-order": (f) => `Trial ${f.value} was timed before trial ${f.expected}.`,
  "rest-short": (f) =>
    `Only ${f.value} s of rest since the last trial of this hand; planned are ${f.expected} s.`,
  "hands-not-alternated": (f) =>
    `${f.value} trials of one hand follow each other; the plan alternates the hands.`,
  "trials-few": (f) => `${f.value}; planned are ${f.expected}.`,
  "swings-few": (f) => `${f.value}; planned are ${f.expected}.`,
  "swings-planned-few": (f) =>
    `The design plans ${f.value} swings; the mean of fewer than ${f.expected} is not stable.`,
  "one-occasion": (f) => `${f.value} has trials at one visit only, so there is no change.`,
  "dates-out-of-order": (f) => `${f.value} is not after the earlier visit (${f.expected}).`,
  "date-in-future": (f) => `${f.value} lies in the future.`,
  "after-withdrawal": (f) =>
    `The trial is dated ${f.value}, after the participant left (${f.expected}).`,
  "calibration-off": (f) =>
    `${f.value}; ${f.expected} is accepted. Check the device before its readings are used.`,
  "calibration-applied": (f) =>
    `Readings of device ${f.value} were corrected by its calibration line (${f.expected}), as the plan says.`,
  "calibration-impossible": (f) =>
    `The plan requires correction by calibration, but device ${f.value} has ${f.expected}.`,
  "trial-outlying": (f) =>
    `${f.value} lies far from the person's other trials here (${f.expected}). It stays in; check the paper sheet.`,
  "cells-small": (f) => `${f.value}: people in so small a group can be recognised. ${f.expected}`,
};

/** The sentence of an issue; its place is given by file, row and column. */
export function messageOf(code: IssueCode, facts: IssueFacts): string {
  return sentences[code](facts);
}

/** Reasons for leaving a trial out that come from its status. */
export const statusReasons: Readonly<Record<string, string>> = {
  "pain-stop": "stopped for pain",
  refused: "not done: refused",
  device: "device fault",
};
