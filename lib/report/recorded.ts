import { createHash } from "node:crypto";
import { readFileSync } from "node:fs";
import { basename, join } from "node:path";
import { itemAt, present } from "../entry.js";
import { InputError } from "../errors.js";
import type { Exercise, Learner } from "../learn/exercise.js";
import type { Practice } from "../learn/practice.js";
import type { Simulation } from "../learn/simulation.js";
import type { Claim } from "../show/claim.js";
import type { Figure } from "../show/figure.js";
import type { Finding } from "../show/finding.js";
import type { Table } from "../show/table.js";
import type { Terms } from "../show/terms.js";

/** One thing that a cell showed. */
export type Shown =
  | { readonly kind: "finding"; readonly finding: Finding }
  | { readonly kind: "claim"; readonly claim: Claim }
  | { readonly kind: "figure"; readonly figure: Figure; readonly svg?: string | undefined }
  | { readonly kind: "table"; readonly table: Table }
  | { readonly kind: "simulation"; readonly simulation: Simulation }
  | { readonly kind: "exercise"; readonly exercise: Exercise }
  | { readonly kind: "learner"; readonly learner: Learner }
  | { readonly kind: "practice"; readonly practice: Practice }
  | { readonly kind: "terms"; readonly terms: Terms }
  | { readonly kind: "markdown"; readonly text: string }
  | { readonly kind: "text"; readonly text: string; readonly stream?: string | undefined }
  | { readonly kind: "image"; readonly mime: string; readonly base64: string }
  | { readonly kind: "error"; readonly text: string };

export interface RecordedCell {
  /** Counted from 1 among all cells, as messages and the comparison count. */
  readonly number: number;
  readonly id: string;
  readonly kind: "prose" | "code";
  readonly source: string;
  readonly tags: readonly string[];
  readonly shown: readonly Shown[];
}

/** What a lesson says of itself. */
export interface Lesson {
  readonly number: number;
  readonly minutes: number;
  readonly idea: string;
}

/** A recorded notebook as the pages use it. */
export interface RecordedNotebook {
  /** Path from the root, with forward slashes. */
  readonly path: string;
  /** Name of its page, and the first part of its anchors. */
  readonly slug: string;
  readonly title: string;
  readonly study: string;
  readonly version: string;
  readonly changes: readonly {
    readonly version: string;
    readonly date: string;
    readonly what: string;
  }[];
  readonly cells: readonly RecordedCell[];
  /** Left out where the notebook is no lesson. */
  readonly lesson?: Lesson | undefined;
  readonly sha256: string;
  /** The file as JSON, for the comparison in the page. */
  readonly json: Json;
}

export type Json = Record<string, unknown>;

function record(value: unknown): Json {
  return value !== null && typeof value === "object" && !Array.isArray(value)
    ? (value as Json)
    : {};
}

/** nbformat stores a text as one string or as a list of lines. */
function joined(value: unknown): string {
  if (Array.isArray(value)) return value.map(String).join("");
  return typeof value === "string" ? value : "";
}

const ours = "application/vnd.tautline.";

function isFinding(value: Json): boolean {
  const { value: number, low, high } = value;
  const limits = [low, high].every((limit) => limit === undefined || typeof limit === "number");
  const { source, leaveOneOut } = value;
  const parts =
    (source === undefined || isSource(record(source))) &&
    (leaveOneOut === undefined || isLeaveOneOut(record(leaveOneOut)));
  return typeof value.id === "string" && typeof number === "number" && limits && parts;
}

const areTexts = (value: unknown) =>
  Array.isArray(value) && value.every((item) => typeof item === "string");

function isSource({ files, rowsUsed, setAside, participants }: Json): boolean {
  return (
    areTexts(files) &&
    areTexts(participants) &&
    typeof rowsUsed === "number" &&
    Array.isArray(setAside) &&
    setAside.map(record).every(({ reason, rows }) => {
      return typeof reason === "string" && typeof rows === "number";
    })
  );
}

function isLeaveOneOut({ low, high, turns }: Json): boolean {
  return typeof low === "number" && typeof high === "number" && areTexts(turns);
}

function ourContent(data: Json): Shown | undefined {
  const finding = record(data[`${ours}finding+json`]);
  if (isFinding(finding)) return { kind: "finding", finding: finding as never };
  const claim = record(data[`${ours}claim+json`]);
  if (typeof claim.id === "string") return { kind: "claim", claim: claim as never };
  const table = record(data[`${ours}table+json`]);
  if (Array.isArray(table.rows) && Array.isArray(table.columns)) {
    return { kind: "table", table: table as never };
  }
  const lesson = lessonContent(data);
  if (lesson) return lesson;
  const { data: traces, layout } = record(data["application/vnd.plotly.v1+json"]);
  const figure: Json = { data: traces, layout, ...record(data[`${ours}figure+json`]) };
  if (typeof figure.id === "string" && Array.isArray(figure.data)) {
    return {
      kind: "figure",
      figure: figure as never,
      svg: joined(data["image/svg+xml"]) || undefined,
    };
  }
  return undefined;
}

/** What only lessons show. */
function lessonContent(data: Json): Shown | undefined {
  const simulation = record(data[`${ours}simulation+json`]);
  if (typeof simulation.id === "string" && isPlayable(simulation)) {
    return { kind: "simulation", simulation: simulation as never };
  }
  const exercise = record(data[`${ours}exercise+json`]);
  if (typeof exercise.id === "string") return { kind: "exercise", exercise: exercise as never };
  const learner = record(data[`${ours}learner+json`]);
  if (typeof learner.code === "string") return { kind: "learner", learner: learner as never };
  const practice = record(data[`${ours}practice+json`]);
  const { rows, columns } = record(practice.table);
  if (Array.isArray(rows) && Array.isArray(columns)) {
    return { kind: "practice", practice: practice as never };
  }
  const terms = record(data[`${ours}terms+json`]);
  return Array.isArray(terms.terms) ? { kind: "terms", terms: terms as never } : undefined;
}

const isRecord = (value: unknown) => Object.keys(record(value)).length > 0;

/** The shape that a painter and a form can rely on; texts and numbers inside may be anything. */
function isPlayable({ picture, controls, settings }: Json): boolean {
  const { panels } = record(picture);
  if (!Array.isArray(panels) || !Array.isArray(controls)) return false;
  const whole = panels.map(record).every(({ x, y, layers }) => {
    return isRecord(x) && isRecord(y) && Array.isArray(layers) && layers.every(isLayer);
  });
  const dials = controls.map(record).every(({ kind, options }) => {
    return kind === "number" || (Array.isArray(options) && options.every(isRecord));
  });
  return whole && dials && settings !== null && typeof settings === "object";
}

const columnsOfLayers: Readonly<Record<string, readonly string[]>> = {
  dots: ["x", "y"],
  strokes: ["x", "y", "toX", "toY"],
  line: ["x", "y"],
  band: ["x", "low", "high"],
  rule: [],
};

function isLayer(value: unknown): boolean {
  const layer = record(value);
  const columns = columnsOfLayers[String(layer.kind)];
  return columns?.every((name) => Array.isArray(layer[name])) ?? false;
}

/** Other libraries' outputs: their picture or their plain text, never their markup. */
function foreignContent(data: Json): Shown {
  const mime = ["image/png", "image/jpeg"].find((type) => data[type] !== undefined);
  if (mime)
    return { kind: "image", mime, base64: joined(data[mime]).replace(/[^A-Za-z0-9+/=]/g, "") };
  if (data["text/markdown"] !== undefined)
    return { kind: "markdown", text: joined(data["text/markdown"]) };
  return { kind: "text", text: joined(data["text/plain"]) };
}

function shownBy(output: unknown): Shown {
  const { output_type: type, ...parts } = record(output);
  if (type === "stream")
    return { kind: "text", text: joined(parts.text), stream: String(parts.name) };
  if (type === "error")
    return { kind: "error", text: `${joined(parts.ename)}: ${joined(parts.evalue)}` };
  const data = record(parts.data);
  return ourContent(data) ?? foreignContent(data);
}

function cellOf(value: unknown, index: number): RecordedCell | undefined {
  const cell = record(value);
  const common = {
    number: index + 1,
    id: String(cell.id ?? `cell-${index + 1}`),
    source: joined(cell.source),
    tags: tagsOf(cell),
  };
  if (cell.cell_type === "markdown") return { ...common, kind: "prose", shown: [] };
  if (cell.cell_type !== "code") return undefined;
  const outputs = Array.isArray(cell.outputs) ? cell.outputs : [];
  return { ...common, kind: "code", shown: outputs.map(shownBy) };
}

function tagsOf(cell: Json): string[] {
  const { tags } = record(cell.metadata);
  return Array.isArray(tags) ? tags.map(String) : [];
}

function lessonOf(value: unknown): Lesson | undefined {
  const { number, minutes, idea } = record(value);
  if (typeof number !== "number") return undefined;
  return { number, minutes: Number(minutes), idea: String(idea ?? "") };
}

function titleOf(cells: readonly RecordedCell[], fallback: string): string {
  const first = cells.find((cell) => cell.kind === "prose" && /^#\s+\S/m.test(cell.source));
  return first ? itemAt(present(/^#\s+(.+)$/m.exec(first.source)), 1).trim() : fallback;
}

/** A name that is safe as a file and as an anchor. */
export function slugOf(text: string): string {
  const plain = text
    .normalize("NFKD")
    .replace(/[^A-Za-z0-9._-]+/g, "-")
    .replace(/^[-.]+|[-.]+$/g, "");
  return plain || "notebook";
}

function changesOf(value: unknown): RecordedNotebook["changes"] {
  if (!Array.isArray(value)) return [];
  return value.map((item) => {
    const { version, date, what } = record(item);
    return { version: String(version ?? ""), date: String(date ?? ""), what: String(what ?? "") };
  });
}

/** Reads one recorded notebook from its JSON text. */
export function recordedNotebook(path: string, text: string): RecordedNotebook {
  let json: Json;
  try {
    json = record(JSON.parse(text));
  } catch {
    throw new InputError({ expected: "a notebook in JSON", got: "another text", where: path });
  }
  if (!Array.isArray(json.cells)) {
    throw new InputError({ expected: "a notebook with cells", got: "none", where: path });
  }
  const cells = json.cells.map(cellOf).filter((cell) => cell !== undefined);
  const about = record(record(json.metadata).tautline);
  const name = basename(path, ".ipynb");
  return {
    path,
    slug: slugOfPath(path),
    title: titleOf(cells, name),
    study: typeof about.study === "string" ? about.study : "",
    version: String(about.version ?? ""),
    changes: changesOf(about.changes),
    cells,
    lesson: lessonOf(about.lesson),
    sha256: createHash("sha256").update(text).digest("hex"),
    json,
  };
}

/** The recorded notebooks at these paths, which are relative to the root. */
export function readNotebooks(root: string, paths: readonly string[]): RecordedNotebook[] {
  const slugs = slugsOf(paths);
  return paths.map((path) => ({
    ...recordedNotebook(path, readFileSync(join(root, path), "utf8")),
    slug: present(slugs.get(path)),
  }));
}

/** Pages of the report that are no notebook's. */
export const namesTaken = ["index", "lessons", "methods", "data-checks", "glossary", "versions"];

/**
 * The names of the notebooks' pages, by path. Notebooks whose pages would have one name, also where
 * letters' case is one, get a number.
 */
export function slugsOf(paths: readonly string[]): Map<string, string> {
  const taken = new Set(namesTaken);
  const slugs = new Map<string, string>();
  for (const path of paths) {
    const plain = slugOfPath(path);
    let slug = plain;
    for (let i = 2; taken.has(slug.toLowerCase()); i++) slug = `${plain}-${i}`;
    taken.add(slug.toLowerCase());
    slugs.set(path, slug);
  }
  return slugs;
}

function slugOfPath(path: string): string {
  const name = path.replace(/^notebooks\//, "").replace(/\.ipynb$/, "");
  return slugOf(name.replaceAll("/", "-"));
}

/** Everything of one kind that a notebook shows, with its cell. */
export function shownOf<K extends Shown["kind"]>(
  notebook: RecordedNotebook,
  kind: K,
): { cell: RecordedCell; shown: Extract<Shown, { kind: K }> }[] {
  return notebook.cells.flatMap((cell) =>
    cell.shown
      .filter((shown) => shown.kind === kind)
      .map((shown) => ({ cell, shown: shown as never })),
  );
}
