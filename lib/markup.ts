import { InputError } from "./errors.js";

/** Markup that may stand in a page as it is. Only `markup`, `joined` and `trustedMarkup` make it. */
class SafeMarkup {
  readonly #text: string;

  constructor(text: string) {
    this.#text = text;
  }

  toString(): string {
    return this.#text;
  }
}

export type Markup = SafeMarkup;

/** What a template may hold: texts and numbers are escaped, markup is kept, lists are joined. */
export type Insert = string | number | Markup | readonly Insert[];

const entities: Readonly<Record<string, string>> = {
  "&": "&amp;",
  "<": "&lt;",
  ">": "&gt;",
  '"': "&quot;",
  "'": "&#39;",
};

function escaped(text: string): string {
  return text.replace(/[&<>"']/g, (character) => entities[character] ?? "");
}

/** Where in the markup a value is inserted; it decides what the value may be. */
type Place = "text" | "attribute" | "address" | "picture" | "style" | "tag" | "program" | "handler";

/** What moves a reader of markup from one state to the next. */
const marks = {
  text: /<[/!?]?([A-Za-z][\w:-]*)?/g,
  tag: /([\w:-]+)="|>/g,
  value: /"/g,
  program: /<\/(?:script|style)/gi,
} as const;

interface Reading {
  state: keyof typeof marks;
  element: string;
  attribute: string;
  /** Whether the attribute's value holds anything yet. */
  begun: boolean;
}

/** The state after one mark was read. */
function moved(reading: Reading, mark: RegExpExecArray): void {
  const [all, name = ""] = mark;
  if (reading.state === "text") {
    reading.state = "tag";
    reading.element = all.startsWith("</") ? "" : name.toLowerCase();
  } else if (reading.state === "value") reading.state = "tag";
  else if (reading.state === "program") {
    reading.state = "tag";
    reading.element = "";
  } else if (all === ">") {
    reading.state = /^(?:script|style)$/.test(reading.element) ? "program" : "text";
  } else {
    reading.state = "value";
    reading.attribute = name.toLowerCase();
    reading.begun = false;
  }
}

function readOn(reading: Reading, part: string): void {
  let at = 0;
  while (at < part.length) {
    const pattern = marks[reading.state];
    pattern.lastIndex = at;
    const mark = pattern.exec(part);
    if (!mark) {
      reading.begun = true;
      return;
    }
    moved(reading, mark);
    at = pattern.lastIndex;
  }
}

function placeOf({ state, attribute, begun }: Reading): Place {
  if (state !== "value") return state;
  if (attribute.startsWith("on")) return "handler";
  if (attribute === "style") return "style";
  if (begun) return "attribute";
  if (attribute === "src") return "picture";
  return /^(?:href|action|formaction|xlink:href)$/.test(attribute) ? "address" : "attribute";
}

/** The place of each insert, from the fixed parts of a template; it may be a tag's attributes alone. */
function placesIn(parts: readonly string[]): Place[] {
  const inTag = /^\s*[\w:-]+="/.test(parts[0] ?? "");
  const reading: Reading = {
    state: inTag ? "tag" : "text",
    element: "",
    attribute: "",
    begun: false,
  };
  return parts.slice(0, -1).map((part) => {
    readOn(reading, part);
    return placeOf(reading);
  });
}

const known = new WeakMap<readonly string[], readonly Place[]>();

function placesFor(parts: readonly string[]): readonly Place[] {
  const found = known.get(parts) ?? placesIn(parts);
  known.set(parts, found);
  return found;
}

/** Web and mail addresses, anchors and relative paths. */
function isAddress(text: string): boolean {
  return /^(?:https?:|mailto:)/i.test(text) || !/^[^/?#]*:|^\s*[/\\]{2}|\p{Cc}/u.test(text);
}

/** A picture may also be in the page itself, where it runs nothing. */
function isPicture(text: string): boolean {
  return /^data:image\/(?:png|jpeg|svg\+xml)[;,]/.test(text) || isAddress(text);
}

const isStyle = (text: string) =>
  /^[\w #.,%()+-]*$/.test(text) && !/url\(|expression\(/i.test(text);

const expected: Readonly<Record<Exclude<Place, "text" | "attribute">, string>> = {
  address: "a web or mail address, an anchor or a relative path",
  picture: "an address of a picture, or a picture as data",
  style: "a value of a style without a semicolon, quotes or an address",
  tag: "markup made by a template between a tag's attributes",
  program: "markup that is trusted inside a script or style element",
  handler: "no value inside an attribute that runs a script",
};

function checked(text: string, place: Place): string {
  const fits =
    place === "text" ||
    place === "attribute" ||
    (place === "address" && isAddress(text)) ||
    (place === "picture" && isPicture(text)) ||
    (place === "style" && isStyle(text));
  if (fits) return escaped(text);
  throw new InputError({
    expected: expected[place],
    got: JSON.stringify(text.slice(0, 60)),
    where: "markup",
  });
}

function written(insert: Insert, place: Place): string {
  if (insert instanceof SafeMarkup) return insert.toString();
  if (typeof insert === "string") return insert === "" ? "" : checked(insert, place);
  if (typeof insert === "number") return checked(String(insert), place);
  if (Array.isArray(insert)) return insert.map((one: Insert) => written(one, place)).join("");
  throw new InputError({
    expected: "a text, a number, markup or a list of these",
    got: insert === null ? "null" : typeof insert,
    where: "markup",
  });
}

/**
 * Tag for templates of HTML, SVG and XML: every inserted text is escaped, so that no text of a study
 * becomes an element. Lists are joined. An address may be http, https, mailto, an anchor or a
 * relative path; nothing but markup may stand between attributes or in a script or style element.
 * @throws InputError when an insert may not stand where it is put
 */
export function markup(parts: TemplateStringsArray, ...inserts: readonly Insert[]): Markup {
  const places = placesFor(parts);
  let text = parts[0] ?? "";
  for (const [i, insert] of inserts.entries()) {
    text += written(insert, places[i] ?? "text") + (parts[i + 1] ?? "");
  }
  return new SafeMarkup(text);
}

/**
 * Pieces with a separator between them, each escaped unless it is markup.
 */
export function joined(pieces: readonly Insert[], separator: Insert): Markup {
  const between = written(separator, "text");
  return new SafeMarkup(pieces.map((piece) => written(piece, "text")).join(between));
}

/**
 * Takes a text for markup as it is. Only for texts that were checked or made elsewhere: a rendered
 * Markdown text, a drawing that was found to be plain, a program, a style sheet.
 */
export function trustedMarkup(text: string): Markup {
  return new SafeMarkup(text);
}

/** Where there is nothing to show. */
export const nothing: Markup = new SafeMarkup("");

/** The parts of an HTML document. */
export interface HtmlDocument {
  /** What the browser's window is called. */
  readonly title: string;
  /** The page's rule for what it may load and run. */
  readonly policy?: string;
  /** Styles, scripts and further facts of the head. */
  readonly head: Markup;
  /** Everything that is shown. */
  readonly body: Markup;
}

/** A whole document in English; the policy comes before everything that it governs. */
export function htmlDocument({ title, policy, head, body }: HtmlDocument): string {
  const rule =
    policy === undefined
      ? nothing
      : markup`<meta http-equiv="Content-Security-Policy" content="${trustedMarkup(policy)}">\n`;
  return String(markup`<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
${rule}<meta name="viewport" content="width=device-width, initial-scale=1">
<title>${title}</title>
${head}
</head>
<body>
${body}
</body>
</html>
`);
}

const unitAfterNumber =
  /(\d) (?=(?:%|kgf|N|lbf|mph|m\/s|km\/h|kg|lb|g|m|cm|mm|in|s|min|y)(?![A-Za-z/]))/g;

/** Prose in which a number does not part from its unit at the end of a line. */
export function proseHtml(text: string): Markup {
  return new SafeMarkup(escaped(text).replace(unitAfterNumber, "$1&nbsp;"));
}
