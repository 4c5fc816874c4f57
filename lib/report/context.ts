import type { Markup } from "../markup.js";
import type { Judgement } from "../notebook/judgement.js";
import type { StudyAccount } from "../study/study-account.js";
import { distinctFileName, fileName } from "./file-name.js";
import type { StudyPapers } from "./papers.js";
import type { RecordedNotebook } from "./recorded.js";

/** What the last comparison with a re-run said, as `tautline verify` gives it. */
export interface SiteVerdict {
  /** The last comparison of each notebook that has one. */
  readonly notebooks: readonly {
    /** Path from the root. */
    readonly notebook: string;
    /** Day of the run, ISO date. */
    readonly on: string;
    /** Versions that it was made with. */
    readonly node: string;
    readonly library: string;
    /** What had been edited since the record, in clauses. */
    readonly edits: readonly string[];
    readonly judgements: readonly Pick<Judgement, "kind" | "id" | "verdict" | "difference">[];
  }[];
}

/** A program or package that made the results, with its version. */
export interface Part {
  /** Name of the program or package. */
  readonly name: string;
  /** Its version. */
  readonly version: string;
  /** What it is used for, in a clause. */
  readonly what: string;
}

/** Everything that the pages are made from. */
export interface SiteContext {
  /** The recorded notebooks, in the order of the pages. */
  readonly notebooks: readonly RecordedNotebook[];
  /** The studies that have pages on methods and checks. */
  readonly studies: readonly StudyAccount[];
  /** The last comparison with a re-run; left out when there was none. */
  readonly verdict?: SiteVerdict | undefined;
  /** The programs and packages that the pages name, with their versions. */
  readonly parts: readonly Part[];
  /** SVG texts of figures whose notebook holds no drawing, by drawing key. */
  readonly drawings: ReadonlyMap<string, string>;
  /** All pages are parts of one HTML file, so that links stay inside it. */
  readonly oneFile: boolean;
  /** The API reference lies in the report's folder, under reference/. */
  readonly reference?: boolean;
  /** What other commands wrote into the report's folder, by study. */
  readonly papers?: ReadonlyMap<string, StudyPapers>;
  /** The pages can run the notebooks again by themselves. */
  readonly recomputes: boolean;
  /** Why a notebook cannot be run in a page, by its slug. */
  readonly unable: ReadonlyMap<string, string>;
}

/** What a result's markup takes from the pages around it. */
export type PageContext = Pick<SiteContext, "oneFile" | "verdict">;

/** The parts of the site: each has one entry in the navigation. */
export type SiteSection = "study" | "lessons" | "methods" | "glossary";

/** One page before it is put into its frame. */
export interface SitePage {
  /** File name without extension. */
  readonly name: string;
  /** Heading of the page, also used for the title of the browser window. */
  readonly title: string;
  /** The part of the site that it belongs to. */
  readonly section: SiteSection;
  /** The line above the heading: where the page belongs, what the data are. */
  readonly eyebrow?: Markup | undefined;
  /** Content of the page below its heading. */
  readonly html: Markup;
  /** What stands beside the content on a wide screen, and below it on a narrow one. */
  readonly side?: Markup | undefined;
}

/** The address of a place: on another page, or further down the one file. */
export function linkTo(context: Pick<SiteContext, "oneFile">, page: string, id?: string): string {
  if (context.oneFile) return `#${id ?? `page-${page}`}`;
  return id ? `${page}.html#${id}` : `${page}.html`;
}

/** The anchor of a finding, figure, table or cell: unique over all pages. */
export function anchorOf(
  notebook: Pick<RecordedNotebook, "slug">,
  kind: string,
  id: string,
): string {
  return `${notebook.slug}-${kind}-${fileName(id)}`;
}

/** The file with a figure's numbers, in the report's folder. */
export function figureDataPath(notebook: Pick<RecordedNotebook, "slug">, id: string): string {
  return `assets/figures/${distinctFileName(`${notebook.slug}-figure-${id}`)}.csv`;
}

/** A judgement, and the edits that explain it. */
export type Judged = Pick<Judgement, "kind" | "id" | "verdict" | "difference"> & {
  readonly edits: readonly string[];
};

/** How a result stands since its record: an edit of the author's own is no failure to reproduce. */
export type CheckState = "reproduced" | "new" | "changed by an edit" | "not reproduced";

/** The state of a result after its last comparison with a re-run. */
export function checkState({ verdict, edits }: Pick<Judged, "verdict" | "edits">): CheckState {
  if (verdict === "same" || verdict === "within tolerance") return "reproduced";
  if (verdict === "new") return "new";
  return edits.length > 0 ? "changed by an edit" : "not reproduced";
}

/** What the last re-run said about one result, if there was one. */
export function judgementOf(
  context: Pick<SiteContext, "verdict">,
  notebook: string,
  kind: string,
  id: string,
): Judged | undefined {
  const run = context.verdict?.notebooks.find((one) => one.notebook === notebook);
  const found = run?.judgements.find((one) => one.kind === kind && one.id === id);
  return run && found && { ...found, edits: run.edits };
}

/** A study with its notebooks in their order. */
export interface StudyGroup {
  /** The study; undefined for notebooks that belong to no single study. */
  readonly study: StudyAccount | undefined;
  /** Its notebooks, one question each. */
  readonly notebooks: readonly RecordedNotebook[];
}

/** Notebooks that check the library's own numbers: they belong to methods, not to a study. */
export function isCheck({ path }: Pick<RecordedNotebook, "path">): boolean {
  return path.startsWith("notebooks/checks/");
}

/**
 * The studies, the one with the most notebooks first; notebooks about several studies last. Lessons
 * and checks of the library are about method, not about a study, and are not among them.
 */
export function studyGroups(context: Pick<SiteContext, "notebooks" | "studies">): StudyGroup[] {
  const groups = new Map<string, RecordedNotebook[]>();
  for (const notebook of context.notebooks) {
    if (notebook.lesson !== undefined || isCheck(notebook)) continue;
    const ofSeries = notebook.path.startsWith("notebooks/series/");
    const known = !ofSeries && context.studies.some(({ name }) => name === notebook.study);
    const name = known ? notebook.study : "";
    groups.set(name, [...(groups.get(name) ?? []), notebook]);
  }
  const weight = (name: string) => (name === "" ? 0 : (groups.get(name)?.length ?? 0));
  return [...groups.keys()]
    .sort((a, b) => weight(b) - weight(a))
    .map((name) => ({
      study: context.studies.find((one) => one.name === name),
      notebooks: groups.get(name) ?? [],
    }));
}

/** Name of a study's page. */
export function studyPageName({ name }: Pick<StudyAccount, "name">): string {
  return `study-${distinctFileName(name)}`;
}
