import { createHash } from "node:crypto";
import { readFileSync } from "node:fs";
import { basename, join } from "node:path";
import { itemAt, present } from "../entry.js";
import { InputError } from "../errors.js";
import { fileName, fileNames } from "./file-name.js";
import {
  type Json,
  joinedText,
  problemText,
  record,
  type Shown,
  shownBy,
} from "./recorded-outputs.js";

/** A cell of a recorded notebook, with the outputs that pages can show. */
export interface RecordedCell {
  /** Counted from 1 among all cells, as messages and the comparison count. */
  readonly number: number;
  /** Id of the cell. */
  readonly id: string;
  /** Prose or code. */
  readonly kind: "prose" | "code";
  /** Markdown or code. */
  readonly source: string;
  /** Tags of the cell, from its metadata. */
  readonly tags: readonly string[];
  /** What the cell shows, in order. */
  readonly shown: readonly Shown[];
}

/** What a lesson says of itself. */
export interface Lesson {
  /** Place among the lessons, from 1. */
  readonly number: number;
  /** Time that the lesson takes, minutes. */
  readonly minutes: number;
  /** What the lesson teaches, in a sentence. */
  readonly idea: string;
}

/** A recorded notebook as the pages use it. */
export interface RecordedNotebook {
  /** Path from the root, with forward slashes. */
  readonly path: string;
  /** Name of its page, and the first part of its anchors. */
  readonly slug: string;
  /** Title of the notebook. */
  readonly title: string;
  /** Name of the study's folder. */
  readonly study: string;
  /** Version of the notebook. */
  readonly version: string;
  /** Versions with their day and what changed. */
  readonly changes: readonly {
    readonly version: string;
    readonly date: string;
    readonly what: string;
  }[];
  /** Cells in their order. */
  readonly cells: readonly RecordedCell[];
  /** Left out where the notebook is no lesson. */
  readonly lesson?: Lesson | undefined;
  /** SHA-256 of the notebook's file, hexadecimal. */
  readonly sha256: string;
  /** The file as JSON, for the comparison in the page. */
  readonly json: Json;
}

function cellOf(value: unknown, index: number): RecordedCell | undefined {
  const cell = record(value);
  const common = {
    number: index + 1,
    id: String(cell.id ?? `cell-${index + 1}`),
    source: joinedText(cell.source),
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
  return notebookAsRecorded(path, json, createHash("sha256").update(text).digest("hex"));
}

/**
 * A notebook as the pages use it, from its JSON.
 * @param sha256 of the file that it was read from; empty where it is in no file yet
 */
export function notebookAsRecorded(path: string, json: Json, sha256: string): RecordedNotebook {
  if (!Array.isArray(json.cells)) {
    throw new InputError({ expected: "a notebook with cells", got: "none", where: path });
  }
  const cells = json.cells.map(cellOf).filter((cell) => cell !== undefined);
  const about = record(record(json.metadata).tautline);
  const name = basename(path, ".ipynb");
  return {
    path,
    slug: fileName(pageTitle(path)),
    title: titleOf(cells, name),
    study: typeof about.study === "string" ? about.study : "",
    version: String(about.version ?? ""),
    changes: changesOf(about.changes),
    cells,
    lesson: lessonOf(about.lesson),
    sha256,
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
const namesTaken = ["index", "lessons", "methods", "data-checks", "glossary", "versions"];

/**
 * The names of the notebooks' pages, by path. Notebooks whose pages would have one name, also where
 * letters' case is one, get a number.
 */
export function slugsOf(paths: readonly string[]): Map<string, string> {
  const names = fileNames(paths.map(pageTitle), namesTaken);
  return new Map(paths.map((path, i) => [path, itemAt(names, i)]));
}

/** The path of a notebook as the text that its page is named after. */
function pageTitle(path: string): string {
  const name = path.replace(/^notebooks\//, "").replace(/\.ipynb$/, "");
  return name.replaceAll("/", "-");
}

function isOf<K extends Shown["kind"]>(
  shown: Shown,
  kind: K,
): shown is Extract<Shown, { kind: K }> {
  return shown.kind === kind;
}

/** Everything of one kind that a notebook shows, with its cell. */
export function shownOf<K extends Shown["kind"]>(
  notebook: Pick<RecordedNotebook, "cells">,
  kind: K,
): { cell: RecordedCell; shown: Extract<Shown, { kind: K }> }[] {
  return notebook.cells.flatMap((cell) =>
    cell.shown.flatMap((shown) => (isOf(shown, kind) ? [{ cell, shown }] : [])),
  );
}

/** Every output that is not what its schema says: notebook, cell, kind, field, expected, found. */
export function unreadableOutputs(notebooks: readonly RecordedNotebook[]): string[] {
  return notebooks.flatMap((notebook) =>
    shownOf(notebook, "unreadable").map(
      ({ cell, shown }) =>
        `${notebook.path}, cell ${cell.number}, ${problemText(shown.of, shown.problem)}`,
    ),
  );
}
