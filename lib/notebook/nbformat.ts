import { isOnlyProgress } from "./progress-display.js";

/** Output of a code cell, as nbformat 4 stores it. Texts are whole strings here, not lists of lines. */
export type Output =
  | { readonly output_type: "stream"; readonly name: string; readonly text: string }
  | {
      readonly output_type: "display_data";
      readonly data: Readonly<Record<string, unknown>>;
      readonly metadata: Readonly<Record<string, unknown>>;
    }
  | {
      readonly output_type: "execute_result";
      readonly data: Readonly<Record<string, unknown>>;
      readonly metadata: Readonly<Record<string, unknown>>;
      readonly execution_count: number | null;
    }
  | {
      readonly output_type: "error";
      readonly ename: string;
      readonly evalue: string;
      readonly traceback: readonly string[];
    };

/** A cell of code, with what its last run showed. */
export interface CodeCell {
  /** Type of the cell in the file format. */
  readonly cell_type: "code";
  /** Id of the cell, unique in its notebook: 1 to 64 letters, digits, hyphens and underscores. */
  readonly id: string;
  /** Settings of the cell, such as its tags, kept as they are. */
  readonly metadata: Readonly<Record<string, unknown>>;
  /** The code, as one string. */
  readonly source: string;
  /** Position of the cell in the order of running, from 1; null when it did not run. */
  readonly execution_count: number | null;
  /** What the cell showed, in order. */
  readonly outputs: readonly Output[];
}

/** A cell of Markdown, or of raw text that is not rendered. */
export interface TextCell {
  /** Type of the cell in the file format. */
  readonly cell_type: "markdown" | "raw";
  /** Id of the cell, unique in its notebook: 1 to 64 letters, digits, hyphens and underscores. */
  readonly id: string;
  /** Settings of the cell, such as its tags, kept as they are. */
  readonly metadata: Readonly<Record<string, unknown>>;
  /** The text, as one string. */
  readonly source: string;
  /** Files that the text includes, by name and media type. */
  readonly attachments?: Readonly<Record<string, unknown>>;
}

/** Any cell of a notebook. */
export type Cell = CodeCell | TextCell;

/** A notebook of format 4.5. Older minor versions are read and brought up to it. */
export interface Notebook {
  /** The cells, from top to bottom. */
  readonly cells: readonly Cell[];
  /** Settings of the notebook, such as its language and kernel, kept as they are. */
  readonly metadata: Readonly<Record<string, unknown>>;
  /** Major version of the file format. */
  readonly nbformat: 4;
  /** Minor version of the file format. */
  readonly nbformat_minor: 5;
}

/** A file that is not a notebook this library can run; `problem` is a clause for a sentence. */
export class NotebookFileError extends Error {
  readonly problem: string;

  constructor(problem: string) {
    super(problem);
    this.name = "NotebookFileError";
    this.problem = problem;
  }
}

type Json = Record<string, unknown>;

const idPattern = /^[A-Za-z0-9_-]{1,64}$/;

/**
 * Reads a notebook file and checks its structure.
 * @throws NotebookFileError when the text is not JSON, not format 4, or a part has the wrong shape
 * @see https://nbformat.readthedocs.io/en/latest/format_description.html
 */
export function parseNotebook(text: string): Notebook {
  const raw = record(json(text), "the file");
  if (raw.nbformat !== 4) {
    throw new NotebookFileError(`expected notebook format 4, got ${short(raw.nbformat)}`);
  }
  const minor = raw.nbformat_minor;
  if (typeof minor !== "number" || minor < 0 || minor > 5) {
    throw new NotebookFileError(`expected format 4.0 to 4.5, got 4.${short(minor)}`);
  }
  if (!Array.isArray(raw.cells)) throw new NotebookFileError("expected a list of cells");
  const cells = withIds(raw.cells.map((cell, i) => readCell(cell, `cell ${i + 1}`)));
  return { cells, metadata: record(raw.metadata, "metadata"), nbformat: 4, nbformat_minor: 5 };
}

/**
 * The one way a notebook is written: sorted keys, one space of indent, texts as lists of lines, a
 * final newline. nbformat's own writer, given this file, writes the same bytes again, so that saving
 * in a front end and recording here do not undo each other. Every number is read back as it was;
 * but JavaScript has one kind of number, so that a 2.0 or -0.0 that Python wrote becomes 2 or 0.
 */
export function writeNotebook(notebook: Notebook): string {
  const cells = notebook.cells.map((cell) =>
    cell.cell_type === "code"
      ? { ...cell, source: lines(cell.source), outputs: cell.outputs.map(storedOutput) }
      : { ...cell, source: lines(cell.source) },
  );
  return `${asOthersWrite(JSON.stringify(sorted({ ...notebook, cells }), null, 1))}\n`;
}

const stringOrNumber = /"(?:[^"\\]|\\.)*"|-?\d[\d.]*(?:e[+-]?\d+)?/g;

/** Numbers below 0.0001 as Python writes them, 2e-06 where JavaScript writes 0.000002. */
function asOthersWrite(json: string): string {
  return json.replace(stringOrNumber, (token) => {
    const size = token.startsWith('"') ? 0 : Math.abs(Number(token));
    if (size === 0 || size >= 1e-4) return token;
    return Number(token)
      .toExponential()
      .replace(/e-(\d)$/, "e-0$1");
  });
}

/** The same JSON with the keys of every object in order of their code units. */
export function sorted(value: unknown): unknown {
  if (Array.isArray(value)) return value.map(sorted);
  if (value === null || typeof value !== "object") return value;
  const entries = Object.entries(value).filter(([, part]) => part !== undefined);
  // defineProperty semantics keep a key named __proto__ an ordinary key
  return Object.fromEntries(
    entries.sort(([a], [b]) => (a < b ? -1 : 1)).map(([key, part]) => [key, sorted(part)]),
  );
}

function json(text: string): unknown {
  try {
    return JSON.parse(text.replace(/^\uFEFF/, ""));
  } catch (error) {
    const reason = text.trim() === "" ? "it is empty" : (error as Error).message;
    throw new NotebookFileError(`expected JSON, but ${reason}`);
  }
}

function readCell(value: unknown, where: string): Cell & { id: string } {
  const cell = record(value, where);
  const id = cell.id === undefined ? "" : cell.id;
  if (id !== "" && (typeof id !== "string" || !idPattern.test(id))) {
    throw new NotebookFileError(
      `${where}: expected an id of letters, digits, - and _, got ${short(id)}`,
    );
  }
  const common = {
    id: id as string,
    metadata: record(cell.metadata ?? {}, `${where}, metadata`),
    source: joined(cell.source, `${where}, source`),
  };
  if (cell.cell_type === "markdown" || cell.cell_type === "raw") {
    if (cell.attachments === undefined) return { cell_type: cell.cell_type, ...common };
    const attachments = record(cell.attachments, `${where}, attachments`);
    return { cell_type: cell.cell_type, ...common, attachments };
  }
  if (cell.cell_type !== "code") {
    throw new NotebookFileError(
      `${where}: expected a code, markdown or raw cell, got ${short(cell.cell_type)}`,
    );
  }
  if (!Array.isArray(cell.outputs))
    throw new NotebookFileError(`${where}: expected a list of outputs`);
  const outputs = cell.outputs
    .map((output, i) => readOutput(output, `${where}, output ${i + 1}`))
    .filter((output) => !("metadata" in output && isOnlyProgress(output.data, output.metadata)));
  return {
    cell_type: "code",
    ...common,
    execution_count: count(cell.execution_count, where),
    outputs,
  };
}

function readOutput(value: unknown, where: string): Output {
  const output = record(value, where);
  const metadata = () => record(output.metadata ?? {}, `${where}, metadata`);
  switch (output.output_type) {
    case "stream":
      return {
        output_type: "stream",
        name: joined(output.name, `${where}, name`),
        text: joined(output.text, `${where}, text`),
      };
    case "display_data":
      return {
        output_type: "display_data",
        data: mimeData(output.data, where),
        metadata: metadata(),
      };
    case "execute_result":
      return {
        output_type: "execute_result",
        data: mimeData(output.data, where),
        metadata: metadata(),
        execution_count: count(output.execution_count, where),
      };
    case "error":
      return {
        output_type: "error",
        ename: joined(output.ename, `${where}, ename`),
        evalue: joined(output.evalue, `${where}, evalue`),
        traceback: list(output.traceback, where).map((line) => joined(line, `${where}, traceback`)),
      };
    default:
      throw new NotebookFileError(`${where}: unknown output type ${short(output.output_type)}`);
  }
}

/** JSON forms stay as they are; everything else is text that may be stored as a list of lines. */
function isJsonMime(mime: string): boolean {
  return /^application\/(?:[\w.-]+\+)?json$/.test(mime);
}

function mimeData(value: unknown, where: string): Json {
  const entries = Object.entries(record(value, `${where}, data`));
  return Object.fromEntries(
    entries.map(([mime, part]) => [
      mime,
      isJsonMime(mime) ? part : joined(part, `${where}, ${mime}`),
    ]),
  );
}

function storedOutput(output: Output): unknown {
  if (output.output_type === "stream") return { ...output, text: lines(output.text) };
  if (output.output_type === "error") return output;
  const data = Object.entries(output.data).map(([mime, part]) => [
    mime,
    typeof part === "string" && !isJsonMime(mime) ? lines(part) : part,
  ]);
  return { ...output, data: Object.fromEntries(data) };
}

/** Cells of an older file have no ids: they get the same ones at every reading. */
function withIds(cells: readonly Cell[]): Cell[] {
  const used = new Set<string>();
  for (const [i, { id }] of cells.entries()) {
    if (id === "") continue;
    if (used.has(id))
      throw new NotebookFileError(`cell ${i + 1}: the id ${short(id)} is used twice`);
    used.add(id);
  }
  return cells.map((cell, i) => {
    if (cell.id !== "") return cell;
    let id = `cell-${i + 1}`;
    while (used.has(id)) id += "-a";
    used.add(id);
    return { ...cell, id };
  });
}

function record(value: unknown, where: string): Json {
  if (value === null || typeof value !== "object" || Array.isArray(value)) {
    throw new NotebookFileError(`${where}: expected an object, got ${short(value)}`);
  }
  return value as Json;
}

function list(value: unknown, where: string): unknown[] {
  if (!Array.isArray(value)) throw new NotebookFileError(`${where}: expected a list`);
  return value;
}

function joined(value: unknown, where: string): string {
  if (typeof value === "string") return value;
  if (Array.isArray(value) && value.every((line) => typeof line === "string"))
    return value.join("");
  throw new NotebookFileError(`${where}: expected text or a list of lines, got ${short(value)}`);
}

function count(value: unknown, where: string): number | null {
  if (value === null || value === undefined) return null;
  if (typeof value === "number" && Number.isInteger(value) && value >= 0) return value;
  throw new NotebookFileError(`${where}: expected a whole execution count, got ${short(value)}`);
}

function lines(text: string): string[] {
  return text === "" ? [] : text.split(/(?<=\n)/);
}

function short(value: unknown): string {
  return (JSON.stringify(value) ?? String(value)).slice(0, 40);
}
