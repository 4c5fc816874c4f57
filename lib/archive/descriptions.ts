import { posix } from "node:path";
import type { Study } from "../study/study.js";
import { citationText } from "./citation.js";
import type { ArchivedNotebook } from "./contents.js";
import { crateMetadata, crateName } from "./crate.js";
import type { CrateFile, CrateFolder, CrateProgram, CrateRun } from "./crate-parts.js";
import { type Credits, notebookDay } from "./credits.js";
import { sha256 } from "./hashes.js";
import { type LibraryForm, type LibraryIdentity, libraryIdentity } from "./library-form.js";
import { lockfileName, pagePrograms } from "./program-list.js";
import { readmeText } from "./readme.js";
import type { ArchiveFiles } from "./zip.js";

/** What an archive describes. */
export interface ArchiveSubject {
  /** Name of the study's folder in data/. */
  readonly name: string;
  /** The opened study. */
  readonly study: Study;
  /** Path of the study's descriptor, relative to the root. */
  readonly descriptor: string;
  /** The recorded notebooks of the study. */
  readonly notebooks: readonly ArchivedNotebook[];
  /** Day of the archive, year-month-day. */
  readonly date: string;
}

const apache = { url: "https://spdx.org/licenses/Apache-2.0", name: "Apache-2.0" };

/** Adds the files that describe an archive: README.md, CITATION.cff and the crate's metadata. */
export function withDescriptions(
  subject: ArchiveSubject,
  files: ArchiveFiles,
  credits: Credits,
  programs: readonly CrateProgram[],
): Map<string, Uint8Array> {
  const { study, name, date } = subject;
  const content = new Map(files);
  const put = (path: string, text: string) => content.set(path, new TextEncoder().encode(text));
  put("CITATION.cff", citation(subject, credits));
  const library = libraryIdentity(files);
  put("README.md", readme(subject, credits, programs, library));
  const described = [...content]
    .sort(([a], [b]) => (a < b ? -1 : 1))
    .map(([path, bytes]) => crateFile(path, bytes, subject));
  const crate = crateMetadata({
    name: study.title,
    description: descriptionOf(credits, study),
    version: credits.version,
    keywords: credits.keywords,
    date,
    licences: credits.licences,
    contributors: credits.contributors,
    files: described.map((file) => withDay(file, subject)),
    folders: foldersOf(described, name, library.form),
    programs,
    runs: runsOf(subject, programs),
  });
  put(crateName, `${JSON.stringify(crate, null, 1)}\n`);
  return content;
}

function descriptionOf({ description }: Credits, { question, simulated, title }: Study): string {
  const invented = simulated ? "The data are invented: nobody was tested." : "";
  const about = [question, description].filter((part) => part !== "").join(" ");
  const rest = "With raw data, notebooks and their recorded results, report, library and hashes.";
  return [about || title, about.includes("nobody was tested") ? "" : invented, rest]
    .filter((part) => part !== "")
    .join(" ");
}

function citation({ descriptor, date, study }: ArchiveSubject, credits: Credits): string {
  return citationText({
    title: study.title,
    abstract: descriptionOf(credits, study),
    version: credits.version,
    date,
    licences: credits.licences,
    contributors: credits.contributors,
    keywords: credits.keywords,
    authorsGoTo: descriptor,
  });
}

function readme(
  { name, notebooks, study }: ArchiveSubject,
  { licences }: Credits,
  versions: readonly CrateProgram[],
  library: LibraryIdentity,
): string {
  const { title, question, simulated, cautions } = study;
  return readmeText({
    title,
    study: name,
    question,
    simulated,
    cautions,
    notebooks: notebooks.map(({ path }) => path),
    licences: licences.map((licence) => licence.name),
    versions: versions.filter(({ url }) => url !== lockfileName),
    archive: `${name}.zip`,
    library,
  });
}

const mediaTypes: Readonly<Record<string, string>> = {
  css: "text/css",
  csv: "text/csv",
  html: "text/html",
  ipynb: "application/x-ipynb+json",
  js: "text/javascript",
  json: "application/json",
  md: "text/markdown",
  ts: "text/x.typescript",
  cff: "text/yaml",
  xlsx: "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet",
};

function crateFile(path: string, content: Uint8Array, subject: ArchiveSubject): CrateFile {
  const ending = /\.([a-z]+)$/.exec(path)?.[1] ?? "";
  return {
    path,
    name: nameOf(path, posix.basename(subject.descriptor)),
    mediaType: mediaTypes[ending] ?? (ending === "" ? "text/plain" : "application/octet-stream"),
    bytes: content.length,
    sha256: sha256(content),
  };
}

/** A notebook changed last on the latest day of its own list of changes. */
function withDay(file: CrateFile, { notebooks }: ArchiveSubject): CrateFile {
  const archived = notebooks.find(({ path }) => path === file.path);
  const modified = archived && notebookDay(archived.notebook);
  return modified === undefined ? file : { ...file, modified };
}

const names: Readonly<Record<string, string>> = {
  "README.md": "What the archive is and how to run it again",
  "CITATION.cff": "How to cite the archive",
  "package.json": "What npm installs and runs",
  "package-lock.json": "Exact versions of everything the library needs",
  "out/index.html": "The report: first page",
};

function nameOf(path: string, descriptorName: string): string {
  if (names[path]) return names[path];
  if (path.endsWith(`/${descriptorName}`)) return `Data dictionary, design and plan: ${path}`;
  if (path.endsWith(".ipynb")) return `Notebook with its recorded results: ${path}`;
  return path;
}

const libraryDescription: Readonly<Record<LibraryForm, string>> = {
  source: "Source of the library that computed every result",
  built: "The library that computed every result, built, without its sources",
};

function foldersOf(files: readonly CrateFile[], study: string, form: LibraryForm): CrateFolder[] {
  const data = new Set(files.flatMap(({ path }) => /^data\/[^/]+\//.exec(path)?.[0] ?? []));
  const folders: CrateFolder[] = [
    ...[...data].sort().map((path) => ({
      path,
      name: path === `data/${study}/` ? "The study" : `Data: ${path}`,
      description:
        path === `data/${study}/`
          ? "Raw trials as they were recorded, with the data dictionary, the design and the plan"
          : "Figures from the literature that notebooks read, with their sources",
    })),
    {
      path: "lib/",
      name: "Library",
      description: libraryDescription[form],
      licence: apache,
    },
    {
      path: "notebooks/",
      name: "Notebooks",
      description: "The analysis as TypeScript in Jupyter notebooks, with recorded results",
    },
    {
      path: "out/",
      name: "Report",
      description: "Pages made from the recorded results; they need no network",
    },
  ];
  return folders.filter(({ path }) => files.some((file) => file.path.startsWith(path)));
}

function runsOf({ notebooks }: ArchiveSubject, programs: readonly CrateProgram[]): CrateRun[] {
  const paths = notebooks.map(({ path }) => path);
  return [
    ...notebooks.map(({ path, read }) => ({
      name: `Run of ${path}`,
      description: `Ran every cell of ${path} in a fresh kernel and recorded what it showed`,
      read,
      made: [path],
      programs: ["tautline", "Node.js", "tslab"],
    })),
    {
      name: "Report of the notebooks",
      description: "Made the report from the recorded notebooks",
      read: paths,
      made: ["out/"],
      programs: pagePrograms(programs),
    },
  ];
}
