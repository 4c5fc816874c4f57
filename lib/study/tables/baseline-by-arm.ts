import { itemAt } from "../../entry.js";
import { meanAndSd } from "../../stats/describe.js";
import { frozen } from "../../stats/estimate.js";
import type { Study } from "../study.js";
import { measuresOf } from "./measures.js";
import { isNumber } from "./training.js";

/** What one arm has in one row: mean and spread of a quantity, or a number of golfers. */
export type BaselineCell =
  | { readonly mean: number; readonly sd: number | null; readonly n: number }
  | { readonly count: number }
  | null;

/** One row of the baseline table, arm beside arm. */
export interface BaselineRow {
  /** What is described. */
  readonly label: string;
  /** Unit of mean and standard deviation; "" for a number of golfers. */
  readonly unit: string;
  /** One cell per arm; null where the arm has no value. */
  readonly cells: readonly BaselineCell[];
}

/** The golfers at the first visit, arm beside arm. */
export interface BaselineByArm {
  /** Name of this record. */
  readonly kind: "baselineByArm";
  /** Titles of the arms, in the order of the cells. */
  readonly arms: readonly string[];
  /** The rows. */
  readonly rows: readonly BaselineRow[];
}

type Person = Readonly<Record<string, unknown>>;

const quantities: readonly { column: string; label: string; unit: string }[] = [
  { column: "age_years", label: "Age", unit: "years" },
  { column: "height_cm", label: "Height", unit: "cm" },
  { column: "mass_kg", label: "Body mass", unit: "kg" },
  { column: "handicap", label: "Handicap index", unit: "" },
];

const groups: readonly { column: string; label: string }[] = [
  { column: "sex", label: "Sex" },
  { column: "plays", label: "Playing side" },
  { column: "writes_with", label: "Writing hand" },
  { column: "gym_training", label: "Strength training outside the study" },
];

/**
 * Describes the golfers of each arm at the first visit: mean, standard deviation and n of age, height,
 * body mass, handicap and of every outcome by the rules of the plan; numbers of golfers by sex, playing
 * side, writing hand and training. A row that no arm has is left out.
 */
export function baselineByArm(study: Study): BaselineByArm {
  const { arms } = study.design;
  const people = study.participants.objects() as Person[];
  const inArm = (rows: readonly Person[]) =>
    arms.map(({ id }) => rows.filter(({ arm }) => arm === id));
  const byArm = inArm(people);
  const first = itemAt(
    [...study.design.occasions].sort((a, b) => a.week - b.week),
    0,
  ).id;
  const rows = [
    ...quantities.map(({ column, label, unit }) => quantityRow(label, unit, column, byArm)),
    ...groups.flatMap(({ column, label }) => groupRows(label, column, byArm)),
    ...measuresOf(study).map(({ name, unit, value, where, summary }) => {
      const own = (summary.objects() as Person[]).filter(
        (row) =>
          row.occasion === first && Object.entries(where).every(([key, is]) => row[key] === is),
      );
      return quantityRow(name, unit, value, inArm(own));
    }),
  ];
  return frozen({
    kind: "baselineByArm",
    arms: arms.map(({ title }) => title),
    rows: rows.filter(({ cells }) => cells.some((cell) => cell !== null)),
  });
}

function quantityRow(
  label: string,
  unit: string,
  column: string,
  byArm: readonly (readonly Person[])[],
): BaselineRow {
  const cells = byArm.map((rows): BaselineCell => {
    const values = Float64Array.from(rows.map((row) => row[column]).filter(isNumber));
    if (values.length === 0) return null;
    const { mean, sd } = meanAndSd(values);
    return { mean, sd: values.length > 1 ? sd : null, n: values.length };
  });
  return { label, unit, cells };
}

function groupRows(
  label: string,
  column: string,
  byArm: readonly (readonly Person[])[],
): BaselineRow[] {
  const said = byArm.flat().flatMap((row) => {
    const value = row[column];
    return typeof value === "string" && value !== "" ? [value] : [];
  });
  return [...new Set(said)].sort().map((value) => ({
    label: `${label}: ${value}`,
    unit: "",
    cells: byArm.map((rows) => ({ count: rows.filter((row) => row[column] === value).length })),
  }));
}
