import { table } from "arquero";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { type Kernel, startKernel } from "../../lib/notebook/kernel.js";
import { tableView } from "../../lib/notebook/table-view.js";
import { openStudy } from "../../lib/study/open.js";

describe("a table that a cell ends with", () => {
  it("is shown as rows and columns, numbers on the right, what is missing empty", () => {
    const view = tableView(
      table({ who: ["007", "042"], kgf: [41.53333333, Number.NaN], note: [null, "sore"] }),
    )!;
    expect(view["text/plain"]).toBe(
      ["who      kgf  note", "007  41.5333", "042           sore", "(2 rows, 3 columns)"].join(
        "\n",
      ),
    );
    expect(view["text/html"]).toContain('<td style="text-align: right">41.5333</td>');
    expect(view["text/html"]).toContain("<caption>2 rows, 3 columns</caption>");
  });

  it("shows the first rows of many and says how many there are", () => {
    const { gripTrials } = openStudy("coach-nine");
    const lines = tableView(gripTrials)!["text/plain"]!.split("\n");
    expect(lines).toHaveLength(12);
    expect(lines.at(-1)).toContain(`the first 10 of ${gripTrials.numRows()} rows`);
    const wide = Object.fromEntries(Array.from({ length: 40 }, (_, i) => [`c${i}`, [i]]));
    expect(tableView(table(wide))!["text/plain"]).toContain("(1 row, the first 30 of 40 columns)");
  });

  it("runs no markup and obeys no control character of a cell or a name", () => {
    const hostile = '<img src=x onerror="alert(1)">';
    const view = tableView(
      table({ [hostile]: [hostile, "\u001b[31mred\u202e", "x".repeat(500)] }),
    )!;
    expect(view["text/html"]).not.toContain("<img");
    expect(view["text/html"]).toContain("&lt;img src=x onerror=&quot;alert(1)&quot;&gt;");
    for (const control of ["\u001b", "\u202e"]) expect(view["text/plain"]).not.toContain(control);
    expect(Math.max(...view["text/plain"]!.split("\n").map((line) => line.length))).toBe(61);
  });

  it.each([null, 3, "text", [], {}, { columnNames: 1 }, new Map()])("%j is no table", (value) => {
    expect(tableView(value)).toBeUndefined();
  });
});

describe("in a kernel", () => {
  let kernel: Kernel;
  beforeAll(async () => {
    const root = new URL("../..", import.meta.url).pathname.replace(/\/$/, "");
    kernel = await startKernel({ folder: `${root}/notebooks`, root, memoryMegabytes: 1024 });
  });
  afterAll(() => kernel.stop());

  it("the last value of a cell comes as one message in both forms", async () => {
    const messages: { type: string; content: unknown }[] = [];
    const cell = 'import { openStudy } from "tautline";\nopenStudy("coach-nine").participants';
    await kernel.execute(cell, "c1", (message) => messages.push(message as never));
    expect(JSON.stringify(messages)).toContain("text/html");
    expect(JSON.stringify(messages)).toContain("(9 rows, ");
    expect(JSON.stringify(messages)).not.toContain("ColumnTable");
  });
});
