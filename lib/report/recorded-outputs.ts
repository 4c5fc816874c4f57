import type { GenericSchema } from "valibot";
import type { Claim } from "../show/claim-record.js";
import { mimeTypes } from "../show/display.js";
import type { Figure } from "../show/figure-record.js";
import { type Finding, isAnswered, type UnansweredFinding } from "../show/finding-record.js";
import type { Exercise, Learner, Practice, Simulation } from "../show/lesson-outputs.js";
import { outputSchemas } from "../show/output-schemas.js";
import { readOutput, type SchemaProblem } from "../show/schema.js";
import type { Table } from "../show/table-record.js";
import type { Prose, Question, Terms } from "../show/word-outputs.js";

export type Json = Record<string, unknown>;

/** The kinds of output that a notebook holds as records. */
export type OutputKind = keyof typeof outputSchemas;

/** One thing that a cell showed. */
export type Shown =
  | { readonly kind: "finding"; readonly finding: Finding }
  | { readonly kind: "unanswered"; readonly finding: UnansweredFinding }
  | { readonly kind: "claim"; readonly claim: Claim }
  | { readonly kind: "figure"; readonly figure: Figure; readonly svg?: string | undefined }
  | { readonly kind: "table"; readonly table: Table }
  | { readonly kind: "prose"; readonly prose: Prose }
  | { readonly kind: "simulation"; readonly simulation: Simulation }
  | { readonly kind: "exercise"; readonly exercise: Exercise }
  | { readonly kind: "learner"; readonly learner: Learner }
  | { readonly kind: "practice"; readonly practice: Practice }
  | { readonly kind: "terms"; readonly terms: Terms }
  | { readonly kind: "question"; readonly question: Question }
  /** A record that is not what the schema of its kind says. */
  | { readonly kind: "unreadable"; readonly of: OutputKind; readonly problem: SchemaProblem }
  | { readonly kind: "markdown"; readonly text: string }
  | { readonly kind: "text"; readonly text: string; readonly stream?: string | undefined }
  | { readonly kind: "image"; readonly mime: string; readonly base64: string }
  | { readonly kind: "error"; readonly text: string };

function isRecord(value: unknown): value is Json {
  return value !== null && typeof value === "object" && !Array.isArray(value);
}

/** A JSON object, or an empty one where there is something else. */
export function record(value: unknown): Json {
  return isRecord(value) ? value : {};
}

/** nbformat stores a text as one string or as a list of lines. */
export function joinedText(value: unknown): string {
  if (Array.isArray(value)) return value.map(String).join("");
  return typeof value === "string" ? value : "";
}

/** The record of one kind among an output's forms; undefined where there is none of this kind. */
function shownAs<T>(
  data: Json,
  kind: OutputKind,
  schema: GenericSchema<unknown, T>,
  shown: (output: T) => Shown,
): Shown | undefined {
  const content = data[mimeTypes[kind]];
  if (content === undefined) return undefined;
  const read = readOutput(schema, content);
  return read.kind === "read"
    ? shown(read.output)
    : { kind: "unreadable", of: kind, problem: read.problem };
}

function ourContent(data: Json): Shown | undefined {
  const schemas = outputSchemas;
  const svg = joinedText(data[mimeTypes.svg]) || undefined;
  return (
    shownAs(data, "finding", schemas.finding, (finding) =>
      isAnswered(finding) ? { kind: "finding", finding } : { kind: "unanswered", finding },
    ) ??
    shownAs(data, "claim", schemas.claim, (claim) => ({ kind: "claim", claim })) ??
    shownAs(data, "table", schemas.table, (table) => ({ kind: "table", table })) ??
    shownAs(data, "figure", schemas.figure, (figure) => ({ kind: "figure", figure, svg })) ??
    shownAs(data, "prose", schemas.prose, (prose) => ({ kind: "prose", prose })) ??
    lessonContent(data)
  );
}

/** What only lessons show. */
function lessonContent(data: Json): Shown | undefined {
  const { simulation, exercise, learner, practice, terms, question } = outputSchemas;
  return (
    shownAs(data, "simulation", simulation, (one) => ({ kind: "simulation", simulation: one })) ??
    shownAs(data, "exercise", exercise, (one) => ({ kind: "exercise", exercise: one })) ??
    shownAs(data, "learner", learner, (one) => ({ kind: "learner", learner: one })) ??
    shownAs(data, "practice", practice, (one) => ({ kind: "practice", practice: one })) ??
    shownAs(data, "terms", terms, (one) => ({ kind: "terms", terms: one })) ??
    shownAs(data, "question", question, (one) => ({ kind: "question", question: one }))
  );
}

/** Other libraries' outputs: their picture or their plain text, never their markup. */
function foreignContent(data: Json): Shown {
  const mime = ["image/png", "image/jpeg"].find((type) => data[type] !== undefined);
  if (mime)
    return { kind: "image", mime, base64: joinedText(data[mime]).replace(/[^A-Za-z0-9+/=]/g, "") };
  if (data["text/markdown"] !== undefined)
    return { kind: "markdown", text: joinedText(data["text/markdown"]) };
  return { kind: "text", text: joinedText(data["text/plain"]) };
}

/** What one output of a cell shows, from its JSON. */
export function shownBy(output: unknown): Shown {
  const { output_type: type, ...parts } = record(output);
  if (type === "stream")
    return { kind: "text", text: joinedText(parts.text), stream: String(parts.name) };
  if (type === "error")
    return { kind: "error", text: `${joinedText(parts.ename)}: ${joinedText(parts.evalue)}` };
  const data = record(parts.data);
  return ourContent(data) ?? foreignContent(data);
}

/** Why an output cannot be shown, in words: "finding, source.files: expected …, found …". */
export function problemText(of: OutputKind, { field, expected, found }: SchemaProblem): string {
  return `${field ? `${of}, ${field}` : of}: expected ${expected}, found ${found}`;
}
