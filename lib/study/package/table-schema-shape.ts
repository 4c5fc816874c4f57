/**
 * Table Schema of the Data Package standard, version 2, as JSON Schema (draft 7). `description` is
 * what an error says was expected.
 * @see https://datapackage.org/standard/table-schema/ ; the wording here is our own
 */
export const text = { type: "string", description: "a text" } as const;
export const flag = { type: "boolean", description: "true or false" } as const;
export const wholeLength = {
  type: "integer",
  minimum: 0,
  description: "a whole number from 0",
} as const;
const names = {
  anyOf: [text, { type: "array", items: text, minItems: 1, uniqueItems: true }],
  description: "a list of field names, each once",
} as const;

const missingValues = {
  type: "array",
  uniqueItems: true,
  items: {
    anyOf: [
      text,
      { type: "object", required: ["value"], properties: { value: text, label: text } },
    ],
    description: "a text, or a record with value and label",
  },
  description: "a list of texts, each once",
} as const;

const constraints = {
  type: "object",
  properties: {
    required: flag,
    unique: flag,
    minLength: wholeLength,
    maxLength: wholeLength,
    pattern: text,
    enum: {
      type: "array",
      minItems: 1,
      uniqueItems: true,
      description: "a list of values, each once",
    },
    jsonSchema: { type: "object", description: "a record" },
  },
  description: "a record of constraints",
} as const;

/** Every type a column may have in the standard. */
const standardTypes = [
  "string",
  "number",
  "integer",
  "boolean",
  "object",
  "array",
  "list",
  "datetime",
  "date",
  "time",
  "year",
  "yearmonth",
  "duration",
  "geopoint",
  "geojson",
  "any",
] as const;

const field = {
  type: "object",
  required: ["name"],
  properties: {
    name: text,
    type: { enum: standardTypes, description: `one of ${standardTypes.join(", ")}` },
    format: text,
    title: text,
    description: text,
    constraints,
    categories: {
      type: "array",
      uniqueItems: true,
      description: "a list of values, each once",
    },
    categoriesOrdered: flag,
    missingValues,
    rdfType: text,
    decimalChar: text,
    groupChar: text,
    bareNumber: flag,
    trueValues: { type: "array", items: text, minItems: 1, description: "a list of texts" },
    falseValues: { type: "array", items: text, minItems: 1, description: "a list of texts" },
  },
  description: "a record with a name",
} as const;

const fieldsMatchWords = ["exact", "equal", "subset", "superset", "partial"] as const;
export const tableSchemaShape = {
  type: "object",
  required: ["fields"],
  properties: {
    fields: { type: "array", items: field, minItems: 1, description: "a list of fields" },
    fieldsMatch: { enum: fieldsMatchWords, description: `one of ${fieldsMatchWords.join(", ")}` },
    missingValues,
    primaryKey: names,
    uniqueKeys: {
      type: "array",
      minItems: 1,
      items: { type: "array", items: text, minItems: 1, description: "a list of field names" },
      description: "a list of lists of field names",
    },
    foreignKeys: {
      type: "array",
      items: {
        type: "object",
        required: ["fields", "reference"],
        properties: {
          fields: names,
          reference: {
            type: "object",
            required: ["fields"],
            properties: { resource: text, fields: names },
            description: "a record with fields, and the resource they belong to",
          },
        },
        description: "a record with fields and reference",
      },
      description: "a list of references",
    },
  },
  description: "a record with fields",
} as const;
