import { kernelName, kernelTitle } from "../notebook/kernel-title.js";
import { type Cell, type Notebook, type Output, sorted } from "../notebook/nbformat.js";
import type { ReadFiles } from "../notebook/reads.js";
import { changedCode, recordedData, recordingGaps } from "./recording-hashes.js";
import { versionOf } from "./versions.js";

/** A recorded notebook beside a clean run of it and its record in git. */
export interface FramedRecord {
  /** The notebook as the file has it. */
  readonly notebook: Notebook;
  /** The same after a run from top to bottom. */
  readonly rerun: Notebook;
  /** The files that the run read. */
  readonly files: ReadFiles;
  /** The record in git, where there is one. */
  readonly earlier: Notebook | undefined;
}

/**
 * What a reader of the file sees beside its results and what is not as a recording makes it, one
 * clause each: hashes that are gone, numbers of runs, hidden outputs, the kernel, the list of changes.
 */
export function frameFaults({ notebook, rerun, files, earlier }: FramedRecord): string[] {
  return [
    ...recordingGaps(notebook),
    ...unlistedData(notebook, files),
    ...changedCode(notebook),
    ...otherRunNumbers(notebook, rerun),
    ...hiddenCells(notebook),
    ...otherKernel(notebook),
    ...(earlier ? [...rewrittenChanges(notebook, earlier), ...otherPlace(notebook, earlier)] : []),
  ];
}

/** Data that the run read although the record does not name them. */
function unlistedData(notebook: Notebook, files: ReadFiles): string[] {
  if (recordingGaps(notebook).length > 0) return [];
  const recorded = recordedData(notebook);
  return Object.entries(files).flatMap(([path, hash]) =>
    hash === null || path in recorded ? [] : [`${path} was read, but the record does not name it`],
  );
}

/** The number in brackets beside a cell; a run from top to bottom counts from 1. */
function otherRunNumbers(notebook: Notebook, rerun: Notebook): string[] {
  const again = new Map(rerun.cells.map((cell) => [cell.id, runNumbers(cell)]));
  return notebook.cells.flatMap((cell) => {
    const [then, now] = [runNumbers(cell), again.get(cell.id) ?? "none"];
    return then === now
      ? []
      : [`cell ${cell.id} has the run number ${then}; a run from top to bottom gives ${now}`];
  });
}

function runNumbers(cell: Cell): string {
  if (cell.cell_type !== "code") return "none";
  const shown = cell.outputs.flatMap((output: Output) =>
    output.output_type === "execute_result" && output.execution_count !== null
      ? [output.execution_count]
      : [],
  );
  const numbers = [
    ...new Set([...(cell.execution_count === null ? [] : [cell.execution_count]), ...shown]),
  ];
  return numbers.length === 0 ? "none" : numbers.join(" and ");
}

type Settings = Readonly<Record<string, unknown>>;

/** Settings with which front ends fold away a text, an output, or all that follows a heading. */
function hidingSettings({ cell_type, metadata }: Cell): string[] {
  const jupyter = (metadata.jupyter ?? {}) as Settings;
  return [
    ...["collapsed", "hidden", "jp-MarkdownHeadingCollapsed"].filter(
      (key) => metadata[key] === true,
    ),
    ...(jupyter.outputs_hidden === true ? ["outputs_hidden"] : []),
    ...(cell_type !== "code" && jupyter.source_hidden === true ? ["source_hidden"] : []),
  ];
}

function hiddenCells({ cells }: Notebook): string[] {
  return cells.flatMap((cell) => {
    const settings = hidingSettings(cell);
    if (settings.length === 0) return [];
    return [
      `cell ${cell.id} is folded away in a front end (${settings.join(", ")}); rebuild unfolds it`,
    ];
  });
}

/** A notebook that shows every text and every output in a front end. */
export function unfolded(notebook: Notebook): Notebook {
  const cells = notebook.cells.map((cell) => {
    const hiding = hidingSettings(cell);
    if (hiding.length === 0) return cell;
    const without = (settings: Settings) =>
      Object.fromEntries(Object.entries(settings).filter(([key]) => !hiding.includes(key)));
    const metadata = without(cell.metadata);
    if (metadata.jupyter !== undefined) metadata.jupyter = without(metadata.jupyter as Settings);
    return { ...cell, metadata };
  });
  return { ...notebook, cells };
}

/** The name of the kernel stands above the notebook in a front end, and starts a program there. */
function otherKernel({ metadata }: Notebook): string[] {
  const { name, display_name: title, language } = settingsOf(metadata.kernelspec);
  const { name: shown } = settingsOf(metadata.language_info);
  const isNamed = name !== kernelName || title === undefined || title === kernelTitle;
  const languages = [language, shown].filter((one) => one !== undefined && one !== "typescript");
  return [
    ...(isNamed ? [] : [`the kernel is called “${String(title)}”, not “${kernelTitle}”`]),
    ...languages.map((one) => `the file says that its language is ${String(one)}, not typescript`),
  ];
}

function settingsOf(value: unknown): Settings {
  return value !== null && typeof value === "object" ? { ...value } : {};
}

/** Entries of the list of changes that git has and that are gone, or read otherwise now. */
function rewrittenChanges(notebook: Notebook, earlier: Notebook): string[] {
  const now = versionOf(notebook).changes;
  return versionOf(earlier).changes.flatMap(({ version, date, what }) => {
    const ofVersion = now.filter((change) => change.version === version); // a version may have several
    const same = ofVersion.find((change) => change.what === what);
    if (same?.date === date) return [];
    if (same) return [`the change ${version} is of ${same.date}, in git of ${date}`];
    const [other] = ofVersion;
    return other
      ? [`the change ${version} reads “${other.what}”, in git “${what}”`]
      : [`the list of changes does not name ${version} any more`];
  });
}

/** Under one version a notebook stays in its study, and a lesson is announced in the same words. */
function otherPlace(notebook: Notebook, earlier: Notebook): string[] {
  const { version, changes } = versionOf(notebook);
  if (version !== versionOf(earlier).version) {
    const isNamed = changes.some((change) => change.version === version);
    return isNamed ? [] : [`the list of changes does not name the version ${version ?? ""}`];
  }
  const [now, then] = [notebook, earlier].map(({ metadata }) => settingsOf(metadata.tautline));
  return ["study", "lesson"].flatMap((name) => {
    const [one, two] = [now?.[name], then?.[name]].map((value) => JSON.stringify(sorted(value)));
    return one === two
      ? []
      : [`its ${name} in the metadata is not that in git, under the same version`];
  });
}
