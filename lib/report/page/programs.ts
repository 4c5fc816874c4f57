import { present } from "../../entry.js";

/** What the pages use of plotly. */
export interface Plotly {
  /** Draws a figure into a place of the page. */
  newPlot(place: HTMLElement, data: unknown, layout: unknown, config: unknown): Promise<unknown>;
  /** Forgets the figure of a place. */
  purge(place: HTMLElement): void;
  /** Writes a drawn figure as a text. */
  readonly Snapshot: { toSVG(place: HTMLElement, format: "svg"): string };
}

declare global {
  interface Window {
    /** Here after the program of figures was woken. */
    Plotly?: Plotly;
    /** The text of the worker's program, put here by the file that hands it out. */
    tautlineWorker?: string;
  }
}

/** The text of a program that the page holds asleep, if this is a page in one file. */
function asleepText(name: string): string | undefined {
  return document.querySelector(`script[data-program="${name}"]`)?.textContent ?? undefined;
}

const loading = new Map<string, Promise<void>>();

/** Runs a program of the site: its sleeping text, or the file beside the page. */
function start(name: string, file: string): Promise<void> {
  return new Promise<void>((resolve, reject) => {
    const script = document.createElement("script");
    const text = asleepText(name);
    script.onerror = () => reject(new Error(`${file} did not load`));
    if (text === undefined) {
      script.onload = () => resolve();
      script.src = file;
    } else script.textContent = text;
    document.head.append(script);
    if (text !== undefined) resolve();
  });
}

/** Runs a program of the site once. */
export function wake(name: string, file: string): Promise<void> {
  const started = loading.get(name) ?? start(name, file);
  loading.set(name, started);
  return started;
}

/**
 * The drawing program once more, with a memory of its own: the one that drew the live figures
 * remembers how wide the browser set each text.
 */
export async function freshPlotly(): Promise<Plotly> {
  const kept = window.Plotly;
  await start("plotly", "assets/plotly.js");
  const fresh = present(window.Plotly);
  if (kept) window.Plotly = kept;
  return fresh;
}

/** The program of the page's worker: its sleeping text, or the file that hands it out. */
export async function workerText(): Promise<string> {
  const asleep = asleepText("worker");
  if (asleep !== undefined) return asleep;
  await wake("worker", "assets/worker.js");
  return present(window.tautlineWorker);
}
