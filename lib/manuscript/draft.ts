import type { RecordedNumber } from "./number-tag.js";

/** A piece of running text. */
export type Inline =
  | { readonly kind: "text"; readonly text: string; readonly style?: "bold" | "italic" }
  | { readonly kind: "number"; readonly number: RecordedNumber }
  | { readonly kind: "gap"; readonly asks: string }
  | { readonly kind: "citation"; readonly references: readonly string[] };

/** A table in journal style: rules above, below the head and at the end, notes below. */
export interface DraftTable {
  /** Name of this block. */
  readonly kind: "table";
  /** Number among the tables, as the text calls it. */
  readonly number: number;
  /** Title above the table. */
  readonly caption: readonly Inline[];
  /** Heads of the columns. */
  readonly head: readonly string[];
  /** Rows of cells. */
  readonly rows: readonly (readonly (readonly Inline[])[])[];
  /** Notes below the table. */
  readonly notes: readonly Inline[];
  /** Shares of the width by column; equal where left out. */
  readonly widths?: readonly number[] | undefined;
}

/** A figure with its legend. */
export interface DraftFigure {
  /** Name of this block. */
  readonly kind: "figure";
  /** Number among the figures. */
  readonly number: number;
  /** Id of the figure in the record. */
  readonly id: string;
  /** Version of its notebook. */
  readonly version: string;
  /** Legend below the figure. */
  readonly caption: string;
  /** Alternative text. */
  readonly alt: string;
  /** Name of its files, without extension. */
  readonly file: string;
  /** The picture. */
  readonly png: Uint8Array;
}

/** A heading; level 0 is the title of the manuscript. */
export interface DraftHeading {
  /** Name of this block. */
  readonly kind: "heading";
  /** 0 for the title, 1 for a section, 2 for a part of it. */
  readonly level: 0 | 1 | 2;
  /** Words of the heading. */
  readonly text: string;
}

/** A paragraph of running text, or of the list of references. */
export interface DraftParagraph {
  /** Name of this block. */
  readonly kind: "paragraph";
  /** What it says. */
  readonly text: readonly Inline[];
  /** An entry of the list of references. */
  readonly isReference?: boolean | undefined;
}

/** One block of the manuscript. */
export type Block = DraftHeading | DraftParagraph | DraftTable | DraftFigure;

/** A manuscript before it is a file. */
export interface Draft {
  /** Name of the study's folder. */
  readonly study: string;
  /** Title of the manuscript. */
  readonly title: string;
  /** Day that dates the file, ISO. */
  readonly day: string;
  /** The blocks in order. */
  readonly blocks: readonly Block[];
}

/** What a template of running text may hold. */
type Insert = Inline | readonly Inline[] | string | number;

/** Running text as a template: texts stay texts, numbers of the record stay tagged. */
export function words(parts: TemplateStringsArray, ...inserts: readonly Insert[]): Inline[] {
  const pieces: Inline[] = [];
  for (const [i, text] of parts.entries()) {
    if (text !== "") pieces.push({ kind: "text", text });
    const insert = inserts[i];
    if (insert === undefined) continue;
    if (typeof insert === "string" || typeof insert === "number") {
      if (insert !== "") pieces.push({ kind: "text", text: String(insert) });
    } else if ("kind" in insert) pieces.push(insert);
    else pieces.push(...insert);
  }
  return pieces;
}

/** A gap that only the author can fill. */
export function gap(asks: string): Inline {
  return { kind: "gap", asks };
}

/** A citation of references by their names in the list of references. */
export function cite(...references: readonly string[]): Inline {
  return { kind: "citation", references };
}

/** A heading. */
export function heading(level: DraftHeading["level"], text: string): DraftHeading {
  return { kind: "heading", level, text };
}

/** A paragraph of sentences, with a space between them. */
export function paragraph(...sentences: readonly (readonly Inline[])[]): DraftParagraph {
  const filled = sentences.filter((sentence) => sentence.length > 0);
  const text = filled.flatMap((sentence, i) => (i === 0 ? sentence : words` ${sentence}`));
  return { kind: "paragraph", text };
}

/** What a piece reads as; `numberOf` gives the number of a reference. */
export function inlineText(piece: Inline, numberOf: (reference: string) => number): string {
  if (piece.kind === "text") return piece.text;
  if (piece.kind === "number") return piece.number.text;
  if (piece.kind === "gap") return `[author: ${piece.asks}]`;
  return `[${piece.references.map(numberOf).join(", ")}]`;
}

/** Every run of text of a block: a paragraph, a caption, each row of a table. */
export function inlinesOf(block: Block): Inline[] {
  if (block.kind === "paragraph") return [...block.text];
  if (block.kind !== "table") return [];
  return [...block.caption, ...block.rows.flat(2), ...block.notes];
}

/** Counts tables and figures in the order of the text. */
export class Numbering {
  private tables = 0;
  private figures = 0;

  /** Number of the next table. */
  nextTable(): number {
    this.tables += 1;
    return this.tables;
  }

  /** Number of the next figure. */
  nextFigure(): number {
    this.figures += 1;
    return this.figures;
  }
}
