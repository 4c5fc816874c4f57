import { existsSync, readdirSync } from "node:fs";
import { join } from "node:path";
import { joined, type Markup, markup, nothing } from "../markup.js";
import { fileName } from "./file-name.js";

/** What other commands wrote about a study into the report's folder: paths inside it. */
export interface StudyPapers {
  /** The coach's page. */
  readonly coach?: string;
  /** The golfers' sheets, in the order of their codes. */
  readonly golfers: readonly string[];
  /** The recording form. */
  readonly form?: string;
  /** The manuscript as a Word document. */
  readonly manuscript?: string;
  /** The archive. */
  readonly archive?: string;
}

/** The papers of a study that lie in the report's folder now. */
export function papersIn(out: string, study: string): StudyPapers {
  const there = (path: string) => (existsSync(join(out, path)) ? path : undefined);
  const handouts = `handouts/${study}`;
  const names = existsSync(join(out, handouts)) ? readdirSync(join(out, handouts)) : [];
  const golfers = names.filter((name) => /^golfer-.+\.html$/.test(name)).sort();
  const found = {
    coach: there(`${handouts}/coach.html`),
    form: there(`forms/${study}/form.html`),
    manuscript: there(`${study}/manuscript.docx`),
    archive: there(`${study}.zip`),
  };
  const present = Object.entries(found).filter(([, path]) => path !== undefined);
  return {
    ...(Object.fromEntries(present) as Partial<Record<keyof typeof found, string>>),
    golfers: golfers.map((name) => `${handouts}/${name}`),
  };
}

function address(path: string): string {
  return path.split("/").map(encodeURIComponent).join("/");
}

function codeOf(path: string): string {
  return path.replace(/^.*\/golfer-/, "").replace(/\.html$/, "");
}

/** The papers of a study: a link where the file is there, else the command that writes it. */
export function papersHtml(study: string, papers: StudyPapers): Markup {
  const line = (title: string, path: string | undefined, command: string) =>
    path === undefined
      ? markup`<li>${title}: <code>tautline ${command} ${fileName(study)}</code></li>`
      : markup`<li><a href="${address(path)}">${title}</a></li>`;
  const sheets = papers.golfers.map(
    (path) => markup`<a href="${address(path)}">${codeOf(path)}</a>`,
  );
  const golfers =
    sheets.length === 0
      ? nothing
      : markup`<li><details class="further"><summary>Sheets of ${sheets.length} golfers</summary>${joined(sheets, " · ")}</details></li>`;
  return markup`<ul class="parts">${line("Coach's page", papers.coach, "handouts")}${golfers}${line("Manuscript", papers.manuscript, "manuscript")}${line("Archive for a journal", papers.archive, "archive")}${line("Recording form", papers.form, "form")}</ul>`;
}
