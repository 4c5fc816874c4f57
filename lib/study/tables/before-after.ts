import type { ColumnTable } from "arquero";
import { itemAt, present } from "../../entry.js";
import { InputError } from "../../errors.js";
import { knownOptions } from "../../options.js";
import { frozen } from "../../stats/estimate.js";
import type { Study } from "../study.js";
import { type Missing, missingFrom } from "./missing.js";
import { hasColumn, matching, textColumn, type Where } from "./selection.js";

/** Options of `beforeAfter`: the two occasions, and which value. */
export interface BeforeAfterOptions {
  /** The summary's value column; the first of grip_kgf, speed_mph when left out. */
  readonly value?: string;
  /** Ids of the two occasions. */
  readonly before: string;
  /** Id of the second occasion. */
  readonly after: string;
  /** Leaves one row per person and occasion, such as {hand: "lead", position: "address"}. */
  readonly where?: Where;
}

/** Plain columns of the people measured on both occasions, in the order of the participants file. */
export interface BeforeAfter {
  /** Name of this record. */
  readonly kind: "beforeAfter";
  /** Column of the summary that was taken. */
  readonly value: string;
  /** Unit of the values. */
  readonly unit: string;
  /** Summary rule of the values. */
  readonly rule: string;
  /** Ids of the two occasions. */
  readonly occasions: { readonly before: string; readonly after: string };
  /** Which rows of the summary were taken. */
  readonly where: Where;
  /** People measured on both occasions. */
  readonly n: number;
  /** Code of each person. */
  readonly participant: readonly string[];
  /** Id of each person's arm. */
  readonly arm: readonly string[];
  /** Value of each person on the first occasion, in `unit`. */
  readonly before: readonly number[];
  /** Value of each person on the second occasion, in `unit`. */
  readonly after: readonly number[];
  /** People without one of the two values, and why. */
  readonly missing: readonly Missing[];
}

const units: Readonly<Record<string, string>> = {
  grip_kgf: "kgf",
  speed_mps: "m/s",
  speed_mph: "mph",
};

/**
 * Takes two occasions of a summary as plain columns, one place per person, and says who is missing
 * and why.
 * @param study from `openStudy`; it knows who left and which trials were set aside
 * @param summary from `summariseGrip` or `summariseSpeed`
 * @param options value: column; before, after: occasion ids; where: which hand, position or club
 * @returns participant, arm, before and after of equal length (in `unit`), and `missing`
 * @throws InputError when an occasion or column is unknown, or a person has more than one row left
 * @example beforeAfter(openStudy("coach-nine"), summariseSpeed(openStudy("coach-nine"), { rule: "mean" }), { before: "before", after: "after" }).n // 9
 */
export function beforeAfter(
  study: Study,
  summary: ColumnTable,
  options: BeforeAfterOptions,
): BeforeAfter {
  knownOptions(options, ["value", "before", "after", "where"], "beforeAfter");
  const { before, after, where = {} } = options;
  const value =
    options.value ?? (["grip_kgf", "speed_mph"].find((name) => hasColumn(summary, name)) || "");
  for (const occasion of [before, after]) checkOccasion(study, occasion);
  const chosen = matching(summary, where, "beforeAfter");
  const first = byPerson(chosen, value, before);
  const second = byPerson(chosen, value, after);
  const people = textColumn(study.participants, "participant");
  const arms = textColumn(study.participants, "arm");
  const complete = people.map((id, i) => ({ id, arm: itemAt(arms, i) }));
  const pairs = complete.filter(({ id }) => first.has(id) && second.has(id));
  const missing = missingFrom(study, {
    occasions: [before, after],
    has: (id, occasion) => (occasion === before ? first : second).has(id),
    trials: value.startsWith("speed") ? "swing" : "grip",
    where,
  });
  return frozen({
    kind: "beforeAfter",
    value,
    unit: units[value] ?? "",
    rule:
      summary.totalRows() > 0 && hasColumn(summary, "rule") ? String(summary.get("rule", 0)) : "",
    occasions: { before, after },
    where,
    n: pairs.length,
    participant: pairs.map(({ id }) => id),
    arm: pairs.map(({ arm }) => arm),
    before: pairs.map(({ id }) => present(first.get(id))),
    after: pairs.map(({ id }) => present(second.get(id))),
    missing,
  });
}

function checkOccasion(study: Study, occasion: string): void {
  const known = study.design.occasions.map(({ id }) => id);
  if (known.includes(occasion)) return;
  throw new InputError({
    expected: `an occasion of the design (${known.join(", ")})`,
    got: JSON.stringify(occasion) ?? "nothing",
    where: "beforeAfter",
  });
}

function byPerson(summary: ColumnTable, value: string, occasion: string): Map<string, number> {
  if (!hasColumn(summary, value))
    throw new InputError({
      expected: `a value column among ${summary.columnNames().join(", ")}`,
      got: JSON.stringify(value),
      where: "beforeAfter, value",
    });
  const found = new Map<string, number>();
  for (let row = 0; row < summary.totalRows(); row++) {
    if (summary.get("occasion", row) !== occasion) continue;
    const id = String(summary.get("participant", row));
    if (found.has(id))
      throw new InputError({
        expected: "one row per person and occasion; choose in `where` a hand, position or club",
        got: `more than one for ${id}`,
        where: "beforeAfter",
      });
    found.set(id, Number(summary.get(value, row)));
  }
  return found;
}
