import { CellRuns } from "./cell-runs.js";
import { CellTracking } from "./cell-tracking.js";
import { StudyServer } from "./study-server.js";
import { loadTslab } from "./tslab.js";
import { guardAgainstParent, isGuarded } from "./watchman-start.js";

/**
 * Starts tslab's kernel in this process: its converter, executor, handler and server, with four
 * corrections that the study engine relies on. A message is parsed only after its signature was
 * checked; a failed cell is answered with name, text and place of the error; a promise that was
 * rejected and never awaited fails its cell; the data files that were read are told in the reply.
 * @returns whether a person works with it in a front end
 */
export function startStudyKernel(configPath: string): boolean {
  const interactive = !isGuarded();
  const tell = guardAgainstParent(configPath);
  const tslab = loadTslab(interactive);
  const runs = new CellRuns(tslab);
  const converters = runs.converters();
  if (interactive) converters.node.convert("", ""); // the first cell shall not wait for the compiler
  const executor = runs.executor(converters);
  const tracking = interactive ? new CellTracking(tslab.ts, configPath, runs.root) : undefined;
  const server = new StudyServer(tslab, runs, executor, configPath, tracking);
  process.on("SIGINT", () => executor.interrupt());
  process.on("unhandledRejection", (reason) => runs.late(reason, true));
  process.on("uncaughtException", (error) => runs.late(error, false));
  server.init().then(
    () => tell("ready"),
    (error: NodeJS.ErrnoException) => {
      tell(error.code === "EADDRINUSE" ? "address taken" : `not started: ${error.message}`);
      process.exit(1);
    },
  );
  return interactive;
}
