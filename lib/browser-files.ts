import { present } from "./entry.js";
import { InputError } from "./errors.js";
import type * as disk from "./study/files.js";

/** One study inside a page: its files as text, or as base64 where they are no text. */
export interface EmbeddedStudy {
  /** Name of the study's folder, by which openStudy finds it. */
  readonly name: string;
  /** Files of the folder, by their path in it. */
  readonly files: readonly {
    readonly path: string;
    readonly text?: string;
    readonly base64?: string;
  }[];
}

const studies = new Map<string, EmbeddedStudy>();

/** Gives the page's studies to `openStudy`; called once before any cell runs. */
export function embedStudies(list: readonly EmbeddedStudy[]): void {
  for (const study of list) studies.set(study.name, study);
}

function bytesOf({ text, base64 }: EmbeddedStudy["files"][number]): Uint8Array {
  if (text !== undefined) return new TextEncoder().encode(text);
  return Uint8Array.from(atob(base64 ?? ""), (character) => character.charCodeAt(0));
}

export const descriptorName: typeof disk.descriptorName = "datapackage.json";

/** A study's files as study/files.ts reads them, from the page instead of the disk. */
export const readStudyFiles: typeof disk.readStudyFiles = (nameOrPath) => {
  const name = studyFolder(nameOrPath);
  const { files } = present(studies.get(name));
  return { name, files: new Map(files.map((file) => [file.path, bytesOf(file)])), faults: [] };
};

export const studyFolder: typeof disk.studyFolder = (nameOrPath) => {
  const name = String(nameOrPath).split(/[\\/]/).filter(Boolean).at(-1) ?? "";
  if (studies.has(name)) return name;
  const known = [...studies.keys()].join(", ");
  throw new InputError({
    expected: "a study that this page carries",
    got: `${JSON.stringify(nameOrPath)}; studies here: ${known}`,
    where: "openStudy",
  });
};

export const studyNames: typeof disk.studyNames = () => [...studies.keys()].sort();

export const loadSheetReader: typeof disk.loadSheetReader = () => {
  throw new InputError({
    expected: "text files",
    got: "a workbook, which a page does not read",
    where: "openStudy",
  });
};
