import { existsSync, readdirSync, readFileSync } from "node:fs";
import { dirname, join } from "node:path";

/** What a front end is offered at a place of a cell, as tslab tells it. */
export interface Offered {
  /** Where the text begins that a candidate replaces. */
  readonly start: number;
  /** Where that text ends. */
  readonly end: number;
  /** What may stand there. */
  readonly candidates: string[];
}

/** The folder around a notebook that holds the studies' data; the given one where there is none. */
export function folderOfStudies(from: string): string {
  for (let folder = from; ; folder = dirname(folder)) {
    if (existsSync(join(folder, "data")) && existsSync(join(folder, "package.json"))) return folder;
    if (dirname(folder) === folder) return from;
  }
}

/** What is read of a study's descriptor. */
interface Descriptor {
  readonly study?: Readonly<Record<string, unknown>>;
  readonly resources?: readonly { readonly schema?: { readonly fields?: readonly unknown[] } }[];
}

const openString = /^(?:[^"'`]|"[^"]*"|'[^']*'|`[^`]*`)*(["'`])([^"'`]*)$/;

/** Where in a cell a word of the study's files is expected, by what stands before the string. */
const places: readonly (readonly [before: RegExp, words: (study: Descriptor) => string[]])[] = [
  [/\b(?:before|after|at|from|to|visit|occasion)\s*:\s*\[?$/, ({ study }) => ids(study?.occasions)],
  [/\b(?:arm|arms|first|second|control)\s*:\s*\[?$/, ({ study }) => ids(study?.arms)],
  [/\bposition\s*:\s*$/, ({ study }) => ids(study?.positions)],
  [/\bclub\s*:\s*$/, ({ study }) => ids(study?.clubs)],
  [/\.(?:array|column|get|select|groupby|orderby|columnIndex)\([^()]*$/, columns],
  [/\b(?:d|row)\[$/, columns],
];

/**
 * Words of the study's own files for a string that is being typed: names of studies, occasions,
 * arms, positions, clubs and columns, and ids of recorded findings.
 * @param before the cell up to the cursor
 * @param named names of studies that the notebook opens; all studies when it is empty
 * @returns undefined where the cursor is not in a string that takes such a word
 */
export function studyWords(
  root: string,
  notebooks: string,
  before: string,
  named: readonly string[],
): Offered | undefined {
  const line = before.slice(before.lastIndexOf("\n") + 1);
  const [, , typed] = openString.exec(line) ?? [];
  if (typed === undefined) return undefined;
  const around = before.slice(0, before.length - typed.length - 1);
  const words = wordsAt(root, notebooks, around, named);
  if (!words) return undefined;
  const candidates = [...new Set(words)].filter((word) => word.startsWith(typed)).sort();
  const start = before.length - typed.length;
  return { start, end: before.length, candidates };
}

function wordsAt(
  root: string,
  notebooks: string,
  around: string,
  named: readonly string[],
): string[] | undefined {
  if (/\b(?:openStudy|inspectStudy)\(\s*$/.test(around)) return studyNames(root);
  if (/\b(?:finding|findings|claim|figure|table)\(\s*$/.test(around)) return resultIds(notebooks);
  const place = places.find(([before]) => before.test(around));
  if (!place) return undefined;
  const studies = studyNames(root).filter((name) => named.length === 0 || named.includes(name));
  return studies.flatMap((name) => place[1](descriptorOf(root, name)));
}

function studyNames(root: string): string[] {
  const data = join(root, "data");
  return readdirSync(data).filter((name) => existsSync(join(data, name, "datapackage.json")));
}

function descriptorOf(root: string, name: string): Descriptor {
  return JSON.parse(readFileSync(join(root, "data", name, "datapackage.json"), "utf8"));
}

function ids(list: unknown): string[] {
  if (!Array.isArray(list)) return [];
  return list.flatMap((one: unknown) => {
    if (typeof one === "string") return [one];
    const id = (one as { id?: unknown } | null)?.id;
    return typeof id === "string" ? [id] : [];
  });
}

/** Columns that reading adds to those of the files. */
const added = ["week", "side", "force_kgf", "speed_mph", "speed_mps"];

function columns({ resources = [] }: Descriptor): string[] {
  const names = resources.flatMap(({ schema }) =>
    (schema?.fields ?? []).map((field) => String((field as { name?: unknown }).name)),
  );
  return [...names, ...added];
}

/** Ids of the findings, figures and tables that the notebooks of a folder recorded. */
function resultIds(folder: string): string[] {
  const files = readdirSync(folder).filter((name) => name.endsWith(".ipynb"));
  return files.flatMap((name) => {
    const { cells } = JSON.parse(readFileSync(join(folder, name), "utf8")) as SavedOutputs;
    const contents = cells.flatMap(({ outputs = [] }) =>
      outputs.flatMap(({ data = {} }) =>
        Object.entries(data)
          .filter(([type]) => type.startsWith("application/vnd.tautline."))
          .map(([, content]) => content),
      ),
    );
    return ids(contents);
  });
}

interface SavedOutputs {
  readonly cells: readonly { readonly outputs?: readonly { readonly data?: object }[] }[];
}
