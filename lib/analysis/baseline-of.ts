import { describe } from "../stats/describe.js";
import type { Arm } from "../study/package/design.js";
import type { Study } from "../study/study.js";
import { participantColumn } from "../study/tables/trials-by-person.js";
import { decimalText } from "./decimal-text.js";
import type { Outcome } from "./outcome.js";
import { column, type ResultRow, type ResultTable, resultTable } from "./result-table.js";

const quantities = [
  { name: "age_years", title: "Age, years" },
  { name: "height_cm", title: "Height, cm" },
  { name: "mass_kg", title: "Body mass, kg" },
  { name: "handicap", title: "Handicap" },
] as const;

const kinds = [
  { name: "sex", title: "Sex" },
  { name: "plays", title: "Plays" },
  { name: "gym_training", title: "Gym training" },
] as const;

/**
 * Who the golfers are, arm by arm: every golfer who was allocated, also those who left. Numbers are
 * mean (SD), labels counts; missing values are named. There are no p values: a difference between
 * arms drawn at random is chance.
 * @param study from `openStudy`
 * @param outcomes outcomes whose first value is described too, such as `study.primary`
 * @returns one row per characteristic, one column per arm
 * @see Moher et al. (2010) BMJ 340:c869, item 15, on tests of baseline differences
 * @example baselineOf(openStudy("winter-block")).rows[0].grip // "13"
 */
export function baselineOf(study: Study, ...outcomes: readonly Outcome[]): ResultTable {
  const { arms } = study.design;
  const everybody = study.participants.objects();
  const people = new Map(
    arms.map(({ id }) => [
      id,
      everybody.flatMap((row) => (row.arm === id ? [String(row.participant)] : [])),
    ]),
  );
  const of = (arm: Arm) => people.get(arm.id) ?? [];
  const row = (title: string, cell: (members: readonly string[]) => string): ResultRow => ({
    characteristic: title,
    ...Object.fromEntries(arms.map((arm) => [arm.id, cell(of(arm))])),
  });
  const has = (name: string) => study.participants.columnNames().includes(name);
  return resultTable(
    "The golfers at the start, by arm: counts, or mean (standard deviation).",
    [column("characteristic", "Characteristic"), ...arms.map(({ id, title }) => column(id, title))],
    [
      row("Golfers", (members) => String(members.length)),
      ...quantities
        .filter(({ name }) => has(name))
        .map(({ name, title }) => row(title, (members) => meanText(cells(study, members, name)))),
      ...kinds
        .filter(({ name }) => has(name))
        .map(({ name, title }) => row(title, (members) => countText(cells(study, members, name)))),
      ...outcomes.map((outcome) =>
        row(`${outcome.measure.name}, ${outcome.unit}`, (members) => firstText(outcome, members)),
      ),
    ],
  );
}

function cells(study: Study, members: readonly string[], name: string) {
  return participantColumn(study, members, name);
}

function meanText(values: readonly (string | number | null)[]): string {
  const numbers = values.filter((value) => typeof value === "number");
  const missing = values.length - numbers.length;
  const beside = missing > 0 ? `; ${missing} missing` : "";
  if (numbers.length < 2) return `${numbers[0] ?? "–"}${beside}`;
  const { mean, sd } = describe(numbers);
  return `${decimalText(mean, 1)} (${sd.toFixed(1)})${beside}`;
}

function countText(values: readonly (string | number | null)[]): string {
  const counts = new Map<string, number>();
  for (const value of values) {
    const label = value === null || value === "" ? "missing" : String(value);
    counts.set(label, (counts.get(label) ?? 0) + 1);
  }
  const parts = [...counts].sort(([a], [b]) => (a < b ? -1 : 1));
  return parts.map(([label, n]) => `${label} ${n}`).join(", ") || "–";
}

/** The values of an outcome at the plan's first visit. */
function firstText(outcome: Outcome, members: readonly string[]): string {
  const { plan, design } = outcome.study;
  const first = plan.primary?.before ?? design.occasions[0]?.id;
  const values = members.map((participant) => {
    const found = outcome.rows.find(
      (row) => row.participant === participant && row.occasion === first,
    );
    return found?.value ?? null;
  });
  return meanText(values);
}
