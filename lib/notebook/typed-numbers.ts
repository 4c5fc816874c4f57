import type { CellName } from "./results.js";

/** The numbers that somebody typed into one cell of text. */
export interface TypedNumbers {
  /** The cell of text. */
  readonly cell: CellName;
  /** Each number with the word after it: "24 golfers". */
  readonly numbers: readonly string[];
}

interface TextOfNotebook {
  readonly cells: readonly {
    readonly cell_type: string;
    readonly id: string;
    readonly source?: unknown;
  }[];
}

/**
 * The numbers typed into the text cells of a notebook. No run makes or checks them, so a reader has
 * to know which they are. Characters written by number ("&#52;") are read as a browser shows them. Left out are code, addresses, years, volumes and pages, numbers of list items and headings, and digits that
 * are part of a name such as "w0" or "ICC(2,1)".
 */
export function typedNumbers(notebook: TextOfNotebook): TypedNumbers[] {
  return notebook.cells.flatMap(({ cell_type, id, source }, i) => {
    if (cell_type === "code") return [];
    const numbers = numbersIn(Array.isArray(source) ? source.join("") : String(source ?? ""));
    return numbers.length > 0 ? [{ cell: { number: i + 1, id }, numbers }] : [];
  });
}

/** Parts of Markdown whose digits are no statement to a reader. */
const notRead = [
  /^(```|~~~)[\s\S]*?^\1/gm,
  /`[^`\n]*`/g,
  /<!--[\s\S]*?-->/g,
  /\]\([^)\s]*(?:\s+"[^"]*")?\)/g,
  /\b(?:https?|doi):\S+/g,
  /\b\d+(?:\(\d+\))?:\s?[A-Za-z]?\d+(?:[–-]\d+)?/g, // volume and pages of a journal
  /^\s*\d{1,3}[.)]\s/gm,
  /^\s*#{1,6}\s+\d{1,3}[.)]?\s/gm,
];

const number =
  /(?<![\w.(,])[-+−]?\d+(?:[.,]\d+)*(?![\w(]|[.,]\d)(?:[\s\u00a0]?[%°]|[\s\u00a0][\p{L}/]+)?/gu;
const year = /^(?:1[5-9]|20)\d\d(?!\d|[.,]\d)(?![\s\u00a0]?%)/;

function numbersIn(markdown: string): string[] {
  let text = markdown.replace(/&#(?:x([\da-f]{1,5})|(\d{1,6}));/gi, (_, hex, decimal) =>
    String.fromCodePoint(hex ? Number.parseInt(hex, 16) : Number(decimal)),
  );
  for (const part of notRead) text = text.replace(part, " ");
  return [...text.matchAll(number)]
    .map(([found]) => found.replace(/[\s\u00a0]+/g, " ").trim())
    .filter((found) => !year.test(found));
}
