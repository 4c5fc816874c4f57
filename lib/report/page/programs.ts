import { present } from "../../entry.js";

declare global {
  interface Window {
    /** The text of the worker's program, put here by the file that hands it out. */
    tautlineWorker?: string;
  }
}

/** The text of a program that the page holds asleep, if this is a page in one file. */
function asleepText(name: string): string | undefined {
  return document.querySelector(`script[data-program="${name}"]`)?.textContent ?? undefined;
}

const loading = new Map<string, Promise<void>>();

/** Runs a program of the site once: its sleeping text, or the file beside the page. */
export function wake(name: string, file: string): Promise<void> {
  const known = loading.get(name);
  if (known) return known;
  const started = new Promise<void>((resolve, reject) => {
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
  loading.set(name, started);
  return started;
}

/** The program of the page's worker: its sleeping text, or the file that hands it out. */
export async function workerText(): Promise<string> {
  const asleep = asleepText("worker");
  if (asleep !== undefined) return asleep;
  await wake("worker", "assets/worker.js");
  return present(window.tautlineWorker);
}
