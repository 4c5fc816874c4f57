import { join } from "node:path";
import { outputFolder } from "../report/folder.js";
import { servePages } from "../report/page-server.js";
import { chosenNotebooks } from "../workspace/notebook-files.js";
import { studyRoot } from "../workspace/study-root.js";
import { readOptions } from "./arguments.js";
import { exitCodes, type Help, type Io } from "./io.js";
import { progressLines } from "./progress.js";
import { reportFolder } from "./report-step.js";
import { limitHelp, limitShapes, limitsOf } from "./run-options.js";
import { Watching } from "./watching.js";

export const help: Help = {
  what: "Runs the changed cells of a notebook at every save and shows them in the page, then rebuilds.",
  usage: "tautline watch [notebook…] [options]",
  options: [
    { name: "--port <number>", what: "port of the page on this machine (any free one)" },
    ...limitHelp,
    { name: "--quiet", what: "report only failures" },
    { name: "--json", what: "one JSON document per rebuild, each on one line" },
  ],
  examples: [
    { line: "tautline watch", what: "keep the page up to date while you edit" },
    {
      line: "tautline watch winter-block/3-change --port 8700",
      what: "one notebook, at a fixed port",
    },
  ],
};

const shapes = {
  port: "port",
  ...limitShapes,
  quiet: "flag",
  json: "flag",
} as const;

export async function run(args: string[], io: Io): Promise<number> {
  const { options, words } = readOptions(args, shapes);
  const root = studyRoot(io.cwd);
  chosenNotebooks(words, root, io.cwd);
  const lines = progressLines(io, options.quiet);
  let watching: Watching | undefined;
  const server = await servePages(
    outputFolder(root, join(root, reportFolder)),
    options.port,
    (page) => watching?.opened(page),
  );
  if (!server) {
    io.err(`tautline watch: port ${options.port} is taken.\n`);
    return exitCodes.wrongUse;
  }
  io.err(`The report: ${server.address}\nStop with Ctrl+C.\n`);
  watching = new Watching(root, server, lines, io, {
    json: options.json,
    limits: limitsOf(options),
    names: () => chosenNotebooks(words, root, io.cwd),
  });
  watching.start();
  return await new Promise<never>(() => {}); // a signal ends the program
}
