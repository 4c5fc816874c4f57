import { present } from "../../entry.js";
import {
  answerTo,
  type LessonAnswer,
  type LessonLibrary,
  type NumberedQuestion,
} from "./lesson-worker.js";

/** What the page asks: the record of one notebook, to compare with a new run. */
export interface RecomputeOrder {
  /** The notebook's name in addresses and anchors. */
  readonly slug: string;
  /** Path of the notebook, from the root. */
  readonly path: string;
  /** Kinds of results that the page shows; others are not compared. */
  readonly kinds: readonly string[];
  /** The recorded notebook as far as it is compared. */
  readonly record: { readonly cells: readonly PageCell[] };
}

/** A cell of the record as a page carries it. */
export interface PageCell {
  /** "code" for a cell of code; "raw" for all others, whose text is not compared. */
  readonly cell_type: string;
  /** Id of the cell in the notebook file; "cell-" and its number for a cell not on the page. */
  readonly id: string;
  /** The recorded results of the cell, in order. */
  readonly outputs: readonly PageOutput[];
}

/** One result of a cell, with only the form that is compared. */
export interface PageOutput {
  /** Type of the output in the notebook format. */
  readonly output_type: "display_data";
  /** The result as JSON, by its media type. */
  readonly data: Readonly<Record<string, unknown>>;
}

/** What the worker tells: how far it is, and in the end the judgements. */
export type RecomputeNews =
  | { readonly kind: "cell"; readonly slug: string; readonly number: number }
  | { readonly kind: "done"; readonly slug: string; readonly comparison: unknown }
  | { readonly kind: "failed"; readonly slug: string; readonly message: string };

interface Library extends LessonLibrary {
  onDisplay(sink: (bundle: { data: Readonly<Record<string, unknown>> }) => void): () => void;
  compareNotebooks(record: unknown, rerun: unknown): unknown;
}

type Cells = (
  module: (name: string) => unknown,
  cell: (number: number) => Promise<void>,
) => Promise<void>;

interface WorkerScope {
  onmessage: ((event: { data: RecomputeOrder | NumberedQuestion }) => void) | null;
  postMessage(news: RecomputeNews | LessonAnswer): void;
}

/** The forms that the comparison judges, as plain JSON. */
function judged(
  data: Readonly<Record<string, unknown>>,
  kinds: readonly string[],
): Record<string, unknown> {
  const wanted = new Set(kinds.map((kind) => `application/vnd.tautline.${kind}+json`));
  const entries = Object.entries(data).filter(([mime]) => wanted.has(mime));
  return JSON.parse(JSON.stringify(Object.fromEntries(entries)));
}

/** Runs the cells of one notebook and collects what they show, cell by cell. */
async function rerun(
  library: Library,
  modules: Readonly<Record<string, unknown>>,
  cells: Cells,
  order: RecomputeOrder,
  tell: (news: RecomputeNews) => void,
) {
  const shown = new Map<number, PageOutput[]>();
  let at = 0;
  const restore = library.onDisplay(({ data }) => {
    const kept = judged(data, order.kinds);
    if (Object.keys(kept).length === 0) return;
    shown.set(at, [...(shown.get(at) ?? []), { output_type: "display_data", data: kept }]);
  });
  try {
    await cells(
      (name) => modules[name],
      async (number) => {
        at = number;
        tell({ kind: "cell", slug: order.slug, number });
      },
    );
  } catch (error) {
    throw new Error(`cell ${at}: ${error instanceof Error ? error.message : String(error)}`);
  } finally {
    restore();
  }
  return {
    cells: order.record.cells.map((cell, i) => ({ ...cell, outputs: shown.get(i + 1) ?? [] })),
  };
}

/** Answers the page's orders, one notebook after the other, and a lesson's questions at once. */
export function serve(
  library: Library,
  modules: Readonly<Record<string, unknown>>,
  notebooks: Readonly<Record<string, Cells>>,
): void {
  // The compiler knows the names of a page or of a worker, not of both; the rest of lib needs a page's.
  const scope = globalThis as unknown as WorkerScope;
  const tell = (news: RecomputeNews) => scope.postMessage(news);
  let turn = Promise.resolve();
  /** The notebook whose exercises are made. */
  let made: string | undefined;
  /** An exercise of a cell is made by running the notebook; what its cells show is left aside. */
  const ownAnswer = async (order: NumberedQuestion, slug: string): Promise<LessonAnswer> => {
    try {
      if (made !== slug) {
        const record = { cells: [] };
        const run = { slug, path: slug, kinds: [], record };
        await rerun(library, modules, present(notebooks[slug]), run, () => {});
      }
      made = slug;
      return answerTo(library, order);
    } catch (error) {
      const message = error instanceof Error ? error.message : String(error);
      return { number: order.number, fault: `The exercise could not be prepared: ${message}` };
    }
  };
  scope.onmessage = ({ data: order }) => {
    if ("ask" in order) {
      if (order.ask === "check" && order.notebook !== undefined) {
        const { notebook } = order;
        turn = turn.then(async () => scope.postMessage(await ownAnswer(order, notebook)));
      } else scope.postMessage(answerTo(library, order));
      return;
    }
    turn = turn.then(async () => {
      try {
        const again = await rerun(library, modules, present(notebooks[order.slug]), order, tell);
        tell({
          kind: "done",
          slug: order.slug,
          comparison: library.compareNotebooks(order.record, again),
        });
      } catch (error) {
        tell({
          kind: "failed",
          slug: order.slug,
          message: error instanceof Error ? error.message : String(error),
        });
      }
    });
  };
}
