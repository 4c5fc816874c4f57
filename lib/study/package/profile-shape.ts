import { flag, tableSchemaShape, text, wholeLength } from "./table-schema-shape.js";

/**
 * What the Data Package standard, version 2, asks of a descriptor, as JSON Schema (draft 7): the
 * parts that a study folder uses. `description` is what an error says was expected. Properties that
 * are not named here are free, as the standard has it.
 * @see https://datapackage.org/standard/data-package/ and its pages on data resources, table dialects
 *   and table schemas; the wording here is our own
 */
const rowNumbers = {
  type: "array",
  items: { type: "integer", minimum: 1, description: "a row number, counted from 1" },
  description: "a list of row numbers",
} as const;
const place = {
  type: "string",
  pattern:
    "^(?:(?:https?|ftps?)://\\S+|(?![/\\\\])(?![A-Za-z][A-Za-z0-9+.-]*:)(?!(?:.*/)?\\.[^/])[^\\\\\\u0000]+)$",
  description:
    "a path inside the package folder (no leading /, no .., no hidden folder) or an http(s) or ftp(s) address",
} as const;

const license = {
  type: "object",
  properties: { name: text, path: place, title: text },
  anyOf: [{ required: ["name"] }, { required: ["path"] }],
  description: "a record with a name or a path",
} as const;

const source = {
  type: "object",
  minProperties: 1,
  properties: { title: text, path: place, email: text, version: text },
  description: "a record with at least one of title, path, email, version",
} as const;

const contributor = {
  type: "object",
  minProperties: 1,
  properties: {
    title: text,
    givenName: text,
    familyName: text,
    path: text,
    email: text,
    organization: text,
    roles: { type: "array", items: text, description: "a list of texts" },
  },
  description: "a record with at least one property",
} as const;

const oneCharacter = { type: "string", pattern: "^.$", description: "one character" } as const;
const dialect = {
  type: "object",
  properties: {
    header: flag,
    headerRows: rowNumbers,
    headerJoin: text,
    commentRows: rowNumbers,
    commentChar: { type: "string", pattern: "^.+$", description: "one or more characters" },
    delimiter: text,
    lineTerminator: text,
    quoteChar: oneCharacter,
    doubleQuote: flag,
    escapeChar: oneCharacter,
    nullSequence: text,
    skipInitialSpace: flag,
    property: text,
    itemType: { enum: ["array", "object"], description: '"array" or "object"' },
    itemKeys: { type: "array", items: text, description: "a list of texts" },
    sheetNumber: { type: "integer", minimum: 1, description: "a sheet number, counted from 1" },
    sheetName: text,
    table: text,
  },
  description: "a record of table dialect properties",
} as const;

const resource = {
  type: "object",
  required: ["name"],
  oneOf: [{ required: ["path"] }, { required: ["data"] }],
  properties: {
    name: text,
    path: {
      anyOf: [place, { type: "array", items: place, minItems: 1 }],
      description: place.description,
    },
    type: { enum: ["table"], description: '"table", or nothing for another kind of file' },
    title: text,
    description: text,
    format: text,
    mediatype: {
      type: "string",
      pattern: "^[^/\\s]+/.+$",
      description: 'a type such as "text/csv"',
    },
    encoding: text,
    bytes: wholeLength,
    hash: { type: "string", pattern: "^(?:[a-z0-9-]+:)?[A-Fa-f0-9]+$", description: "a hash" },
    sources: { type: "array", items: source, description: "a list of sources" },
    licenses: { type: "array", items: license, description: "a list of licences" },
    dialect: { anyOf: [dialect, place], description: dialect.description },
    schema: { anyOf: [tableSchemaShape, place], description: tableSchemaShape.description },
  },
  description: "a record with a name and with either a path or data",
} as const;

/** The whole descriptor, datapackage.json. */
export const packageShape = {
  $schema: "http://json-schema.org/draft-07/schema#",
  type: "object",
  required: ["resources"],
  properties: {
    $schema: text,
    name: text,
    id: text,
    title: text,
    description: text,
    homepage: { type: "string", pattern: "^https?://\\S+$", description: "a web address" },
    image: place,
    version: text,
    created: {
      type: "string",
      pattern:
        "^\\d{4}-\\d{2}-\\d{2}[Tt]\\d{2}:\\d{2}:\\d{2}(?:\\.\\d+)?(?:[Zz]|[+-]\\d{2}:\\d{2})$",
      description: "a day and time such as 2025-04-12T09:30:00Z (RFC 3339)",
    },
    keywords: { type: "array", items: text, description: "a list of texts" },
    contributors: { type: "array", items: contributor, description: "a list of contributors" },
    sources: { type: "array", items: source, description: "a list of sources" },
    licenses: { type: "array", items: license, description: "a list of licences" },
    resources: {
      type: "array",
      minItems: 1,
      items: resource,
      description: "a list with at least one resource",
    },
  },
  description: "a record with resources",
} as const;
