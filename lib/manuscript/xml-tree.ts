import { SaxesParser } from "saxes";
import { InputError } from "../errors.js";

/** An element of an XML part, with its names and attributes as they are written. */
export interface XmlElement {
  /** Name of this kind of node. */
  readonly kind: "element";
  /** Name with its prefix, such as "w:p". */
  readonly name: string;
  /** Attributes by their names with prefix. */
  readonly attributes: Readonly<Record<string, string>>;
  /** What it contains, in order; a revision replaces entries. */
  readonly children: XmlNode[];
}

/** A text, a comment or an instruction, as it is written. */
export interface XmlOther {
  /** Name of this kind of node. */
  readonly kind: "text" | "comment" | "instruction";
  /** Its text. */
  readonly text: string;
}

/** A node of an XML part. */
export type XmlNode = XmlElement | XmlOther;

/** Elements inside elements: more is no document that a person wrote. */
const deepest = 400;

/**
 * Reads an XML part. Nothing outside of it is ever read: a document type, which could define or
 * fetch entities, is refused.
 * @param where part of the document, for messages
 * @throws InputError where the part is not well formed, has a document type or is nested too deeply
 */
export function readXml(text: string, where: string): XmlElement {
  const root: XmlElement = { kind: "element", name: "", attributes: {}, children: [] };
  const open: XmlElement[] = [root];
  const refused = (expected: string, got: string) => new InputError({ expected, got, where });
  const add = (node: XmlNode) => open.at(-1)?.children.push(node);
  const parser = new SaxesParser();
  parser.on("doctype", () => {
    throw refused("XML without a document type", "a document type, which can define entities");
  });
  parser.on("error", (error) => {
    throw refused("well-formed XML", error.message);
  });
  parser.on("opentag", ({ name, attributes }) => {
    const element: XmlElement = {
      kind: "element",
      name,
      attributes: Object.fromEntries(
        Object.entries(attributes).map(([key, value]) => [key, String(value)]),
      ),
      children: [],
    };
    add(element);
    open.push(element);
    if (open.length > deepest)
      throw refused(`at most ${deepest} elements inside one another`, "more");
  });
  parser.on("closetag", () => open.pop());
  parser.on("text", (content) => add({ kind: "text", text: content }));
  parser.on("cdata", (content) => add({ kind: "text", text: content }));
  parser.on("comment", (content) => add({ kind: "comment", text: content }));
  parser.on("processinginstruction", ({ target, body }) =>
    add({ kind: "instruction", text: `${target} ${body}` }),
  );
  parser.write(text).close();
  const element = root.children.find((node) => node.kind === "element");
  if (element?.kind !== "element") throw refused("an element", "none");
  return element;
}

const entities: Readonly<Record<string, string>> = {
  "&": "&amp;",
  "<": "&lt;",
  ">": "&gt;",
  '"': "&quot;",
  "\t": "&#9;",
  "\n": "&#10;",
  "\r": "&#13;",
};

function otherText({ kind, text }: XmlOther): string {
  if (kind === "comment") return `<!--${text}-->`;
  if (kind === "instruction") return `<?${text}?>`;
  return text.replace(/[&<>\r]/g, (mark) => entities[mark] ?? "");
}

/** An element as XML text again. */
export function xmlText(node: XmlNode): string {
  if (node.kind !== "element") return otherText(node);
  const attributes = Object.entries(node.attributes).map(
    ([name, value]) =>
      ` ${name}="${value.replace(/[&<>"\t\n\r]/g, (mark) => entities[mark] ?? "")}"`,
  );
  const inside = node.children.map(xmlText).join("");
  const tag = `${node.name}${attributes.join("")}`;
  return inside === "" ? `<${tag}/>` : `<${tag}>${inside}</${node.name}>`;
}

/** The element inside an element with this name, one level down. */
export function childOf(element: XmlElement, name: string): XmlElement | undefined {
  for (const child of element.children) {
    if (child.kind === "element" && child.name === name) return child;
  }
  return undefined;
}

/** Every element of a name below an element. */
export function elementsOf(element: XmlElement, name: string): XmlElement[] {
  return element.children.flatMap((child) => {
    if (child.kind !== "element") return [];
    return child.name === name ? [child, ...elementsOf(child, name)] : elementsOf(child, name);
  });
}
