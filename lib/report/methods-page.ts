import { joined, type Markup, markup, nothing, proseHtml } from "../markup.js";
import { analysisDone, primarySentences, ruleSentences } from "../show/analysis-done.js";
import { percentLevel, withUnit } from "../show/wording.js";
import type { StudyAccount } from "../study/study-account.js";
import { anchorOf, linkTo, type SiteContext, type SitePage, studyGroups } from "./context.js";
import { coverageSection } from "./coverage-section.js";
import { recordedFindings, statedIn } from "./ledger.js";
import { methodsParts } from "./methods-parts.js";
import type { RecordedNotebook } from "./recorded.js";
import { certItems, consortItems, type FilledItem, filled } from "./reporting-items.js";

function list(items: readonly string[]): string {
  return items.length < 2
    ? (items[0] ?? "")
    : `${items.slice(0, -1).join(", ")} and ${items.at(-1)}`;
}

function counted(count: number, one: string, many = `${one}s`): string {
  return `${count} ${count === 1 ? one : many}`;
}

function designSentences({ design, flow, simulated }: StudyAccount): string[] {
  const arms = list(
    design.arms.map(({ title, control }) => (control ? `${title} as control` : title)),
  );
  const weeks = list(design.occasions.map(({ week }) => `week ${week}`));
  const positions = list(
    design.positions.map(({ title, how }) => (how ? `${title} (${how})` : title)),
  );
  return [
    ...(simulated ? ["The data are invented: a simulator made them, and nobody was tested."] : []),
    `${counted(flow.enrolled, "person", "people")} in ${counted(design.arms.length, "arm")}: ${arms}.`,
    `Measured in ${weeks}.`,
    `Grip force of the ${list(design.hands.map((hand) => `${hand} hand`))} in ${counted(design.positions.length, "position")}${positions ? `: ${positions}` : ""}, ${counted(design.gripTrials, "trial")} each${design.restSeconds ? ` with at least ${design.restSeconds} s between two trials of one hand` : ""}.`,
    `Club speed in ${counted(design.swings, "swing")}${design.clubs.length ? ` with ${list(design.clubs)}` : ""}.`,
  ];
}

function planSentences({ plan }: StudyAccount): string[] {
  const worthwhile = Object.entries(plan.smallestWorthwhile).map(worthwhileText);
  return [
    `Plan: one value per golfer, visit, hand and position; grip by the ${plan.gripRule}, speed by the ${plan.speedRule}.`,
    ...(plan.primary ? [`Primary comparison: ${plan.primary}.`] : []),
    `Intervals at ${percentLevel(plan.level)}. Random numbers start from seed ${plan.seed}.`,
    ...(worthwhile.length ? [`Smallest worthwhile change: ${worthwhile.join(", ")}.`] : []),
    ...(plan.decidedOn ? [`Decided on ${plan.decidedOn}.`] : []),
  ];
}

/** "grip_kgf": 1.5 reads "grip 1.5 kgf". */
function worthwhileText([name, value]: [string, number]): string {
  const [, quantity = name, unit = ""] = /^(.*)_([^_]+)$/.exec(name) ?? [];
  return `${quantity} ${withUnit(String(value), unit)}`;
}

function changesHtml({ changes, title }: StudyAccount): Markup {
  if (changes.length === 0) return markup`<p>No change to the plan is recorded.</p>`;
  const rows = changes.map(
    ({ on, what, why }) =>
      markup`<tr><td class="day">${on}</td><td>${proseHtml(what)}</td><td>${proseHtml(why)}</td></tr>`,
  );
  return markup`<div class="wide" role="region" tabindex="0" aria-label="Changes to the plan of ${title}"><table><caption>Changes to the plan</caption><thead><tr><th scope="col">Day</th><th scope="col">Change</th><th scope="col">Reason</th></tr></thead><tbody>${rows}</tbody></table></div>`;
}

function methodsUsed(
  context: SiteContext,
  title: string,
  notebooks: readonly RecordedNotebook[],
): Markup {
  const used = new Map<string, { method: string; rule: string; links: Markup[] }>();
  for (const { notebook, finding } of notebooks.flatMap(statedIn)) {
    const { method, rule = "" } = finding;
    const link = linkTo(context, notebook.slug, anchorOf(notebook, "finding", finding.id));
    const key = JSON.stringify([method, rule]);
    const links = used.get(key)?.links ?? [];
    const item = markup`<a href="${link}">${finding.title}</a>`;
    used.set(key, { method, rule, links: [...links, item] });
  }
  if (used.size === 0) return nothing;
  const rows = [...used.values()].map(
    ({ method, rule, links }) =>
      markup`<tr><th scope="row">${method}</th><td>${rule || "–"}</td><td><ul class="plain">${links.map((link) => markup`<li>${link}</li>`)}</ul></td></tr>`,
  );
  const methods = new Set([...used.values()].map(({ method }) => method)).size;
  return markup`<details><summary>${methods} methods with their rules and findings</summary><div class="wide" role="region" tabindex="0" aria-label="Methods of ${title} by finding"><table class="methods"><thead><tr><th scope="col">Method</th><th scope="col">One value by</th><th scope="col">Findings</th></tr></thead><tbody>${rows}</tbody></table></div></details>`;
}

const origins = {
  record: "from the record",
  statement: "stated by the authors",
  missing: "missing",
} as const;

function itemRow({ id, matter, says, from }: FilledItem): Markup {
  const words = says ? proseHtml(says) : "";
  return markup`<tr class="${from}"><th scope="row">${id}</th><td>${matter}</td><td>${words} <span class="badge ${from === "missing" ? "bad" : "good"}">${origins[from]}</span></td></tr>`;
}

function itemsHtml(
  study: StudyAccount,
  title: string,
  source: string,
  items: readonly FilledItem[],
): Markup {
  const missing = items.filter(({ from }) => from === "missing");
  const count = `${items.length - missing.length} of ${items.length} stated`;
  const left = missing.map(({ id, matter }) => markup`<li>${id}: ${matter}</li>`);
  const list =
    left.length > 0 ? markup`<p>Missing:</p><ul>${left}</ul>` : markup`<p>No item is missing.</p>`;
  const head = markup`<thead><tr><th scope="col">Item</th><th scope="col">Matter</th><th scope="col">What the record says</th></tr></thead>`;
  return markup`<details class="checklist"><summary>${title}: ${count}</summary>${list}<div class="wide" role="region" tabindex="0" aria-label="${title}, ${study.title}"><table class="items"><caption>${source}</caption>${head}<tbody>${items.map(itemRow)}</tbody></table></div></details>`;
}

function studyMethods(context: SiteContext, study: StudyAccount): Markup {
  const notebooks =
    studyGroups(context).find((group) => group.study?.name === study.name)?.notebooks ?? [];
  const findings = notebooks.flatMap(recordedFindings);
  const done = analysisDone(study.plan, findings);
  const made =
    findings.length > 0
      ? [...primarySentences(done), ...ruleSentences(done)]
      : ["No finding is recorded yet."];
  const paragraphs = [designSentences(study), planSentences(study), made].map(
    (sentences) => markup`<p>${joined(sentences.map(proseHtml), " ")}</p>`,
  );
  const consort = itemsHtml(
    study,
    "CONSORT 2025",
    "Hopewell et al. 2025, PLoS Med 22(4):e1004587; the items a small training study should state.",
    filled(consortItems, "consort", { ...study, done }),
  );
  const cert = itemsHtml(
    study,
    "CERT",
    "Slade et al. 2016, Br J Sports Med 50(23):1428.",
    filled(certItems, "cert", { ...study, done }),
  );
  return markup`<section><h2 id="methods-${study.name}">${study.title}</h2>${paragraphs}${changesHtml(study)}${methodsUsed(context, study.title, notebooks)}<h3>Reporting checklists</h3><p>Items come from two reporting guidelines, in our words. An item that neither the files nor the authors state is marked missing; authors state one under <code>study.statements</code> in <code>datapackage.json</code>.</p>${consort}${cert}</section>`;
}

/** Methods in sentences made from the record, and what reporting guidelines ask for. */
export function methodsPage(context: SiteContext): SitePage {
  const html = context.studies.map((study) => studyMethods(context, study));
  const reference = context.reference
    ? markup`<p>The <a href="reference/index.html">API reference</a> describes every function with its formula, units and source.</p>`
    : nothing;
  return {
    name: "methods",
    title: "Methods",
    section: "methods",
    html: markup`${methodsParts(context)}${html.length > 0 ? html : markup`<p>No study is recorded.</p>`}${context.studies.length > 0 ? coverageSection(context) : nothing}${reference}`,
  };
}
