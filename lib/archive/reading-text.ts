import { compareTexts } from "../notebook/compare-text.js";

/**
 * What a person can read on a page, in order: the text between the tags, the texts that stand in
 * attributes, and the numbers of live figures. Programs and styles are left out.
 */
export function readableText(html: string): string {
  return html
    .replace(/<style[\s\S]*?<\/style>/gi, " ")
    .replace(/<script(?![^>]*application\/json)[\s\S]*?<\/script>/gi, " ")
    .replace(/<[^>]*>/g, (tag) => {
      const read = [...tag.matchAll(/\s(?:alt|aria-label|title|href)="([^"]*)"/g)];
      return ` ${read.map(([, text]) => text).join(" ")} `;
    })
    .replace(/\s+/g, " ")
    .trim();
}

/** How two texts differ, in a clause, with the words around the first place; undefined when equal. */
export function differenceOf(archived: string, rebuilt: string): string | undefined {
  const { verdict, reads } = compareTexts(archived, rebuilt);
  if (verdict === "same") return undefined;
  if (!reads) return "differs in the last digits of a number";
  return `reads ${JSON.stringify(reads[0])}, rebuilt it reads ${JSON.stringify(reads[1])}`;
}
