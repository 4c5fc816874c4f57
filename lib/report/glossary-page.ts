import { markup, proseHtml } from "../markup.js";
import { glossary } from "../show/glossary.js";
import type { SitePage } from "./context.js";
import { termAnchor } from "./first-use.js";

/** All terms with their definitions: the place that first uses link to. */
export function glossaryPage(): SitePage {
  const items = glossary.map((one) => {
    const others = one.forms.length ? markup` <small>also: ${one.forms.join(", ")}</small>` : "";
    return markup`<div id="${termAnchor(one)}"><dt>${one.term}${others}</dt><dd>${proseHtml(one.says)}</dd></div>`;
  });
  return {
    name: "glossary",
    title: "Glossary",
    section: "glossary",
    html: markup`<p>The first use of each of these words on a page is linked to its place here.</p><dl class="glossary">${items}</dl>`,
  };
}
