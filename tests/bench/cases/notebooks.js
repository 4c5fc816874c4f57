/**
 * The notebook engine against nbclient: the same notebooks through the same kernel. nbclient is
 * given what its users give it, one notebook after another; the engine runs as many as there are
 * cores, starts the next kernel meanwhile, and has the types of all cells checked in one process
 * beside the kernels. The floor of both is the type check and the work of the cells themselves.
 */
import { mkdtempSync, readdirSync, readFileSync, rmSync } from "node:fs";
import { availableParallelism, tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { run as kernelCommand } from "../../../lib/dist/cli/kernel.js";
import { startKernel } from "../../../lib/dist/notebook/kernel.js";
import { parseNotebook } from "../../../lib/dist/notebook/nbformat.js";
import { resultsOf } from "../../../lib/dist/notebook/results.js";
import { runSuite } from "../../../lib/dist/notebook/suite.js";
import { python } from "../peers.js";
import { median } from "../timing.js";

const root = fileURLToPath(new URL("../../..", import.meta.url)).replace(/\/$/, "");
const names = readdirSync(join(root, "notebooks"), { recursive: true })
  .filter((name) => /^(?!learn\/|.*\/\.).+\.ipynb$/.test(name))
  .map((name) => `notebooks/${name}`);
const limits = { cellSeconds: 300, memoryMegabytes: 2048 };
const times = [];
let jupyter;
let kernel;

/** Runs the notebooks without recording them; returns the sum of all findings, to compare. */
async function suite() {
  const jobs = names.map((name) => ({
    name,
    notebook: parseNotebook(readFileSync(join(root, name), "utf8")),
  }));
  const outcomes = await runSuite(jobs, { root, limits, parallel: availableParallelism() });
  let sum = 0;
  for (const outcome of outcomes) {
    if (outcome.kind === "failed") throw new Error(outcome.fault.message);
    times.push(...outcome.ran.times);
    for (const { kind, content } of resultsOf(outcome.ran.notebook)) {
      if (kind === "finding") sum += content.value;
    }
  }
  return sum;
}

const nbclient = python({
  needs: ["nbclient"],
  repeats: 1,
  code: `
import nbformat
from nbclient import NotebookClient
def run():
    total = 0
    for name in ${JSON.stringify(names)}:
        nb = nbformat.read("${root}/" + name, 4)
        NotebookClient(nb, timeout=300, kernel_name="tautline",
                       resources={"metadata": {"path": "${root}/notebooks"}}).execute()
        for cell in nb.cells:
            for output in cell.get("outputs", []):
                finding = output.get("data", {}).get("application/vnd.tautline.finding+json")
                if finding:
                    total += finding["value"]
    return total
`,
});

/** The engine's own share of a cell: a hundred requests that the kernel answers without any work. */
async function emptyRequests() {
  for (let i = 0; i < 100; i++) await kernel.settle();
  return 0;
}

const milliseconds = (values) => `${(median(values) * 1000).toFixed(1)} ms`;

export default [
  {
    name: `${names.length} notebooks`,
    ours: suite,
    once: true,
    prepare: async () => {
      jupyter = mkdtempSync(join(tmpdir(), "jupyter-bench-"));
      process.env.JUPYTER_DATA_DIR = jupyter;
      await kernelCommand([], { out() {}, err() {}, cwd: root });
    },
    finish: () => {
      rmSync(jupyter, { recursive: true });
      const own = times.map(({ inKernel }) => inKernel);
      const over = times.map(({ seconds, inKernel }) => seconds - inKernel);
      console.log(
        `  a cell: ${milliseconds(own)} in the kernel (type check and run), ${milliseconds(over)} more in the engine (medians of ${times.length} cells)`,
      );
    },
    peers: [{ name: "nbclient, one after another", atMost: 1 / 2, by: nbclient, agree: 1e-9 }],
  },
  {
    name: "100 requests that run nothing",
    ours: emptyRequests,
    prepare: async () => {
      const start = performance.now();
      kernel = await startKernel({ folder: join(root, "notebooks"), root, memoryMegabytes: 2048 });
      console.log(`  kernel start: ${((performance.now() - start) / 1000).toFixed(2)} s`);
    },
    finish: () => kernel.stop(),
    peers: [
      { name: "3 ms a request", atMost: 1, by: { time: () => ({ seconds: [0.3], value: 0 }) } },
    ],
  },
];
