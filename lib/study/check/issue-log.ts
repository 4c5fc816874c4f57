import type { Issue, IssueCode } from "./issue.js";
import { severityOf } from "./issue.js";
import { type IssueFacts, messageOf } from "./issue-messages.js";

/** An issue as a check reports it; its sentence and severity follow from the code. */
export interface IssueParts {
  /** File inside the study folder. */
  readonly file: string;
  /** Row that a spreadsheet shows; left out for the file as a whole. */
  readonly row?: number;
  /** Name of the column; left out for the row as a whole. */
  readonly column?: string;
  /** Kind of the issue. */
  readonly code: IssueCode;
  /** What stands there. */
  readonly value?: string | number | null | undefined;
  /** What should be there instead, in words. */
  readonly expected?: string;
  /** How many rows it is about, where that is more than one. */
  readonly count?: number;
  /** A line to paste into the datapackage, and where. */
  readonly paste?: string;
}

/** Sentences kept for issues that say the same; a flood of different values is not kept. */
const keptSentences = 10_000;

/** Collects issues, every one of them: a count that is cut would be wrong. */
export class IssueLog {
  private readonly issues: Issue[] = [];
  private readonly stops = new Set<string>();
  private readonly sentences = new Map<string, { value: string; message: string }>();

  add(parts: IssueParts): void {
    const { file, row = 0, column = "", code, expected = "", paste = "" } = parts;
    const count = parts.count ?? (row > 0 ? 1 : 0);
    const written = parts.value ?? (parts.value === null ? null : "");
    const { value, message } = this.words(code, written, { column, expected, count, paste });
    const severity = severityOf[code];
    if (severity === "stop") this.stops.add(file);
    const issue = { file, row, column, code, severity, value, expected, message, count };
    this.issues.push(Object.freeze(issue));
  }

  /** A million equal cells share one sentence, so that they need little room. */
  private words(
    code: IssueCode,
    value: string | number | null,
    { column, expected, count, paste }: Omit<IssueFacts, "value">,
  ) {
    const key = [code, value, column, expected, count > 1 ? count : "", paste].join("\n");
    const known = this.sentences.get(key);
    if (known) return known;
    const shown = oneLine(value);
    // names of columns come from the file too, so the whole sentence is made visible
    const message = visible(messageOf(code, { value: shown, expected, column, count, paste }));
    const words = { value: shown, message };
    if (this.sentences.size < keptSentences) this.sentences.set(key, words);
    return words;
  }

  get stopped(): boolean {
    return this.stops.size > 0;
  }

  /** Whether something in this file stops the study. */
  stoppedIn(file: string): boolean {
    return this.stops.has(file);
  }

  /** Every issue by file and row. */
  all(): readonly Issue[] {
    const issues = [...this.issues];
    issues.sort((a, b) => (a.file === b.file ? a.row - b.row : a.file < b.file ? -1 : 1));
    return Object.freeze(issues);
  }
}

/** A value on one line, short enough for a message. */
function oneLine(value: string | number | null): string {
  const text = value === null ? "" : String(value);
  const plain = visible(text.slice(0, 120));
  return text.length > 120 ? `${plain}…` : plain;
}

/** Controls, line ends and marks of direction as dots: they could act on a terminal or hide words. */
function visible(text: string): string {
  return text.replace(/[\p{Cc}\u2028-\u202e\u2066-\u2069]/gu, "·");
}
