import { itemAt, present } from "../entry.js";
import type { AccountLine, Issue, Severity } from "../study/check/issue.js";
import type { Inspection } from "../study/study.js";
import { plainWords } from "./io.js";

/** Number of issues of each severity. */
export type Counts = Readonly<Record<Severity, number>>;

interface TextOptions {
  readonly counts: Counts;
  /** Every issue on a line of its own. */
  readonly all: boolean;
  /** Characters in a line of the terminal. */
  readonly width: number;
}

/** Severities in the order of urgency, in the words of the person who has to act. */
const words: Readonly<Record<Severity, { one: string; many: string }>> = {
  stop: { one: "stop", many: "stops" },
  error: { one: "error", many: "errors" },
  ask: { one: "question", many: "questions" },
  note: { one: "note", many: "notes" },
};
const severities = Object.keys(words) as Severity[];

/**
 * The check of a study's raw files for a person: what was read, what is wrong, what to do. In
 * pieces, because every issue on a line of its own can be more than one text holds.
 */
export function* checkText(inspection: Inspection, options: TextOptions): Generator<string> {
  const { account } = inspection;
  const before = [
    [titleOf(inspection)],
    account.length > 0 ? ["What was read", ...readLines(account)] : [],
    asideLines(account),
  ];
  for (const lines of before) if (lines.length > 0) yield `${lines.join("\n")}\n\n`;
  yield* issueText(inspection.issues, options);
  yield `\n${["What to do", ...adviceLines(inspection, options.counts)].join("\n")}\n`;
}

function titleOf({ name, study }: Inspection): string {
  if (!study) return plainWords(name);
  const stated = !study.simulated || /simulated/i.test(study.title);
  return plainWords(`${name}: ${study.title}${stated ? "" : " (simulated data)"}`);
}

function readLines(account: readonly AccountLine[]): string[] {
  const rows = account.map(({ file, rows, used }) => {
    return [plainWords(file), String(rows), String(used), String(rows - used)];
  });
  return aligned([["file", "rows", "in use", "set aside"], ...rows]);
}

function asideLines(account: readonly AccountLine[]): string[] {
  const rows = account.flatMap(({ file, setAside }) =>
    setAside.map(({ reason, rows }) => [plainWords(file), String(rows), plainWords(reason)]),
  );
  if (rows.length === 0) return [];
  return ["Why rows were set aside", ...aligned([["file", "rows", "reason"], ...rows])];
}

/** Columns lined up: texts to the left, whole numbers to the right. */
function aligned(rows: readonly (readonly string[])[]): string[] {
  const widths = itemAt(rows, 0).map((_, k) =>
    Math.max(...rows.map((row) => itemAt(row, k).length)),
  );
  const isNumber = itemAt(rows, 0).map((_, k) =>
    rows.slice(1).every((row) => /^\d+$/.test(itemAt(row, k))),
  );
  return rows.map((row) =>
    `  ${row
      .map((cell, k) => {
        return isNumber[k] ? cell.padStart(itemAt(widths, k)) : cell.padEnd(itemAt(widths, k));
      })
      .join("   ")}`.trimEnd(),
  );
}

function* issueText(issues: readonly Issue[], options: TextOptions): Generator<string> {
  if (issues.length === 0) {
    yield "No issues.\n";
    return;
  }
  yield `What was found: ${countText(options.counts)}\n`;
  const groups = options.all ? null : alike(issues);
  for (const severity of severities) {
    if (groups) {
      for (const group of groups)
        if (present(group[0]).severity === severity) yield textOfGroup(group, options);
    } else {
      for (const issue of issues)
        if (issue.severity === severity) yield textOfGroup([issue], options);
    }
  }
}

function textOfGroup(group: readonly Issue[], options: TextOptions): string {
  return `${groupLines(group, options).join("\n")}\n`;
}

/** Issues of one file, column and code, together. */
function alike(issues: readonly Issue[]): Issue[][] {
  const groups = new Map<string, Issue[]>();
  for (const issue of issues) {
    const key = [issue.severity, issue.file, issue.column, issue.code].join("\n");
    const group = groups.get(key);
    if (group) group.push(issue);
    else groups.set(key, [issue]);
  }
  return [...groups.values()];
}

const shownRows = 8;

function groupLines(group: readonly Issue[], { width }: TextOptions): string[] {
  const { severity, file, row, column, message } = itemAt(group, 0);
  const place = [file, row > 0 ? `row ${row}` : "", column].filter((part) => part !== "");
  const head = `  ${words[severity].one}  ${plainWords(place.join(", "))}`;
  return [head, ...wrapped(plainWords(message), width, "      "), ...moreLines(group, width)];
}

function moreLines(group: readonly Issue[], width: number): string[] {
  if (group.length === 1) return [];
  const rows = [...new Set(group.slice(1).map(({ row }) => row))].filter((row) => row > 0);
  const named = rows.slice(0, shownRows).join(", ");
  const rest = rows.length > shownRows ? " …" : "";
  const where = rows.length > 0 ? `: row${rows.length > 1 ? "s" : ""} ${named}${rest}` : "";
  return wrapped(`and ${group.length - 1} more of this kind${where}`, width, "      ");
}

/** Text broken at spaces into lines that fit. */
function wrapped(text: string, width: number, indent: string): string[] {
  const room = Math.max(30, Math.min(width, 110) - indent.length);
  const lines = [""];
  for (const word of text.split(" ")) {
    const last = present(lines.at(-1));
    if (last === "") lines[lines.length - 1] = word;
    else if (last.length + 1 + word.length <= room) lines[lines.length - 1] = `${last} ${word}`;
    else lines.push(word);
  }
  return lines.map((line) => indent + line);
}

function countText(counts: Counts): string {
  const counted = severities
    .filter((severity) => counts[severity] > 0)
    .map(
      (severity) =>
        `${counts[severity]} ${words[severity][counts[severity] === 1 ? "one" : "many"]}`,
    );
  return counted.join(", ");
}

function adviceLines({ account }: Inspection, counts: Counts): string[] {
  const steps: string[] = [];
  if (counts.stop > 0)
    steps.push("Correct what is marked as a stop first; nothing can be analysed before that.");
  if (counts.error > 0)
    steps.push(
      "Correct the rows named as errors, in a dated copy; until then no analysis uses them.",
    );
  if (counts.ask > 0)
    steps.push(
      "Answer the questions from the paper sheets. No value was changed or left out because of them.",
    );
  const trials = account.filter(({ resource }) => /trials$/.test(resource));
  if (counts.stop === 0 && trials.every(({ rows }) => rows === 0))
    steps.push(
      "No trials yet: write recording sheets with tautline sheets, and screen before testing.",
    );
  else if (steps.length === 0) steps.push("Nothing: the files can be analysed as they are.");
  return steps.map((step, i) => `  ${i + 1}. ${step}`);
}
