import { forceUnit, speedUnit } from "./column-values.js";
import {
  type Draft,
  labelOf,
  type Making,
  take,
  takeExtras,
  takePlace,
  takeVisit,
  wordsOfName,
} from "./drafts.js";
import { headingParts } from "./heading-words.js";
import type { RawColumn } from "./raw-table.js";
import { kindOfWord } from "./table-roles.js";
import {
  type Quantity,
  started,
  takeHand,
  takeNumber,
  takeStatus,
  takeUnit,
} from "./trial-facts.js";
import { usualUnit } from "./unit-cells.js";
import { wideDrafts } from "./wide-drafts.js";

/** The grip trials and the swings of a table. */
export function trialDrafts(making: Making): Draft[] {
  const { roles } = making;
  if (roles.wide.length > 0) return wideDrafts(making);
  const kind = roles.of.get("kind");
  const value = roles.of.get("value") ?? roles.of.get("force") ?? roles.of.get("speed");
  if (kind && value) return mixedDrafts(making, kind, value);
  return (["force", "speed"] as const).flatMap((quantity) => {
    const column = roles.of.get(quantity) ?? valueFor(making, quantity);
    return column ? [longDraft(making, quantity, column)] : [];
  });
}

/** A column called "value" or "result": of swings beside a club, of squeezes beside a hand. */
function valueFor({ roles, table }: Making, quantity: Quantity): RawColumn | undefined {
  const value = roles.of.get("value");
  if (!value || roles.of.has("force") || roles.of.has("speed")) return undefined;
  const unit = headingParts(value.name).unit || usualUnit(value);
  if (forceUnit(unit, 0) !== undefined) return quantity === "force" ? value : undefined;
  if (speedUnit(unit, 0) !== undefined) return quantity === "speed" ? value : undefined;
  const words = wordsOfName(table);
  const ofSpeed =
    roles.of.has("club") ||
    roles.of.has("swing") ||
    /swing|speed|chs|schwung|vitesse|velocidad/.test(words);
  const ofForce = roles.of.has("hand") || /grip|griff|kraft|prehension|fuerza|agarre/.test(words);
  if (ofSpeed === ofForce) return undefined;
  return (quantity === "speed") === ofSpeed ? value : undefined;
}

/** One file with squeezes and swings below one another, distinguished by a column. */
function mixedDrafts(making: Making, kind: RawColumn, value: RawColumn): Draft[] {
  return (["force", "speed"] as const).flatMap((quantity) => {
    const words = kind.values.filter((word) => kindOfWord(word) === quantity);
    if (words.length === 0) return [];
    const kept = making.table.columns.map((column) => rowsWith(column, kind, words));
    const table = { ...making.table, columns: kept };
    const of = new Map(
      [...making.roles.of].map(([concept, column]) => [concept, rowsWith(column, kind, words)]),
    );
    const part = { ...making, table, roles: { ...making.roles, of } };
    const draft = longDraft(part, quantity, rowsWith(value, kind, words));
    draft.reading.only[kind.name] = words;
    draft.used.add(kind);
    for (const column of making.table.columns)
      if ([...draft.used].some(({ name }) => name === column.name)) draft.used.add(column);
    return [draft];
  });
}

function rowsWith(column: RawColumn, kind: RawColumn, words: readonly string[]): RawColumn {
  const own = (_: string, i: number) => words.includes(kind.cells[i] ?? "");
  const cells = column.cells.filter(own);
  const units = column.units ? { units: column.units.filter(own) } : {};
  return { ...column, cells, ...units, values: [...new Set(cells)].filter((cell) => cell !== "") };
}

function longDraft(making: Making, quantity: Quantity, column: RawColumn): Draft {
  const { table, roles, decisions } = making;
  const draft = started(making, quantity);
  take(draft, column, quantity);
  takeVisit(draft, making);
  if (quantity === "force") takeHand(draft, making);
  takePlace(draft, making);
  takeNumber(draft, making, quantity);
  takeUnit(draft, making, { quantity, columns: [column] });
  takeStatus(draft, making);
  takeExtras(draft, making);
  if (
    /max|best|mean|mittel|moyen|media|promedio|mejor|meilleur/.test(
      headingParts(column.name).words,
    ) &&
    !roles.of.has("trial")
  )
    askSummary(draft, column.name, decisions, labelOf(table));
  return draft;
}

function askSummary(
  draft: Draft,
  name: string,
  decisions: Making["decisions"],
  label: string,
): void {
  const answer = decisions.choose({
    key: `${label}: ${name}`,
    text: `"${name}" in ${label} looks like a mean or a maximum of several trials. Is each value read as one trial?`,
    choices: ["read as one trial", "leave unread"],
  });
  if (answer !== "leave unread") return;
  draft.reading.ignore.push(name);
}
