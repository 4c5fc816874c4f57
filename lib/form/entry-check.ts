import { csvText } from "../csv-writing.js";
import { medianInPlace } from "../num/median.js";
import type { Issue, IssueCode } from "../study/check/issue.js";
import { readStudy } from "../study/open.js";
import { columnsOf } from "../study/plan/sheets.js";
import { checkedDescriptor, type FormContent, type FormRow } from "./form-content.js";
import type { TestTask } from "./test-steps.js";
import { isSamePlace } from "./test-steps.js";

/** Something that a tester is asked before a trial is stored. */
export interface EntryQuestion {
  /** Kind of the question: the code of the check, or a rule of the form. */
  readonly code: IssueCode | "far-from-others" | "rising";
  /** The question, as a reader sees it. */
  readonly text: string;
  /** True when the row cannot be read as it is: it must be typed again. */
  readonly mustChange: boolean;
}

/** A trial to be checked, and the rows before it. */
export interface Candidate {
  /** File of the trial. */
  readonly file: "grip-trials" | "swing-trials";
  /** The row as it would be stored. */
  readonly row: FormRow;
  /** Rows of the golfer already stored, of this and of earlier visits, by file. */
  readonly before: Readonly<Record<"grip-trials" | "swing-trials", readonly FormRow[]>>;
}

/** Issues that say nothing about the trial just done: counts, and what can only be seen at the end. */
const atTheEnd = new Set<IssueCode>([
  "trials-few",
  "swings-few",
  "one-occasion",
  "cells-small",
  "unit-mixed",
  "dates-out-of-order",
  "hands-not-alternated",
  "rest-short",
]);

/**
 * What a tester is asked about a trial before it is stored. The rows of this golfer and the new one
 * are read as a study by the same code that checks the study's files; the questions are the issues
 * that the new row adds.
 */
export function questionsAbout(content: FormContent, candidate: Candidate): EntryQuestion[] {
  const { file, row, before } = candidate;
  const without = issuesOf(content, row, before);
  const known = new Set(without.map(nameOf));
  const rows = { ...before, [file]: [...before[file], row] };
  const found = issuesOf(content, row, rows)
    .filter((issue) => !atTheEnd.has(issue.code) && !known.has(nameOf(issue)))
    .filter((issue) => issue.severity === "ask" || issue.severity === "error");
  const asked = found.map(({ code, severity, message }) => ({
    code,
    text: message,
    mustChange: severity === "error",
  }));
  if (asked.length > 0 || file === "swing-trials") return asked;
  return farFromOthers(candidate);
}

function nameOf({ file, row, code, column }: Issue): string {
  return `${file} ${row} ${column} ${code}`;
}

function issuesOf(
  content: FormContent,
  { participant = "" }: FormRow,
  rows: Candidate["before"],
): readonly Issue[] {
  const plays = content.people.find((person) => person.participant === participant)?.plays;
  // The arm is not in the form, so that a tester stays blind; any arm of the design serves here.
  const arm = content.design.arms[0]?.id ?? "";
  const texts = new Map([
    ["datapackage.json", checkedDescriptor(content)],
    [
      "participants.csv",
      csvText(["participant", "arm", "plays"], [{ participant, arm, plays: plays ?? "right" }]),
    ],
    ...(["grip-trials", "swing-trials"] as const).map((file): [string, string] => [
      `${file}.csv`,
      csvText(columnsOf(file), rows[file]),
    ]),
  ]);
  const encoder = new TextEncoder();
  const files = new Map([...texts].map(([path, text]) => [path, encoder.encode(text)]));
  return readStudy({ name: content.study, files, faults: [] }).issues;
}

/**
 * With fewer than five trials the rule for outlying trials does not apply yet, so a squeeze that is
 * more than 20 % and 3 kgf from the median of the others of its hand and position is asked about.
 * Common practice, no source.
 */
const far = { share: 0.2, least: { kgf: 3, N: 29.4, lbf: 6.6 } as Record<string, number> } as const;

function farFromOthers({ row, before }: Candidate): EntryQuestion[] {
  const others = before["grip-trials"]
    .filter((other) => isSamePlace(other, row) && other.unit === row.unit)
    .filter(({ status, force }) => status === "valid" && force !== "")
    .map(({ force }) => Number(force));
  const value = Number(row.force);
  if (others.length === 0 || row.status !== "valid" || row.force === "") return [];
  const center = medianInPlace(Float64Array.from(others));
  const distance = Math.abs(value - center);
  if (distance <= far.share * center || distance <= (far.least[row.unit ?? ""] ?? 3)) return [];
  const text = `${row.force} ${row.unit} is far from the other ${
    others.length === 1 ? "trial" : `${others.length} trials`
  } of this hand and position (median ${Number(center.toFixed(1))} ${row.unit}). Repeat the trial, or keep the value?`;
  return [{ code: "far-from-others", text, mustChange: false }];
}

/**
 * Whether the last planned squeeze is the highest by more than 5 %: strength was still rising, and
 * one more trial is offered, at most two. Common practice, no source.
 */
export function isRising(
  task: TestTask,
  done: readonly FormRow[],
  { planned }: { readonly planned: number },
): boolean {
  const values = done
    .filter((row) => isSamePlace(row, task.row) && row.status === "valid" && row.force !== "")
    .map(({ force }) => Number(force));
  const last = values.at(-1);
  if (last === undefined || values.length < Math.max(2, planned)) return false;
  if (values.length >= planned + 2) return false;
  return last > 1.05 * Math.max(...values.slice(0, -1));
}
