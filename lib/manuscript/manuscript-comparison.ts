import { withUnit } from "../show/wording.js";
import type { ComparedNumber } from "./compared-number.js";
import type { Draft } from "./draft.js";
import { drawingHash, figureStamp } from "./figure-stamp.js";
import { lostNumbers } from "./lost-tags.js";
import { bareProbability, numberKey, type RecordedNumber, tagVersion } from "./number-tag.js";
import { changedPlainNumbers } from "./plain-numbers.js";
import { recordedNumbers } from "./recorded-numbers.js";
import type {
  ReturnedControl,
  ReturnedPicture,
  ReturnedText,
  ReturnedUnit,
} from "./returned-text.js";
import { type ManuscriptFacts, sameResultKey } from "./study-facts.js";
import { numbersTypedByHand, type TypedByHand } from "./typed-by-hand.js";
import { numbersIn, sameNumber, type WrittenNumber } from "./written-number.js";

/** A tagged number whose text a revision can replace. */
export interface Outdated {
  /** The control that the number stands in. */
  readonly control: ReturnedControl;
  /** What the record says. */
  readonly recorded: string;
}

/** How one picture stands to the record. */
export interface ComparedFigure {
  /** The recorded figure, an earlier drawing of it, or a picture that the record does not have. */
  readonly state: "recorded" | "earlier" | "not recorded";
  /** Id of the figure, or its name in the document. */
  readonly id: string;
  /** Where it stands, in words. */
  readonly place: string;
}

/** A returned manuscript beside the record. */
export interface ManuscriptComparison {
  /** Name of this record. */
  readonly kind: "manuscriptComparison";
  /** Every number of the record that the manuscript quotes. */
  readonly numbers: readonly ComparedNumber[];
  /** Every picture. */
  readonly figures: readonly ComparedFigure[];
  /** Planned findings that appear nowhere. */
  readonly missing: readonly { readonly id: string; readonly title: string }[];
  /** Numbers with units that an author typed; they are listed and do not count as wrong. */
  readonly typedByHand: readonly TypedByHand[];
  /** Versions that tags name and the record does not have. */
  readonly unknownVersions: readonly { readonly notebook: string; readonly version: string }[];
  /** Tagged numbers that a revision can replace. */
  readonly outdated: readonly Outdated[];
  /** Whether there is nothing to correct. */
  readonly agrees: boolean;
}

/** Words about a number, as parts of tags. */
const wordParts = new Set([
  ...["above", "below", "includes"],
  ...["supported", "contradicted", "not-settled"],
]);

/**
 * Compares a returned manuscript with the record: each tagged number, each number that lost its tag,
 * each picture, and whether every planned finding appears. Words are the author's own and are not
 * compared; a tagged statement is compared by the state that its tag carries.
 * @param draft the manuscript as it would be written now, for numbers that lost their tags
 */
export function compareManuscript(
  facts: ManuscriptFacts,
  draft: Draft,
  text: ReturnedText,
): ManuscriptComparison {
  const recorded = recordedNumbers(facts);
  const tagged = text.units.flatMap((unit) => taggedNumbers(unit, recorded, facts));
  const keys = tagged.map(({ control }) => numberKey(control.tag));
  const untagged = lostNumbers(draft, text.units, keys);
  const plain = changedPlainNumbers(draft, text.units);
  const numbers = [...tagged.map(({ compared }) => compared), ...untagged, ...plain];
  const figures = text.pictures.map((picture) => comparedFigure(picture, facts));
  const typed = numbersTypedByHand(facts, draft, text.units).filter(
    ({ place, inText }) =>
      ![...untagged, ...plain].some((one) => one.place === place && inText.includes(one.inText)),
  );
  const sources = typed.flatMap((one) => one.sources);
  const stated = new Set(
    [...numbers, ...sources].flatMap(({ id, part }) => (part === "value" ? [id] : [])),
  );
  const missing = missingResults(facts, stated);
  const unknown = unknownVersions(facts, tagged);
  const agrees =
    numbers.every(({ state }) => state === "agrees") &&
    figures.every(({ state }) => state === "recorded") &&
    missing.length === 0 &&
    unknown.length === 0;
  return {
    kind: "manuscriptComparison",
    numbers,
    figures,
    missing,
    typedByHand: typed,
    unknownVersions: unknown,
    outdated: tagged.flatMap(outdatedOf),
    agrees,
  };
}

/** Planned results that are stated in none of the places where the study shows them. */
function missingResults(facts: ManuscriptFacts, inText: ReadonlySet<string>) {
  const all = facts.questions.flatMap(({ results }) => results);
  const stated = new Set(all.filter(({ id }) => inText.has(id)).map(sameResultKey));
  return all
    .filter(({ planned, value }) => planned && value !== undefined)
    .filter((result) => !stated.has(sameResultKey(result)))
    .map(({ id, title }) => ({ id, title }));
}

interface Tagged {
  readonly control: ReturnedControl;
  readonly number: RecordedNumber | undefined;
  readonly compared: ComparedNumber;
}

function outdatedOf({ control, number, compared }: Tagged): Outdated[] {
  if (compared.state !== "differs" || number === undefined || number.isWord) return [];
  return [{ control, recorded: writtenAs(compared.inText, number) }];
}

/** The recorded number in the form of the manuscript: a column of p values says "p" in its head. */
function writtenAs(inText: string, { text }: RecordedNumber): string {
  return /p/i.test(inText) ? text : bareProbability(text);
}

/** Where each control stands in the text of its unit, in characters. */
function spansOf(unit: ReturnedUnit): { control: ReturnedControl; start: number; end: number }[] {
  const spans: { control: ReturnedControl; start: number; end: number }[] = [];
  let at = 0;
  for (const { text, control } of unit.pieces) {
    const last = spans.at(-1);
    if (control && last?.control.element === control.element) last.end = at + text.length;
    else if (control) spans.push({ control, start: at, end: at + text.length });
    at += text.length;
  }
  return spans;
}

/** The text of a unit as a reader sees it. */
function unitText({ pieces }: ReturnedUnit): string {
  return pieces.map(({ text }) => text).join("");
}

function taggedNumbers(
  unit: ReturnedUnit,
  recorded: ReadonlyMap<string, RecordedNumber>,
  facts: ManuscriptFacts,
): Tagged[] {
  const whole = unitText(unit);
  const written = numbersIn(whole);
  return spansOf(unit).map(({ control, start, end }) => {
    const { tag } = control;
    const number = recorded.get(numberKey(tag));
    const inside = written.filter((one) => one.start < end && one.end > start);
    const inText = textOfControl(whole, inside, start, end);
    const { id, part } = number ?? tag;
    const common = { isUntagged: false, id, part, place: unit.place, inText };
    if (wordParts.has(tag.part)) {
      const state = number ? "agrees" : "differs";
      const now = number ? inText : stateNow(facts, tag.id);
      return { control, number, compared: { ...common, state, recorded: now } };
    }
    if (number === undefined) {
      return { control, number, compared: { ...common, state: "unknown", recorded: "" } };
    }
    const other = otherUnit(whole.slice(Math.max(end, inside.at(-1)?.end ?? end)), number.unit);
    const same = other === undefined && sameNumber(inText, number.text);
    const compared: ComparedNumber = {
      ...common,
      state: same ? "agrees" : "differs",
      inText: other === undefined ? inText : withUnit(inText, other),
      recorded:
        other === undefined ? writtenAs(inText, number) : withUnit(number.text, number.unit),
    };
    return { control, number, compared };
  });
}

/** The text of a control, with digits that somebody typed against it from outside. */
function textOfControl(
  whole: string,
  inside: readonly WrittenNumber[],
  start: number,
  end: number,
): string {
  const from = Math.min(start, inside[0]?.start ?? start);
  const to = Math.max(end, inside.at(-1)?.end ?? end);
  return whole.slice(from, to).trim();
}

/** Units that a number may be followed by, so that a changed unit is noticed. */
const unitAhead =
  /^[\s\u00a0\u202f]?(kgf|N|lbf|mph per kgf|mph|m\/s|km\/h|kg|lb|%)(?![\p{L}\p{N}/])/u;

/** A unit behind the number that is not the recorded one; undefined where there is none. */
function otherUnit(behind: string, unit: string): string | undefined {
  const found = unitAhead.exec(behind)?.[1];
  if (found === undefined || unit === "" || unit.startsWith(found)) return undefined;
  return unitAhead.test(unit) ? found : undefined;
}

/** What the record says now about a claim, or about the side of zero. */
function stateNow({ questions }: ManuscriptFacts, id: string): string {
  for (const { claims, results } of questions) {
    const claim = claims.find((one) => one.id === id);
    if (claim) return claim.support;
    const result = results.find((one) => one.id === id);
    if (result?.low === undefined || result.high === undefined) continue;
    if (result.low > 0) return "the interval lies above zero";
    return result.high < 0 ? "the interval lies below zero" : "the interval includes zero";
  }
  return "the record has no such finding";
}

function comparedFigure(
  { bytes, name, place }: ReturnedPicture,
  { study, questions }: ManuscriptFacts,
): ComparedFigure {
  const stamp = bytes && figureStamp(bytes);
  if (stamp?.study !== study.name) return { state: "not recorded", id: name, place };
  const recorded = questions.flatMap(({ figures }) => figures.filter(({ id }) => id === stamp.id));
  if (recorded.length === 0) return { state: "not recorded", id: stamp.id, place };
  const isSame = recorded.some(({ svg }) => drawingHash(svg) === stamp.drawing);
  return { state: isSame ? "recorded" : "earlier", id: stamp.id, place };
}

/** Versions in tags that the notebook of the finding never had. */
function unknownVersions(
  { questions }: ManuscriptFacts,
  tagged: readonly Tagged[],
): ManuscriptComparison["unknownVersions"] {
  const found = new Map<string, { notebook: string; version: string }>();
  for (const { control, compared } of tagged) {
    const { version } = control.tag;
    const question = questions.find(
      ({ results, claims }) =>
        results.some(({ id }) => id === compared.id) || claims.some(({ id }) => id === compared.id),
    );
    if (!question || question.versions.some((known) => tagVersion(known) === version)) continue;
    found.set(`${question.notebook} ${version}`, { notebook: question.notebook, version });
  }
  return [...found.values()];
}
