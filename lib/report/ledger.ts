import { type Markup, markup, nothing } from "../markup.js";
import { linkTo, type SiteContext } from "./context.js";
import type { Stated } from "./finding-html.js";
import { ledgerRows } from "./ledger-rows.js";
import { type RecordedNotebook, shownOf } from "./recorded.js";

/** Every finding of a notebook with its place. */
export function statedIn(notebook: RecordedNotebook): Stated[] {
  return shownOf(notebook, "finding").map(({ cell, shown }) => ({
    notebook,
    cell,
    finding: shown.finding,
  }));
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
  const sets = ledgerRows(context, stated);
  const title = notebook.title;
  return markup`<div class="wide" role="region" tabindex="0" aria-label="Findings of ${title}"><table class="ledger"><caption><a href="${link}">${title}</a></caption><thead><tr>${head}</tr></thead>${sets}</table></div>`;
}
