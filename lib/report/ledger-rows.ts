import { itemAt } from "../entry.js";
import { type Markup, markup } from "../markup.js";
import { countWords } from "../show/answer-words.js";
import { plannedWords } from "../show/finding-words.js";
import { anchorOf, judgementOf, linkTo, type PageContext } from "./context.js";
import {
  intervalHtml,
  leaveOneOutHtml,
  ofAttributes,
  type Stated,
  valueHtml,
  verdictBadge,
} from "./finding-html.js";
import {
  isDrawable,
  type StripScale,
  scaleFor,
  scaleSvg,
  sharedScales,
  stripSvg,
} from "./strip.js";

function row(context: PageContext, stated: Stated, scale: StripScale | undefined): Markup {
  const { notebook, finding } = stated;
  const link = linkTo(context, notebook.slug, anchorOf(notebook, "finding", finding.id));
  const judged = judgementOf(context, notebook.path, "finding", finding.id);
  const check = context.verdict ? markup`<td class="check">${verdictBadge(judged)}</td>` : "";
  const { count, method } = finding;
  const plan = plannedWords(finding);
  const small = [`n = ${countWords(count)}`, method, ...(plan === undefined ? [] : [plan])].join(
    ", ",
  );
  return markup`<tr ${ofAttributes(notebook, "finding", finding.id)}><th scope="row"><a href="${link}">${finding.title}</a><small>${small}</small><span class="recomputed"></span></th><td class="value">${valueHtml(finding)}</td><td class="limits">${intervalHtml(finding)}${leaveOneOutHtml(finding)}</td><td class="picture">${scale ? stripSvg(finding, scale) : ""}</td>${check}</tr>`;
}

function unitName(unit: string): string {
  return unit === "" || unit === "1" ? "no unit" : unit;
}

/** A set of findings that share one scale, with the scale under them where there is one to draw. */
function set(context: PageContext, rows: readonly Stated[]): Markup {
  const findings = rows.map(({ finding }) => finding);
  const drawn = findings.length > 1 || findings.some(isDrawable);
  const scale = drawn ? scaleFor(findings) : undefined;
  const unit = unitName(itemAt(findings, 0).unit);
  const check = context.verdict ? markup`<td></td>` : "";
  const picture = scale ? markup`${scaleSvg(scale)}<small>${unit}</small>` : "";
  const axis = markup`<tr class="axis"><td colspan="3"></td><td class="picture">${picture}</td>${check}</tr>`;
  return markup`<tbody>${rows.map((stated) => row(context, stated, scale))}${axis}</tbody>`;
}

/** The findings as the rows of a ledger: those that can share a scale stand together, above it. */
export function ledgerRows(context: PageContext, stated: readonly Stated[]): Markup[] {
  return sharedScales(stated).map((rows) => set(context, rows));
}
