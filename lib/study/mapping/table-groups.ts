import type { StudyDesign } from "../package/design.js";
import type { Decisions } from "./decisions.js";
import { labelOf, wordsOfName } from "./drafts.js";
import { knownClubs, knownPositions, namedIn } from "./name-match.js";
import type { RawColumn, RawTable } from "./raw-table.js";
import { type Roles, rolesOf } from "./table-roles.js";
import { withoutUnits } from "./unit-cells.js";
import { handIn, summaryRow } from "./value-words.js";
import { isVisitWord, visitsMeant } from "./visit-words.js";

/** Tables that are laid out alike: an export per visit, per tester or per golfer. */
export interface TableGroup {
  /** The tables. */
  readonly members: readonly RawTable[];
  /** All of them below one another. */
  readonly whole: RawTable;
  /** What the columns are. */
  readonly roles: Roles;
  /** Rows that hold no data: their column → the texts of them. */
  readonly leaveOut: Readonly<Record<string, string[]>>;
  /** Columns whose empty cells repeat the cell above. */
  readonly fillDown: readonly string[];
  /** For each table what its name says: golfer, visit, hand, position or club. */
  readonly facts: readonly Readonly<Record<string, string>>[];
}

/** Puts tables with the same headings together, without the rows that hold no data. */
export function groupsOf(
  tables: readonly RawTable[],
  { design, decisions }: { design: StudyDesign; decisions: Decisions },
): TableGroup[] {
  const alike = new Map<string, RawTable[]>();
  for (const table of tables) {
    const key = `${table.columns.map(({ name }) => name).join("\n")}\n${table.headerRows.join()}\n${table.delimiter}`;
    alike.set(key, [...(alike.get(key) ?? []), table]);
  }
  const groups = [...alike.values()].map((members) => cleanGroup(members, design));
  const unnamed = groups.flatMap(({ members, roles }) =>
    roles.of.has("occasion") || headingsHaveVisit(roles) ? [] : members,
  );
  const words = [...new Set(unnamed.flatMap(visitWordsIn))];
  const visits = visitsMeant(words, design) ?? {};
  return groups.map((group) => ({
    ...group,
    facts: group.members.map((member) => factsOfName(member, { group, design, visits, decisions })),
  }));
}

function headingsHaveVisit({ wide }: Roles): boolean {
  return (
    wide.length > 0 &&
    wide.every(({ facts }) => facts.visit !== undefined && facts.trial !== undefined)
  );
}

const visitPhrase =
  /(?<= |^)(?:(?:week|woche|semaine|semana|visit|visite|visita|session|seance|sesion|termin|w|wk|t|v|s|mzp) ?\d{1,2}|pre ?test|post ?test|pre|post|baseline|before|after|mid|vorher|nachher|vortest|nachtest|vor|nach|avant|apres|antes|despues|follow up|fu)(?= |$)/g;

function visitWordsIn(table: RawTable): string[] {
  return (wordsOfName(table).match(visitPhrase) ?? []).filter(isVisitWord);
}

/** The tables of a group below one another, cleaned of lines that hold no data. */
function cleanGroup(members: readonly RawTable[], design: StudyDesign): Omit<TableGroup, "facts"> {
  const [first] = members;
  if (!first) throw new RangeError("no table in the group");
  const joined = first.columns.map(({ name }, c) =>
    columnFrom(
      name,
      members.flatMap((member) => member.columns[c]?.cells ?? []),
    ),
  );
  const fillDown = mergedColumns(joined);
  const { kept, leaveOut } = withoutSummaries(joined);
  const columns = kept
    .map((column) => (fillDown.includes(column.name) ? filled(column) : column))
    .map(withoutUnits);
  const rowCount = columns[0]?.cells.length ?? 0;
  const whole = { ...first, columns, rowCount };
  return { members, whole, roles: rolesOf(whole, design), leaveOut, fillDown };
}

function columnFrom(name: string, cells: readonly string[]): RawColumn {
  return { name, cells, values: [...new Set(cells)].filter((cell) => cell !== "") };
}

/** Lines such as "Mean" or "Exported on …": few cells, and a word for them where a code belongs. */
function withoutSummaries(columns: readonly RawColumn[]): {
  kept: RawColumn[];
  leaveOut: Record<string, string[]>;
} {
  const leaveOut: Record<string, string[]> = {};
  const count = columns[0]?.cells.length ?? 0;
  const out = new Set<number>();
  for (let i = 0; i < count; i++) {
    const row = columns.map(({ cells }) => cells[i] ?? "");
    const at = row.findIndex((cell) => cell !== "");
    const filledCells = row.filter((cell) => cell !== "").length;
    const cell = row[at] ?? "";
    const isSummary = summaryRow.test(cell) && filledCells < columns.length;
    const isRemark =
      filledCells === 1 && columns.length > 2 && i > count - 6 && at === 0 && /[\s:]/.test(cell);
    const name = columns[at]?.name;
    if ((!isSummary && !isRemark) || name === undefined) continue;
    leaveOut[name] = [...new Set([...(leaveOut[name] ?? []), cell])];
    out.add(i);
  }
  if (out.size === 0) return { kept: [...columns], leaveOut };
  return {
    kept: columns.map(({ name, cells }) =>
      columnFrom(
        name,
        cells.filter((_, i) => !out.has(i)),
      ),
    ),
    leaveOut,
  };
}

/** Columns whose cells were merged downwards: filled at the start of each block, empty below. */
function mergedColumns(columns: readonly RawColumn[]): string[] {
  const leading = columns.slice(0, 5);
  const others = columns.slice(1);
  return leading
    .filter(({ cells }) => {
      if (cells.length < 4 || cells[0] === "") return false;
      const empty = cells.filter(
        (cell, i) => cell === "" && others.some((column) => column.cells[i] !== ""),
      ).length;
      const filledCells = cells.filter((cell) => cell !== "").length;
      return empty >= 0.5 * cells.length && filledCells >= 2 && filledCells < cells.length;
    })
    .filter(({ name }) => !/note|comment|bemerk|remar|observ|status/i.test(name))
    .map(({ name }) => name);
}

function filled({ name, cells }: RawColumn): RawColumn {
  let above = "";
  return columnFrom(
    name,
    cells.map((cell) => {
      if (cell !== "") above = cell;
      return above;
    }),
  );
}

interface NameContext {
  readonly group: Omit<TableGroup, "facts">;
  readonly design: StudyDesign;
  readonly visits: Readonly<Record<string, string>>;
  readonly decisions: Decisions;
}

/** What the name of a file or sheet says of all of its rows. */
function factsOfName(
  table: RawTable,
  { group, design, visits, decisions }: NameContext,
): Record<string, string> {
  const { roles, members } = group;
  const wide = roles.wide.map(({ facts }) => facts);
  const isTrials =
    wide.length > 0 || roles.of.has("force") || roles.of.has("speed") || roles.of.has("value");
  if (!isTrials) return {};
  const words = wordsOfName(table);
  const visit = visitWordsIn(table)
    .map((word) => visits[word])
    .find((id) => id !== undefined);
  const position = namedIn(words, knownPositions(design.positions))?.id;
  const club = namedIn(words, knownClubs(design.clubs))?.id;
  const hand = handIn(words)?.hand;
  const says = (
    concept: "occasion" | "hand" | "position" | "club",
    fact: "visit" | "hand" | "position" | "club",
  ) => roles.of.has(concept) || (wide.length > 0 && wide.every((one) => one[fact] !== undefined));
  const asked = (): string | undefined => {
    if (members.length === 1 || design.occasions.length === 1 || says("occasion", "visit"))
      return undefined;
    if (sheetOrFileIsGolfer(group)) return undefined;
    return decisions.choose({
      key: `${labelOf(table)}: visit`,
      text: `Which visit is ${labelOf(table)}? Neither a column nor its name says it.`,
      choices: design.occasions.map(({ id }) => id),
    });
  };
  const occasion = says("occasion", "visit") ? undefined : (visit ?? asked());
  return {
    ...(occasion ? { occasion } : {}),
    ...(hand && !says("hand", "hand") ? { hand } : {}),
    ...(position && !says("position", "position") ? { position } : {}),
    ...(club && !says("club", "club") ? { club } : {}),
  };
}

/** Files alike without a column for the golfer: one file, or one sheet, per golfer. */
export function sheetOrFileIsGolfer({ members, roles }: Omit<TableGroup, "facts">): boolean {
  return members.length > 1 && !roles.of.has("participant");
}
