import {
  type Draft,
  labelOf,
  type Making,
  takeExtras,
  takePlace,
  takeVisit,
  wordsOfName,
} from "./drafts.js";
import type { TrialColumn } from "./table-roles.js";
import {
  numberNames,
  type Quantity,
  started,
  takeHand,
  takeNumber,
  takeStatus,
  takeUnit,
} from "./trial-facts.js";
import { visitsMeant } from "./visit-words.js";

/** Trials side by side: one draft for force and one for speed. */
export function wideDrafts(making: Making): Draft[] {
  const { roles } = making;
  const quantities = roles.wide.map(
    ({ facts }) =>
      facts.quantity ??
      quantityOf(making, facts.hand !== undefined || facts.position !== undefined),
  );
  return (["force", "speed"] as const).flatMap((quantity) => {
    const own = roles.wide.filter((_, i) => quantities[i] === quantity);
    return own.length === 0 ? [] : [wideDraft(making, quantity, own)];
  });
}

function quantityOf({ table, roles, decisions }: Making, handed: boolean): Quantity | undefined {
  if (handed || roles.of.has("hand") || roles.of.has("position")) return "force";
  if (roles.of.has("club")) return "speed";
  const words = wordsOfName(table);
  if (/grip|griff|kraft|prehension|fuerza|agarre|dynam|dinam/.test(words)) return "force";
  if (/swing|speed|chs|schwung|vitesse|velocidad|driver|club/.test(words)) return "speed";
  const answer = decisions.choose({
    key: `${labelOf(table)}: what is measured`,
    text: `What is measured in ${labelOf(table)}? Neither headings nor units say it.`,
    choices: ["force", "speed"],
  });
  return answer === "force" || answer === "speed" ? answer : undefined;
}

function wideDraft(making: Making, quantity: Quantity, columns: readonly TrialColumn[]): Draft {
  const draft = started(making, quantity);
  const number = numberNames[quantity];
  const meant = visitsOfHeadings(making, columns);
  const facts = columns.map(({ facts: one }): Record<string, string> => {
    const { hand, position, club, visit, trial } = one;
    const asTrial = visit !== undefined && !meant ? /\d+/.exec(visit)?.[0] : undefined;
    const visitId = visit === undefined ? undefined : meant?.[visit];
    const numbered = trial ?? (asTrial && String(Number(asTrial)));
    return {
      ...(visitId ? { occasion: visitId } : {}),
      ...(hand && quantity === "force" ? { hand } : {}),
      ...(position && quantity === "force" ? { position } : {}),
      ...(club && quantity === "speed" ? { club } : {}),
      ...(numbered ? { [number]: numbered } : {}),
    };
  });
  const alone = new Set(facts.map((one) => JSON.stringify(one))).size === facts.length;
  if (alone && facts.every((one) => !(number in one)) && !making.roles.of.has(number))
    for (const one of facts) one[number] = "1";
  for (const { column } of columns) draft.used.add(column);
  draft.reading.wide = {
    valueColumn: quantity,
    columns: Object.fromEntries(columns.map(({ column }, i) => [column.name, facts[i] ?? {}])),
  };
  takeVisit(draft, making);
  if (quantity === "force") takeHand(draft, making);
  takePlace(draft, making);
  takeNumber(draft, making, quantity);
  takeUnit(draft, making, { quantity, columns: columns.map(({ column }) => column) });
  takeStatus(draft, making);
  takeExtras(draft, making);
  return draft;
}

/** Which visits the headings mean; undefined when their counts number trials. */
function visitsOfHeadings(
  { design, roles, decisions, table }: Making,
  columns: readonly TrialColumn[],
): Readonly<Record<string, string>> | undefined {
  const codes = [...new Set(columns.flatMap(({ facts }) => facts.visit ?? []))];
  if (codes.length === 0) return undefined;
  const map = visitsMeant(codes, design);
  const counts = codes.every((code) => /^[a-z]+ ?\d+$/.test(code) && !/^w/.test(code));
  const numbered = columns.some(({ facts }) => facts.trial !== undefined);
  if (!counts || numbered) return map ?? asked(codes);
  if (roles.of.has("occasion")) return undefined;
  if (!map) return undefined;
  if (codes.length !== design.gripTrials && codes.length !== design.swings) return map;
  const answer = decisions.choose({
    key: `${labelOf(table)}: ${codes.join(", ")}`,
    text: `In the headings of ${labelOf(table)}, do ${codes.join(", ")} number visits or trials?`,
    choices: ["visits", "trials"],
  });
  return answer === "visits" ? map : undefined;

  function asked(list: readonly string[]): Record<string, string> {
    const pairs = list.flatMap((code) => {
      const id = decisions.choose({
        key: `${labelOf(table)}: visit ${code}`,
        text: `Which visit does "${code}" in the headings of ${labelOf(table)} mean?`,
        choices: design.occasions.map((one) => one.id),
      });
      return id === undefined ? [] : [[code, id] as const];
    });
    return Object.fromEntries(pairs);
  }
}
