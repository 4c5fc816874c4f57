import type { Proposal } from "../study/mapping/propose.js";
import type { ProposedResource } from "../study/mapping/proposed-resources.js";
import { isRecord } from "../study/package/json.js";
import { plainWords } from "./io.js";

interface Writing {
  /** Path of datapackage.json. */
  readonly file: string;
  /** Whether writing was asked for. */
  readonly asked: boolean;
  /** Whether it was written. */
  readonly written: boolean;
}

/** A proposal for a person: each file with everything that was decided of it, then what is open. */
export function mapText(proposal: Proposal, writing: Writing): string {
  const { resources, questions, unrecognised } = proposal;
  const blocks = [
    ...resources.map(resourceText),
    ...(unrecognised.length > 0
      ? [
          `Nothing was recognised in: ${unrecognised.join(", ")}.\n  A table needs a row of headings, with one column for the golfer and columns of numbers: force or speed.`,
        ]
      : []),
    ...(questions.length > 0 ? [questionsText(proposal)] : []),
    foundText(proposal),
    nextText(proposal, writing),
  ];
  return `${blocks.map((block) => block.split("\n").map(plainWords).join("\n")).join("\n\n")}\n`;
}

function resourceText({ kind, path, reading, dialect }: ProposedResource): string {
  const files = Array.isArray(path) ? `${path.length} files such as ${path[0]}` : String(path);
  const sheet = typeof reading.sheet === "string" ? `, sheet ${reading.sheet}` : "";
  return [
    `${files}${sheet}: ${kindTitles[kind] ?? kind}`,
    ...layoutLines(dialect),
    ...readingLines(reading),
  ].join("\n");
}

const kindTitles: Readonly<Record<string, string>> = {
  participants: "participants",
  "grip-trials": "grip trials",
  "swing-trials": "swings",
};

function layoutLines(dialect: unknown): string[] {
  if (!isRecord(dialect) || !Array.isArray(dialect.headerRows)) return [];
  return [`  headings in row ${dialect.headerRows.join(" and ")}`];
}

function readingLines(reading: ProposedResource["reading"]): string[] {
  const pairs = (key: string, say: (from: string, to: string) => string) =>
    Object.entries(isRecord(reading[key]) ? reading[key] : {}).map(
      ([from, to]) => `  ${say(from, String(to))}`,
    );
  const values = Object.entries(isRecord(reading.values) ? reading.values : {}).map(
    ([column, map]) => {
      const list = Object.entries(isRecord(map) ? map : {}).map(([from, to]) => `${from} = ${to}`);
      return `  ${column}: ${list.join(", ")}`;
    },
  );
  return [
    ...pairs("columns", (from, to) => `${from} → ${to}`),
    ...wideLines(reading.wide),
    ...values,
    ...pairs("constants", (column, text) => `${column}: ${text} in every row`),
    ...pairs("format", (column, format) => `${column} is written ${format}`),
    ...pairs("units", (column, unit) => `${column} is converted from ${unit}`),
    ...cellUnitLines(reading.cellUnits),
    ...(typeof reading.fileName === "string" ? [`  the file's name is ${reading.fileName}`] : []),
    ...(typeof reading.numberRows === "string"
      ? [`  no ${reading.numberRows} numbers: numbered in the order of the file`]
      : []),
    ...(Array.isArray(reading.fillDown)
      ? [`  an empty cell repeats the one above: ${reading.fillDown.join(", ")}`]
      : []),
    ...pairs("only", (column, list) => `only rows with ${column}: ${list}`),
    ...pairs("leaveOut", (column, list) => `no data rows: ${column}: ${list}`),
    ...(Array.isArray(reading.ignore) ? [`  not read: ${reading.ignore.join(", ")}`] : []),
  ];
}

function cellUnitLines(cellUnits: unknown): string[] {
  return Object.entries(isRecord(cellUnits) ? cellUnits : {}).map(([column, units]) => {
    const list = Object.entries(isRecord(units) ? units : {}).map(
      ([text, unit]) => `"${text}" = ${unit}`,
    );
    return `  ${column}: the unit stands in the cells: ${list.join(", ")}`;
  });
}

function wideLines(wide: unknown): string[] {
  if (!isRecord(wide) || !isRecord(wide.columns)) return [];
  return Object.entries(wide.columns).map(([name, facts]) => {
    const list = Object.entries(isRecord(facts) ? facts : {}).map(
      ([fact, text]) => `${fact} ${text}`,
    );
    return `  ${name} → ${wide.valueColumn}: ${list.join(", ")}`;
  });
}

function questionsText({ questions }: Proposal): string {
  const lines = questions.flatMap(({ key, text, choices }) => [
    `  ${text}`,
    ...(choices.length > 0
      ? [`    --answer "${key}=${choices[0]}"   (or ${choices.slice(1).join(", ")})`]
      : []),
  ]);
  return ["What only you can decide", ...lines].join("\n");
}

function foundText({ check }: Proposal): string {
  const rows = check.account.map(
    ({ file, rows: all, used }) => `  ${file}: ${used} of ${all} rows`,
  );
  const errors = check.issues.filter(({ severity }) => severity === "stop" || severity === "error");
  const shown = errors.slice(0, 5).map(({ file, row, column, message }) => {
    const place = [file, row > 0 ? `row ${row}` : "", column].filter((part) => part !== "");
    return `  ${place.join(", ")}: ${message}`;
  });
  const more =
    errors.length > shown.length
      ? [`  and ${errors.length - shown.length} more; see tautline check`]
      : [];
  return [
    "Read so, these rows can be used",
    ...rows,
    ...(errors.length > 0 ? ["What still has to be corrected", ...shown, ...more] : []),
  ].join("\n");
}

function nextText({ resources, questions }: Proposal, { file, asked, written }: Writing): string {
  if (written) return `Written to ${file}. Next: tautline check.`;
  if (resources.length === 0)
    return "Nothing to write: every data file of the folder is read already, or was not recognised.";
  if (asked && questions.length > 0)
    return `Nothing was written to ${file}: answer the questions first.`;
  return `Nothing was written. With --write it goes into ${file}.`;
}
