import type { Markup } from "../../markup.js";

/** What changes with every check and is no part of a result. */
const ofTheCheck = "script, .badge, .recomputed, .check, .download, [data-run]";

function plain(text: string): string {
  return text.replace(/\s+/g, " ").trim();
}

/** Words of an attribute that a person hears or sees. */
const readAttributes = ["alt", "aria-label", "title"];

/**
 * What a person reads in an element, piece by piece: its texts, what a screen reader says of it, and
 * every line of its small drawings with its place.
 */
function piecesOf(element: Element): string[] {
  if (element.matches(ofTheCheck)) return [];
  const isDrawn = element.closest("svg") !== null;
  const attributes = [...element.attributes]
    .filter(({ name }) => isDrawn || readAttributes.includes(name))
    .map(({ name, value }) => (isDrawn ? `${element.localName} ${name} ${value}` : plain(value)));
  const inside = [...element.childNodes].flatMap((node) => {
    if (node instanceof Element) return piecesOf(node);
    const text = node.nodeType === Node.TEXT_NODE ? plain(node.textContent ?? "") : "";
    return text === "" ? [] : [text];
  });
  return [...attributes, ...inside];
}

/** The first piece that is not the same in two elements: what the page reads, and what it should. */
export function firstApart(shown: Element, expected: Element): [string, string] | undefined {
  const [one, two] = [piecesOf(shown), piecesOf(expected)];
  for (let i = 0; i < Math.max(one.length, two.length); i++) {
    if (one[i] !== two[i]) return [one[i] ?? "nothing", two[i] ?? "nothing"];
  }
  return undefined;
}

/** An element from markup, read by the same parser as the page; it runs nothing and is not shown. */
export function elementFrom(html: Markup): Element | undefined {
  const template = document.createElement("template");
  template.innerHTML = String(html);
  return template.content.firstElementChild ?? undefined;
}
