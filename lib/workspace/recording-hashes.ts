import { existsSync, readFileSync } from "node:fs";
import { join, relative } from "node:path";
import { type Cell, type Notebook, sorted } from "../notebook/nbformat.js";
import type { ReadFiles } from "../notebook/reads.js";
import { staleOutputs } from "../notebook/stale-outputs.js";
import { kernelCompiler } from "../notebook/tslab.js";
import { hashOf } from "./run-key.js";

/** What a notebook was recorded from, as hashes, under `tautline` in its metadata. */
interface RecordingHashes {
  /** SHA-256 of each data file that the run read, by its path in the study repository. */
  readonly data: Readonly<Record<string, string>>;
  /** The first 16 digits of the SHA-256 of each text cell, by the id of the cell. */
  readonly prose: Readonly<Record<string, string>>;
  /** The same of each code cell. */
  readonly code: Readonly<Record<string, string>>;
}

/** The notebook with the hashes of the data it was made from and of the text beside them. */
export function withRecordingHashes(notebook: Notebook, files: ReadFiles): Notebook {
  const data = Object.fromEntries(
    Object.entries(files).filter((entry): entry is [string, string] => entry[1] !== null),
  );
  const tautline = {
    ...tautlineOf(notebook),
    data,
    prose: hashesOf(notebook, "text"),
    code: hashesOf(notebook, "code"),
  };
  return { ...notebook, metadata: { ...notebook.metadata, tautline } };
}

function tautlineOf({ metadata }: Notebook): Record<string, unknown> {
  const { tautline } = metadata;
  return tautline !== null && typeof tautline === "object" ? { ...tautline } : {};
}

function hashesOf(notebook: Notebook, type: "text" | "code"): Record<string, string> {
  return Object.fromEntries(
    notebook.cells
      .filter(({ cell_type }) => (cell_type === "code") === (type === "code"))
      .map((cell) => [cell.id, hashOf(contentOf(cell)).slice(0, 16)]),
  );
}

/** The source of a cell, with the pictures that a text cell carries; a raw cell is shown as it is. */
function contentOf(cell: Cell): string {
  if (cell.cell_type === "raw")
    return `raw: ${cell.source}${JSON.stringify(sorted(cell.attachments))}`;
  if (cell.cell_type === "code" || cell.attachments === undefined) return cell.source;
  return cell.source + JSON.stringify(sorted(cell.attachments));
}

/** The hashes of a notebook; nothing for one that was recorded before they were kept. */
function recordingHashesOf(notebook: Notebook): Partial<RecordingHashes> {
  const { data, prose, code } = tautlineOf(notebook);
  const hashes = (value: unknown) =>
    value !== null && typeof value === "object" ? (value as Record<string, string>) : undefined;
  const [ofData, ofProse, ofCode] = [hashes(data), hashes(prose), hashes(code)];
  return {
    ...(ofData && { data: ofData }),
    ...(ofProse && { prose: ofProse }),
    ...(ofCode && { code: ofCode }),
  };
}

const hashNames = { data: "data", prose: "text cells", code: "code cells" } as const;

/** Hashes that a recorded notebook lacks, as one clause; a notebook that never ran has none. */
export function recordingGaps(notebook: Notebook): string[] {
  const ran = notebook.cells.some(
    (cell) =>
      cell.cell_type === "code" && (cell.outputs.length > 0 || cell.execution_count !== null),
  );
  const hashes = recordingHashesOf(notebook);
  const missing = (["data", "prose", "code"] as const).filter((name) => !hashes[name]);
  if (!ran || missing.length === 0) return [];
  const what = missing.map((name) => hashNames[name]).join(", ");
  return [`the notebook has no record of its ${what}: rebuild records it again`];
}

/** SHA-256 of each data file that a notebook was recorded from, by its path from the root. */
export function recordedData(notebook: Notebook): Readonly<Record<string, string>> {
  return recordingHashesOf(notebook).data ?? {};
}

/**
 * How the data of a study repository compare with those a notebook was recorded from, one clause per
 * file: "data/winter-block/grip-trials.csv was changed since the notebook was recorded".
 */
export function changedData(notebook: Notebook, root: string): string[] {
  return Object.entries(recordedData(notebook)).flatMap(([path, hash]) => {
    const file = join(root, path);
    if (relative(root, file).startsWith("..")) return [`${path} lies outside of the study`];
    if (!existsSync(file)) return [`${path} is missing`];
    return hashOf(readFileSync(file)) === hash
      ? []
      : [`${path} was changed since the notebook was recorded`];
  });
}

/** Text cells that are not as they were when the notebook was recorded, one clause per cell. */
export function changedProse(notebook: Notebook): string[] {
  const { prose } = recordingHashesOf(notebook);
  if (!prose) return [];
  const now = hashesOf(notebook, "text");
  const changed = Object.keys(now).flatMap((id) => {
    if (prose[id] === undefined) return [`text cell ${id} is new`];
    return prose[id] === now[id] ? [] : [`text cell ${id} was changed`];
  });
  const gone = Object.keys(prose).filter((id) => now[id] === undefined);
  return [...changed, ...gone.map((id) => `text cell ${id} is gone`)];
}

/** Ids of the code cells that are new or not as they were when the notebook was recorded. */
function editedCode(notebook: Notebook): string[] {
  const { code } = recordingHashesOf(notebook);
  if (!code) return [];
  const now = hashesOf(notebook, "code");
  return Object.keys(now).filter((id) => code[id] !== now[id]);
}

/** Code cells that are not as they were when the notebook was recorded, one clause per cell. */
export function changedCode(notebook: Notebook): string[] {
  const { code } = recordingHashesOf(notebook);
  const now = new Set(notebook.cells.map(({ id }) => id));
  const gone = Object.keys(code ?? {}).filter((id) => !now.has(id));
  return [
    ...editedCode(notebook).map((id) =>
      code?.[id] === undefined ? `code cell ${id} is new` : `code cell ${id} was changed`,
    ),
    ...gone.map((id) => `code cell ${id} is gone`),
  ];
}

/** Outputs of a saved notebook that a run would not show, as far as the file says so; one clause each. */
export function staleInFile(notebook: Notebook): string[] {
  return staleOutputs(notebook, editedCode(notebook), kernelCompiler);
}
