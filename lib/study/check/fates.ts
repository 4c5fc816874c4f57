import { itemAt, wholeAt } from "../../entry.js";
import type { SetAside } from "./issue.js";

/** What left a row out: the set-aside file, the status of the trial, or an error. */
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

  /** Rows of a part by reason, in order of first appearance. */
  counts(from: number, to: number): { used: number; setAside: { reason: string; rows: number }[] } {
    const rows = new Array<number>(this.reasons.length).fill(0);
    let used = 0;
    for (const code of this.codes.subarray(from, to)) {
      if (code === 0) used++;
      else rows[code - 1] = itemAt(rows, code - 1) + 1;
    }
    const setAside = this.reasons
      .map(({ reason }, i) => ({ reason, rows: itemAt(rows, i) }))
      .filter(({ rows: count }) => count > 0);
    return { used, setAside };
  }
}
