import { itemAt, present, wholeAt } from "../../entry.js";
import { frozen } from "../../stats/estimate.js";
import type { Issue, IssueCode, SetAside } from "./issue.js";
import { severityOf } from "./issue.js";
import { wordingOf } from "./issue-messages.js";

export interface IssueParts {
  readonly file: string;
  readonly row?: number;
  readonly column?: string;
  readonly code: IssueCode;
  readonly value?: string | number | null | undefined;
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
    const message = wordingOf(code, { value: shown, expected, column });
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

export type SetAsideBy = SetAside["by"];

/** What becomes of each row of a file: used, or left out for one reason, the first that was found. */
export class Fates {
  readonly reasons: { reason: string; by: SetAsideBy }[] = [];
  /** For each row 0 when it is used, else 1 + the place of its reason. */
  readonly codes: Uint16Array;
  private readonly known = new Map<string, number>();

  constructor(rowCount: number) {
    this.codes = new Uint16Array(rowCount);
  }

  leaveOut(index: number, reason: string, by: SetAsideBy): void {
    if (this.codes[index] === 0) this.codes[index] = this.code(reason, by);
  }

  private code(reason: string, by: SetAsideBy): number {
    const key = `${by}\n${reason}`;
    let code = this.known.get(key);
    if (code === undefined) {
      // A file with tens of thousands of different reasons is hostile; they share the last code.
      if (this.reasons.length >= 65_000) return this.reasons.length;
      this.reasons.push({ reason, by });
      code = this.reasons.length;
      this.known.set(key, code);
    }
    return code;
  }

  used(index: number): boolean {
    return this.codes[index] === 0;
  }

  of(index: number): { reason: string; by: SetAsideBy } | null {
    const code = wholeAt(this.codes, index);
    return code === 0 ? null : itemAt(this.reasons, code - 1);
  }

  /** Rows by reason, in order of first appearance. */
  counts(): { used: number; setAside: { reason: string; rows: number }[] } {
    const rows = new Array<number>(this.reasons.length).fill(0);
    let used = 0;
    for (const code of this.codes) {
      if (code === 0) used++;
      else rows[code - 1] = itemAt(rows, code - 1) + 1;
    }
    const setAside = this.reasons
      .map(({ reason }, i) => ({ reason, rows: itemAt(rows, i) }))
      .filter(({ rows: count }) => count > 0);
    return { used, setAside };
  }
}
