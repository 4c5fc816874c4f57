import type { Markup } from "../../markup.js";

/** What changes with every check and is no part of a result. */
const ofTheCheck = "script, .badge, .recomputed, .check, .download, [data-run]";

function plain(text: string): string {
  return text.replace(/\s+/g, " ").trim();
}

/** Attributes whose words a person hears or sees, or that hide or strike out what stands there. */
const readAttributes = ["alt", "aria-label", "title", "class", "style", "hidden"];

/** A style as the browser understands it, in one order; a theme's colour goes by its name. */
function styleOf(element: Element): string {
  const { style } = element as SVGElement;
  return [...style]
    .sort()
    .map(
      (name) => `${name}: ${style.getPropertyValue(name).replace(/var\((--[\w-]+),.*\)$/, "$1")}`,
    )
    .join("; ");
}

/** Numbers for the ids of a drawing, in their order: what they are called differs from page to page. */
function idsIn(drawing: Element): Map<string, string> {
  const all = [drawing, ...drawing.querySelectorAll("[id]")].filter(({ id }) => id !== "");
  return new Map(all.map(({ id }, i) => [id, String(i + 1)]));
}

/** A name that plotly makes up for each trace. */
const madeUp = /\btrace[0-9a-f]{6}\b/;

/** Whether a group does nothing but say the look of its points once. */
function sharedLook(group: Element | null): boolean {
  return (
    group?.localName === "g" &&
    group.getAttributeNames().join() === "style" &&
    [...group.children].every((child) => child.matches("path.point:not([style])"))
  );
}

/** What is drawn by one element: its kind, every attribute and its style. */
function drawnPieces(element: Element, ids: ReadonlyMap<string, string>): string[] {
  const attributes = [...element.attributes]
    .filter(({ name }) => !name.startsWith("xmlns") && name !== "style")
    .map(({ name, value }) => {
      const named = name === "id" ? (ids.get(value) ?? value) : value.replace(madeUp, "");
      return `${name} ${named.replace(/url\(#([^)]*)\)/g, (_, id) => `url(${ids.get(id) ?? id})`)}`;
    })
    .sort();
  const look = sharedLook(element.parentElement) ? element.parentElement : element;
  const style = look?.hasAttribute("style") ? [`style ${styleOf(look)}`] : [];
  const name = element.localName;
  return [...attributes, ...style].map((piece) => `${name} ${piece}`);
}

function writtenPieces(element: Element): string[] {
  return [...element.attributes]
    .filter(({ name }) => readAttributes.includes(name))
    .map(({ name, value }) =>
      /^(?:class|style|hidden)$/.test(name) ? `${name} ${plain(value)}` : plain(value),
    );
}

/**
 * What a person reads in an element, piece by piece: its texts, what a screen reader says of it, and
 * every line of its drawings with its place.
 */
function piecesOf(element: Element, within?: ReadonlyMap<string, string>): string[] {
  if (element.matches(ofTheCheck)) return [];
  const ids = within ?? (element.localName === "svg" ? idsIn(element) : undefined);
  const drawn = ids && (sharedLook(element) ? [] : drawnPieces(element, ids));
  const own = drawn ?? writtenPieces(element);
  const inside = [...element.childNodes].flatMap((node) => {
    if (node instanceof Element) return piecesOf(node, ids);
    const text = node.nodeType === Node.TEXT_NODE ? plain(node.textContent ?? "") : "";
    return text === "" ? [] : [text];
  });
  return [...own, ...inside];
}

const number = /-?(?:\d+\.?\d*|\.\d+)(?:e-?\d+)?/g;
/** Two browsers write the last decimals of a place differently; px. */
const pixel = 0.02;

/** Whether two pieces say the same: numbers of a drawing's places within a fiftieth of a pixel. */
function alike(one: string | undefined, two: string | undefined): boolean {
  if (one === two) return true;
  if (one === undefined || two === undefined) return false;
  const places = /^\w+ (?:d|transform|x|y|x1|x2|y1|y2|width|height|cx|cy|r|style) /;
  if (!places.test(one) || one.replace(number, "0") !== two.replace(number, "0")) return false;
  const others = two.match(number) ?? [];
  return (one.match(number) ?? []).every(
    (value, i) => Math.abs(+value - Number(others[i])) < pixel,
  );
}

/** The first piece that is not the same in two elements: what the page reads, and what it should. */
export function firstApart(shown: Element, expected: Element): [string, string] | undefined {
  const [one, two] = [piecesOf(shown), piecesOf(expected)];
  for (let i = 0; i < Math.max(one.length, two.length); i++) {
    if (!alike(one[i], two[i])) return [one[i] ?? "nothing", two[i] ?? "nothing"];
  }
  return undefined;
}

/** An element from markup, read by the same parser as the page; it runs nothing and is not shown. */
export function elementFrom(html: Markup): Element | undefined {
  const template = document.createElement("template");
  template.innerHTML = String(html);
  return template.content.firstElementChild ?? undefined;
}
