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
  /** People with at least one usable trial, occasion by occasion. */
  readonly seen: readonly { readonly occasion: string; readonly people: number }[];
  /** People who left, by reason. */
  readonly withdrew: readonly { readonly reason: string; readonly people: number }[];
  /** People with a usable first and last occasion. */
  readonly analysed: number;
}

/** The way of the participants from enrolment to analysis, arm by arm. */
export interface PeopleFlow {
  /** Name of this record. */
  readonly kind: "peopleFlow";
  /** People of all arms in the participants file. */
  readonly enrolled: number;
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

/** Counts people by arm: enrolled, measured on each occasion, withdrawn and why, analysed. */
export function peopleFlow(study: Study): PeopleFlow {
  const seen = seenBy(study);
  const people = peopleIn(study);
  const arms = study.design.arms.map(({ id, title }) => {
    const peopleInArm = people.filter(({ arm }) => arm === id);
    return armFlow(study, title, peopleInArm, seen);
  });
  return frozen({ kind: "peopleFlow", enrolled: people.length, arms });
}

/** Who has at least one trial in use, occasion by occasion. */
function seenBy({ gripTrials, swingTrials }: Study): Map<string, Set<string>> {
  const seen = new Map<string, Set<string>>();
  for (const table of [gripTrials, swingTrials]) {
    for (const { participant, occasion } of visitsIn(table)) {
      const people = seen.get(occasion) ?? new Set();
      seen.set(occasion, people.add(participant));
    }
  }
  return seen;
}

function visitsIn(table: ColumnTable): { participant: string; occasion: string }[] {
  if (!hasColumn(table, "participant") || !hasColumn(table, "occasion")) return [];
  const participants = columnOf(table, "participant");
  const occasions = columnOf(table, "occasion");
  const visits: { participant: string; occasion: string }[] = [];
  table.scan((row) => {
    if (row === undefined) return;
    const [participant, occasion] = [valueAt(participants, row), valueAt(occasions, row)];
    visits.push({ participant: String(participant), occasion: String(occasion) });
  }, true);
  return visits;
}

function armFlow(
  { design }: Study,
  title: string,
  people: readonly Person[],
  seen: ReadonlyMap<string, ReadonlySet<string>>,
): ArmFlow {
  const occasions = [...design.occasions].sort((a, b) => a.week - b.week);
  const at = (occasion: string) =>
    people.filter(({ participant }) => seen.get(occasion)?.has(participant));
  const last = new Set(at(present(occasions.at(-1)).id));
  const left = people.filter(({ withdrew_on, withdrew_reason }) => withdrew_on || withdrew_reason);
  const reasons = left.map(({ withdrew_reason }) => withdrew_reason || "no reason given");
  return {
    title,
    enrolled: people.length,
    seen: occasions.map(({ id, title }) => ({ occasion: title, people: at(id).length })),
    withdrew: counted(reasons).map(({ value, people }) => ({ reason: value, people })),
    analysed: at(itemAt(occasions, 0).id).filter((person) => last.has(person)).length,
  };
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
