import type { Plain } from "./look.js";

/** A figure of your own: traces, layout and words. */
export interface FigureInput {
  /** Unique in the study; names the figure's files and its place in the page. */
  readonly id: string;
  /** Plotly traces. */
  readonly data: readonly object[];
  /** Plotly layout, laid over the house look. */
  readonly layout: object;
  /** A sentence that stands under the figure. */
  readonly caption: string;
  /** What the figure shows, for a reader who cannot see it: a sentence or more. */
  readonly alt: string;
}

/** A drawing with its words: what `figure` takes beside an id. */
export type Drawing = Omit<FigureInput, "id">;

/** A figure as it is recorded. */
export interface Figure {
  /** Kind of the output. */
  readonly kind: "figure";
  /** Unique in the study; names the output in the record, the page and a re-run. */
  readonly id: string;
  /** Plotly traces. */
  readonly data: readonly Plain[];
  /** Plotly layout. */
  readonly layout: Plain;
  /** A sentence that stands under the output. */
  readonly caption: string;
  /** What the figure shows, for readers who cannot see it. */
  readonly alt: string;
}
