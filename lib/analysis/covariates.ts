import { present } from "../entry.js";
import type { TermColumn } from "../stats/terms.js";
import type { Study } from "../study/study.js";
import { participantColumn } from "../study/tables/trials-by-person.js";

const words: Readonly<Record<string, string>> = {
  age_years: "age",
  mass_kg: "body mass",
  height_cm: "height",
  plays: "playing side",
  writes_with: "writing hand",
  gym_training: "gym training",
};

/** A column of the participants file as a reader calls it: "mass_kg" is body mass. */
export function covariateName(column: string): string {
  return words[column] ?? column.replaceAll("_", " ");
}

/** Covariates of some golfers, and which of them have every one. */
export interface Covariates {
  /** Columns by name, of the golfers who have every covariate, in the order given. */
  readonly terms: Readonly<Record<string, TermColumn>>;
  /** Places of those golfers in the list given. */
  readonly places: readonly number[];
  /** One sentence where golfers lack a covariate; empty otherwise. */
  readonly warnings: readonly string[];
}

/**
 * The covariates of some golfers: columns of the participants file, or "arm".
 * @throws InputError when the participants file has no such column
 */
export function covariatesOf(
  study: Study,
  participants: readonly string[],
  names: readonly string[],
): Covariates {
  const columns = names.map((name) => participantColumn(study, participants, name));
  const places = participants
    .map((_, place) => place)
    .filter((place) => columns.every((values) => values[place] !== null));
  const terms = Object.fromEntries(
    names.map((name, i) => [name, termOf(places.map((place) => present(columns[i]?.[place])))]),
  );
  const lacking = participants.length - places.length;
  const covariates = names.map(covariateName).join(" or ");
  return {
    terms,
    places,
    warnings:
      lacking === 0
        ? []
        : [`${lacking} of ${participants.length} golfers have no recorded ${covariates}.`],
  };
}

function termOf(values: readonly (string | number)[]): TermColumn {
  const numbers = values.filter((value) => typeof value === "number");
  return numbers.length === values.length ? numbers : values.map(String);
}
