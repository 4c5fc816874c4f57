import { createContext, runInContext, runInNewContext } from "node:vm";
import { describe, expect, it } from "vitest";
import type { Comparison } from "../../lib/notebook/compare.js";
import type { RecomputeNews } from "../../lib/report/page/recompute-worker.js";
import { type RecordedNotebook, readNotebooks } from "../../lib/report/recorded.js";
import { workerBundle } from "../../lib/report/worker-bundle.js";
import { dataPackages } from "../../lib/study/files.js";
import { notebookPaths } from "../../lib/workspace/notebook-files.js";

const kinds = ["finding", "claim", "figure", "table"];

interface Scope {
  onmessage?: (event: { data: object }) => void;
  postMessage(news: RecomputeNews): void;
}

/** A scope like a page's worker: no Node, no network, and no text becomes a program. */
function pageScope(tell: (news: RecomputeNews) => void): Scope {
  const parts = { TextEncoder, TextDecoder, atob, structuredClone, setTimeout, performance, URL };
  const scope: Scope = { ...parts, postMessage: tell };
  return createContext(scope, { codeGeneration: { strings: false, wasm: false } }) as Scope;
}

function recordOf({ json }: RecordedNotebook): object {
  const cells = json.cells as {
    cell_type: string;
    id: string;
    outputs?: { data?: Record<string, unknown> }[];
  }[];
  return {
    cells: cells.map(({ cell_type, id, outputs = [] }) => ({
      cell_type,
      id,
      outputs: outputs.flatMap(({ data = {} }) => {
        const mime = kinds
          .map((kind) => `application/vnd.tautline.${kind}+json`)
          .find((one) => data[one]);
        return mime ? [{ output_type: "display_data", data: { [mime]: data[mime] } }] : [];
      }),
    })),
  };
}

describe("the notebooks of this repository in a page", () => {
  it("come out as recorded, from the embedded raw data and without compiling text", async () => {
    const notebooks = readNotebooks(process.cwd(), notebookPaths(process.cwd()));
    const { text, problems } = await workerBundle(notebooks, dataPackages(process.cwd()));
    const ready = notebooks.filter(({ slug }) => !problems.has(slug));
    expect(ready.length).toBeGreaterThan(2);
    const heard: RecomputeNews[] = [];
    const scope = pageScope((news) => heard.push(news));
    runInContext(text!, scope);
    for (const notebook of ready)
      scope.onmessage!({ data: { slug: notebook.slug, kinds, record: recordOf(notebook) } });
    await expect
      .poll(() => heard.filter(({ kind }) => kind !== "cell").length, {
        timeout: 300_000,
        interval: 200,
      })
      .toBe(ready.length);
    expect(heard.filter(({ kind }) => kind === "failed")).toEqual([]);
    const off = heard.flatMap((news) =>
      news.kind === "done"
        ? (news.comparison as Comparison).judgements
            .filter(({ verdict }) => verdict !== "same" && verdict !== "within tolerance")
            .map(
              ({ id, verdict, difference }) =>
                `${news.slug}, ${id}: ${verdict} ${difference ?? ""}`,
            )
        : [],
    );
    expect(off).toEqual([]);
  }, 400_000);

  it("would fail where a scope lets no text be compiled and a cell tries", () => {
    expect(() =>
      runInNewContext("Function('return 1')()", {}, { contextCodeGeneration: { strings: false } }),
    ).toThrow(/code generation|Code generation/);
  });
});
