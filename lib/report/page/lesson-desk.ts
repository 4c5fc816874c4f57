import type { LessonAnswer, LessonQuestion, LessonReplies } from "./lesson-worker.js";
import { workerText } from "./programs.js";

/** Asks the library one question. */
export type Desk = <K extends LessonQuestion["ask"]>(
  question: Extract<LessonQuestion, { ask: K }>,
) => Promise<LessonReplies[K]>;

/** Plays a model once more: all that a simulation needs of a desk. */
export type PlayDesk = (
  question: Extract<LessonQuestion, { ask: "play" }>,
) => Promise<LessonReplies["play"]>;

type Reply = LessonReplies[keyof LessonReplies];

interface Waiting {
  readonly resolve: (reply: Reply) => void;
  readonly reject: (error: Error) => void;
}

async function startWorker(waiting: Map<number, Waiting>): Promise<Worker> {
  const address = URL.createObjectURL(new Blob([await workerText()], { type: "text/javascript" }));
  const worker = new Worker(address);
  worker.onmessage = ({ data }: MessageEvent<LessonAnswer>) => {
    const asked = waiting.get(data.number);
    waiting.delete(data.number);
    if ("fault" in data) asked?.reject(new Error(data.fault));
    else asked?.resolve(data.reply);
  };
  worker.onerror = (event) => {
    const error = new Error(event.message || "the worker did not start");
    for (const { reject } of waiting.values()) reject(error);
    waiting.clear();
  };
  return worker;
}

/** A desk whose library runs in a worker of the page. It starts with the first question. */
export function workerDesk(): Desk {
  const waiting = new Map<number, Waiting>();
  let worker: Promise<Worker> | undefined;
  let asked = 0;
  return async <K extends LessonQuestion["ask"]>(question: Extract<LessonQuestion, { ask: K }>) => {
    worker ??= startWorker(waiting);
    const number = ++asked;
    const reply = new Promise<Reply>((resolve, reject) => waiting.set(number, { resolve, reject }));
    (await worker).postMessage({ ...question, number });
    // The worker answers a question under its number by the reply that belongs to its kind.
    return (await reply) as LessonReplies[K];
  };
}
