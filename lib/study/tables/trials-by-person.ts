import { itemAt } from "../../entry.js";
import { InputError } from "../../errors.js";
import { knownOptions } from "../../options.js";
import { frozen } from "../../stats/estimate.js";
import type { Study } from "../study.js";
import { columnOf, valueAt } from "./columns.js";
import type { Missing } from "./missing.js";
import { hasColumn, matching, textColumn, type Where } from "./selection.js";

/** Options of `trialsByPerson`: which series of trials. */
export interface TrialsOptions {
  /** Grip trials or swings. */
  readonly trials: "grip" | "swing";
  /** Leaves one series of trials a person, such as {occasion: "w0", hand: "lead", position: "address"}. */
  readonly where: Where;
  /** Trials in a series; the number the design plans unless given. */
  readonly count?: number;
}

/** Repeated trials as a table: one row per person, one column per trial, in the order of the trials. */
export interface TrialsByPerson {
  /** Name of this record. */
  readonly kind: "trialsByPerson";
  /** People with the whole series. */
  readonly n: number;
  /** Unit of the values. */
  readonly unit: "kgf" | "m/s";
  /** Code of each person, in the order of the rows. */
  readonly participant: readonly string[];
  /** One row per person, one value per trial in its order, in `unit`. */
  readonly table: readonly (readonly number[])[];
  /** People without the whole series, and how many valid trials they have. */
  readonly missing: readonly Missing[];
}

/**
 * The trials of one series as people × trials, for reliability and agreement. Only people whose
 * series is whole are in it; the others stand in `missing`.
 * @param study from `openStudy`
 * @returns table in kgf (grip) or m/s (swings)
 * @throws InputError when `where` leaves two trials of one number for a person, or a column is unknown
 */
export function trialsByPerson(study: Study, options: TrialsOptions): TrialsByPerson {
  knownOptions(options, ["trials", "where", "count"], "trialsByPerson");
  const { trials, where, count } = options;
  const isGrip = trials === "grip";
  const source = isGrip ? study.gripTrials : study.swingTrials;
  const planned = count ?? (isGrip ? study.design.gripTrials : study.design.swings);
  const chosen = matching(source, where, "trialsByPerson");
  const value = columnOf(chosen, isGrip ? "force_kgf" : "speed_mps");
  const number = columnOf(chosen, isGrip ? "trial" : "swing");
  const person = columnOf(chosen, "participant");
  const series = new Map<string, number[]>();
  for (let row = 0; row < chosen.totalRows(); row++) {
    const id = String(valueAt(person, row));
    const trials = series.get(id) ?? [];
    series.set(id, trials);
    const place = Number(valueAt(number, row)) - 1;
    if (trials[place] !== undefined) refuseTwo(id, place + 1);
    trials[place] = Number(valueAt(value, row));
  }
  const people = textColumn(study.participants, "participant");
  const arms = textColumn(study.participants, "arm");
  const valid = (id: string) =>
    Array.from({ length: planned }, (_, i) => series.get(id)?.[i]).filter((x) => x !== undefined);
  const whole = people.filter((id) => valid(id).length === planned);
  const missing = people.flatMap((participant, i) => {
    const found = valid(participant).length;
    const reason = `${found} of ${planned} trials valid`;
    return found === planned ? [] : [{ participant, arm: itemAt(arms, i), reason }];
  });
  return frozen({
    kind: "trialsByPerson",
    n: whole.length,
    unit: isGrip ? "kgf" : "m/s",
    participant: whole,
    table: whole.map(valid),
    missing,
  });
}

function refuseTwo(id: string, number: number): never {
  throw new InputError({
    expected: "one trial of each number per person; choose occasion, hand, position or club",
    got: `more than one trial ${number} for ${id}`,
    where: "trialsByPerson, where",
  });
}

/**
 * One column of the participants file for a list of participants, in the order of the list; a
 * cell that is empty is null.
 * @throws InputError when the column or a participant does not exist
 */
export function participantColumn(
  study: Study,
  participants: readonly string[],
  column: string,
): (string | number | null)[] {
  const table = study.participants;
  if (!hasColumn(table, column)) {
    throw new InputError({
      expected: `one of the columns ${table.columnNames().join(", ")}`,
      got: JSON.stringify(column) ?? "nothing",
      where: "participantColumn, column",
    });
  }
  const places = new Map(textColumn(table, "participant").map((id, row) => [id, row]));
  const values = columnOf(table, column);
  return participants.map((id) => {
    const row = places.get(id);
    if (row === undefined) {
      throw new InputError({
        expected: "participants of the study",
        got: JSON.stringify(id) ?? "nothing",
        where: "participantColumn, participants",
      });
    }
    const value = valueAt(values, row);
    const missing = value === undefined || value === null || Number.isNaN(value);
    return missing ? null : (value as string | number);
  });
}
