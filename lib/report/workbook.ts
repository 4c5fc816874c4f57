import { zipSync } from "fflate";
import { type Markup, markup, nothing } from "../markup.js";

/** A cell of a sheet: typed as it is; `head` cells are set bold. */
export type SheetCell = string | number | boolean | null | { readonly head: string };

/** One sheet of a workbook. */
export interface Sheet {
  /** Name of the sheet. */
  readonly name: string;
  /** Rows from top to bottom. */
  readonly rows: readonly (readonly SheetCell[])[];
  /** Rows at the top that stay when the sheet is scrolled. */
  readonly frozen: number;
  /** Decimal places shown, column by column; the stored number keeps all digits. */
  readonly decimals?: readonly (number | undefined)[] | undefined;
}

/** "A", "B", … "AA": the letters of a column. */
function letters(column: number): string {
  const rest = Math.floor(column / 26);
  return (rest > 0 ? letters(rest - 1) : "") + String.fromCharCode(65 + (column % 26));
}

/** XML 1.0 holds no control characters but tab, line feed and return. */
// biome-ignore lint/suspicious/noControlCharactersInRegex: they are what is looked for
const notXml = /[\u0000-\u0008\u000b\u000c\u000e-\u001f\ufffe\uffff]/g;

/** Text for XML; what XML cannot hold shows as a replacement mark and is not dropped. */
function xmlText(text: string): string {
  return text.replace(notXml, "\ufffd");
}

/** Styles: 0 plain, 1 bold, then one for each number of decimals. */
const plainStyles = 2;
const mostDecimals = 12;

function styleFor(decimals: number | undefined): number {
  return decimals === undefined ? 0 : plainStyles + Math.min(decimals, mostDecimals);
}

function cellXml(cell: SheetCell, place: string, decimals: number | undefined): Markup {
  if (cell === null) return nothing;
  if (typeof cell === "number")
    return markup`<c r="${place}" s="${styleFor(decimals)}"><v>${cell}</v></c>`;
  if (typeof cell === "boolean") return markup`<c r="${place}" t="b"><v>${cell ? 1 : 0}</v></c>`;
  const [text, style] = typeof cell === "string" ? [cell, 0] : [cell.head, 1];
  return markup`<c r="${place}" t="inlineStr" s="${style}"><is><t xml:space="preserve">${xmlText(text)}</t></is></c>`;
}

function widthOf(sheet: Sheet, column: number): number {
  const texts = sheet.rows.map((row) => {
    const cell = row[column] ?? "";
    return typeof cell === "object" && cell !== null ? cell.head.length : String(cell).length;
  });
  return Math.min(60, Math.max(8, ...texts) + 2);
}

const head = markup`<?xml version="1.0" encoding="UTF-8" standalone="yes"?>\n`;
const main = "http://schemas.openxmlformats.org/spreadsheetml/2006/main";
const relations = "http://schemas.openxmlformats.org/officeDocument/2006/relationships";
const packageRelations = "http://schemas.openxmlformats.org/package/2006/relationships";

function sheetXml(sheet: Sheet): Markup {
  const columns = Math.max(0, ...sheet.rows.map((row) => row.length));
  const widths = Array.from(
    { length: columns },
    (_, i) =>
      markup`<col min="${i + 1}" max="${i + 1}" width="${widthOf(sheet, i)}" customWidth="1"/>`,
  );
  const rows = sheet.rows.map((row, r) => {
    const cells = row.map((cell, c) => cellXml(cell, `${letters(c)}${r + 1}`, sheet.decimals?.[c]));
    return markup`<row r="${r + 1}">${cells}</row>`;
  });
  const pane =
    sheet.frozen > 0
      ? markup`<pane ySplit="${sheet.frozen}" topLeftCell="A${sheet.frozen + 1}" activePane="bottomLeft" state="frozen"/>`
      : "";
  return markup`${head}<worksheet xmlns="${main}"><sheetViews><sheetView workbookViewId="0">${pane}</sheetView></sheetViews>${columns ? markup`<cols>${widths}</cols>` : ""}<sheetData>${rows}</sheetData></worksheet>`;
}

function stylesXml(): Markup {
  const formats = Array.from({ length: mostDecimals + 1 }, (_, i) => {
    return markup`<numFmt numFmtId="${164 + i}" formatCode="0${i ? `.${"0".repeat(i)}` : ""}"/>`;
  });
  const numbers = formats.map(
    (_, i) =>
      markup`<xf numFmtId="${164 + i}" fontId="0" fillId="0" borderId="0" applyNumberFormat="1"/>`,
  );
  return markup`${head}<styleSheet xmlns="${main}"><numFmts count="${formats.length}">${formats}</numFmts><fonts count="2"><font><sz val="11"/><name val="Calibri"/></font><font><b/><sz val="11"/><name val="Calibri"/></font></fonts><fills count="2"><fill><patternFill patternType="none"/></fill><fill><patternFill patternType="gray125"/></fill></fills><borders count="1"><border/></borders><cellStyleXfs count="1"><xf numFmtId="0" fontId="0" fillId="0" borderId="0"/></cellStyleXfs><cellXfs count="${plainStyles + numbers.length}"><xf numFmtId="0" fontId="0" fillId="0" borderId="0"/><xf numFmtId="0" fontId="1" fillId="0" borderId="0" applyFont="1"/>${numbers}</cellXfs></styleSheet>`;
}

/** Sheet names: at most 31 characters, none of \ / ? * [ ] :, no two the same. */
function sheetNames(sheets: readonly Sheet[]): string[] {
  const used = new Set<string>();
  return sheets.map(({ name }) => {
    const plain = name.replace(/[\\/?*[\]:']/g, " ").trim() || "sheet";
    let unique = plain.slice(0, 31);
    for (let i = 2; used.has(unique.toLowerCase()); i++) unique = `${plain.slice(0, 28)} ${i}`;
    used.add(unique.toLowerCase());
    return unique;
  });
}

/**
 * Sheets as an Office Open XML workbook. Numbers, texts and truth values keep their type; no cell is
 * a formula, whatever its text begins with. The same sheets give the same bytes.
 * @see ECMA-376 part 1, SpreadsheetML
 */
export function workbookFile(sheets: readonly Sheet[]): Uint8Array {
  const names = sheetNames(sheets);
  const parts: Record<string, Markup> = {
    "[Content_Types].xml": markup`${head}<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types"><Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/><Default Extension="xml" ContentType="application/xml"/><Override PartName="/xl/workbook.xml" ContentType="application/vnd.openxmlformats-officedocument.spreadsheetml.sheet.main+xml"/><Override PartName="/xl/styles.xml" ContentType="application/vnd.openxmlformats-officedocument.spreadsheetml.styles+xml"/>${sheets.map((_, i) => markup`<Override PartName="/xl/worksheets/sheet${i + 1}.xml" ContentType="application/vnd.openxmlformats-officedocument.spreadsheetml.worksheet+xml"/>`)}</Types>`,
    "_rels/.rels": markup`${head}<Relationships xmlns="${packageRelations}"><Relationship Id="rId1" Type="${relations}/officeDocument" Target="xl/workbook.xml"/></Relationships>`,
    "xl/workbook.xml": markup`${head}<workbook xmlns="${main}" xmlns:r="${relations}"><sheets>${names.map((name, i) => markup`<sheet name="${xmlText(name)}" sheetId="${i + 1}" r:id="rId${i + 1}"/>`)}</sheets></workbook>`,
    "xl/_rels/workbook.xml.rels": markup`${head}<Relationships xmlns="${packageRelations}">${sheets.map((_, i) => markup`<Relationship Id="rId${i + 1}" Type="${relations}/worksheet" Target="worksheets/sheet${i + 1}.xml"/>`)}<Relationship Id="rId${sheets.length + 1}" Type="${relations}/styles" Target="styles.xml"/></Relationships>`,
    "xl/styles.xml": stylesXml(),
  };
  sheets.forEach((sheet, i) => {
    parts[`xl/worksheets/sheet${i + 1}.xml`] = sheetXml(sheet);
  });
  const encoder = new TextEncoder();
  const files = Object.entries(parts).map(
    ([path, text]) => [path, encoder.encode(String(text))] as const,
  );
  return zipSync(Object.fromEntries(files), { mtime: new Date(1980, 0, 1), level: 6 });
}
