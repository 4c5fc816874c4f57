/** What one cell output carries: the same content in several forms, keyed by MIME type. */
export interface DisplayBundle {
  /** Content by MIME type. */
  readonly data: Readonly<Record<string, unknown>>;
  /** Hints for a front end, by MIME type. */
  readonly metadata: Readonly<Record<string, unknown>>;
}

/** The forms of an output that a reader meets in a front end, made from its record alone. */
export interface ReadableForms {
  /** Markup, under text/html. */
  readonly html: string;
  /** Words, under text/plain. */
  readonly plain: string;
}

/** Receives every bundle: the notebook kernel's writer, or a browser's collector. */
export type DisplaySink = (bundle: DisplayBundle) => void;

/** MIME type of each kind of output, and of the readable forms beside it. */
export const mimeTypes = {
  finding: "application/vnd.tautline.finding+json",
  figure: "application/vnd.tautline.figure+json",
  table: "application/vnd.tautline.table+json",
  claim: "application/vnd.tautline.claim+json",
  prose: "application/vnd.tautline.prose+json",
  simulation: "application/vnd.tautline.simulation+json",
  exercise: "application/vnd.tautline.exercise+json",
  learner: "application/vnd.tautline.learner+json",
  practice: "application/vnd.tautline.practice+json",
  terms: "application/vnd.tautline.terms+json",
  question: "application/vnd.tautline.question+json",
  plotly: "application/vnd.plotly.v1+json",
  html: "text/html",
  plain: "text/plain",
  svg: "image/svg+xml",
} as const;

let sink: DisplaySink | undefined;

/**
 * Sends everything that is displayed from now on to `receiver`, and returns a function that puts
 * the earlier receiver back. Without a receiver `finding`, `figure` and `table` only return.
 * @example typeof onDisplay(() => {}) // "function"
 */
export function onDisplay(receiver: DisplaySink): () => void {
  const earlier = sink;
  sink = receiver;
  return () => {
    sink = earlier;
  };
}

/** Shows one bundle as one display message. */
export function display(data: Record<string, unknown>): void {
  sink?.({ data, metadata: {} });
}
