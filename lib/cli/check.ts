import type { Issue } from "../study/check/issue.js";
import { inspectStudy } from "../study/open.js";
import type { Inspection } from "../study/study.js";
import { readOptions, UsageError } from "./arguments.js";
import { addFiles } from "./check-add.js";
import { type Counts, checkText } from "./check-text.js";
import { exitCodes, type Help, type Io } from "./io.js";
import { namedStudy } from "./study-word.js";

/** The keys of a mapping, as a person types them. */
const mappingKeys = [
  { name: "columns", what: 'their column → ours: {"Player": "participant"}' },
  { name: "values", what: 'our column → their value → ours: {"hand": {"L": "left"}}' },
  { name: "constants", what: 'our column → a text for every row: {"unit": "kgf"}' },
  { name: "format", what: 'how a date is written: {"date": "%d.%m.%Y"}' },
  { name: "units", what: 'unit of a column of one unit: {"mass_kg": "lb"}' },
  {
    name: "cellUnits",
    what: 'our column → unit behind each number → its meaning: {"force": {"kg": "kgf"}}',
  },
  { name: "sheet", what: 'sheet of a workbook: "Pre"' },
  {
    name: "wide",
    what: 'trials side by side: {"valueColumn": "force", "columns": {"Lead 1": {"hand": "lead", "trial": "1"}}}',
  },
  {
    name: "fileName",
    what: 'values in the file name: "golfers/{participant}.csv", with a list of files as path',
  },
  { name: "numberRows", what: 'number the trials in the order of the file: "trial"' },
  { name: "fillDown", what: 'columns of merged cells: ["Player"]' },
  { name: "only", what: 'rows that belong to this resource: {"Test": ["Grip"]}' },
  { name: "leaveOut", what: 'rows without data: {"Player": ["Mean"]}' },
  { name: "ignore", what: 'columns left unread on purpose: ["Ball speed"]' },
  { name: "onePerGolfer", what: "true when the values of a golfer are in several rows" },
];

export const help: Help = {
  usage: "tautline check <study> [options]",
  what: "Checks the raw files of a study: what was read, what is wrong, what to do. Writes only with --add.",
  options: [
    {
      name: "--add <file>",
      what: "add the rows of an exported file to the study's files; may be repeated",
    },
    { name: "--all", what: "list every issue, without grouping similar ones" },
    {
      name: "--today <date>",
      what: "dates after this day count as future (today)",
    },
    { name: "--json", what: "one JSON document on the standard output" },
  ],
  more: {
    title:
      'Keys of "reading" of a resource in datapackage.json, for a file with headings of its own',
    rows: mappingKeys,
  },
  examples: [
    { line: "tautline check winter-block", what: "the study in data/winter-block" },
    {
      line: "tautline check data/spring --json",
      what: "a study by its path, for a program to read",
    },
  ],
};

/** Reads a study, lists what was found, and ends with 1 when something must be corrected. */
export async function run(args: string[], io: Io): Promise<number> {
  const { options, words } = readOptions(args, {
    add: "list",
    all: "flag",
    today: "text",
    json: "flag",
  });
  if (options.add.length > 0)
    return addFiles(namedStudy(words, io.cwd), options.add, io, options.json);
  const inspection = inspectStudy(namedStudy(words, io.cwd), { today: dayOf(options.today) });
  const counts = countsOf(inspection.issues);
  const pieces = options.json
    ? documentText(inspection, counts)
    : checkText(inspection, { counts, all: options.all, width: io.columns ?? 100 });
  for (const piece of inPieces(pieces)) io.out(piece);
  return counts.stop + counts.error > 0 ? exitCodes.differences : exitCodes.fine;
}

function countsOf(issues: readonly Issue[]): Counts {
  const counts = { stop: 0, error: 0, ask: 0, note: 0 };
  for (const { severity } of issues) counts[severity]++;
  return counts;
}

/** The document of --json, piece by piece: a million issues are more than one text holds. */
function* documentText(inspection: Inspection, counts: Counts): Generator<string> {
  const { name, study, issues, setAside, account } = inspection;
  const head = {
    kind: "check",
    study: name,
    title: study?.title ?? "",
    read: study !== null,
    counts,
    account,
  };
  yield JSON.stringify(head).slice(0, -1);
  yield* listText("setAside", setAside);
  yield* listText("issues", issues);
  yield "}\n";
}

function* listText(name: string, items: readonly object[]): Generator<string> {
  yield `,${JSON.stringify(name)}:[`;
  for (const [i, item] of items.entries()) yield `${i > 0 ? "," : ""}${JSON.stringify(item)}`;
  yield "]";
}

/** Characters written at once. */
const pieceLength = 65_536;

/** Small pieces joined to larger ones, so that few writes are needed. */
function* inPieces(parts: Iterable<string>): Generator<string> {
  let held = "";
  for (const part of parts) {
    held += part;
    if (held.length < pieceLength) continue;
    yield held;
    held = "";
  }
  if (held !== "") yield held;
}

function dayOf(text: string | undefined): string {
  const day = text ?? localDay(new Date());
  if (/^\d{4}-\d{2}-\d{2}$/.test(day)) return day;
  throw new UsageError(`--today needs a day such as 2025-03-01, got ${JSON.stringify(text)}`);
}

function localDay(now: Date): string {
  const two = (n: number) => String(n).padStart(2, "0");
  return `${now.getFullYear()}-${two(now.getMonth() + 1)}-${two(now.getDate())}`;
}
