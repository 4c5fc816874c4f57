import { itemAt, present, wholeAt } from "../../entry.js";
import type { IssueLog } from "./issue-log.js";
import type { People } from "./people.js";
import type { Rows, RowsPart } from "./rows.js";
import { partAt, rowPlace, textAt } from "./rows.js";
import type { Trials } from "./trials.js";

/** A file of more lines than this does not name single trials. */
const mostLines = 2_000;

/** One line of the set-aside file: the trials it names and the reason. */
interface SetAsideLine {
  readonly trials: Trials;
  /** Resource or file that the line names. */
  readonly file: string;
  readonly person: number;
  readonly occasion: string;
  /** 0 lead, 1 trail, −1 either. */
  readonly hand: number;
  /** Position or club, empty for any. */
  readonly place: string;
  /** A trial's number, "all", or "row 17" for a row of the file. */
  readonly number: string;
  readonly reason: string;
}

/** The study that the lines speak of. */
export interface SetAsideStudy {
  /** The participants. */
  readonly people: People;
  /** Ids of the occasions. */
  readonly occasions: readonly string[];
  /** Grip trials and swings. */
  readonly trials: readonly Trials[];
}

/** Leaves out the trials that the set-aside file names, each with the reason given there. */
export function applySetAsides(rows: Rows, study: SetAsideStudy, log: IssueLog): void {
  const index = new Map(study.trials.map((trials) => [trials, indexed(trials, rows, study)]));
  const done = new Set<string>();
  for (let i = 0; i < rows.rowCount; i++) {
    if (!rows.fates.used(i)) continue;
    if (done.size >= mostLines) {
      reportWrong(
        rows,
        i,
        { column: "file", value: "one line more", expected: `${mostLines} lines` },
        log,
      );
      continue;
    }
    const line = lineOf(rows, i, study, log);
    if (!line) continue;
    const { trials, reason, ...key } = line;
    const text = JSON.stringify([trials.rows.kind, key]);
    if (done.has(text)) continue;
    done.add(text);
    follow(rows, i, line, { index: present(index.get(trials)), study }, log);
  }
}

interface Wrong {
  readonly column: string;
  readonly value: string;
  readonly expected: string;
}

function reportWrong(rows: Rows, index: number, wrong: Wrong, log: IssueLog): void {
  log.add({ ...rowPlace(rows, index), code: "set-aside-wrong", ...wrong });
  rows.fates.leaveOut(index, "line cannot be followed", "error");
}

function lineOf(
  rows: Rows,
  i: number,
  { people, trials }: SetAsideStudy,
  log: IssueLog,
): SetAsideLine | null {
  const text = (name: string) => textAt(rows, name, i) ?? "";
  const file = text("file");
  const meant = trials.find(({ rows }) => file === rows.kind || partsNamed(rows, file).length > 0);
  const files = trials.map(({ rows: { kind } }) => kind).join(" or ");
  if (!meant) {
    reportWrong(rows, i, { column: "file", value: file, expected: files }, log);
    return null;
  }
  const person = people.placeOf.get(text("participant"));
  if (person === undefined) {
    const wrong = {
      column: "participant",
      value: text("participant"),
      expected: "a participant of the study",
    };
    reportWrong(rows, i, wrong, log);
    return null;
  }
  const hand = handOf(text("hand"), people.plays[person]);
  const number = text("number");
  if (hand === null || !/^(all|row [1-9]\d{0,8}|[1-9]\d{0,4})$/.test(number)) {
    const wrong =
      hand === null
        ? { column: "hand", value: text("hand"), expected: "left, right, lead, trail or nothing" }
        : { column: "number", value: number, expected: "a number, all, or a row such as: row 17" };
    reportWrong(rows, i, wrong, log);
    return null;
  }
  const place = text(meant.kind.placeName);
  const reason = text("reason");
  return { trials: meant, file, person, occasion: text("occasion"), hand, place, number, reason };
}

/** The files that a line means by a resource's name or a path. */
function partsNamed({ parts }: Rows, file: string): RowsPart[] {
  return parts.filter(
    (part) => file === part.file || file === part.resource.path || file === part.resource.name,
  );
}

/** 0 lead, 1 trail, −1 either, null when the text is no hand. */
function handOf(text: string, plays: string | null | undefined): number | null {
  if (text === "") return -1;
  if (text === "lead") return 0;
  if (text === "trail") return 1;
  if (text !== "left" && text !== "right") return null;
  return (text === "left") === (plays === "right") ? 0 : 1;
}

/** Rows of the people whom some line names, by person. */
function indexed(trials: Trials, rows: Rows, { people }: SetAsideStudy): Map<number, number[]> {
  const wanted = new Map<number, number[]>();
  for (const id of rows.columns.get("participant")?.values ?? []) {
    const person = people.placeOf.get(id as string);
    if (person !== undefined) wanted.set(person, []);
  }
  for (let i = 0; i < trials.person.length; i++) wanted.get(wholeAt(trials.person, i))?.push(i);
  return wanted;
}

function follow(
  rows: Rows,
  at: number,
  line: SetAsideLine,
  { index, study }: { index: Map<number, number[]>; study: SetAsideStudy },
  log: IssueLog,
): void {
  const { trials, person, reason } = line;
  const matches = matcher(line, study.occasions);
  const found = (index.get(person) ?? []).filter(matches);
  for (const i of found) trials.rows.fates.leaveOut(i, reason, "set-aside");
  if (found.length > 0) return;
  const where = { ...rowPlace(rows, at), column: "number" };
  const value = [codeOf(study, person), line.occasion, line.place, line.number]
    .filter((part) => part !== "")
    .join(", ");
  log.add({ ...where, code: "set-aside-unmatched", value });
  rows.fates.leaveOut(at, "no trial matches", "error");
}

function codeOf({ people: { ids } }: SetAsideStudy, person: number): string {
  return itemAt(ids, person);
}

function matcher(
  { trials, file, occasion, hand, place, number }: SetAsideLine,
  occasions: readonly string[],
): (i: number) => boolean {
  const wanted = occasions.indexOf(occasion);
  const placeWanted = trials.places.indexOf(place);
  const row = number.startsWith("row ") ? Number(number.slice(4)) : 0;
  const parts = partsNamed(trials.rows, file);
  const trial = number === "all" || row > 0 ? -1 : Number(number);
  return (i) =>
    trials.occasion[i] === wanted &&
    (hand < 0 || trials.hand[i] === hand) &&
    (place === "" || trials.place[i] === placeWanted) &&
    (row === 0 || rowPlace(trials.rows, i).row === row) &&
    (file === trials.rows.kind || parts.includes(partAt(trials.rows, i))) &&
    (trial < 0 || trials.number[i] === trial);
}
