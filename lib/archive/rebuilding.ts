import { compareNotebooks } from "../notebook/compare.js";
import { parseNotebook } from "../notebook/nbformat.js";
import { withRenderedForms } from "../report/rendered-forms.js";
import { completeDrawings, type FigureOutput, withoutDrawings } from "../workspace/drawings.js";
import { changedData, changedProse, recordedData } from "../workspace/recording-hashes.js";
import type { CheckedArchive } from "./checking.js";
import type { ArchivedNotebook } from "./contents.js";
import { crateName, type Entity } from "./crate.js";
import { creditsOf } from "./credits.js";
import { type ArchiveSubject, withDescriptions } from "./descriptions.js";
import { type MakeReport, reportOf } from "./making.js";
import { partsOf } from "./program-list.js";
import { ArchiveFault } from "./reading.js";
import { differenceOf, readableText } from "./reading-text.js";
import type { ArchiveFiles } from "./zip.js";

/** A part of an archive that is not what the recorded outputs and the data in it make. */
export interface ArchiveDifference {
  /** Path of the part in the archive. */
  readonly path: string;
  /** What is different, in a clause. */
  readonly what: string;
}

/** What was made from an archive's records and compared with what lies in it. */
export interface RebuiltArchive {
  /** What differs, one entry per difference; empty when everything agrees. */
  readonly differences: readonly ArchiveDifference[];
  /** Number of pages of the report that were made again and compared. */
  readonly pages: number;
  /** Figures that were drawn again; none when other programs made the archive. */
  readonly drawings: number;
  /** Everything was compared byte by byte; otherwise by the texts and numbers that a person reads. */
  readonly exact: boolean;
}

/** Programs that make an archive's parts again. */
export interface RebuildTools {
  /** Makes the report of the notebooks below a root. */
  readonly makeReport: MakeReport;
  /** Reads the study of this name below a root. */
  readonly readStudy: (
    root: string,
    name: string,
  ) => Pick<ArchiveSubject, "study" | "descriptor"> & {
    readonly described: Readonly<Record<string, unknown>>;
  };
  /** Draws figures; their outputs come back with the drawing added. */
  readonly draw: (figures: FigureOutput[]) => Promise<FigureOutput[]>;
}

/**
 * Compares an archive with what its own recorded outputs and data make: drawings, pages, files of
 * numbers, descriptions. No notebook runs.
 * @param folder into which the data and notebooks of the archive were unpacked
 */
export async function rebuildFromRecords(
  checked: CheckedArchive,
  folder: string,
  tools: RebuildTools,
): Promise<RebuiltArchive> {
  const exact = checked.others.length === 0;
  const notebooks = checked.notebooks.map((path) => notebookIn(checked.files, path));
  const formed = await formDifferences(notebooks, exact ? tools.draw : undefined);
  const records = new Map(
    [...checked.files].filter(([path]) => /^(?:data|notebooks)\//.test(path)),
  );
  const problems: string[] = [];
  const pages = await reportOf(records, async (root, out) => {
    const made = await tools.makeReport(root, out, partsOf(checked.programs));
    problems.push(...made.problems);
  });
  const archived = new Map([...checked.files].filter(([path]) => path.startsWith("out/")));
  return {
    differences: [
      ...notebooks.flatMap((one) => ownDifferences(one, folder)),
      ...problems.map((what) => ({ path: "notebooks", what })),
      ...formed.differences,
      ...fileDifferences(archived, pages, exact),
      ...descriptionDifferences(checked, notebooks, folder, tools, exact),
    ],
    pages: [...pages.keys()].filter((path) => path.endsWith(".html")).length,
    drawings: formed.drawings,
    exact,
  };
}

function notebookIn(files: ArchiveFiles, path: string): ArchivedNotebook {
  const notebook = parseNotebook(textOf(files.get(path)));
  return { path, notebook, read: Object.keys(recordedData(notebook)) };
}

function textOf(content: Uint8Array | undefined): string {
  return new TextDecoder().decode(content);
}

/** Data and text cells that are not those a notebook says it was recorded with. */
function ownDifferences({ path, notebook }: ArchivedNotebook, folder: string): ArchiveDifference[] {
  const clauses = [...changedData(notebook, folder), ...changedProse(notebook)];
  return clauses.map((what) => ({ path, what }));
}

interface Formed {
  readonly differences: readonly ArchiveDifference[];
  readonly drawings: number;
}

/** Makes every form of every recorded result again from its own data; figures are drawn again. */
async function formDifferences(
  notebooks: readonly ArchivedNotebook[],
  draw: RebuildTools["draw"] | undefined,
): Promise<Formed> {
  const differences: ArchiveDifference[] = [];
  let drawings = 0;
  for (const { path, notebook } of notebooks) {
    const formed = withRenderedForms(notebook);
    const again = draw
      ? await completeDrawings(withoutDrawings(formed), (figures) => {
          drawings += figures.length;
          return draw(figures);
        })
      : formed;
    const { judgements } = compareNotebooks(notebook, again, { second: "its data" });
    for (const { kind, id, verdict, difference, cell } of judgements) {
      if (verdict === "same" || verdict === "within tolerance") continue;
      const what = `${kind} ${id} in cell ${cell.number}: ${difference ?? verdict}`;
      differences.push({ path, what });
    }
  }
  return { differences, drawings };
}

/** Files of one folder of the archive that are missing, more, or not as they are made again. */
function fileDifferences(
  archived: ArchiveFiles,
  rebuilt: ArchiveFiles,
  exact: boolean,
): ArchiveDifference[] {
  const missing = [...rebuilt.keys()]
    .filter((path) => !archived.has(path))
    .map((path) => ({ path, what: "is made from the records and missing in the archive" }));
  const others = [...archived.keys()]
    .filter((path) => !rebuilt.has(path))
    .map((path) => ({ path, what: "is in the archive, but the records do not make it" }));
  const changed = [...rebuilt].flatMap(([path, content]) => {
    const before = archived.get(path);
    const what = before && contentDifference(path, before, content, exact);
    return what === undefined ? [] : [{ path, what }];
  });
  return [...missing, ...others, ...changed];
}

/** Programs of the pages may differ with the versions; what a person reads may not. */
function contentDifference(
  path: string,
  before: Uint8Array,
  after: Uint8Array,
  exact: boolean,
): string | undefined {
  if (Buffer.from(before).equals(after)) return undefined;
  const isPage = path.endsWith(".html");
  if (!exact && !isPage && !/\.(?:csv|md|cff)$/.test(path)) return undefined;
  const [one, two] = [textOf(before), textOf(after)];
  const read = isPage ? differenceOf(readableText(one), readableText(two)) : differenceOf(one, two);
  return read ?? (exact ? "differs in its markup from the page that the records make" : undefined);
}

/** README.md, CITATION.cff and the metadata, written again from the data and the records. */
function descriptionDifferences(
  checked: CheckedArchive,
  notebooks: readonly ArchivedNotebook[],
  folder: string,
  { readStudy }: RebuildTools,
  exact: boolean,
): ArchiveDifference[] {
  const name = studyNamed(checked.files);
  const { study, descriptor, described } = readStudy(folder, name);
  const graph = graphIn(checked.files);
  const date = String(graph.find((entity) => entity["@id"] === "./")?.datePublished ?? "");
  const rest = new Map([...checked.files].filter(([path]) => !descriptions.has(path)));
  const subject = { name, study, descriptor, notebooks, date };
  const made = withDescriptions(subject, rest, creditsOf(described), checked.programs);
  const written = (files: ArchiveFiles) =>
    new Map([...files].filter(([path]) => path !== crateName && descriptions.has(path)));
  return [
    ...fileDifferences(written(checked.files), written(made), exact),
    ...metadataDifferences(graph, graphIn(made), exact),
    ...contextDifferences(metadataIn(checked.files), metadataIn(made)),
  ];
}

const descriptions = new Set(["README.md", "CITATION.cff", crateName]);

interface Metadata {
  readonly "@graph": Entity[];
  readonly [part: string]: unknown;
}

function metadataIn(files: ArchiveFiles): Metadata {
  return JSON.parse(textOf(files.get(crateName)));
}

function graphIn(files: ArchiveFiles): Entity[] {
  return metadataIn(files)["@graph"];
}

/** What stands beside the list of things described, which is their vocabulary. */
function contextDifferences(archived: Metadata, made: Metadata): ArchiveDifference[] {
  const beside = ({ "@graph": _, ...rest }: Metadata) => JSON.stringify(rest);
  const difference = differenceOf(beside(archived), beside(made));
  return difference ? [{ path: crateName, what: difference }] : [];
}

/** The name of the study's folder, from the description of the folder. */
function studyNamed(files: ArchiveFiles): string {
  const study = graphIn(files).find(
    (entity) => entity.name === "The study" && /^data\/[^/]+\/$/.test(entity["@id"]),
  );
  if (!study)
    throw new ArchiveFault(`${crateName} does not say which folder of data/ is the study`);
  return decodeURIComponent(study["@id"].slice("data/".length, -1));
}

/**
 * Entities and properties that differ. A version that describes more or less than this one is
 * compared by what both describe.
 */
function metadataDifferences(
  archived: readonly Entity[],
  made: readonly Entity[],
  exact: boolean,
): ArchiveDifference[] {
  const before = new Map(archived.map((entity) => [entity["@id"], entity]));
  const after = new Map(made.map((entity) => [entity["@id"], entity]));
  const ids = new Set([...before.keys(), ...after.keys()]);
  return [...ids].flatMap((id) => {
    const [one, two] = [before.get(id), after.get(id)];
    if (!one || !two) {
      const what = `${one ? "describes" : "does not describe"} ${JSON.stringify(id)}`;
      return exact ? [{ path: crateName, what }] : [];
    }
    return [...new Set([...Object.keys(one), ...Object.keys(two)])].flatMap((key) => {
      if (!exact && (one[key] === undefined || two[key] === undefined)) return [];
      const difference = differenceOf(valueText(one[key]), valueText(two[key]));
      return difference ? [{ path: crateName, what: `${key} of ${id} ${difference}` }] : [];
    });
  });
}

function valueText(value: unknown): string {
  return typeof value === "string" ? value : (JSON.stringify(value) ?? "");
}
