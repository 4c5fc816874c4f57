import { glossary } from "../show/glossary.js";
import { escapeHtml, proseHtml } from "../show/markup.js";
import type { SitePage } from "./context.js";
import { termAnchor } from "./first-use.js";

/** All terms with their definitions: the place that first uses link to. */
export function glossaryPage(): SitePage {
  const items = glossary.map((one) => {
    const others = one.forms.length
      ? ` <small>also: ${one.forms.map(escapeHtml).join(", ")}</small>`
      : "";
    return `<div id="${termAnchor(one)}"><dt>${escapeHtml(one.term)}${others}</dt><dd>${proseHtml(one.says)}</dd></div>`;
  });
  return {
    name: "glossary",
    title: "Words of the trade",
    menu: "Glossary",
    html: `<p>The first use of each of these words on a page is linked to its place here.</p><dl class="glossary">${items.join("")}</dl>`,
  };
}
