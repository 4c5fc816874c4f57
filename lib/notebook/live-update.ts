import type { Notebook } from "./nbformat.js";
import type { CellProgress } from "./progress-display.js";

/** What happens in a live notebook, as it happens. */
export type LiveUpdate =
  /** Cells will run; `cells` are their ids, in order. */
  | { readonly kind: "begins"; readonly notebook: Notebook; readonly cells: readonly string[] }
  /** A cell begins to run. */
  | { readonly kind: "runs"; readonly cell: string }
  /** How far the running cell is. */
  | { readonly kind: "progress"; readonly cell: string; readonly progress: CellProgress }
  /** A cell ended; its outputs are in the notebook. */
  | { readonly kind: "ran"; readonly notebook: Notebook; readonly cell: string }
  /** All outputs are up to date, but for those of failed cells and of cells that depend on them. */
  | {
      readonly kind: "done";
      readonly notebook: Notebook;
      /** Ids of the cells that ran, in order. */
      readonly ran: readonly string[];
      /** Seconds from the start to the end. */
      readonly seconds: number;
      /** Whether a fresh kernel ran all cells. */
      readonly fresh: boolean;
    };
