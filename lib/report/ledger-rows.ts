import { itemAt } from "../entry.js";
import { type Markup, markup, nothing, proseHtml } from "../markup.js";
import { anchorOf, judgementOf, linkTo, type PageContext } from "./context.js";
import { axisSvg, type CordScale, cordSvg, isDrawable, scaleFor, sharedScales } from "./cord.js";
import {
  changedConclusionHtml,
  estimateHtml,
  ofAttributes,
  type Stated,
  smallPrint,
  traceHtml,
} from "./finding-html.js";
import { exceptionHtml } from "./result-state.js";

/** Where a ledger stands: in the notebook that states its findings, or on another page. */
export type LedgerPlace = "home" | "elsewhere";

/** One finding as a row: title and small print, estimate, cord. */
export function ledgerRow(
  context: PageContext,
  stated: Stated,
  scale: CordScale | undefined,
  place: LedgerPlace,
): Markup {
  const { notebook, finding } = stated;
  const anchor = anchorOf(notebook, "finding", finding.id);
  const title = proseHtml(finding.title);
  const named =
    place === "home"
      ? title
      : markup`<a href="${linkTo(context, notebook.slug, anchor)}">${title}</a>`;
  const id = place === "home" ? markup`id="${anchor}" ` : nothing;
  const trace = place === "home" ? traceHtml(context, stated) : nothing;
  const state = exceptionHtml(judgementOf(context, notebook.path, "finding", finding.id));
  return markup`<tr ${id}${ofAttributes(notebook, "finding", finding.id)}><th scope="row"><span class="title">${named}</span>${smallPrint(finding)}${changedConclusionHtml(finding)}${state}<span class="recomputed"></span>${trace}</th><td class="estimate">${estimateHtml(finding)}</td><td class="picture">${scale && isDrawable(finding) ? cordSvg(finding, scale) : ""}</td></tr>`;
}

function unitName(unit: string): string {
  return unit === "" || unit === "1" ? "no unit" : unit;
}

/** A set of findings that share one scale, with its axis under them where there is one to draw. */
function set(context: PageContext, rows: readonly Stated[], place: LedgerPlace): Markup {
  const drawn = rows.map(({ finding }) => finding).filter(isDrawable);
  const scale = drawn.length > 0 ? scaleFor(drawn) : undefined;
  const body = rows.map((stated) => ledgerRow(context, stated, scale, place));
  if (!scale) return markup`<tbody>${body}</tbody>`;
  const unit = unitName(itemAt(drawn, 0).unit);
  return markup`<tbody>${body}<tr class="axis"><td colspan="2"></td><td class="picture">${axisSvg(scale)}<small>${unit}</small></td></tr></tbody>`;
}

/** Findings as a table: those that can share a scale stand together, above its axis. */
export function ledgerHtml(
  context: PageContext,
  stated: readonly Stated[],
  label: string,
  place: LedgerPlace,
): Markup {
  if (stated.length === 0) return nothing;
  const sets = sharedScales(stated).map((rows) => set(context, rows, place));
  return markup`<table class="ledger" aria-label="${label}"><thead><tr><th scope="col">Result</th><th scope="col">Estimate (95 % CI)</th><th scope="col">Drawn</th></tr></thead>${sets}</table>`;
}
