import { type Markup, markup, nothing } from "../markup.js";
import { tableHtml } from "../show/table.js";
import { anchorOf, linkTo, type SiteContext } from "./context.js";
import { shownOf } from "./recorded.js";

/** Id of the recorded table that says how often intervals include the true value. */
const tableId = "coverage";

/**
 * How often the library's intervals include the true value: the table that a notebook recorded,
 * folded, with a link to it. Nothing where no notebook recorded one.
 */
export function coverageSection(context: SiteContext): Markup {
  for (const notebook of context.notebooks) {
    const found = shownOf(notebook, "table").find(({ shown }) => shown.table.id === tableId);
    if (!found) continue;
    const { table } = found.shown;
    const link = linkTo(context, notebook.slug, anchorOf(notebook, "table", tableId));
    return markup`<section><h2 id="methods-coverage">How often the intervals include the true value</h2><p>A 95 % interval should include the true value in 95 of 100 studies, and a test at 5 % should reject a true null hypothesis in 5. The table shows how often they did in simulated studies, by method, number of people and kind of data. It is recorded in <a href="${link}">${notebook.title}</a>.</p><details><summary>${table.rows.length} methods and sample sizes</summary><div class="wide" role="region" tabindex="0" aria-label="${table.caption}">${tableHtml(table)}</div></details></section>`;
  }
  return nothing;
}
