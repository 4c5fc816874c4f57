import { joined, type Markup, markup, proseHtml } from "../markup.js";
import type {
  AccountFile,
  AccountIssue,
  AccountSetAside,
  StudyAccount,
} from "../study/study-account.js";
import type { SiteContext, SitePage } from "./context.js";
import { methodsParts } from "./methods-parts.js";

const meanings: Readonly<Record<string, string>> = {
  stop: "the file cannot be used",
  error: "the row is left out",
  ask: "used, but please check it",
  note: "used as it is; for your information",
};

function scrolled({ title }: StudyAccount, label: string, table: Markup): Markup {
  return markup`<div class="wide" role="region" tabindex="0" aria-label="${label}, ${title}">${table}</div>`;
}

function headRow(names: readonly string[]): Markup {
  return markup`<thead><tr>${names.map((name) => markup`<th scope="col">${name}</th>`)}</tr></thead>`;
}

function fileRow({ path, rows, used, setAside }: AccountFile): Markup {
  const reasons = setAside.map(({ reason, rows: count }) => `${reason}: ${count}`);
  const aside = reasons.length > 0 ? joined(reasons, markup`<br>`) : "none";
  return markup`<tr><th scope="row">${path}</th><td class="number">${rows}</td><td class="number">${used}</td><td>${aside}</td></tr>`;
}

function filesHtml(study: StudyAccount): Markup {
  const counted = study.files.filter(({ rows }) => rows > 0);
  const body = counted.map(fileRow);
  return scrolled(
    study,
    "Rows by file",
    markup`<table><caption>Every row of every file is used or set aside with a reason</caption>${headRow(["File", "Rows", "Used", "Set aside"])}<tbody>${body}</tbody></table>`,
  );
}

function issueRow({ severity, file, row, column, message }: AccountIssue): Markup {
  return markup`<tr><td><span class="badge ${severity === "note" ? "none" : severity === "ask" ? "ask" : "bad"}">${severity}</span></td><td>${file}</td><td class="number">${row || "–"}</td><td>${column}</td><td>${proseHtml(message)}</td></tr>`;
}

function issuesHtml(study: StudyAccount): Markup {
  const { issues } = study;
  if (issues.length === 0) return markup`<p>The checks found nothing to report.</p>`;
  const kinds = Object.entries(meanings).filter(([kind]) =>
    issues.some(({ severity }) => severity === kind),
  );
  const meant = kinds.map(([kind, meaning]) => markup`<b>${kind}</b>: ${meaning}`);
  return markup`<p>${joined(meant, "; ")}.</p>${scrolled(
    study,
    "Found in the files",
    markup`<table><caption>Found in the files (${issues.length})</caption>${headRow(["Kind", "File", "Row", "Column", "What was found"])}<tbody>${issues.map(issueRow)}</tbody></table>`,
  )}`;
}

function asideRow({ file, row, participant, what, reason }: AccountSetAside): Markup {
  return markup`<tr><td>${file}</td><td class="number">${row}</td><td>${participant}</td><td>${what}</td><td>${proseHtml(reason)}</td></tr>`;
}

function asideHtml(study: StudyAccount): Markup {
  const { setAside } = study;
  if (setAside.length === 0) return markup`<p>No row is set aside.</p>`;
  return scrolled(
    study,
    "Rows set aside",
    markup`<table><caption>Rows set aside (${setAside.length})</caption>${headRow(["File", "Row", "Participant", "Trial", "Reason"])}<tbody>${setAside.map(asideRow)}</tbody></table>`,
  );
}

function studyChecks(study: StudyAccount): Markup {
  return markup`<section><h2>${study.title}</h2>${filesHtml(study)}${issuesHtml(study)}${asideHtml(study)}</section>`;
}

/** What the check found in the raw files, and which rows no analysis uses. */
export function checksPage(context: SiteContext): SitePage {
  const html = context.studies.map(studyChecks);
  return {
    name: "data-checks",
    title: "Data checks",
    section: "methods",
    html: markup`${methodsParts(context)}${html.length > 0 ? html : markup`<p>No study is recorded.</p>`}`,
  };
}
