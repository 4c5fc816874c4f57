import { type NumberTag, readTag } from "./number-tag.js";
import type { ReturnedPackage } from "./returned-package.js";
import { childOf, elementsOf, type XmlElement } from "./xml-tree.js";

/** A tagged content control as it came back. */
export interface ReturnedControl {
  /** What its tag says. */
  readonly tag: NumberTag;
  /** The control itself, for a revision. */
  readonly element: XmlElement;
}

/** A run of text, and the control that it stands in. */
export interface ReturnedPiece {
  /** The text as a reader sees it when all tracked changes are accepted. */
  readonly text: string;
  /** The innermost tagged control around it. */
  readonly control: ReturnedControl | undefined;
}

/** A paragraph, or a row of a table, as it came back. */
export interface ReturnedUnit {
  /** Where it is, in words. */
  readonly place: string;
  /** Its text in pieces. */
  readonly pieces: readonly ReturnedPiece[];
}

/** A picture as it came back. */
export interface ReturnedPicture {
  /** Where it is, in words. */
  readonly place: string;
  /** The file. */
  readonly bytes: Uint8Array | undefined;
  /** Its name in the document: the id of the figure unless somebody changed it. */
  readonly name: string;
}

/** What a reader sees of a returned document. */
export interface ReturnedText {
  /** Paragraphs and table rows, in order. */
  readonly units: readonly ReturnedUnit[];
  /** Pictures, in order. */
  readonly pictures: readonly ReturnedPicture[];
}

/** Text that tracked changes removed or moved away, old copies of drawings, properties. */
const unseen = new Set([
  "w:del",
  "w:moveFrom",
  "mc:Fallback",
  "w:pPr",
  "w:rPr",
  "w:sdtPr",
  "w:sectPr",
  "w:instrText",
  "w:delText",
]);

/** The text of a returned document as it reads when all tracked changes are accepted. */
export function returnedText({ parts, pictures }: ReturnedPackage): ReturnedText {
  const reading = new TextReading(pictures);
  for (const { root, name } of parts) reading.read(root, name);
  return { units: reading.units, pictures: reading.shown };
}

class TextReading {
  readonly units: ReturnedUnit[] = [];
  readonly shown: ReturnedPicture[] = [];
  private pieces: ReturnedPiece[] = [];
  private heading = "";
  private paragraphs = 0;
  private pages = 1;
  private hasPages = false;
  private part = "";

  constructor(private readonly pictures: ReadonlyMap<string, Uint8Array>) {}

  read(root: XmlElement, part: string): void {
    this.part = /(?:footnote|endnote|header|footer)/.exec(part)?.[0] ?? "";
    this.hasPages = elementsOf(root, "w:lastRenderedPageBreak").length > 0;
    this.paragraphs = 0;
    this.heading = "";
    this.walk(root, undefined, false);
  }

  private walk(element: XmlElement, control: ReturnedControl | undefined, inRow: boolean): void {
    for (const child of element.children) {
      if (child.kind !== "element" || unseen.has(child.name)) continue;
      const innermost = child.name === "w:sdt" ? (controlOf(child) ?? control) : control;
      if (child.name === "w:tr" && !inRow) this.row(child, innermost);
      else if (child.name === "w:p" && !inRow) this.paragraph(child, innermost);
      else if (child.name === "w:p") this.cellParagraph(child, innermost);
      else if (!this.leaf(child, innermost)) this.walk(child, innermost, inRow);
    }
  }

  /** The rows of a table read as one text, so that a number has its row's words beside it. */
  private row(row: XmlElement, control: ReturnedControl | undefined): void {
    this.paragraphs += 1;
    this.collect(() => this.walk(row, control, true), this.place("table row"));
  }

  private cellParagraph(paragraph: XmlElement, control: ReturnedControl | undefined): void {
    if (this.pieces.length > 0) this.pieces.push({ text: " | ", control: undefined });
    this.walk(paragraph, control, true);
  }

  private paragraph(paragraph: XmlElement, control: ReturnedControl | undefined): void {
    this.paragraphs += 1;
    const place = this.place("paragraph");
    const unit = this.collect(() => this.walk(paragraph, control, false), place);
    if (unit && isHeading(paragraph)) {
      this.heading = unit.pieces.map(({ text }) => text).join("");
    }
  }

  /** A text box stands inside a paragraph: its paragraphs are units of their own. */
  private collect(fill: () => void, place: string): ReturnedUnit | undefined {
    const outer = this.pieces;
    this.pieces = [];
    fill();
    const pieces = this.pieces;
    this.pieces = outer;
    if (pieces.every(({ text }) => text.trim() === "")) return undefined;
    const unit = { place, pieces };
    this.units.push(unit);
    return unit;
  }

  private place(what: string): string {
    const page = this.hasPages ? `page ${this.pages}, ` : "";
    const under = this.heading === "" ? "" : ` under “${this.heading.slice(0, 60)}”`;
    const of = this.part === "" ? "" : `${this.part}, `;
    return `${of}${page}${what} ${this.paragraphs}${under}`;
  }

  /** Takes an element that is text or a picture; false for any other. */
  private leaf(element: XmlElement, control: ReturnedControl | undefined): boolean {
    const { name } = element;
    const add = (text: string) => this.pieces.push({ text, control });
    if (name === "w:t") {
      add(element.children.map((node) => (node.kind === "text" ? node.text : "")).join(""));
    } else if (name === "w:tab" || name === "w:br" || name === "w:cr") add(" ");
    else if (name === "w:noBreakHyphen") add("-");
    else if (name === "w:lastRenderedPageBreak") this.pages += 1;
    else if (name === "w:drawing" || name === "w:pict") {
      this.picture(element);
      return false;
    } else return false;
    return true;
  }

  private picture(drawing: XmlElement): void {
    const [blip] = elementsOf(drawing, "a:blip");
    if (blip === undefined) return;
    const [about] = elementsOf(drawing, "wp:docPr");
    this.shown.push({
      place: this.place("paragraph"),
      bytes: this.pictures.get(blip.attributes["r:embed"] ?? ""),
      name: about?.attributes.name ?? "",
    });
  }
}

function isHeading(paragraph: XmlElement): boolean {
  const properties = childOf(paragraph, "w:pPr");
  const style = properties && childOf(properties, "w:pStyle");
  return /^(?:Title|Heading|berschrift|Titre|T[ií]tulo)/i.test(style?.attributes["w:val"] ?? "");
}

/** The tag of a control. Some word processors keep only the place of its placeholder, so both carry it. */
function controlOf(element: XmlElement): ReturnedControl | undefined {
  const properties = childOf(element, "w:sdtPr");
  if (properties === undefined) return undefined;
  const placeholder = childOf(properties, "w:placeholder");
  const carriers = [childOf(properties, "w:tag"), placeholder && childOf(placeholder, "w:docPart")];
  for (const carrier of carriers) {
    const tag = readTag(carrier?.attributes["w:val"] ?? "");
    if (tag) return { tag, element };
  }
  return undefined;
}
