import { rmSync, writeFileSync } from "node:fs";
import { dirname, join } from "node:path";
import type * as TypeScript from "@tslab/typescript-for-tslab";
import { upperFirst } from "../first-letter.js";
import { markup } from "../markup.js";
import type { CellFacts } from "./cell-facts.js";
import { CellLedger, type StaleOutput } from "./cell-ledger.js";
import { readCell } from "./cell-reading.js";
import { FileHashes } from "./file-hashes.js";
import { KernelMemory } from "./kernel-memory.js";
import { statusFileName } from "./kernel-status.js";
import type { ReadFiles } from "./reads.js";
import { SavedNotebooks } from "./saved-cells.js";
import { cellsNamed, staleSentence } from "./stale-words.js";
import { unrepeatableClause } from "./unrepeatable-words.js";

/** Sends a message about the cell that runs now. */
export type SayOfCell = (type: "display_data" | "update_display_data", content: object) => void;

/** A run of a cell, as a front end asked for it. */
export interface TrackedRun {
  /** Id of the cell, if the front end told one. */
  readonly id: string | undefined;
  /** The number in brackets that front ends show beside the cell. */
  readonly count: number;
  /** The code of the cell. */
  readonly source: string;
  /** What it did beyond reading data, in clauses. */
  readonly reaches: readonly string[];
  /** Data files that it read, with the hash of what they held. */
  readonly files: ReadFiles;
  /** The cell ran to its end. */
  readonly finished: boolean;
}

/** The line under a cell. */
interface Note {
  readonly text: string;
  /** It says that an output is stale. */
  readonly stale: boolean;
}

interface ShownNote {
  readonly display: string;
  readonly text: string;
}

/** The hook through which a cell asks for the stale outputs of its notebook. */
const staleHook = Symbol.for("tautline.staleCells");

/**
 * Follows what a person runs in a front end, and adds a line to the output of a cell that shows what
 * a run from top to bottom would not. Nothing that goes wrong here may fail a cell: without the line
 * the notebook is as good as before.
 */
export class CellTracking {
  private readonly ts: typeof TypeScript;
  private readonly saved = new SavedNotebooks(process.cwd());
  private readonly ledger = new CellLedger(this.saved, (id) => this.changedData(id));
  private readonly hashes = new FileHashes();
  private readonly files = new Map<string, ReadFiles>();
  /** Hashes of the data files at this moment: many cells read the same ones. */
  private readonly present = new Map<string, string | null>();
  private readonly counts = new Map<string, number>();
  private readonly unnamed = new Map<string, { source: string; declares: string }>();
  private readonly shown = new Map<string, ShownNote>();
  private readonly beside = new Map<string, string>();
  private readonly root: string;
  private readonly statusFile: string;
  private readonly memory = new KernelMemory();
  private status = "";

  /** @param root of the study, from which data files are named */
  constructor(ts: typeof TypeScript, configPath: string, root: string) {
    this.ts = ts;
    this.root = root;
    this.statusFile = join(dirname(configPath), statusFileName(process.pid));
    (globalThis as Record<symbol, unknown>)[staleHook] = () => this.staleCells();
    process.on("exit", () => rmSync(this.statusFile, { force: true }));
    for (const signal of ["SIGTERM", "SIGHUP"] as const) process.once(signal, () => process.exit());
  }

  /** Takes a run, and says what it makes stale. */
  ran(run: TrackedRun, say: SayOfCell): void {
    try {
      const facts = readCell(run.source, this.ts);
      const id = run.id ?? this.idOf(run.source, [...facts.declares].sort().join(" "));
      this.saved.refresh(id);
      this.ledger.ran(id, run.source, facts, run.finished, Date.now());
      this.counts.set(id, run.count);
      this.files.set(id, run.files);
      this.shown.delete(id);
      this.beside.set(id, besideSentence(facts, run.reaches));
      this.tell(id, say);
    } catch {
      // see above: a cell that cannot be followed still ran
    }
    this.memory.cellEnded();
  }

  /** A front end that names no cell: the same code, or code for the same names, is the same cell. */
  private idOf(source: string, declares: string): string {
    const known = [...this.unnamed].find(
      ([, cell]) => cell.source === source || (declares !== "" && cell.declares === declares),
    );
    const id = known?.[0] ?? `unnamed-${this.unnamed.size + 1}`;
    this.unnamed.set(id, { source, declares });
    return id;
  }

  private tell(ran: string, say: SayOfCell): void {
    const stale = this.stale();
    const note = this.noteOf(ran, stale, true);
    if (note.text !== "") {
      const display = `tautline-stale-${this.counts.get(ran)}`;
      this.shown.set(ran, { display, text: note.text });
      say("display_data", noteContent(note, display));
    }
    for (const [id, { display, text }] of this.shown) {
      const now = this.noteOf(id, stale);
      if (now.text === text) continue;
      this.shown.set(id, { display, text: now.text });
      say("update_display_data", noteContent(now, display));
    }
    this.keepStatus(stale);
  }

  /** What stands under a cell: why it is stale, and what its change made stale. */
  private noteOf(id: string, stale: readonly StaleOutput[], ranLast = false): Note {
    const own = stale.find(({ cell }) => cell === id);
    const after = stale.filter(
      ({ cell, reasons }) =>
        cell !== id &&
        reasons.some((one) => one.cell === id && /^(?:changed|ran again)$/.test(one.kind)),
    );
    const sentences = own ? [staleSentence(own, this.nameOf)] : [];
    if (after.length > 0) {
      const cells = cellsNamed(
        after.map(({ cell }) => cell),
        this.nameOf,
      );
      const [verb, them] = after.length === 1 ? ["was", "it"] : ["were", "them"];
      const text = `${cells} ${verb} computed before this cell ran; run ${them} again.`;
      sentences.push(upperFirst(text));
    }
    if (ranLast) sentences.push(...this.changedDataOfOthers(own, stale));
    const beside = this.beside.get(id) ?? "";
    const text = [...(beside === "" ? [] : [beside]), ...sentences].join(" ");
    return { text, stale: sentences.length > 0 };
  }

  /** Cells whose data changed get no line before they run again; the cell that ran last names them. */
  private changedDataOfOthers(
    own: StaleOutput | undefined,
    stale: readonly StaleOutput[],
  ): string[] {
    const others = stale.filter(
      ({ cell, reasons }) =>
        !own?.runAgain.includes(cell) &&
        reasons.some((reason) => reason.kind === "data" && reason.cell === cell),
    );
    return others.map((output) => {
      const sentence = staleSentence(output, this.nameOf);
      return `Cell ${this.nameOf(output.cell)}: ${sentence.charAt(0).toLowerCase()}${sentence.slice(1)}`;
    });
  }

  private readonly nameOf = (id: string): string =>
    String(this.saved.number(id) ?? `[${this.counts.get(id) ?? "?"}]`);

  private stale(): StaleOutput[] {
    this.present.clear();
    return this.ledger.stale();
  }

  /** Data files that do not hold what a cell read. */
  private changedData(id: string): string[] {
    const now = (path: string) => {
      const known = this.present.get(path);
      const hash = known === undefined ? this.hashes.of(join(this.root, path)) : known;
      this.present.set(path, hash);
      return hash;
    };
    return Object.entries(this.files.get(id) ?? {})
      .filter(([path, hash]) => now(path) !== hash)
      .map(([path]) => path);
  }

  private staleCells(): object[] {
    return this.stale().map((output) =>
      Object.freeze({
        cell: this.nameOf(output.cell),
        sentence: staleSentence(output, this.nameOf),
        runAgain: Object.freeze(output.runAgain.map(this.nameOf)),
      }),
    );
  }

  private keepStatus(stale: readonly StaleOutput[]): void {
    const cells = stale.map((output) => ({
      cell: this.nameOf(output.cell),
      sentence: staleSentence(output, this.nameOf),
    }));
    const status = {
      pid: process.pid,
      folder: process.cwd(),
      cells: this.counts.size,
      stale: cells,
    };
    const text = JSON.stringify(status);
    if (text === this.status) return;
    this.status = text;
    writeFileSync(this.statusFile, text, { mode: 0o600 });
  }
}

/** What in a cell another run need not repeat, with the line and what to do instead. */
function besideSentence({ unrepeatable }: CellFacts, reaches: readonly string[]): string {
  // the code that starts a program is named with its line already
  const others = reaches.filter((what) => !what.startsWith("starts another program"));
  const clauses = [
    ...unrepeatable.map(unrepeatableClause),
    ...others.map((what) => `this cell ${what}; the record does not cover it`),
  ];
  return clauses.length === 0 ? "" : `Not repeatable, ${clauses.join(". Also ")}.`;
}

/** A line under a cell in the colours of the front end; empty once it no longer holds. */
function noteContent({ text, stale }: Note, display: string): object {
  const html =
    text === "" ? "" : String(markup`<p style="font-style: italic; margin: 0">${text}</p>`);
  return {
    data: { "text/plain": text, "text/html": html },
    metadata: { tautline: { stale } },
    transient: { display_id: display },
  };
}
