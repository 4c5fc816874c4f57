/**
 * Our kernel beside the plain one that it is made from: the type check of the cells of a notebook, one
 * after the other as a person runs them, and the time from the start until it answers.
 */
import { spawnSync } from "node:child_process";
import { readFileSync } from "node:fs";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";
import { startKernel } from "../../../lib/dist/notebook/kernel.js";
import { parseNotebook } from "../../../lib/dist/notebook/nbformat.js";
import { TypeChecker } from "../../../lib/dist/notebook/type-checker.js";
import { median } from "../timing.js";

const root = fileURLToPath(new URL("../../..", import.meta.url)).replace(/\/$/, "");
const file = join(root, "notebooks/winter-block/3-change.ipynb");
const folder = dirname(file);
const cells = parseNotebook(readFileSync(file, "utf8"))
  .cells.filter((cell) => cell.cell_type === "code" && cell.source.trim() !== "")
  .map(({ source }) => source);
const memoryMegabytes = 2048;
const times = [];
let checker;

async function check() {
  let before = "";
  for (const source of cells) {
    const start = performance.now();
    const converted = await checker.convert(folder, before, source);
    times.push(performance.now() - start);
    if (converted.diagnostics.length > 0) throw new Error(converted.diagnostics[0].messageText);
    before = converted.declOutput ?? "";
  }
  return cells.length;
}

async function untilReady() {
  const kernel = await startKernel({ folder, root, memoryMegabytes });
  setImmediate(() => kernel.stop());
  return 1;
}

/** A program that prints the seconds of several runs and a value, as JSON. */
function program(source) {
  const { stdout, stderr } = spawnSync(process.execPath, ["--input-type=module", "-e", source], {
    cwd: folder,
    encoding: "utf8",
  });
  const last = stdout.trim().split("\n").at(-1);
  if (!last?.startsWith("{")) throw new Error(stderr);
  return JSON.parse(last);
}

const plainCheck = () =>
  program(`
import { createRequire } from "node:module";
const { createConverter } = createRequire(${JSON.stringify(`${root}/package.json`)})("tslab/dist/converter.js");
const converter = createConverter({ isJS: false, isBrowser: false });
const seconds = [];
for (let run = 0; run < 8; run++) {
  const start = performance.now();
  let before = "";
  for (const source of ${JSON.stringify(cells)}) before = converter.convert(before, source).declOutput ?? "";
  seconds.push((performance.now() - start) / 1000);
}
console.log(JSON.stringify({ seconds: seconds.slice(1), value: ${cells.length} }));
process.exit();
`);

const plainStart = () =>
  program(`
import { spawn } from "node:child_process";
import * as zeromq from ${JSON.stringify(import.meta.resolve("zeromq"))};
import { closeConnection, openConnection } from ${JSON.stringify(`${root}/lib/dist/notebook/connection.js`)};
import { connectKernel } from ${JSON.stringify(`${root}/lib/dist/notebook/kernel.js`)};
const seconds = [];
for (let run = 0; run < 4; run++) {
  const connection = await openConnection();
  const start = performance.now();
  const child = spawn(process.execPath, [${JSON.stringify(`${root}/node_modules/tslab/bin/tslab`)}, "kernel", "--config-path", connection.file], { stdio: "ignore" });
  const ended = new Promise((resolve) => child.once("exit", (code) => resolve({ code, signal: null, outOfMemory: false, stderr: "" })));
  const kernel = await connectKernel(zeromq, connection, {
    pid: child.pid, announced: Promise.resolve("ready"), ended, ending: () => undefined,
    interrupt() {}, kill: () => child.kill("SIGKILL"),
  });
  seconds.push((performance.now() - start) / 1000);
  await kernel.stop();
  closeConnection(connection);
}
console.log(JSON.stringify({ seconds, value: 1 }));
process.exit();
`);

export default [
  {
    name: `type check of ${cells.length} cells`,
    ours: check,
    prepare: () => {
      checker = new TypeChecker();
    },
    finish: () => {
      console.log(
        `  type check of a cell: ${median(times).toFixed(1)} ms (median of ${times.length})`,
      );
      return checker.stop();
    },
    peers: [{ name: "the plain kernel", atMost: 1, by: { time: plainCheck }, agree: 0 }],
  },
  {
    name: "kernel ready",
    ours: untilReady,
    peers: [{ name: "the plain kernel", atMost: 1 / 2, by: { time: plainStart }, agree: 0 }],
  },
];
