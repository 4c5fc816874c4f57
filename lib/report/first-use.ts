import { type Markup, markup, trustedMarkup } from "../markup.js";
import { glossary, type Term } from "../show/glossary.js";
import { termFor } from "../show/terms.js";

/** The anchor of a term on the glossary's page. */
export function termAnchor({ term }: Pick<Term, "term">): string {
  return `term-${term.toLowerCase().replace(/[^a-z0-9]+/g, "-")}`;
}

const forms = glossary
  .flatMap(({ term, forms: others }) => [term, ...others])
  .sort((a, b) => b.length - a.length); // the longest wording that fits is the one meant

const anyTerm = new RegExp(
  `(?<![\\p{L}\\p{N}-])(?:${forms
    .map((form) =>
      String(markup`${form}`)
        .replace(/[.*+?^${}()|[\]\\]/g, "\\$&")
        .replace(/ /g, "(?: |&nbsp;)"),
    )
    .join("|")})(?![\\p{L}\\p{N}-])`,
  "giu",
);

/** Elements in whose text no link is made. */
const closed = /^<(\/?)(?:a|code|pre|h[1-6]|summary|button|label|script|style|svg)\b/i;

/**
 * Links the first use of each of the glossary's terms to its definition.
 * @param html markup as the page renders prose
 * @param seen terms already explained on this page; those found here are added
 * @param link address of a term's place in the glossary
 */
export function withFirstUses(
  html: Markup,
  seen: Set<string>,
  link: (anchor: string) => string,
): Markup {
  let inside = 0;
  const linkedParts = String(html)
    .split(/(<[^>]*>)/)
    .map((part) => {
      const bounds = closed.exec(part);
      if (bounds) inside += bounds[1] ? -1 : 1;
      return part.startsWith("<") || inside > 0 ? part : linked(part, seen, link);
    })
    .join("");
  return trustedMarkup(linkedParts);
}

function linked(text: string, seen: Set<string>, link: (anchor: string) => string): string {
  return text.replace(anyTerm, (word) => {
    const found = termFor(word.replaceAll("&nbsp;", " ").replaceAll("&#39;", "'"));
    if (!found || seen.has(found.term)) return word;
    seen.add(found.term);
    return String(
      markup`<a class="term" href="${link(termAnchor(found))}" title="${found.says}">${trustedMarkup(word)}</a>`,
    );
  });
}
