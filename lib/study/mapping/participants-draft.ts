import { bodyUnit, medianOf, numberIn } from "./column-values.js";
import {
  codesMeant,
  type Draft,
  dataValues,
  emptyDraft,
  labelOf,
  type Making,
  take,
} from "./drafts.js";
import { type Concept, headingParts } from "./heading-words.js";
import { knownArms, matched } from "./name-match.js";
import { takeUnitInCells, usualUnit } from "./unit-cells.js";
import { meaningOf } from "./value-words.js";

/** The facts of the golfers, where a table has them. */
export function participantsDraft(making: Making): Draft | null {
  const { table, roles, decisions } = making;
  const id = roles.of.get("participant");
  if (!id) return null;
  const draft = emptyDraft(table, "participants");
  take(draft, id, "participant");
  takeArm(draft, making);
  const coded = (
    concept: Concept,
    ours: string,
    of: "sex" | "hand" | "yesNo",
    choices: string[],
  ) => {
    const column = roles.of.get(concept);
    if (!column) return;
    const map = meaningOf(dataValues(draft, column).values, of);
    const fits = map && Object.values(map).every((value) => choices.includes(value));
    codesMeant(
      { draft, column: dataValues(draft, column), ours, map: fits ? map : undefined },
      choices,
      decisions,
    );
  };
  coded("sex", "sex", "sex", ["female", "male"]);
  coded("plays", "plays", "hand", ["left", "right"]);
  coded("writes", "writes_with", "hand", ["left", "right", "both"]);
  coded("gym", "gym_training", "yesNo", ["yes", "no"]);
  const age = roles.of.get("age");
  if (age) take(draft, age, "age_years");
  const handicap = roles.of.get("handicap");
  if (handicap) take(draft, handicap, "handicap");
  for (const [concept, ours] of [
    ["height", "height_cm"],
    ["mass", "mass_kg"],
  ] as const)
    takeBody(draft, { concept, ours }, making);
  takePlays(draft, making);
  const golfers = new Set(dataValues(draft, id).values).size;
  if (table.rowCount > golfers) draft.reading.onePerGolfer = true;
  return draft;
}

function takeArm(draft: Draft, { roles, design, decisions, table }: Making): void {
  const ids = design.arms.map(({ id }) => id);
  const column = roles.of.get("arm");
  if (column) {
    const data = dataValues(draft, column);
    const map = matched(data.values, knownArms(design.arms));
    codesMeant({ draft, column: data, ours: "arm", map }, ids, decisions);
    return;
  }
  const only = ids.length === 1 ? ids[0] : undefined;
  const id =
    only ??
    decisions.choose({
      key: `${labelOf(table)}: arm`,
      text: `Which arm are the golfers of ${labelOf(table)} in? No column says it.`,
      choices: ids,
    });
  if (id !== undefined) draft.reading.constants.arm = id;
}

function takePlays(draft: Draft, { roles, decisions, table }: Making): void {
  if (roles.of.has("plays")) return;
  const answer = decisions.choose({
    key: `${labelOf(table)}: plays`,
    text: `Do all golfers of ${labelOf(table)} play right-sided or left-sided? No column says it; the writing hand does not.`,
    choices: ["right", "left"],
  });
  if (answer !== undefined) draft.reading.constants.plays = answer;
}

function takeBody(
  draft: Draft,
  { concept, ours }: { concept: "height" | "mass"; ours: "height_cm" | "mass_kg" },
  { roles, decisions, table }: Making,
): void {
  const column = roles.of.get(concept);
  if (!column) return;
  const given = headingParts(column.name).unit || usualUnit(column);
  const canonical = concept === "height" ? "cm" : "kg";
  const unit =
    bodyUnit(concept, given, medianOf(column.cells)) ??
    decisions.choose({
      key: `${labelOf(table)}: unit of ${concept}`,
      text: `In ${labelOf(table)}, which unit has the column "${column.name}" (such as ${column.values.find((value) => !Number.isNaN(numberIn(value)))})?`,
      choices: concept === "height" ? ["cm", "m", "in"] : ["kg", "lb"],
    });
  if (unit === undefined) return;
  take(draft, column, ours);
  if (unit !== canonical) draft.reading.units[ours] = unit;
  takeUnitInCells(draft.reading, column, { ours, unit });
}
