import MarkdownIt from "markdown-it";
import { itemAt } from "../entry.js";
import { type Markup, markup, trustedMarkup } from "../markup.js";

/**
 * Markdown of a notebook as markup. Raw HTML is shown as text, links keep to web addresses and
 * anchors, and pictures become their description, because a page loads nothing from outside.
 */
export function markdownHtml(source: string, prefix: string): Markup {
  const renderer = new MarkdownIt({ html: false, linkify: false, typographer: false });
  renderer.validateLink = (address: string) => /^(https?:|mailto:|#)/i.test(address.trim());
  renderer.renderer.rules.image = (tokens, i) =>
    String(markup`<em>[${itemAt(tokens, i).content}]</em>`);
  renderer.renderer.rules.heading_open = (tokens, i) => {
    const words = tokens[i + 1]?.content ?? "";
    return String(markup`<${lowered(itemAt(tokens, i).tag)} id="${headingAnchor(prefix, words)}">`);
  };
  renderer.renderer.rules.heading_close = (tokens, i) =>
    String(markup`</${lowered(itemAt(tokens, i).tag)}>`);
  renderer.renderer.rules.table_open = () => String(markup`<div class="wide" tabindex="0"><table>`);
  renderer.renderer.rules.table_close = () => String(markup`</table></div>`);
  return trustedMarkup(renderer.render(source));
}

/** The page has its own first heading: a notebook's other headings keep their rank below it. */
function lowered(tag: string): Markup {
  return trustedMarkup(tag === "h1" ? "h2" : tag);
}

/** The anchor of a heading, from its words as they stand in the Markdown. */
export function headingAnchor(prefix: string, words: string): string {
  const name = words
    .toLowerCase()
    .replace(/[^a-z0-9]+/g, "-")
    .replace(/^-|-$/g, "")
    .slice(0, 60);
  return `${prefix}-${name}`;
}
