import { Worker } from "node:worker_threads";
import { tasksOf } from "./simulate.js";

export const SEED = 20260120;

/** All rows of the table, simulated in several threads; the order is that of the methods. */
export async function coverageRows({ scale = 1, threads = 2, only, planned, progress = () => {} }) {
  const tasks = tasksOf({ scale, seed: SEED, only, planned });
  const rows = new Array(tasks.length);
  const seconds = new Map();
  // The largest studies first, so that no thread is left with one at the end.
  const queue = tasks.map((task, index) => ({ task, index })).sort((a, b) => b.task.n - a.task.n);
  let done = 0;
  const work = () =>
    new Promise((resolve, reject) => {
      const worker = new Worker(new URL("./worker.js", import.meta.url));
      const next = () => {
        const task = queue.shift();
        if (task) worker.postMessage(task);
        else resolve(worker.terminate());
      };
      worker.on("error", reject);
      worker.on("message", ({ index, row, seconds: time }) => {
        rows[index] = row;
        const name = `${row.function}: ${row.what}`;
        seconds.set(name, (seconds.get(name) ?? 0) + time);
        done++;
        if (done % 25 === 0) progress(`${done} of ${tasks.length} rows`);
        next();
      });
      next();
    });
  await Promise.all(Array.from({ length: threads }, work));
  return { rows, seconds };
}

/** Within the 94 to 97 % that a planned analysis must hold (type I error: at most 6 %). */
export function holdsPromise({ kind, share, mcError }) {
  if (share === null) return false;
  const slack = 3 * mcError;
  if (kind !== "coverage") return share <= 0.06 + slack;
  return share >= 0.94 - slack && share <= 0.97 + slack;
}

const columns = [
  "function",
  "what",
  "kind",
  "n",
  "condition",
  "nominal",
  "share",
  "mcError",
  "replicates",
  "refused",
  "planned",
];

/** The table as CSV, opened by lines that say where the numbers come from. */
export function coverageCsv(rows) {
  const cell = (value) => {
    if (value === null) return "";
    if (typeof value === "number") return String(Number(value.toPrecision(4)));
    if (typeof value === "boolean") return value ? "yes" : "no";
    return /[",]/.test(value) ? `"${value.replaceAll('"', '""')}"` : value;
  };
  const lines = rows.map((row) => columns.map((name) => cell(row[name])).join(","));
  return `${[
    "# Coverage of 95 % intervals and type I error of tests at 5 %, simulated by this project",
    `# (tests/long/coverage, seed ${SEED}). Conditions and true values: tests/long/coverage/draws.js.`,
    columns.join(","),
    ...lines,
  ].join("\n")}\n`;
}
