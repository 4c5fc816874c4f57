import type { ColumnTable } from "arquero";
import { itemAt, present } from "../../entry.js";
import { frozen } from "../../stats/estimate.js";
import type { Study } from "../study.js";
import { columnOf, valueAt } from "./columns.js";
import { hasColumn } from "./selection.js";
import { isNumber } from "./training.js";

/** How many people one arm had from enrolment to analysis. */
export interface ArmFlow {
  /** Title of the arm. */
  readonly title: string;
  /** People in the participants file. */
  readonly enrolled: number;
  /** Their codes, in the order of the file. */
  readonly participants: readonly string[];
  /** The visits in order; enrolled = people + missed + those who withdrew before the visit. */
  readonly seen: readonly SeenAtVisit[];
  /** People who withdrew, by the place in the course of the study and by reason. */
  readonly withdrew: readonly Withdrawal[];
  /** People with a usable trial on both visits that are compared. */
  readonly atBothVisits: number;
}

/** How many people of an arm one visit has. */
export interface SeenAtVisit {
  /** Title of the visit. */
  readonly occasion: string;
  /** People with at least one usable trial. */
  readonly people: number;
  /** People without one who had not withdrawn. */
  readonly missed: number;
}

/** People who withdrew for one reason between the same two visits. */
export interface Withdrawal {
  /** Reason as the participants file states it. */
  readonly reason: string;
  /** How many people. */
  readonly people: number;
  /** Title of the last visit before they left; left out where they left before the first one. */
  readonly after?: string;
  /** Title of the next visit; left out where they left after the last one. */
  readonly before?: string;
}

/** The way of the participants from enrolment to analysis, arm by arm. */
export interface PeopleFlow {
  /** Name of this record. */
  readonly kind: "peopleFlow";
  /** People of all arms in the participants file. */
  readonly enrolled: number;
  /** Titles of the visits compared: those of the plan, else the first and the last, each once. */
  readonly compared: readonly string[];
  /** The arms in the order of the design. */
  readonly arms: readonly ArmFlow[];
}

/** Who took part: the youngest and oldest, and how many of each sex and playing side. */
export interface WhoTookPart {
  /** Name of this record. */
  readonly kind: "whoTookPart";
  /** Youngest and oldest, years; left out where no age is recorded. */
  readonly ages?: { readonly least: number; readonly most: number };
  /** People of each sex. */
  readonly sex: readonly Count[];
  /** People of each playing side. */
  readonly plays: readonly Count[];
}

interface Count {
  readonly value: string;
  readonly people: number;
}

interface Person {
  readonly participant: string;
  readonly arm: string;
  readonly sex: string | null;
  readonly age_years: number | null;
  readonly plays: string | null;
  readonly withdrew_on: unknown;
  readonly withdrew_reason: string | null;
}

function peopleIn({ participants }: Study): Person[] {
  return participants.objects() as Person[];
}

/** Counts people by arm: enrolled, measured on each occasion, withdrawn when and why, compared. */
export function peopleFlow(study: Study): PeopleFlow {
  const visits = visitsOf(study);
  const compared = comparedVisits(study, visits);
  const people = peopleIn(study);
  const arms = study.design.arms.map(({ id, title }) => {
    const peopleInArm = people.filter(({ arm }) => arm === id);
    return armFlow(title, peopleInArm, visits, compared);
  });
  const titles = [...new Set(compared.map(({ title }) => title))];
  return frozen({ kind: "peopleFlow", enrolled: people.length, compared: titles, arms });
}

/** A visit of the design with everybody who has a usable trial on it, and its last day. */
interface Visit {
  readonly id: string;
  readonly title: string;
  readonly seen: ReadonlySet<string>;
  /** Last day on which anybody was measured, ISO; "" where no day is recorded. */
  readonly lastDay: string;
}

/** The visits in the order of their weeks. */
function visitsOf({ design, gripTrials, swingTrials }: Study): Visit[] {
  const tests = [gripTrials, swingTrials].flatMap(testsIn);
  return [...design.occasions]
    .sort((a, b) => a.week - b.week)
    .map(({ id, title }) => {
      const own = tests.filter(({ occasion }) => occasion === id);
      const lastDay = [...new Set(own.map(({ date }) => date))].sort().at(-1) ?? "";
      return { id, title, lastDay, seen: new Set(own.map(({ participant }) => participant)) };
    });
}

function comparedVisits({ plan }: Study, visits: readonly Visit[]): readonly Visit[] {
  const { before, after } = plan.primary ?? {};
  const planned = visits.filter(({ id }) => id === before || id === after);
  return planned.length > 0 ? planned : [itemAt(visits, 0), present(visits.at(-1))];
}

interface Test {
  readonly participant: string;
  readonly occasion: string;
  readonly date: string;
}

function testsIn(table: ColumnTable): Test[] {
  if (!hasColumn(table, "participant") || !hasColumn(table, "occasion")) return [];
  const participants = columnOf(table, "participant");
  const occasions = columnOf(table, "occasion");
  const dates = hasColumn(table, "date") ? columnOf(table, "date") : undefined;
  const tests: Test[] = [];
  table.scan((row) => {
    if (row === undefined) return;
    tests.push({
      participant: String(valueAt(participants, row)),
      occasion: String(valueAt(occasions, row)),
      date: String((dates && valueAt(dates, row)) ?? ""),
    });
  }, true);
  return tests;
}

function armFlow(
  title: string,
  people: readonly Person[],
  visits: readonly Visit[],
  compared: readonly Visit[],
): ArmFlow {
  const left = people.flatMap((person) => {
    const { participant, withdrew_on, withdrew_reason } = person;
    if (!withdrew_on && !withdrew_reason) return [];
    const place = placeOfLoss(person, visits);
    return [{ participant, place, reason: withdrew_reason || "no reason given" }];
  });
  const seen = visits.map(({ title, seen }, i) => {
    const gone = new Set(left.flatMap(({ participant, place }) => (place <= i ? participant : [])));
    const absent = people.filter(({ participant }) => !seen.has(participant));
    const missed = absent.filter(({ participant }) => !gone.has(participant)).length;
    return { occasion: title, people: people.length - absent.length, missed };
  });
  const titles = seen.map(({ occasion }) => occasion);
  return {
    title,
    enrolled: people.length,
    participants: people.map(({ participant }) => participant),
    seen,
    withdrew: [...titles, undefined].flatMap((_, i) => withdrawals(left, titles, i)),
    atBothVisits: people.filter(({ participant }) =>
      compared.every(({ seen }) => seen.has(participant)),
    ).length,
  };
}
/** Someone who left before the visit at `place`. */
interface Left {
  readonly participant: string;
  readonly place: number;
  readonly reason: string;
}

/**
 * The visit before which someone left: after the last one measured, and after every visit that was
 * over before the day of leaving, which was then missed and not lost.
 */
function placeOfLoss({ participant, withdrew_on }: Person, visits: readonly Visit[]): number {
  const last = visits.findLastIndex(({ seen }) => seen.has(participant)) + 1;
  if (typeof withdrew_on !== "string") return last;
  const over = visits.findIndex(({ lastDay }) => lastDay === "" || lastDay >= withdrew_on);
  return Math.max(last, over === -1 ? visits.length : over);
}

/** Who left before the visit at `place`, by reason. */
function withdrawals(
  left: readonly Left[],
  titles: readonly string[],
  place: number,
): Withdrawal[] {
  const [after, before] = [titles[place - 1], titles[place]];
  const here = left.filter((one) => one.place === place);
  return counted(here.map(({ reason }) => reason)).map(({ value, people }) => ({
    reason: value,
    people,
    ...(after !== undefined && { after }),
    ...(before !== undefined && { before }),
  }));
}

/** How often each value occurs, in the order of first occurrence; what is not known is not counted. */
function counted(values: readonly (string | null)[]): Count[] {
  const counts = new Map<string, number>();
  for (const value of values) if (value) counts.set(value, (counts.get(value) ?? 0) + 1);
  return [...counts].map(([value, people]) => ({ value, people }));
}

/** Ages, sexes and playing sides of everybody enrolled. */
export function whoTookPart(study: Study): WhoTookPart {
  const people = peopleIn(study);
  const ages = people.map(({ age_years }) => age_years).filter(isNumber);
  return frozen({
    kind: "whoTookPart",
    ...(ages.length > 0 ? { ages: { least: Math.min(...ages), most: Math.max(...ages) } } : {}),
    sex: counted(people.map(({ sex }) => sex)),
    plays: counted(people.map(({ plays }) => plays)),
  });
}

/** First and last day on which anything was measured. */
export function measuredDays({ gripTrials, swingTrials }: Study) {
  const days = [gripTrials, swingTrials].flatMap((table) =>
    hasColumn(table, "date") ? (table.array("date") as (string | null)[]) : [],
  );
  const known = days.filter((day) => typeof day === "string").sort();
  return known.length > 0 ? { first: itemAt(known, 0), last: present(known.at(-1)) } : undefined;
}
