import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { type Kernel, startKernel } from "../../lib/notebook/kernel.js";
import { parseNotebook } from "../../lib/notebook/nbformat.js";
import { Outputs } from "../../lib/notebook/outputs.js";
import { isOnlyProgress, isProgress } from "../../lib/notebook/progress-display.js";
import { type Progress, runNotebook } from "../../lib/notebook/run.js";
import type { Message } from "../../lib/notebook/wire.js";
import { notebookOf, type TemporaryStudy, temporaryStudy } from "./temporary-study.js";

const busy = `
import { progress } from "tautline";
console.log("begins");
for (let i = 0; i <= 100_000; i++) {
  progress(i, 100_000);
  for (const end = performance.now() + (i % 200 ? 0 : 1); performance.now() < end; );
}`;

let study: TemporaryStudy;
let kernel: Kernel;
const start = () =>
  startKernel({ folder: study.path("notebooks"), root: study.root, memoryMegabytes: 1024 });

beforeAll(async () => {
  study = temporaryStudy([]);
  kernel = await start();
});
afterAll(async () => {
  await kernel.stop();
  study.remove();
});

describe("an output marked as progress", () => {
  const marked = { tautline: { progress: true } };
  const half = {
    "text/plain": "5 of 10 (50 %)",
    "text/html": '<progress value="5" max="10"></progress> <small>5 of 10 (50 %)</small>',
  };

  it("is left out of a record only when it shows nothing else", () => {
    expect(isOnlyProgress(half, marked)).toBe(true);
    expect(isOnlyProgress({ "text/plain": "", "text/html": "" }, marked)).toBe(true);
    expect(isOnlyProgress(half, {})).toBe(false);
    expect(isOnlyProgress({ ...half, "text/plain": "9.9 kgf" }, marked)).toBe(false);
    expect(isOnlyProgress({ "text/html": "<p>9.9 kgf</p>" }, marked)).toBe(false);
    expect(isOnlyProgress({ ...half, "text/markdown": "9.9 kgf" }, marked)).toBe(false);
  });

  it("stays in the record, to be judged, when it shows something else", () => {
    const json = JSON.parse(notebookOf("1 + 1;"));
    const data = { "text/plain": "9.9 kgf" };
    json.cells[0].outputs = [half, data].map((shown) => ({
      output_type: "display_data",
      data: shown,
      metadata: marked,
    }));
    const [cell] = parseNotebook(JSON.stringify(json)).cells;
    expect(cell).toMatchObject({ outputs: [{ data }] });
  });
});

describe("progress over the wire", () => {
  it("is one display that changes while the cell keeps the thread busy, and is emptied at the end", async () => {
    const heard: Message[] = [];
    const outputs = new Outputs(study.root);
    const times: number[] = [];
    const answer = await kernel.execute(busy, "a", (message) => {
      outputs.take(message);
      if (!isProgress(message.content.metadata)) return;
      heard.push(message);
      times.push(performance.now());
    });
    expect(answer).toMatchObject({ kind: "reply", content: { status: "ok" } });
    expect(times.length).toBeGreaterThan(3);
    expect(performance.now() - times[0]!).toBeGreaterThan(200); // the loop lasts half a second
    const ids = heard.map(
      ({ content }) => (content.transient as { display_id: string }).display_id,
    );
    expect(new Set(ids).size).toBe(1);
    expect(heard[0]!.header.msg_type).toBe("display_data");
    expect(heard[0]!.content.data).toMatchObject({ "text/plain": "0 of 100000 (0 %)" });
    expect(heard.slice(1).every(({ header }) => header.msg_type === "update_display_data")).toBe(
      true,
    );
    expect(heard.at(-1)!.content.data).toEqual({ "text/plain": "", "text/html": "" });
    expect(outputs.all()).toEqual([{ output_type: "stream", name: "stdout", text: "begins\n" }]);
  });

  it("is told to the terminal and leaves nothing in the record", async () => {
    const steps: Progress[] = [];
    const { notebook } = await runNotebook(parseNotebook(notebookOf(busy)), start(), {
      name: "notebooks/a.ipynb",
      root: study.root,
      limits: { cellSeconds: 60, memoryMegabytes: 1024 },
      onProgress: (step) => steps.push(step),
    });
    const counts = steps.flatMap(({ within }) => (within ? [within.done] : []));
    expect(counts.length).toBeGreaterThan(1);
    expect(counts).toEqual([...counts].sort((a, b) => a - b));
    expect(JSON.stringify(notebook)).not.toContain("of 100000");
  });

  it("is dropped from a file that a front end saved with it", () => {
    const display = {
      output_type: "display_data",
      data: { "text/plain": "" },
      metadata: { tautline: { progress: true } },
    };
    const file = JSON.parse(notebookOf("1"));
    file.cells[0].outputs = [display];
    const [cell] = parseNotebook(JSON.stringify(file)).cells;
    expect(cell).toMatchObject({ outputs: [] });
  });
});

describe("an interrupt over the wire", () => {
  it.each([
    ["a busy loop", "for (;;) {}"],
    ["a busy loop of the library", 'import { progress } from "tautline"; for (;;) progress(1, 2);'],
    ["a wait", "await new Promise(() => {})"],
  ])("ends %s, and the kernel keeps its names", async (_, code) => {
    await kernel.execute("const kept = 41;", "k", () => {});
    const answering = kernel.execute(code, "b", () => {});
    const again = setInterval(() => kernel.interrupt(), 300);
    const answer = await answering;
    clearInterval(again);
    expect(answer).toMatchObject({ kind: "reply", content: { status: "error" } });
    let text = "";
    await kernel.execute("console.log(kept + 1)", "k2", ({ content }) => {
      text += String(content.text ?? "");
    });
    expect(text).toBe("42\n");
  });
});
