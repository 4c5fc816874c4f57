import { itemAt } from "../entry.js";
import { type Markup, markup, nothing } from "../markup.js";
import { anchorOf, judgementOf, linkTo, type SiteContext } from "./context.js";
import {
  intervalHtml,
  leaveOneOutHtml,
  ofAttributes,
  type Stated,
  valueHtml,
  verdictBadge,
} from "./finding-html.js";
import { type RecordedNotebook, shownOf } from "./recorded.js";
import {
  isDrawable,
  type StripScale,
  scaleFor,
  scaleSvg,
  sharedScales,
  stripSvg,
} from "./strip.js";

/** Every finding of a notebook with its place. */
export function statedIn(notebook: RecordedNotebook): Stated[] {
  return shownOf(notebook, "finding").map(({ cell, shown }) => ({
    notebook,
    cell,
    finding: shown.finding,
  }));
}

function row(context: SiteContext, stated: Stated, scale: StripScale | undefined): Markup {
  const { notebook, finding } = stated;
  const link = linkTo(context, notebook.slug, anchorOf(notebook, "finding", finding.id));
  const judged = judgementOf(context, notebook.path, "finding", finding.id);
  const check = context.verdict ? markup`<td class="check">${verdictBadge(judged)}</td>` : "";
  const { n, method } = finding;
  return markup`<tr ${ofAttributes(notebook, "finding", finding.id)}><th scope="row"><a href="${link}">${String(finding.says).replace(/:\s*$/, "")}</a><small>n = ${n}, ${method}</small><span class="recomputed"></span></th><td class="value">${valueHtml(finding)}</td><td class="limits">${intervalHtml(finding)}${leaveOneOutHtml(finding)}</td><td class="picture">${scale ? stripSvg(finding, scale) : ""}</td>${check}</tr>`;
}

function unitName(unit: string): string {
  return unit === "" || unit === "1" ? "no unit" : unit;
}

/** A set of findings that share one scale, with the scale under them where there is one to draw. */
function set(context: SiteContext, rows: readonly Stated[]): Markup {
  const findings = rows.map(({ finding }) => finding);
  const drawn = findings.length > 1 || findings.some(isDrawable);
  const scale = drawn ? scaleFor(findings) : undefined;
  const unit = unitName(itemAt(findings, 0).unit);
  const check = context.verdict ? markup`<td></td>` : "";
  const picture = scale ? markup`${scaleSvg(scale)}<small>${unit}</small>` : "";
  const axis = markup`<tr class="axis"><td colspan="3"></td><td class="picture">${picture}</td>${check}</tr>`;
  return markup`<tbody>${rows.map((stated) => row(context, stated, scale))}${axis}</tbody>`;
}

/** The findings of one notebook as a ledger: value, interval, strip on a common scale, last check. */
export function ledgerHtml(context: SiteContext, notebook: RecordedNotebook): Markup {
  const stated = statedIn(notebook);
  if (stated.length === 0) return nothing;
  const link = linkTo(context, notebook.slug);
  const names = ["Finding", "Value", "Interval, and with one left out", "Interval drawn"];
  const head = [...names, ...(context.verdict ? ["Last check"] : [])].map(
    (name) => markup`<th scope="col">${name}</th>`,
  );
  const sets = sharedScales(stated).map((rows) => set(context, rows));
  const title = notebook.title;
  return markup`<div class="wide" role="region" tabindex="0" aria-label="Findings of ${title}"><table class="ledger"><caption><a href="${link}">${title}</a></caption><thead><tr>${head}</tr></thead>${sets}</table></div>`;
}
