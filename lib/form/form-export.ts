import { csvText } from "../csv-writing.js";
import { columnsOfFile, type FormContent, type FormFile, formFiles } from "./form-content.js";
import { type JournalEntry, standingRows } from "./journal.js";

/** A file that a form hands out. */
export interface ExportedFile {
  /** Name of the file. */
  readonly name: string;
  /** Type of its contents. */
  readonly type: "text/csv" | "application/json";
  /** Its text. */
  readonly text: string;
  /** Rows of data; entries for the journal. */
  readonly rows: number;
}

/**
 * The files of a journal: a CSV file for each of the study's files that has rows, in the columns of
 * the study, and the journal itself with every correction.
 * @param content what the form carries
 * @param journal all entries
 * @param device code of this device, so that the files of several testers have different names
 */
export function exportedFiles(
  content: FormContent,
  journal: readonly JournalEntry[],
  device: string,
): readonly ExportedFile[] {
  const standing = standingRows(journal);
  const tables = formFiles.flatMap((file): ExportedFile[] => {
    const rows = standing.filter((one) => one.file === file).map(({ row }) => row);
    if (rows.length === 0) return [];
    const text = csvText(columnsOfFile(file), rows);
    return [{ name: `${file}-${device}.csv`, type: "text/csv", text, rows: rows.length }];
  });
  const whole = { kind: "tautline-form-journal", study: content.study, device, entries: journal };
  return [
    ...tables,
    {
      name: `journal-${device}.json`,
      type: "application/json",
      text: `${JSON.stringify(whole, null, 1)}\n`,
      rows: journal.length,
    },
  ];
}

/** How many rows or entries there are, as a reader sees it. */
export function countedEntries(n: number, one: "row" | "entry"): string {
  if (n === 1) return `1 ${one}`;
  return `${n} ${one === "row" ? "rows" : "entries"}`;
}

/** What is still missing from a visit, as a reader sees it. */
export function missingWords(
  { design }: Pick<FormContent, "design">,
  { squeezes, swings }: { readonly squeezes: number; readonly swings: number },
): readonly string[] {
  const plannedSqueezes = design.positions.length * design.hands.length * design.gripTrials;
  const plannedSwings = design.clubs.length * design.swings;
  const words: string[] = [];
  if (squeezes < plannedSqueezes)
    words.push(`Squeezes not recorded: ${plannedSqueezes - squeezes} of ${plannedSqueezes}.`);
  if (swings < plannedSwings)
    words.push(`Swings not recorded: ${plannedSwings - swings} of ${plannedSwings}.`);
  return words;
}

/** Which of the study's files the rows of an export belong to, by its columns. */
export function fileOfColumns(columns: readonly string[]): FormFile | undefined {
  return formFiles.find((file) => columnsOfFile(file).every((name) => columns.includes(name)));
}
