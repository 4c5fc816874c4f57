import { type Markup, markup, nothing } from "../markup.js";
import type { Block, DraftFigure, DraftTable, Inline } from "./draft.js";
import { inlineText } from "./draft.js";
import { pictureSize } from "./figure-stamp.js";
import { type NumberedDraft, referenceNumber } from "./manuscript-draft.js";
import { tagText } from "./number-tag.js";
import {
  contentTypes,
  coreProperties,
  customProperties,
  documentRelations,
  footer,
  namespaces,
  packageRelations,
  partFile,
  pictureRelation,
  settings,
  styles,
} from "./word-parts.js";

/** Text width of an A4 page with margins of 25 mm, in twentieths of a point. */
const textWidth = 9072;
/** One millimetre in the unit of drawings. */
const emuPerMm = 36_000;
/** Width of a figure on the page, mm. */
export const figureWidthMm = 140;

/**
 * The manuscript as the files of a Word document, by their names in the package. Each number of the
 * record is a content control that looks like normal text. The same draft makes the same bytes.
 * @see ECMA-376, part 1, sections 17.5.2 (content controls) and 17.4 (tables)
 */
export function wordFiles(draft: NumberedDraft): ReadonlyMap<string, Uint8Array> {
  const figures = draft.blocks.filter((block) => block.kind === "figure");
  const pictures = figures.map(({ file, png }) => [`word/media/${file}.png`, png] as const);
  return new Map<string, Uint8Array>([
    ["[Content_Types].xml", partFile(contentTypes())],
    ["_rels/.rels", partFile(packageRelations())],
    ["docProps/core.xml", partFile(coreProperties(draft.title, draft.day))],
    ["docProps/custom.xml", partFile(customProperties(draft.study))],
    ["word/document.xml", partFile(new WordWriting(draft).document())],
    ["word/_rels/document.xml.rels", partFile(documentRelations(figures.map(({ file }) => file)))],
    ["word/styles.xml", partFile(styles())],
    ["word/settings.xml", partFile(settings())],
    ["word/footer1.xml", partFile(footer())],
    ...pictures,
  ]);
}

/** One writing of a document: it counts controls and pictures. */
class WordWriting {
  private controls = 0;
  private pictures = 0;
  private readonly numberOf: (key: string) => number;

  constructor(private readonly draft: NumberedDraft) {
    this.numberOf = referenceNumber(draft);
  }

  document(): Markup {
    const { main, relations, drawing, drawingPlace, picture, compatibility, word2012 } = namespaces;
    const blocks = this.draft.blocks.map((block) => this.block(block));
    return markup`<w:document xmlns:w="${main}" xmlns:r="${relations}" xmlns:a="${drawing}" xmlns:wp="${drawingPlace}" xmlns:pic="${picture}" xmlns:mc="${compatibility}" xmlns:w15="${word2012}" mc:Ignorable="w15"><w:body>${blocks}<w:sectPr><w:footerReference w:type="default" r:id="rId3"/><w:pgSz w:w="11906" w:h="16838"/><w:pgMar w:top="1417" w:right="1417" w:bottom="1417" w:left="1417" w:header="709" w:footer="709" w:gutter="0"/></w:sectPr></w:body></w:document>`;
  }

  private block(block: Block): Markup {
    if (block.kind === "heading") {
      const style = block.level === 0 ? "Title" : `Heading${block.level}`;
      return paragraphXml(style, run(block.text));
    }
    if (block.kind === "paragraph") {
      return paragraphXml(block.isReference ? "Reference" : undefined, this.runs(block.text));
    }
    return block.kind === "table" ? this.table(block) : this.figure(block);
  }

  private runs(pieces: readonly Inline[]): Markup[] {
    return joinedTexts(pieces).map((piece) => this.piece(piece));
  }

  private piece(piece: Inline): Markup {
    const text = inlineText(piece, this.numberOf);
    if (piece.kind === "gap") return run(text, markup`<w:highlight w:val="yellow"/>`);
    if (piece.kind === "citation") return run(text);
    if (piece.kind === "text") return run(text, styleXml(piece.style));
    this.controls += 1;
    const { id, part } = piece.number;
    const tag = tagText(piece.number);
    const name = `${id.replace(/^~/, "")}: ${part}`.slice(0, 64);
    return markup`<w:sdt><w:sdtPr><w:alias w:val="${name}"/><w:tag w:val="${tag}"/><w:id w:val="${100_000 + this.controls}"/><w:placeholder><w:docPart w:val="${tag}"/></w:placeholder><w15:appearance w15:val="hidden"/></w:sdtPr><w:sdtContent>${run(text)}</w:sdtContent></w:sdt>`;
  }

  private table({ number, caption, head, rows, notes, widths }: DraftTable): Markup {
    const shares = widths ?? head.map((_, i) => (i === 0 ? 1.6 : 1));
    const total = shares.reduce((sum, share) => sum + share, 0);
    const columns = shares.map((share) => Math.round((share / total) * textWidth));
    const title = paragraphXml(
      "Caption",
      [run(`Table ${number}. `, markup`<w:b/>`), ...this.runs(caption)],
      markup`<w:keepNext/>`,
    );
    const grid = columns.map((width) => markup`<w:gridCol w:w="${width}"/>`);
    const headRow = rowXml(
      head.map((cell, i) => cellXml(run(cell, markup`<w:b/>`), columns[i] ?? 0, "head")),
      true,
    );
    const body = rows.map((row, at) =>
      rowXml(
        row.map((cell, i) =>
          cellXml(this.runs(cell), columns[i] ?? 0, at === rows.length - 1 ? "last" : "body"),
        ),
        false,
      ),
    );
    return markup`${title}<w:tbl><w:tblPr><w:tblW w:w="${textWidth}" w:type="dxa"/><w:tblLayout w:type="fixed"/></w:tblPr><w:tblGrid>${grid}</w:tblGrid>${headRow}${body}</w:tbl>${paragraphXml("TableNote", this.runs(notes))}`;
  }

  private figure({ number, id, caption, alt, png }: DraftFigure): Markup {
    const place = this.pictures;
    this.pictures += 1;
    const { width, height } = pictureSize(png);
    const wide = figureWidthMm * emuPerMm;
    const tall = Math.round((wide * height) / width);
    const size = markup`cx="${wide}" cy="${tall}"`;
    const blip = markup`<pic:blipFill><a:blip r:embed="${pictureRelation(place)}"/><a:stretch><a:fillRect/></a:stretch></pic:blipFill>`;
    const shape = markup`<pic:spPr><a:xfrm><a:off x="0" y="0"/><a:ext ${size}/></a:xfrm><a:prstGeom prst="rect"><a:avLst/></a:prstGeom></pic:spPr>`;
    const picture = markup`<pic:pic><pic:nvPicPr><pic:cNvPr id="${place + 1}" name="${id}" descr="${alt}"/><pic:cNvPicPr/></pic:nvPicPr>${blip}${shape}</pic:pic>`;
    const drawing = markup`<w:r><w:drawing><wp:inline distT="0" distB="0" distL="0" distR="0"><wp:extent ${size}/><wp:docPr id="${place + 1}" name="${id}" descr="${alt}"/><a:graphic><a:graphicData uri="${namespaces.picture}">${picture}</a:graphicData></a:graphic></wp:inline></w:drawing></w:r>`;
    const legend = [run(`Figure ${number}. `, markup`<w:b/>`), run(caption)];
    return markup`${paragraphXml(undefined, drawing, markup`<w:keepNext/><w:spacing w:before="160" w:after="60" w:line="240" w:lineRule="auto"/>`)}${paragraphXml("Caption", legend)}`;
  }
}

/** Neighbouring texts of one look become one run, as if a person had typed them. */
function joinedTexts(pieces: readonly Inline[]): Inline[] {
  const joined: Inline[] = [];
  for (const piece of pieces) {
    const last = joined.at(-1);
    if (piece.kind === "text" && last?.kind === "text" && last.style === piece.style) {
      joined.splice(-1, 1, { ...last, text: last.text + piece.text });
    } else joined.push(piece);
  }
  return joined;
}

function styleXml(style: "bold" | "italic" | undefined): Markup {
  if (style === undefined) return nothing;
  return style === "bold" ? markup`<w:b/>` : markup`<w:i/>`;
}

function run(text: string, look: Markup = nothing): Markup {
  const properties = look === nothing ? nothing : markup`<w:rPr>${look}</w:rPr>`;
  return markup`<w:r>${properties}<w:t xml:space="preserve">${text}</w:t></w:r>`;
}

function paragraphXml(
  style: string | undefined,
  content: Markup | readonly Markup[],
  more: Markup = nothing,
): Markup {
  const named = style === undefined ? nothing : markup`<w:pStyle w:val="${style}"/>`;
  return markup`<w:p><w:pPr>${named}${more}</w:pPr>${content}</w:p>`;
}

function rowXml(cells: readonly Markup[], isHead: boolean): Markup {
  const header = isHead ? markup`<w:tblHeader/>` : nothing;
  return markup`<w:tr><w:trPr><w:cantSplit/>${header}</w:trPr>${cells}</w:tr>`;
}

/** Rules of a journal's table: above and below the head, and at the end. */
function cellXml(
  content: Markup | readonly Markup[],
  width: number,
  place: "head" | "body" | "last",
): Markup {
  const line = (side: string, size: number) => borderXml(side, size);
  const borders =
    place === "head"
      ? markup`${line("top", 8)}${line("bottom", 4)}`
      : place === "last"
        ? line("bottom", 8)
        : nothing;
  return markup`<w:tc><w:tcPr><w:tcW w:w="${width}" w:type="dxa"/><w:tcBorders>${borders}</w:tcBorders><w:vAlign w:val="${place === "head" ? "bottom" : "top"}"/></w:tcPr>${paragraphXml("TableText", content, place === "head" ? markup`<w:keepNext/>` : nothing)}</w:tc>`;
}

function borderXml(side: string, size: number): Markup {
  const look = markup`w:val="single" w:sz="${size}" w:space="0" w:color="1D2733"`;
  return side === "top" ? markup`<w:top ${look}/>` : markup`<w:bottom ${look}/>`;
}
