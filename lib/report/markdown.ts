import MarkdownIt from "markdown-it";
import { itemAt } from "../entry.js";
import { escapeHtml } from "../show/markup.js";

/**
 * Markdown of a notebook as markup. Raw HTML is shown as text, links keep to web addresses and
 * anchors, and pictures become their description, because a page loads nothing from outside.
 */
export function markdownHtml(source: string, prefix: string): string {
  const renderer = new MarkdownIt({ html: false, linkify: false, typographer: false });
  renderer.validateLink = (address: string) => /^(https?:|mailto:|#)/i.test(address.trim());
  renderer.renderer.rules.image = (tokens, i) =>
    `<em>[${escapeHtml(itemAt(tokens, i).content)}]</em>`;
  renderer.renderer.rules.heading_open = (tokens, i) => {
    const words = tokens[i + 1]?.content ?? "";
    return `<${lowered(itemAt(tokens, i).tag)} id="${prefix}-${anchor(words)}">`;
  };
  renderer.renderer.rules.heading_close = (tokens, i) => `</${lowered(itemAt(tokens, i).tag)}>`;
  renderer.renderer.rules.table_open = () => '<div class="wide" tabindex="0"><table>';
  renderer.renderer.rules.table_close = () => "</table></div>";
  return renderer.render(source);
}

/** The page has its own first heading: a notebook's other headings keep their rank below it. */
function lowered(tag: string): string {
  return tag === "h1" ? "h2" : tag;
}

function anchor(words: string): string {
  return words
    .toLowerCase()
    .replace(/[^a-z0-9]+/g, "-")
    .replace(/^-|-$/g, "")
    .slice(0, 60);
}
