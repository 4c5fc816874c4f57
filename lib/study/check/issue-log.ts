import { itemAt, present } from "../../entry.js";
import { frozen } from "../../stats/estimate.js";
import type { Issue, IssueCode } from "./issue.js";
import { severityOf } from "./issue.js";
import { messageOf } from "./issue-messages.js";

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
}

/** Issues of one kind in one column that are listed one by one; the rest are counted. */
const listed = 100;

/** Collects issues. A flood of one kind is cut short, and said to be. */
export class IssueLog {
  private readonly issues: Issue[] = [];
  private readonly counts = new Map<string, number>();

  add({ file, row = 0, column = "", code, value = "", expected = "" }: IssueParts): void {
    const kind = `${file}\n${column}\n${code}`;
    const seen = (this.counts.get(kind) ?? 0) + 1;
    this.counts.set(kind, seen);
    if (seen > listed) return;
    const shown = oneLine(value);
    const message = messageOf(code, { value: shown, expected, column });
    this.issues.push({
      file,
      row,
      column,
      code,
      severity: severityOf[code],
      value: shown,
      expected,
      message,
    });
  }

  get stopped(): boolean {
    return this.issues.some(({ severity }) => severity === "stop");
  }

  /** Whether something in this file stops the study. */
  stoppedIn(file: string): boolean {
    return this.issues.some((issue) => issue.severity === "stop" && issue.file === file);
  }

  /** Every issue by file and row; the last of a flood says how many more there are. */
  all(): readonly Issue[] {
    const last = new Map<string, number>();
    const issues = [...this.issues];
    for (const [i, { file, column, code }] of issues.entries())
      last.set(`${file}\n${column}\n${code}`, i);
    for (const [kind, seen] of this.counts) {
      if (seen <= listed) continue;
      const at = present(last.get(kind));
      const more = seen - listed;
      issues[at] = {
        ...itemAt(issues, at),
        message: `${itemAt(issues, at).message} (And ${more} more like this.)`,
      };
    }
    issues.sort((a, b) => (a.file === b.file ? a.row - b.row : a.file < b.file ? -1 : 1));
    return frozen(issues);
  }
}

/** A value on one line, short enough for a message. */
function oneLine(value: string | number | null): string {
  const text = value === null ? "" : String(value);
  const plain = text.slice(0, 120).replace(/[\p{Cc}\u2028-\u202e\u2066-\u2069]/gu, "·");
  return text.length > 120 ? `${plain}…` : plain;
}
