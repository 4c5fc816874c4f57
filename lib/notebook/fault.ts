/** Why a notebook could not be run to its end. */
export type FaultKind =
  | "exception"
  | "types"
  | "rejection"
  | "time limit"
  | "memory limit"
  | "kernel died"
  | "kernel did not start"
  | "interrupted"
  | "notebook file";

/** A place in a cell: its number among all cells from 1, its id, and where in its source. */
export interface CellPlace {
  /** Number of the cell among all cells of the notebook, from 1. */
  readonly number: number;
  /** Id of the cell in the notebook file. */
  readonly id: string;
  /** Lines and columns count from 1. */
  readonly line?: number | undefined;
  /** Column in the line, from 1; left out when it is not known. */
  readonly column?: number | undefined;
}

/** Everything that is known about a failed notebook, as data; the wording is made from it. */
export interface Fault {
  /** The sort of failure, which decides how the message is worded. */
  readonly kind: FaultKind;
  /** Path of the notebook relative to the root of the study. */
  readonly notebook: string;
  /** The cell whose code failed; left out when the failure belongs to no cell. */
  readonly cell?: CellPlace | undefined;
  /** Number of the cell that ran, when the fault lies in code of an earlier one. */
  readonly running?: number | undefined;
  /** Name and text of the exception or of the diagnostic. */
  readonly name: string;
  /** What went wrong, in words, without paths of this machine. */
  readonly message: string;
  /** The line of the cell at `cell.line`. */
  readonly sourceLine?: string | undefined;
  /** Frames in the user's own cells and in the library, innermost first; never the kernel's. */
  readonly frames: readonly string[];
  /** What the cell wrote to the standard error before it failed. */
  readonly stderr?: string | undefined;
  /** A sentence that says what the user can do about it. */
  readonly advice?: string | undefined;
}

/** A notebook that failed. */
export class NotebookFailure extends Error {
  readonly fault: Fault;

  constructor(fault: Fault) {
    super(describeFault(fault));
    this.name = "NotebookFailure";
    this.fault = fault;
  }
}

/** A fault in words: notebook and cell, what happened, the line with a caret, where it came from. */
export function describeFault(fault: Fault): string {
  const { cell } = fault;
  const place = cell ? `, cell ${cell.number}${cell.line ? `, line ${cell.line}` : ""}` : "";
  const during = fault.running === undefined ? "" : ` (while cell ${fault.running} ran)`;
  const lines = [`${fault.notebook}${place}${during}: ${headline(fault)}`];
  if (fault.sourceLine !== undefined) lines.push(...pointed(fault.sourceLine, cell?.column));
  for (const frame of fault.frames) lines.push(`    in ${frame}`);
  if (fault.stderr?.trim()) lines.push(...indented("it had written", fault.stderr.trim()));
  if (fault.advice) lines.push(`  ${fault.advice}`);
  return lines.join("\n");
}

function headline({ kind, name, message }: Fault): string {
  if (kind === "rejection")
    return `a promise was rejected and nobody awaited it: ${namedMessage(name, message)}`;
  return namedMessage(name, message);
}

function namedMessage(name: string, message: string): string {
  return name && !message.startsWith(`${name}:`) ? `${name}: ${message}` : message;
}

const widest = 160;

/** The source line and a caret under its column; of a very long line, the part around the column. */
function pointed(line: string, column?: number): string[] {
  const text = line.replace(/\t/g, " ").trimEnd();
  const from = column && column > widest ? column - widest / 2 : 0;
  const shown = text.slice(from, from + widest);
  const caret = column ? [`    ${" ".repeat(column - 1 - from)}^`] : [];
  return [`    ${shown}`, ...caret];
}

function indented(title: string, text: string): string[] {
  const last = text.split("\n").slice(-8);
  return [`  ${title}:`, ...last.map((line) => `    ${line.slice(0, widest)}`)];
}
