import { escapeHtml, proseHtml } from "../show/markup.js";
import type { SiteContext, SitePage } from "./context.js";
import type { AccountFile, AccountIssue, AccountSetAside, StudyAccount } from "./study-account.js";

const meanings: Readonly<Record<string, string>> = {
  stop: "the file cannot be used",
  error: "the row is left out",
  ask: "used, but a person should look",
  note: "used; worth knowing",
};

function scrolled({ title }: StudyAccount, label: string, table: string): string {
  return `<div class="wide" role="region" tabindex="0" aria-label="${escapeHtml(`${label}, ${title}`)}">${table}</div>`;
}

function headRow(names: readonly string[]): string {
  return `<thead><tr>${names.map((name) => `<th scope="col">${name}</th>`).join("")}</tr></thead>`;
}

function fileRow({ path, rows, used, setAside }: AccountFile): string {
  const aside =
    setAside.map(({ reason, rows: count }) => `${escapeHtml(reason)}: ${count}`).join("<br>") ||
    "none";
  return `<tr><th scope="row">${escapeHtml(path)}</th><td class="number">${rows}</td><td class="number">${used}</td><td>${aside}</td></tr>`;
}

function filesHtml(study: StudyAccount): string {
  const counted = study.files.filter(({ rows }) => rows > 0);
  const body = counted.map(fileRow).join("");
  return scrolled(
    study,
    "Rows by file",
    `<table><caption>Every row of every file is used or set aside with a reason</caption>${headRow(["File", "Rows", "Used", "Set aside"])}<tbody>${body}</tbody></table>`,
  );
}

function issueRow({ severity, file, row, column, message }: AccountIssue): string {
  return `<tr><td><span class="badge ${severity === "note" ? "none" : severity === "ask" ? "ask" : "bad"}">${escapeHtml(severity)}</span></td><td>${escapeHtml(file)}</td><td class="number">${row || "–"}</td><td>${escapeHtml(column)}</td><td>${proseHtml(message)}</td></tr>`;
}

function issuesHtml(study: StudyAccount): string {
  const { issues } = study;
  if (issues.length === 0) return "<p>The checks found nothing to report.</p>";
  const kinds = Object.entries(meanings).filter(([kind]) =>
    issues.some(({ severity }) => severity === kind),
  );
  const legend = kinds.map(([kind, meaning]) => `<b>${kind}</b>: ${meaning}`).join("; ");
  return `<p>${legend}.</p>${scrolled(
    study,
    "Found in the files",
    `<table><caption>Found in the files (${issues.length})</caption>${headRow(["Weight", "File", "Row", "Column", "What"])}<tbody>${issues.map(issueRow).join("")}</tbody></table>`,
  )}`;
}

function asideRow({ file, row, participant, what, reason }: AccountSetAside): string {
  return `<tr><td>${escapeHtml(file)}</td><td class="number">${row}</td><td>${escapeHtml(participant)}</td><td>${escapeHtml(what)}</td><td>${proseHtml(reason)}</td></tr>`;
}

function asideHtml(study: StudyAccount): string {
  const { setAside } = study;
  if (setAside.length === 0) return "<p>No row is set aside.</p>";
  return scrolled(
    study,
    "Rows set aside",
    `<table><caption>Rows set aside (${setAside.length})</caption>${headRow(["File", "Row", "Participant", "Which", "Reason"])}<tbody>${setAside.map(asideRow).join("")}</tbody></table>`,
  );
}

function studyChecks(study: StudyAccount): string {
  return `<section><h2>${escapeHtml(study.title)}</h2>${filesHtml(study)}${issuesHtml(study)}${asideHtml(study)}</section>`;
}

/** What the intake found in the raw files, and which rows no analysis uses. */
export function checksPage(context: SiteContext): SitePage {
  const html = context.studies.map(studyChecks).join("");
  return {
    name: "data-checks",
    title: "Data checks",
    menu: "Data checks",
    html: html || "<p>No study is recorded.</p>",
  };
}
