import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { describeFault } from "../../lib/notebook/fault.js";
import { type Kernel, startKernel } from "../../lib/notebook/kernel.js";
import { parseNotebook } from "../../lib/notebook/nbformat.js";
import { runSuite } from "../../lib/notebook/suite.js";
import { notebookOf, type TemporaryStudy, temporaryStudy } from "./temporary-study.js";

const patient = { timeout: 60_000 };
let study: TemporaryStudy;
let kernel: Kernel;
let cells = 0;

beforeAll(async () => {
  study = temporaryStudy([]);
  const folder = study.path("notebooks");
  kernel = await startKernel({ folder, root: study.root, memoryMegabytes: 1024 });
}, 60_000);
afterAll(async () => {
  await kernel.stop();
  study.remove();
});

/** Runs a cell in the kernel of this file: its status, and what it printed. */
async function run(code: string) {
  let out = "";
  let err = "";
  const answer = await kernel.execute(code, `c${++cells}`, ({ header, content }) => {
    if (header.msg_type !== "stream") return;
    if (content.name === "stderr") err += content.text;
    else out += content.text;
  });
  if (answer.kind === "ended") throw new Error(`the kernel ended: ${answer.ending.stderr}`);
  const { status, evalue } = answer.content;
  return { status, evalue, out, err };
}

/** A cell that needs the compiler, modules and the protocol. */
const usesMuch = `
import { readFileSync } from "node:fs";
const grips: number[] = readFileSync("../data/grip.csv", "utf8").trim().split("\\n").slice(1).map(Number);
const best = new Map([["best", Math.max(...grips)]]);
console.log(JSON.stringify([...best]));`;
const right = { status: "ok", evalue: undefined, out: '[["best",43]]\n', err: "" };

const putBack = (what: string) =>
  `This cell changed ${what}, which the kernel itself needs; it was put back.\n`;

describe("a cell that changes what the kernel needs", () => {
  it.each([
    ["Array", "globalThis.Array = class {} as any;"],
    ["Map", "delete (globalThis as any).Map;"],
    ["JSON.stringify", 'JSON.stringify = () => "nothing";'],
    ["Array.prototype.map", "Array.prototype.map = () => [];"],
    ["Array.prototype[…]", "delete (Array.prototype as any)[Symbol.iterator];"],
    [
      "Object",
      'Object.defineProperty(globalThis, "Object", { get() { throw 1; }, configurable: true });',
    ],
    ["Promise", "await 0; globalThis.Promise = class {} as any;"],
    ["__tslab__", "delete (globalThis as any).__tslab__;"],
  ])("%s: it is put back and named, and the next cell runs", patient, async (name, code) => {
    expect(await run(code)).toMatchObject({ status: "ok", err: putBack(name) });
    expect(await run(usesMuch)).toEqual(right);
  });

  it("several at once: they are named in one line", patient, async () => {
    const code = `
      RegExp.prototype.exec = () => null;
      Object.getPrototypeOf(Uint8Array.prototype).set = () => {};
      for (const name of ["Date", "JSON", "setImmediate", "process", "Buffer"]) {
        (globalThis as any)[name] = undefined;
      }`;
    const { status, err } = await run(code);
    expect(status).toBe("ok");
    expect(err).toMatch(
      /^This cell changed .* and 2 more, which the kernel itself needs; they were/,
    );
    expect(await run(usesMuch)).toEqual(right);
  });

  it("and waits: what it printed arrives", patient, async () => {
    const code =
      'JSON.stringify = () => "?"; console.log("printed"); await new Promise(setImmediate);';
    expect(await run(`${code} console.log("and more");`)).toEqual({
      ...right,
      out: "printed\nand more\n",
      err: putBack("JSON.stringify"),
    });
  });

  it("and fails: its own error is shown as well", patient, async () => {
    expect(await run('delete (globalThis as any).Map; throw new Error("no grip");')).toEqual({
      status: "error",
      evalue: "no grip",
      out: "",
      err: putBack("Map"),
    });
    expect(await run(usesMuch)).toEqual(right);
  });

  it("by a timer after its end: a cell after it says so", patient, async () => {
    await run("setTimeout(() => { JSON.parse = () => ({}); }, 20);");
    let said = "";
    while (said === "") said = (await run("void 0;")).err;
    expect(said).toMatch(
      /^(?:This cell|A timer or another task of an earlier cell) changed JSON\.parse, which/,
    );
    expect(await run(usesMuch)).toEqual(right);
  });

  it("and locks it: that is said once", patient, async () => {
    const lock =
      'Object.defineProperty(Math, "hypot", { value: () => 0, configurable: false, writable: false });';
    expect((await run(lock)).err).toBe(
      "This cell changed and locked Math.hypot, which the kernel itself needs; it cannot be put back: restart the kernel.\n",
    );
    expect(await run(usesMuch)).toEqual(right);
  });
});

it("a cell may fix the clock and the random numbers, and add methods", patient, async () => {
  const fixed = "Math.random = () => 0.5; Date.now = () => 7; (Array.prototype as any).last = 1;";
  expect(await run(fixed)).toMatchObject({ status: "ok", err: "" });
  const asks = "console.log(Math.random(), Date.now(), ([] as any).last);";
  expect(await run(asks)).toMatchObject({ out: "0.5 7 1\n" });
});

it("a run for the record warns with the same line and goes on", patient, async () => {
  const notebook = parseNotebook(notebookOf("globalThis.Array = class {} as any;", usesMuch));
  const [outcome] = await runSuite([{ name: "notebooks/globals.ipynb", notebook }], {
    root: study.root,
    limits: { cellSeconds: 30, memoryMegabytes: 1024 },
    parallel: 1,
  });
  if (outcome?.kind !== "ran") throw new Error(outcome && describeFault(outcome.fault));
  const { notebook: ran, warnings } = outcome.ran;
  expect(warnings).toEqual([`cell 1 wrote to the standard error: ${putBack("Array").trim()}`]);
  expect(ran.cells[0]).toMatchObject({
    outputs: expect.arrayContaining([
      { output_type: "stream", name: "stderr", text: putBack("Array") },
    ]),
  });
  expect(ran.cells[1]).toMatchObject({ outputs: [{ name: "stdout", text: right.out }] });
});
