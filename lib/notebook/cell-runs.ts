import { createRequire } from "node:module";
import { present } from "../entry.js";
import { displayInKernel } from "./bridge.js";
import {
  type CellCode,
  type CellFault,
  type Diagnostic,
  thrownFault,
  typeFault,
} from "./cell-fault.js";
import { cellFileName, type Transpile } from "./cell-place.js";
import { lastValueView } from "./last-value.js";
import { type ChangedGlobals, changedGlobalsLine, keepGlobals } from "./own-globals.js";
import { watchReads } from "./reads.js";
import { spellOut } from "./shorthand.js";
import { folderOfStudies, type Offered, studyWords } from "./study-words.js";
import type { Converted, Converter, ConverterSet, Executor, Tslab } from "./tslab.js";
import { cellMarks } from "./type-checker.js";

/** What is known of one execute request while it runs. */
export interface Run {
  /** Id of the cell that the request runs. */
  readonly cell: string;
  /** The cell's code, if it came with the request. */
  readonly converted?: Converted | undefined;
  /** The first fault found while the cell ran; left out while there is none. */
  fault?: CellFault;
}

const require = createRequire(import.meta.url);

/** Follows the cells of one kernel: which runs now, what went wrong in it, what it compiled to. */
export class CellRuns {
  /** Folder of the study, from which data files are named. */
  readonly root = process.env.TAUTLINE_ROOT ?? folderOfStudies(process.cwd());
  readonly reads = watchReads(this.root, () => this.current?.cell);
  private readonly cells = new Map<string, CellCode>();
  private readonly transpile: Transpile;
  private current: Run | undefined;
  /** A fault that surfaced while no cell ran; the next request reports it. */
  private leftOver: CellFault | undefined;
  private readonly tslab: Tslab;
  private putGlobalsBack: (() => ChangedGlobals) | undefined;
  /** Lines about globals that were put back, not shown yet. */
  private aboutGlobals = "";

  constructor(tslab: Tslab) {
    this.tslab = tslab;
    const { ts } = tslab;
    this.transpile = (source) =>
      ts.transpileModule(source, {
        compilerOptions: {
          module: ts.ModuleKind.CommonJS,
          target: ts.ScriptTarget.ES2022,
          esModuleInterop: true,
          sourceMap: true,
        },
      });
    this.nameCells();
    readMarksOnlyWhereTheyAre();
  }

  begin(cell: string, converted?: Converted): Run {
    this.current = { cell, converted, ...(this.leftOver && { fault: this.leftOver }) };
    this.leftOver = undefined;
    this.reads.begin(cell);
    return this.current;
  }

  end(): void {
    this.current = undefined;
  }

  /** Puts back what cells changed of the globals that the kernel needs for its own work. */
  restoreGlobals(): void {
    const changed = this.putGlobalsBack?.();
    if (!changed || (changed.restored.length === 0 && changed.locked.length === 0)) return;
    this.aboutGlobals += `${changedGlobalsLine(changed, this.current !== undefined)}\n`;
  }

  /** The lines about globals that were put back; each is given once. */
  takeAboutGlobals(): string {
    const lines = this.aboutGlobals;
    this.aboutGlobals = "";
    return lines;
  }

  /** A rejection or an exception outside the cell's own call. The first one is the one told. */
  late(thrown: unknown, rejected: boolean): void {
    this.restoreGlobals();
    const fault = thrownFault(thrown, rejected, this.cells, this.transpile);
    if (this.current) this.current.fault ??= fault;
    else this.leftOver ??= fault;
  }

  /** tslab's converters, which compile what does not come compiled with its request. */
  converters(): ConverterSet {
    const { converter } = this.tslab;
    let node: Converter | undefined;
    let browser: Converter | undefined;
    const nodeConverter = () => {
      node ??= converter.createConverter({ isJS: false, isBrowser: false });
      return node;
    };
    const convert: Converter["convert"] = (previous, source) =>
      this.checked(this.current?.converted ?? nodeConverter().convert(previous, source));
    const inTurn: Converter = {
      convert,
      inspect: (...given) => nodeConverter().inspect(...given),
      complete: (previous, source, position) => ({
        ...nodeConverter().complete(previous, source, position),
        ...this.wordsOfStudies(source.slice(0, position)),
      }),
      addModule: (...given) => nodeConverter().addModule(...given),
      close: () => node?.close(),
    };
    return {
      node: inTurn,
      get browser() {
        browser ??= converter.createConverter({ isBrowser: true });
        return browser;
      },
      close() {
        node?.close();
        browser?.close();
      },
    };
  }

  /** What the files of the study offer at a place; the compiler is asked where they offer nothing. */
  private wordsOfStudies(before: string): Offered | undefined {
    const texts = [...[...this.cells.values()].map(({ source }) => source), before];
    const opened = texts.flatMap((text) => [...text.matchAll(/\bopenStudy\(\s*["']([^"']+)["']/g)]);
    const named = opened.map(([, name]) => present(name));
    try {
      const offered = studyWords(this.root, process.cwd(), before, named);
      return offered && offered.candidates.length > 0 ? offered : undefined;
    } catch {
      return undefined; // openStudy reports a broken file of a study
    }
  }

  /** Notes the type errors of a cell on their way to tslab, which only prints them. */
  private checked(converted: Converted): Converted {
    const found: readonly Diagnostic[] = converted.diagnostics;
    const code = this.current && this.cells.get(this.current.cell);
    if (this.current && code && found.length > 0) {
      this.current.fault ??= typeFault(this.current.cell, code, found);
    }
    return converted;
  }

  executor(converters: ConverterSet): Executor {
    const executor = this.tslab.executor.createExecutor(process.cwd(), converters, {
      log: (value, ...rest) => {
        this.restoreGlobals();
        const view = rest.length === 0 ? lastValueView(value) : undefined;
        if (view) displayInKernel({ data: view, metadata: {} });
        else if (!isShown(value)) console.log(value, ...rest);
      },
      error: (thrown, ...rest) => this.failed(thrown, rest),
    });
    this.putGlobalsBack = keepGlobals(); // with what the executor gives to cells
    const execute = executor.execute;
    executor.execute = (source) => {
      const spelled = () => spellOut(source, this.tslab.ts);
      if (this.current) this.cells.set(this.current.cell, { source, spelled, compiled: "" });
      return execute(this.current?.converted ? source : spelled().source);
    };
    return executor;
  }

  /** tslab prints what a cell threw; diagnostics arrive here too and are already known. */
  private failed(thrown: unknown, rest: readonly unknown[]): void {
    this.restoreGlobals();
    if (rest.length > 0 || !this.current) return;
    this.current.fault ??= thrownFault(thrown, false, this.cells, this.transpile);
  }

  /** Gives a cell's code a file name in stacks; tslab compiles it without one. */
  private nameCells(): void {
    const vm = require("node:vm") as typeof import("node:vm");
    const run = vm.runInThisContext;
    vm.runInThisContext = (code, options) => {
      const cell = this.current && this.cells.get(this.current.cell);
      if (!cell || typeof options !== "object" || !("breakOnSigint" in options)) {
        return run(code, options);
      }
      cell.compiled = code;
      return run(code, { ...options, filename: cellFileName(present(this.current).cell) });
    };
  }
}

/**
 * tslab looks for marks such as `@module` in the comments of every cell, with the compiler's
 * scanner. A cell without such a mark has none, and needs no compiler to say so.
 */
function readMarksOnlyWhereTheyAre(): void {
  const marks = require("tslab/dist/metadata.js") as typeof import("tslab/dist/metadata.js");
  const read = marks.getCodeMetadata;
  marks.getCodeMetadata = (source) => (cellMarks.test(source) ? read(source) : {});
}

const shownKinds =
  /^(?:finding|claim|figure|table|prose|terms|question|learner|practice|exercise|answer|workedAnswer|simulation)$/;

/**
 * A record, or a list of records, that its maker has shown already; as a cell's last expression it
 * is not printed again.
 */
function isShown(value: unknown): boolean {
  if (!Object.isFrozen(value)) return false;
  if (Array.isArray(value)) return value.length > 0 && value.every(isShown);
  const kind = (value as { kind?: unknown } | null | undefined)?.kind;
  return shownKinds.test(String(kind));
}
