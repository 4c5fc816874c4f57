import * as v from "valibot";
import { countedNouns } from "./answer-words.js";
import { type Claim, claimRelations } from "./claim-record.js";
import type { Figure } from "./figure-record.js";
import type { Finding, RecordedFinding, UnansweredFinding } from "./finding-record.js";
import {
  type Control,
  type Exercise,
  type Learner,
  type Practice,
  practiceSets,
  type Simulation,
} from "./lesson-outputs.js";
import type { Picture } from "./picture.js";
import {
  count,
  finite,
  identifier,
  numbers,
  schemaOf,
  sentence,
  text,
  texts,
  unit,
} from "./schema.js";
import type { Table, TableColumn } from "./table-record.js";
import type { Prose, Question, Terms } from "./word-outputs.js";

const left = v.exactOptional;

const source = v.object({
  files: texts,
  rowsUsed: count,
  setAside: v.array(v.object({ reason: text, rows: count }), "a list {reason, rows}"),
  participants: texts,
});

const leaveOneOut = v.object({
  leaving: v.optional(v.picklist(["person", "study"], '"person" or "study"')),
  low: finite,
  high: finite,
  changesConclusion: texts,
});

const countOf = schemaOf<Finding["count"]>()(
  v.strictObject({ n: count, of: v.picklist(countedNouns, `one of ${countedNouns.join(", ")}`) }),
);

const measure = v.strictObject({
  outcome: v.picklist(["grip", "speed"], '"grip" or "speed"'),
  name: text,
  hand: left(v.picklist(["lead", "trail"], '"lead" or "trail"')),
  position: left(text),
  club: left(text),
});
const visit = v.strictObject({ title: text, week: finite });
const quantities = ["change", "difference", "size", "relation", "share", "test"] as const;

/** What a number is about: the same fields with a number and without one. */
const subject = {
  kind: v.literal("finding"),
  id: identifier,
  title: text,
  quantity: left(v.picklist(quantities, `one of ${quantities.join(", ")}`)),
  measure: left(measure),
  on: left(measure),
  arms: left(v.strictObject({ first: text, second: left(text) })),
  visits: left(v.strictObject({ before: left(visit), at: visit })),
  adjustedFor: left(texts),
  unit,
  count: countOf,
  planned: left(v.boolean("true or false")),
  rule: left(text),
  method: text,
  sentence: text,
} as const;

const reference = v.object({
  name: text,
  value: finite,
  low: v.optional(finite),
  high: v.optional(finite),
});

const findingSchema = schemaOf<Finding>()(
  v.pipe(
    v.strictObject({
      ...subject,
      value: finite,
      low: left(finite),
      high: left(finite),
      level: left(finite),
      p: left(v.pipe(finite, v.minValue(0, "0 to 1"), v.maxValue(1, "0 to 1"))),
      tolerance: left(v.pipe(finite, v.minValue(0, "a tolerance of 0 or more"))),
      source: left(source),
      leaveOneOut: left(leaveOneOut),
      references: left(v.array(reference, "a list {name, value}")),
      warnings: left(texts),
    }),
    v.check(({ low, high }) => (low === undefined) === (high === undefined), "both limits or none"),
    v.check(({ low = 0, high = low }) => low <= high, "low no greater than high"),
    v.check(
      ({ level, low }) => level === undefined || (low !== undefined && level > 0 && level < 1),
      "a level between 0 and 1 with its limits",
    ),
  ),
);

const unansweredFindingSchema = schemaOf<UnansweredFinding>()(
  v.strictObject({ ...subject, unanswered: sentence }),
);

/** A finding with its number, or with the reason why there is none. */
export const recordedFindingSchema: v.GenericSchema<unknown, RecordedFinding> = v.lazy((output) =>
  output !== null && typeof output === "object" && "unanswered" in output
    ? unansweredFindingSchema
    : findingSchema,
);

/** What every version recorded of a finding; fields of earlier or later versions are left out. */
export type StatedFinding = Pick<Finding, "kind" | "id" | "value" | "low" | "high" | "sentence">;

/** A finding of an earlier revision, which another version of the library may have written. */
export const statedFindingSchema = schemaOf<StatedFinding>()(
  v.object({
    kind: v.literal("finding"),
    id: identifier,
    value: finite,
    low: left(finite),
    high: left(finite),
    sentence: text,
  }),
);

const support = v.picklist(
  ["supported", "contradicted", "not settled"],
  '"supported", "contradicted" or "not settled"',
);

/** A name begins with a letter, so that a number written as text is not taken for one. */
const referenceName = v.pipe(v.string(), v.regex(/^\p{L}/u));

export const claimSchema = schemaOf<Claim>()(
  v.strictObject({
    kind: v.literal("claim"),
    id: identifier,
    statement: sentence,
    finding: identifier,
    relation: v.picklist(claimRelations, `one of ${claimRelations.join(", ")}`),
    bound: v.union([finite, referenceName], "a number or the name of a reference value"),
    planned: left(v.boolean("true or false")),
    support,
    reason: left(sentence),
    strongest: text,
    method: text,
  }),
);

const plain = v.record(v.string(), v.unknown(), "a record");

export const figureSchema = schemaOf<Figure>()(
  v.strictObject({
    kind: v.literal("figure"),
    id: identifier,
    data: v.array(plain, "a list of traces"),
    layout: plain,
    caption: sentence,
    alt: sentence,
  }),
);

const column = schemaOf<TableColumn>()(
  v.object({
    name: text,
    label: text,
    unit: v.optional(text),
    digits: v.optional(count),
    means: v.optional(text),
  }),
);
const cell = v.union(
  [v.string(), finite, v.boolean(), v.null()],
  "a text, a finite number, true, false or null",
);
export const columns = v.pipe(
  v.array(column, "a list of columns"),
  v.minLength(1, "a list of columns"),
);
const rows = v.array(v.record(v.string(), cell, "a row"), "a list of rows");

export const tableSchema = schemaOf<Table>()(
  v.strictObject({ kind: v.literal("table"), id: identifier, rows, columns, caption: text }),
);

export const proseSchema = schemaOf<Prose>()(v.strictObject({ kind: v.literal("prose"), text }));

export const termsSchema = schemaOf<Terms>()(
  v.strictObject({
    kind: v.literal("terms"),
    terms: v.array(v.strictObject({ term: text, forms: texts, says: text }), "a list of terms"),
  }),
);

const tone = v.picklist(["lead", "trail", "speed", "control", "ink"], "a tone of the palette");
const flag = v.exactOptional(v.boolean("true or false"));
const axis = v.strictObject({ title: v.string(), low: finite, high: finite, numbered: flag });
const width = left(finite);

const layer = v.variant("kind", [
  v.strictObject({
    kind: v.literal("dots"),
    tone,
    x: numbers,
    y: numbers,
    radius: left(finite),
    hollow: flag,
    handles: left(
      v.array(
        v.strictObject({ label: text, mark: left(text), x: left(text), y: left(text) }),
        "a list {label, x, y}",
      ),
    ),
  }),
  v.strictObject({
    kind: v.literal("strokes"),
    tone,
    x: numbers,
    y: numbers,
    toX: numbers,
    toY: numbers,
    width,
    faint: flag,
  }),
  v.strictObject({ kind: v.literal("line"), tone, x: numbers, y: numbers, width, dashed: flag }),
  v.strictObject({ kind: v.literal("band"), tone, x: numbers, low: numbers, high: numbers }),
  v.strictObject({
    kind: v.literal("rule"),
    tone,
    axis: v.picklist(["x", "y"], '"x" or "y"'),
    value: finite,
    says: v.string(),
    dashed: flag,
  }),
  v.strictObject({ kind: v.literal("labels"), x: numbers, y: numbers, says: texts }),
]);

/** A value for each control of a simulation. */
const settings = v.record(
  v.string(),
  v.union([finite, v.string()], "a number or a text"),
  "settings",
);

const picture = schemaOf<Picture>()(
  v.strictObject({
    panels: v.array(
      v.strictObject({
        title: v.string(),
        x: axis,
        y: axis,
        sketch: flag,
        layers: v.array(layer, "a list of layers"),
      }),
      "a list of panels",
    ),
    height: finite,
  }),
);

export const questionSchema = schemaOf<Question>()(
  v.strictObject({
    kind: v.literal("question"),
    id: identifier,
    asks: text,
    options: v.pipe(
      v.array(v.strictObject({ says: text, reply: text }), "a list of options"),
      v.minLength(2, "at least two options"),
    ),
    unlocks: left(identifier),
    shows: left(settings),
    plays: left(identifier),
    picture: left(v.strictObject({ drawn: picture, alt: text })),
  }),
);

export const learnerSchema = schemaOf<Learner>()(
  v.strictObject({ kind: v.literal("learner"), code: text, language: text }),
);

const set = v.picklist(practiceSets, `one of ${practiceSets.join(", ")}`);

export const exerciseSchema = schemaOf<Exercise>()(
  v.strictObject({
    kind: v.literal("exercise"),
    id: identifier,
    prompt: text,
    set,
    learner: text,
    language: text,
    own: v.boolean("true or false"),
    unit,
    digits: count,
  }),
);

const namedNumbers = v.record(v.string(), finite, "numbers by name");

export const practiceSchema = schemaOf<Practice>()(
  v.strictObject({
    kind: v.literal("practice"),
    set,
    learner: text,
    columns: v.record(v.string(), numbers, "lists of numbers by name"),
    golfer: texts,
    grid: left(v.strictObject({ caption: text, values: numbers, digits: count })),
    given: namedNumbers,
    caption: text,
    table: v.strictObject({ columns, rows }),
  }),
);

const control = schemaOf<Control>()(
  v.variant("kind", [
    v.strictObject({
      kind: v.literal("number"),
      name: text,
      label: text,
      unit,
      low: finite,
      high: finite,
      step: finite,
      start: finite,
    }),
    v.strictObject({
      kind: v.literal("choice"),
      name: text,
      label: text,
      options: v.array(v.strictObject({ value: text, label: text }), "a list {value, label}"),
      start: text,
    }),
  ]),
);

export const simulationSchema = schemaOf<Simulation>()(
  v.strictObject({
    kind: v.literal("simulation"),
    id: identifier,
    model: text,
    caption: sentence,
    controls: v.array(control, "a list of controls"),
    settings,
    seed: finite,
    chance: v.boolean("true or false"),
    language: text,
    sentence: text,
    alt: text,
    picture,
    results: namedNumbers,
  }),
);

/** The schema of every kind of output that a record holds as JSON, by kind. */
export const outputSchemas = {
  finding: recordedFindingSchema,
  claim: claimSchema,
  figure: figureSchema,
  table: tableSchema,
  prose: proseSchema,
  simulation: simulationSchema,
  exercise: exerciseSchema,
  learner: learnerSchema,
  practice: practiceSchema,
  terms: termsSchema,
  question: questionSchema,
} as const;
