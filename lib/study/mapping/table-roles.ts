import type { StudyDesign } from "../package/design.js";
import { forceUnit, holdsDates, isNumeric, speedUnit } from "./column-values.js";
import {
  factsOf,
  type HeadingContext,
  type HeadingFacts,
  isOfPerson,
  lettersIn,
} from "./heading-facts.js";
import { type Concept, conceptOf, plainHeading } from "./heading-words.js";
import { knownClubs, knownPositions, matched } from "./name-match.js";
import type { RawColumn, RawTable } from "./raw-table.js";
import { usualUnit } from "./unit-cells.js";
import { letterSystem, meaningOf } from "./value-words.js";
import { isVisitWord } from "./visit-words.js";

/** A column of trials standing side by side with others. */
export interface TrialColumn {
  /** The column. */
  readonly column: RawColumn;
  /** What its heading says. */
  readonly facts: HeadingFacts;
}

/** What the columns of a table are. */
export interface Roles {
  /** The first column of each concept. */
  readonly of: ReadonlyMap<Concept, RawColumn>;
  /** Columns of trials, where they stand side by side. */
  readonly wide: readonly TrialColumn[];
  /** Columns of means, maxima and the like. */
  readonly summaries: readonly TrialColumn[];
}

/** Finds what each column of a table is, by its heading and by what stands in it. */
export function rolesOf(table: RawTable, design: StudyDesign): Roles {
  const context: HeadingContext = {
    positions: knownPositions(design.positions),
    clubs: knownClubs(design.clubs),
    letters: letterSystem(lettersIn(table.columns.map(({ name }) => name))),
  };
  const numeric = table.columns
    .filter((column) => isNumeric(column) && !isOfPerson(column.name))
    .map((column) => ({ column, facts: withCellUnit(factsOf(column.name, context), column) }));
  const said = numeric.filter(({ facts }) => saysTrial(facts));
  const trials = said.filter(({ facts, column }) => !facts.summary && !isCount(column));
  const wide =
    trials.length >= 2 ? trials : trials.filter(({ facts }) => facts.trial || facts.hand);
  const isWide = wide.length >= 2 || (wide.length === 1 && !hasPlainValue(table));
  const summaries = numeric.filter(({ facts }) => facts.summary);
  const taken = new Set(isWide ? [...wide, ...summaries].map(({ column }) => column) : []);
  const of = new Map<Concept, RawColumn>();
  for (const column of table.columns) {
    if (column.values.length === 0 || taken.has(column)) continue;
    const concept = conceptByValues(column, design);
    if (concept !== undefined && !of.has(concept)) of.set(concept, column);
  }
  return { of, wide: isWide ? wide : [], summaries };
}

/** Where no heading says what is measured, a unit in the cells may. */
function withCellUnit(facts: HeadingFacts, column: RawColumn): HeadingFacts {
  const unit = usualUnit(column);
  if (facts.quantity || unit === "") return facts;
  const quantity =
    forceUnit(unit, Number.NaN) !== undefined
      ? ("force" as const)
      : speedUnit(unit, Number.NaN) !== undefined
        ? ("speed" as const)
        : undefined;
  return quantity ? { ...facts, quantity } : facts;
}

function saysTrial({ hand, position, club, visit, trial, quantity, rest }: HeadingFacts): boolean {
  if (rest !== "") return false;
  if (hand || position || visit) return true;
  return (
    (trial !== undefined || club !== undefined) && (quantity !== undefined || trial !== undefined)
  );
}

/** A column of small whole numbers whose heading has no number counts trials. */
function isCount({ name, values }: RawColumn): boolean {
  if (/\d/.test(name)) return false;
  return (
    ["trial", "swing", "occasion", "hand"].includes(conceptOf(name) ?? "") &&
    values.every((value) => /^\d{1,2}$/.test(value))
  );
}

function hasPlainValue(table: RawTable): boolean {
  return table.columns.some((column) => {
    const concept = conceptOf(column.name);
    return (
      isNumeric(column) &&
      (concept === "force" || concept === "speed") &&
      !/\d\s*$/.test(column.name)
    );
  });
}

/** The concept of a column, by its heading, unless what stands in it says otherwise. */
function conceptByValues(column: RawColumn, design: StudyDesign): Concept | undefined {
  const { name, values } = column;
  const concept = conceptOf(name);
  const isHand = () => values.length <= 4 && meaningOf(values, "hand") !== undefined;
  const isPosition = () => matched(values, knownPositions(design.positions)) !== undefined;
  const isVisit = () => values.length <= 12 && values.every(isVisitWord);
  const isKind = () => values.length <= 6 && values.every(isKindWord);
  switch (concept) {
    case "date":
      if (holdsDates(column)) return "date";
      return isVisit() ? "occasion" : undefined;
    case "time":
      if (values.every((value) => /^\d{1,2}:\d{2}(:\d{2})?$/.test(value))) return "time";
      return isVisit() ? "occasion" : undefined;
    case "arm":
      if (isHand()) return "hand";
      return isPosition() ? "position" : "arm";
    case "handle":
      return isNumeric(column) ? "handle" : isPosition() ? "position" : undefined;
    case "position":
      return isNumeric(column) ? undefined : isHand() && !isPosition() ? "hand" : "position";
    case "occasion":
      if (isKind()) return "kind";
      if (isPosition()) return "position";
      return holdsDates(column) ? "date" : "occasion";
    case "kind":
      if (isKind()) return "kind";
      return isPosition() ? "position" : undefined;
    case "hand":
      if (isPosition()) return "position";
      return "hand";
    case "force":
    case "speed":
    case "value":
      if (isNumeric(column)) return concept;
      if (isHand()) return "hand";
      return undefined;
    case "age":
    case "height":
    case "mass":
    case "handicap":
    case "minutes":
      return isNumeric(column) ? concept : undefined;
    case "swing":
    case "trial":
      return values.every((value) => /\d/.test(value)) ? concept : undefined;
    case undefined:
      if (holdsDates(column)) return "date";
      if (isPosition() && values.length > 1) return "position";
      if (isHand() && values.length > 1) return "hand";
      if (matched(values, knownClubs(design.clubs)) && values.length > 0) return "club";
      return isVisit() && values.length > 1 ? "occasion" : undefined;
    default:
      return concept;
  }
}

const gripWords =
  /^(?:grip|grip strength|hand ?grip|handgrip strength|griffkraft|handkraft|force|prehension|fuerza|fuerza de agarre|strength|dynamometer|force de prehension)$/;
const speedWords =
  /^(?:speed|swing|swings|swing speed|chs|club ?head speed|clubhead speed|driver|schlagerkopfgeschwindigkeit|schwung|vitesse|velocidad)$/;

/** Whether a value names a kind of test. */
function isKindWord(value: string): boolean {
  return kindOfWord(value) !== undefined;
}

/** The kind of test that a value names. */
export function kindOfWord(value: string): "force" | "speed" | undefined {
  const plain = plainHeading(value);
  if (gripWords.test(plain)) return "force";
  return speedWords.test(plain) ? "speed" : undefined;
}
