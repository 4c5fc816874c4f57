import { type Markup, markup, nothing } from "../markup.js";

/** What all parts of a Word document declare. @see ECMA-376, part 1, annex A.1 */
export const namespaces = {
  main: "http://schemas.openxmlformats.org/wordprocessingml/2006/main",
  relations: "http://schemas.openxmlformats.org/officeDocument/2006/relationships",
  drawing: "http://schemas.openxmlformats.org/drawingml/2006/main",
  drawingPlace: "http://schemas.openxmlformats.org/drawingml/2006/wordprocessingDrawing",
  picture: "http://schemas.openxmlformats.org/drawingml/2006/picture",
  compatibility: "http://schemas.openxmlformats.org/markup-compatibility/2006",
  word2012: "http://schemas.microsoft.com/office/word/2012/wordml",
  package: "http://schemas.openxmlformats.org/package/2006",
} as const;

/** Name of the custom property that says which study a document is about. */
const studyProperty = "tautline-study";

const declaration = markup`<?xml version="1.0" encoding="UTF-8" standalone="yes"?>\n`;

/** A part that was read and changed, as a file. */
export function partOfXml(text: string): Uint8Array {
  return Buffer.from(`${declaration}${text}`, "utf8");
}

/** A part as a file: characters that XML cannot carry become a replacement character. */
export function partFile(xml: Markup): Uint8Array {
  // biome-ignore lint/suspicious/noControlCharactersInRegex: these are what is replaced
  const text = String(xml).replace(/[\0-\x08\x0b\x0c\x0e-\x1f\ufffe\uffff]/g, "\ufffd");
  return Buffer.from(`${declaration}${text}`, "utf8");
}

const mainType = "application/vnd.openxmlformats-officedocument.wordprocessingml";

/** Which type each part has. */
export function contentTypes(): Markup {
  const parts: readonly (readonly [string, string])[] = [
    ["/word/document.xml", `${mainType}.document.main+xml`],
    ["/word/styles.xml", `${mainType}.styles+xml`],
    ["/word/settings.xml", `${mainType}.settings+xml`],
    ["/word/footer1.xml", `${mainType}.footer+xml`],
    ["/docProps/core.xml", "application/vnd.openxmlformats-package.core-properties+xml"],
    ["/docProps/custom.xml", "application/vnd.openxmlformats-officedocument.custom-properties+xml"],
  ];
  const overrides = parts.map(
    ([name, type]) => markup`<Override PartName="${name}" ContentType="${type}"/>`,
  );
  return markup`<Types xmlns="${`${namespaces.package}/content-types`}"><Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/><Default Extension="xml" ContentType="application/xml"/><Default Extension="png" ContentType="image/png"/>${overrides}</Types>`;
}

function relation(id: string, type: string, target: string): Markup {
  return markup`<Relationship Id="${id}" Type="${type}" Target="${target}"/>`;
}

function relations(entries: readonly Markup[]): Markup {
  return markup`<Relationships xmlns="${`${namespaces.package}/relationships`}">${entries}</Relationships>`;
}

/** What the package begins with. */
export function packageRelations(): Markup {
  return relations([
    relation("rId1", `${namespaces.relations}/officeDocument`, "word/document.xml"),
    relation(
      "rId2",
      `${namespaces.package}/relationships/metadata/core-properties`,
      "docProps/core.xml",
    ),
    relation("rId3", `${namespaces.relations}/custom-properties`, "docProps/custom.xml"),
  ]);
}

/** What the document refers to: its styles, its footer and its pictures. */
export function documentRelations(pictures: readonly string[]): Markup {
  const to = (name: string) => `${namespaces.relations}/${name}`;
  return relations([
    relation("rId1", to("styles"), "styles.xml"),
    relation("rId2", to("settings"), "settings.xml"),
    relation("rId3", to("footer"), "footer1.xml"),
    ...pictures.map((file, i) => relation(pictureRelation(i), to("image"), `media/${file}.png`)),
  ]);
}

/** Id of the relation of a picture, counted from 0. */
export function pictureRelation(place: number): string {
  return `rId${place + 10}`;
}

/** Title and day. */
export function coreProperties(title: string, day: string): Markup {
  const moment = `${day}T00:00:00Z`;
  return markup`<cp:coreProperties xmlns:cp="${`${namespaces.package}/metadata/core-properties`}" xmlns:dc="http://purl.org/dc/elements/1.1/" xmlns:dcterms="http://purl.org/dc/terms/" xmlns:xsi="http://www.w3.org/2001/XMLSchema-instance"><dc:title>${title}</dc:title><dcterms:created xsi:type="dcterms:W3CDTF">${moment}</dcterms:created><dcterms:modified xsi:type="dcterms:W3CDTF">${moment}</dcterms:modified></cp:coreProperties>`;
}

/** The study that the document is about. */
export function customProperties(study: string): Markup {
  return markup`<Properties xmlns="http://schemas.openxmlformats.org/officeDocument/2006/custom-properties" xmlns:vt="http://schemas.openxmlformats.org/officeDocument/2006/docPropsVTypes"><property fmtid="{D5CDD505-2E9C-101B-9397-08002B2CF9AE}" pid="2" name="${studyProperty}"><vt:lpwstr>${study}</vt:lpwstr></property></Properties>`;
}

/** Settings of the document. */
export function settings(): Markup {
  return markup`<w:settings xmlns:w="${namespaces.main}"><w:zoom w:percent="100"/><w:defaultTabStop w:val="720"/><w:characterSpacingControl w:val="doNotCompress"/><w:compat><w:compatSetting w:name="compatibilityMode" w:uri="http://schemas.microsoft.com/office/word" w:val="15"/></w:compat></w:settings>`;
}

/** The page number. */
export function footer(): Markup {
  return markup`<w:ftr xmlns:w="${namespaces.main}"><w:p><w:pPr><w:jc w:val="center"/></w:pPr><w:r><w:fldChar w:fldCharType="begin"/></w:r><w:r><w:instrText xml:space="preserve"> PAGE </w:instrText></w:r><w:r><w:fldChar w:fldCharType="separate"/></w:r><w:r><w:t>1</w:t></w:r><w:r><w:fldChar w:fldCharType="end"/></w:r></w:p></w:ftr>`;
}

interface Style {
  readonly id: string;
  readonly name: string;
  /** Paragraph properties. */
  readonly paragraph: Markup;
  /** Run properties. */
  readonly run: Markup;
  readonly next?: string;
}

const ink = "1D2733";

const styleList: readonly Style[] = [
  {
    id: "Title",
    name: "Title",
    paragraph: markup`<w:keepNext/><w:spacing w:before="0" w:after="240" w:line="264" w:lineRule="auto"/>`,
    run: markup`<w:b/><w:color w:val="${ink}"/><w:sz w:val="34"/><w:szCs w:val="34"/>`,
    next: "Normal",
  },
  {
    id: "Heading1",
    name: "heading 1",
    paragraph: markup`<w:keepNext/><w:keepLines/><w:spacing w:before="360" w:after="120" w:line="264" w:lineRule="auto"/><w:outlineLvl w:val="0"/>`,
    run: markup`<w:b/><w:color w:val="${ink}"/><w:sz w:val="28"/><w:szCs w:val="28"/>`,
    next: "Normal",
  },
  {
    id: "Heading2",
    name: "heading 2",
    paragraph: markup`<w:keepNext/><w:keepLines/><w:spacing w:before="240" w:after="80" w:line="264" w:lineRule="auto"/><w:outlineLvl w:val="1"/>`,
    run: markup`<w:b/><w:color w:val="${ink}"/><w:sz w:val="23"/><w:szCs w:val="23"/>`,
    next: "Normal",
  },
  {
    id: "Caption",
    name: "caption",
    paragraph: markup`<w:keepLines/><w:spacing w:before="120" w:after="160" w:line="264" w:lineRule="auto"/>`,
    run: markup`<w:sz w:val="20"/><w:szCs w:val="20"/>`,
  },
  {
    id: "TableText",
    name: "Table text",
    paragraph: markup`<w:spacing w:before="30" w:after="30" w:line="240" w:lineRule="auto"/>`,
    run: markup`<w:sz w:val="18"/><w:szCs w:val="18"/>`,
  },
  {
    id: "TableNote",
    name: "Table note",
    paragraph: markup`<w:spacing w:before="60" w:after="240" w:line="240" w:lineRule="auto"/>`,
    run: markup`<w:sz w:val="17"/><w:szCs w:val="17"/>`,
  },
  {
    id: "Reference",
    name: "Reference",
    paragraph: markup`<w:spacing w:after="80" w:line="264" w:lineRule="auto"/><w:ind w:left="400" w:hanging="400"/>`,
    run: markup`<w:sz w:val="20"/><w:szCs w:val="20"/>`,
  },
];

/** The look of the manuscript: one serif face that every word processor has, room between lines. */
export function styles(): Markup {
  const paragraphStyles = styleList.map(
    ({ id, name, paragraph, run, next }) =>
      markup`<w:style w:type="paragraph" w:styleId="${id}"><w:name w:val="${name}"/><w:basedOn w:val="Normal"/>${next === undefined ? nothing : markup`<w:next w:val="${next}"/>`}<w:qFormat/><w:pPr>${paragraph}</w:pPr><w:rPr>${run}</w:rPr></w:style>`,
  );
  return markup`<w:styles xmlns:w="${namespaces.main}"><w:docDefaults><w:rPrDefault><w:rPr><w:rFonts w:ascii="Times New Roman" w:hAnsi="Times New Roman" w:eastAsia="Times New Roman" w:cs="Times New Roman"/><w:sz w:val="22"/><w:szCs w:val="22"/><w:lang w:val="en-GB"/></w:rPr></w:rPrDefault><w:pPrDefault><w:pPr><w:spacing w:after="140" w:line="336" w:lineRule="auto"/></w:pPr></w:pPrDefault></w:docDefaults><w:style w:type="paragraph" w:default="1" w:styleId="Normal"><w:name w:val="Normal"/><w:qFormat/></w:style><w:style w:type="table" w:default="1" w:styleId="TableNormal"><w:name w:val="Normal Table"/><w:tblPr><w:tblInd w:w="0" w:type="dxa"/><w:tblCellMar><w:top w:w="0" w:type="dxa"/><w:left w:w="80" w:type="dxa"/><w:bottom w:w="0" w:type="dxa"/><w:right w:w="80" w:type="dxa"/></w:tblCellMar></w:tblPr></w:style>${paragraphStyles}</w:styles>`;
}
