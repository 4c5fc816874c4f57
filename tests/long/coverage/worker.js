/** Simulates one row of the table after the other, as they are handed over. */
import { parentPort } from "node:worker_threads";
import { simulate } from "./simulate.js";

parentPort.on("message", ({ index, task }) => {
  const from = performance.now();
  const row = simulate(task);
  parentPort.postMessage({ index, row, seconds: (performance.now() - from) / 1000 });
});
