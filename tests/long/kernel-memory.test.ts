import { fileURLToPath } from "node:url";
import { afterAll, beforeAll, expect, it } from "vitest";
import { FrontEndKernel } from "../notebook/front-end-kernel.js";

const folder = fileURLToPath(new URL("../../notebooks/winter-block/", import.meta.url));
let kernel: FrontEndKernel;

beforeAll(async () => {
  kernel = await FrontEndKernel.start(folder);
});
afterAll(() => kernel.stop());

/** Twelve cells, each a little different whenever it runs, as a person edits them. */
const edited = (n: number) => [
  'import { openStudy } from "tautline"; import { pairedChange } from "tautline/stats";',
  'const study = openStudy("winter-block");',
  "const trials = study.gripTrials; const count = trials.numRows();",
  `const forces = (trials.array("force_kgf") as number[]).filter((kgf) => kgf > ${n % 7});`,
  `pairedChange(forces.slice(0, 20), forces.slice(20 + ${n % 5}, 40 + ${n % 5}))`,
  `function inNewtons(kgf: number) { return kgf * 9.80665 + ${n}; }\nconsole.log(forces.slice(0, 5).map(inNewtons));`,
  `class Golfer { constructor(readonly name: string, readonly kgf = ${n}) {} }\nconst golfer = new Golfer("A");`,
  `const rows = Array.from({ length: 200 }, (_, k) => ({ k, kgf: k * ${n} })); rows`,
  "for (const row of rows) row.kgf += 1;\nconsole.log(rows.length, count, golfer.kgf)",
  `trials.slice(0, ${3 + (n % 9)})`,
  `const trace = new Float64Array(100000).fill(${n}); trace.length`,
  `await new Promise((resolve) => setTimeout(resolve, 1)); const later = ${n};`,
];

async function run(code: string, cell: string): Promise<string> {
  const { reply, out } = await kernel.run(code, cell);
  if (reply.content.status !== "ok") throw new Error(`${code}: ${reply.content.evalue}`);
  return out;
}

const executions = 2000;
/** What the library, the compiler and its cache take once is taken by then. */
const warmUp = 100;

it("2 000 executions of edited cells leave the memory of a kernel within 20 %", async () => {
  const sizes: number[] = [];
  for (let n = 0; n <= executions; n++) {
    if (n >= warmUp && n % 50 === 0) {
      sizes.push(Number(await run("console.log(process.memoryUsage().rss / 2 ** 20)", "size")));
    }
    const cells = edited(n);
    await run(cells[n % cells.length]!, `c${n % cells.length}`);
  }
  const [first = Number.NaN] = sizes;
  const shown = sizes.map((size) => size.toFixed(0)).join(" ");
  console.log(`resident memory in MB, from execution ${warmUp} on, every 50: ${shown}`);
  expect(Math.max(...sizes)).toBeLessThan(1.2 * first);
});
