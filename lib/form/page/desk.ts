import type { FormContent, FormFile, FormRow } from "../form-content.js";
import {
  identityOf,
  type JournalEntry,
  type JournalEvent,
  standingRows,
  unitNow,
} from "../journal.js";
import { type JournalStore, NotStored } from "./store.js";

/** A golfer at a visit. */
export interface Visit {
  /** Code of the golfer. */
  readonly participant: string;
  /** Id of the visit in the design. */
  readonly occasion: string;
}

/** Which part of the form is shown. */
export type Screen = "start" | "screening" | "warm-up" | "trials" | "summary" | "diary" | "storage";

const storedWords = {
  "recorded-elsewhere":
    "Not stored: this trial is already in the journal, recorded in another tab or before. The list below shows it; correct it there.",
  full: "NOT STORED: the storage of this device is full. Do not go on. Download the journal below, free some space, then store this entry again.",
  closed:
    "NOT STORED: the browser does not give access to its storage. Do not go on with this browser; write the value on paper.",
} as const;

/** What the screens share: content, journal, and the only way to record something. */
export class Desk {
  readonly content: FormContent;
  readonly device: string;
  readonly store: JournalStore;
  readonly draw: () => void;
  journal: readonly JournalEntry[] = [];
  screen: Screen;
  visit: Visit | undefined;
  /** What the reader is told about the last thing done. */
  message = "";
  /** Tester and devices, which stay the same from golfer to golfer. */
  setting: FormRow = { tester: "", dynamometer: "", "speed device": "" };

  constructor(
    content: FormContent,
    parts: { store: JournalStore; device: string; draw: () => void },
  ) {
    this.content = content;
    this.store = parts.store;
    this.device = parts.device;
    this.draw = parts.draw;
    this.screen = content.purpose === "diary" ? "diary" : "start";
  }

  /** Reads the journal again: another tab may have added to it. */
  async refresh(): Promise<void> {
    this.journal = await this.store.all();
  }

  go(screen: Screen, visit: Visit | undefined = this.visit): void {
    this.screen = screen;
    this.visit = visit;
    this.message = "";
    this.draw();
  }

  /** Stores an event. @returns false when it was not stored; the message says why */
  async record(what: JournalEvent, replaces?: JournalEvent): Promise<boolean> {
    try {
      await this.store.add(what, localTime(new Date()), replaces);
      this.message = "Stored on this device.";
      await this.refresh();
      return true;
    } catch (error) {
      this.message = storedWords[error instanceof NotStored ? error.fault : "closed"];
      await this.refresh().catch(() => undefined);
      return false;
    }
  }

  /** Whether the trial of a row is in the journal already; if so, the reader is told and sees it. */
  isRecorded(file: FormFile, row: FormRow): boolean {
    const name = identityOf(file, row);
    const found = standingRows(this.journal).some((one) => identityOf(one.file, one.row) === name);
    if (found) {
      this.message = storedWords["recorded-elsewhere"];
      this.draw();
    }
    return found;
  }

  /** Rows of one golfer, of this form and of the earlier visits that it carries. */
  rowsOf(file: "grip-trials" | "swing-trials", participant: string): readonly FormRow[] {
    const earlier = this.content.earlier[file] ?? [];
    const stored = standingRows(this.journal).filter((one) => one.file === file);
    return [...earlier, ...stored.map(({ row }) => row)].filter(
      (row) => row.participant === participant,
    );
  }

  unit(quantity: "force" | "speed"): string {
    const { forceUnit, speedUnit } = this.content;
    return unitNow(this.journal, quantity, quantity === "force" ? forceUnit : speedUnit);
  }
}

/** The clock of this device with its distance from UTC: "2025-03-01T09:30:05+01:00". */
export function localTime(now: Date): string {
  const two = (n: number) => String(Math.floor(Math.abs(n))).padStart(2, "0");
  const shift = -now.getTimezoneOffset();
  const day = `${now.getFullYear()}-${two(now.getMonth() + 1)}-${two(now.getDate())}`;
  const time = `${two(now.getHours())}:${two(now.getMinutes())}:${two(now.getSeconds())}`;
  return `${day}T${time}${shift < 0 ? "-" : "+"}${two(shift / 60)}:${two(shift % 60)}`;
}
