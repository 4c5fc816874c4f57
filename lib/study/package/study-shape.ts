import { gripRuleIds, speedRuleIds } from "../tables/rules.js";
import { resourceNames } from "./dictionary.js";

/**
 * What we ask of a descriptor beyond the standard, as JSON Schema (draft 7): the `study` property,
 * and the resources that a study is read from. `description` is what an error says was expected.
 */
const text = { type: "string", description: "a text" } as const;
const id = { type: "string", minLength: 1, description: "a text" } as const;
const flag = { type: "boolean", description: "true or false" } as const;
const count = { type: "number", minimum: 0, description: "a number of at least 0" } as const;
const texts = { type: "array", items: text, description: "a list of texts" } as const;
const textRecord = {
  type: "object",
  additionalProperties: text,
  description: "a record of texts",
} as const;

const textLists = {
  type: "object",
  additionalProperties: texts,
  description: "a record of lists of texts",
} as const;

function recordsOf(properties: object, required: readonly string[]) {
  const items = { type: "object", required, properties, description: "a record" };
  return { type: "array", items, description: "a list of records" } as const;
}

const hand = { enum: ["lead", "trail"], description: '"lead" or "trail"' } as const;

const design = {
  arms: recordsOf({ id, title: text, control: flag }, ["id"]),
  occasions: recordsOf({ id, week: count, title: text }, ["id"]),
  hands: { type: "array", items: hand, description: 'a list of "lead" and "trail"' },
  positions: recordsOf({ id, title: text, how: text }, ["id"]),
  clubs: texts,
  gripTrials: count,
  swings: count,
  restSeconds: count,
  allocation: {
    enum: ["random", "not random"],
    description: '"random" or "not random"',
  },
} as const;

function ruleShape(ids: readonly string[]) {
  const rule = { enum: ids, description: `a summary rule: ${ids.join(", ")}` };
  const byOccasion = { type: "object", additionalProperties: rule, description: rule.description };
  return { anyOf: [rule, byOccasion], description: rule.description };
}

const plan = {
  type: "object",
  properties: {
    decidedOn: text,
    primary: {
      type: "object",
      required: ["outcome", "before", "after"],
      properties: {
        outcome: { enum: ["grip", "speed"], description: '"grip" or "speed"' },
        hand,
        position: text,
        before: text,
        after: text,
        contrast: text,
        unit: text,
      },
      description: "a record with outcome, before and after",
    },
    summaries: {
      type: "object",
      properties: { grip: ruleShape(gripRuleIds), speed: ruleShape(speedRuleIds) },
      description: "a record with a summary rule for grip and one for speed",
    },
    level: {
      type: "number",
      exclusiveMinimum: 0,
      exclusiveMaximum: 1,
      description: "a fraction such as 0.95",
    },
    seed: count,
    smallestWorthwhile: {
      type: "object",
      additionalProperties: { type: "number", description: "a number" },
      description: "a record of numbers",
    },
    calibration: { enum: ["none", "correct"], description: '"none" or "correct"' },
  },
  description: "a record of the plan",
} as const;

/** A descriptor as far as our `study` property goes. */
export const studyShape = {
  $schema: "http://json-schema.org/draft-07/schema#",
  type: "object",
  required: ["study", "resources"],
  properties: {
    name: text,
    title: text,
    study: {
      type: "object",
      properties: {
        title: text,
        question: text,
        simulated: flag,
        ...design,
        design: { type: "object", properties: design, description: "a record of the design" },
        plan,
        cautions: texts,
        changes: recordsOf({ on: text, what: text, why: text }, ["on", "what", "why"]),
      },
      description: "a record with `resources` and our `study` property",
    },
    resources: {
      type: "array",
      minItems: 1,
      items: { type: "object", description: "a record" },
      description: "a list with at least one file",
    },
  },
  description: "a record with `resources` and our `study` property",
} as const;

const path = {
  anyOf: [
    { type: "string", minLength: 1 },
    { type: "array", items: id, minItems: 1 },
  ],
  description: "a file path, or a list of paths",
} as const;

const reading = {
  type: "object",
  properties: {
    columns: textRecord,
    values: {
      type: "object",
      additionalProperties: textRecord,
      description: "a record of records of texts",
    },
    constants: textRecord,
    format: textRecord,
    units: textRecord,
    cellUnits: {
      type: "object",
      additionalProperties: textRecord,
      description: "a record of records of texts",
    },
    sheet: text,
    fileName: text,
    ignore: texts,
    only: textLists,
    leaveOut: textLists,
    fillDown: texts,
    numberRows: { enum: ["trial", "swing"], description: '"trial" or "swing"' },
    onePerGolfer: flag,
    wide: {
      type: "object",
      required: ["columns", "valueColumn"],
      properties: {
        columns: {
          type: "object",
          additionalProperties: textRecord,
          description: "a record of records of texts",
        },
        valueColumn: text,
      },
      description: "a record with columns and valueColumn",
    },
  },
  description: "a record of columns, values, constants, format, sheet and the like",
} as const;

/** What is said of a pattern that could take for ever on a hostile cell. */
export const plainPattern = "a valid pattern without groups";

const constraints = {
  type: "object",
  properties: {
    required: flag,
    enum: { type: "array", description: "a list of values" },
    pattern: { type: "string", description: plainPattern },
  },
  description: "a record",
} as const;

/** One resource that a study is read from. */
export const resourceShape = {
  $schema: "http://json-schema.org/draft-07/schema#",
  type: "object",
  required: ["path"],
  properties: {
    path,
    kind: {
      enum: resourceNames,
      description: `a kind of file: ${resourceNames.join(", ")}`,
    },
    // A dialect or a schema may also be the path of a file that holds it.
    dialect: {
      properties: {
        delimiter: {
          type: "string",
          pattern: '^(?:[^"\\r\\n\\u007f-\\uffff])?$',
          description: "one character",
        },
        headerRows: {
          type: "array",
          items: { type: "integer", minimum: 1, description: "a row number, counted from 1" },
          minItems: 1,
          description: "the numbers of the heading rows, such as [1]",
        },
      },
      description: "a record of table dialect properties",
    },
    schema: {
      properties: {
        fields: recordsOf({ constraints }, []),
        missingValues: texts,
      },
      description: "a record with fields",
    },
    reading,
  },
  description: "a record",
} as const;
