import { createRequire } from "node:module";
import { describe, expect, it } from "vitest";
import { csvLines, csvText, looksLikeFormula } from "../lib/csv-writing.js";
import { InputError } from "../lib/errors.js";
import { figureCsv, figureData, figureTable } from "../lib/report/figure-data.js";
import { recordedNotebook } from "../lib/report/recorded.js";
import { tableCsv } from "../lib/report/table-files.js";
import { table } from "../lib/show/table.js";

/** A spreadsheet reader that did not write the file. */
const xlsx = createRequire(import.meta.url)("xlsx") as {
  read(text: string, options: object): { Sheets: Record<string, object> };
  utils: { sheet_to_json(sheet: object, options: object): unknown[][] };
};

describe("CSV that a spreadsheet may open", () => {
  it("quotes commas, quotes, line ends and outer spaces", () => {
    expect(csvText(["a", "b"], [{ a: 'x,"y"\n', b: " z" }])).toBe('a,b\n"x,""y""\n"," z"\n');
  });

  it("quotes the mark that stands between its cells, and no other", () => {
    const rows = [{ a: "1,5", b: "x;y" }];
    expect(csvText(["a", "b"], rows, ";")).toBe('a;b\n1,5;"x;y"\n');
    expect(csvText(["a", "b"], rows)).toBe('a,b\n"1,5",x;y\n');
  });

  const attacks = [
    "=1+1",
    "+A1",
    "-cmd",
    "@sum",
    "\t=1",
    "\r=1",
    "\tcmd",
    "＝1",
    "＋A1",
    "－A1",
    "＠sum",
    "  =1",
    "\u00a0=1",
    "\u3000＝1",
    "\ufeff=1",
    "\u200b@sum",
    "\u0000=1",
    " \u0001-cmd",
  ];

  it.each(attacks)("defuses %j, in a cell and in a heading", (text) => {
    expect(looksLikeFormula(text)).toBe(true);
    const [heading, cell] = [csvText([text], []), csvText(["a"], [{ a: text }])];
    expect(heading).toMatch(/^"?'/);
    expect(cell).toMatch(/^a\n"?'/);
  });

  it.each([["a;=1+1"], ["a\t=1+1"], ["note\n=1+1"], ["a; ;\t@sum"], ["=1;=2"]])(
    "defuses the formula that another separator would start in %j",
    (text) => {
      const written = csvText(["a"], [{ a: text }]).slice(2);
      for (const part of written.split(/[;\t\r\n]/)) {
        expect(looksLikeFormula(part.replace(/^"/, ""))).toBe(false);
      }
    },
  );

  it("leaves signed numbers and ordinary codes alone", () => {
    for (const text of ["-1.5", "+2", "-3e5", "007", "1-2", "MAR1", "0.2;-1.5", "a; b"]) {
      expect(csvText(["a"], [{ a: text }])).toBe(`a\n${text}\n`);
    }
    expect(csvText(["a", "b"], [{ a: -1.5, b: true }])).toBe("a,b\n-1.5,true\n");
    expect(csvText(["a", "b"], [{ a: -1.5 }])).toBe("a,b\n-1.5,\n");
  });

  it("is read by a spreadsheet as texts, whatever the separator it expects", () => {
    const text = csvText(
      ["a"],
      attacks.map((a) => ({ a: `x;${a}` })),
    );
    for (const FS of [",", ";"]) {
      const [sheet] = Object.values(xlsx.read(text, { type: "string", FS, raw: true }).Sheets);
      const cells = xlsx.utils.sheet_to_json(sheet!, { header: 1 }).flat().map(String);
      expect(cells.length).toBeGreaterThan(attacks.length);
      expect(cells.filter((cell) => /^\s*[=+@＝＋－＠-]/.test(cell))).toEqual([]);
    }
  });

  it("does not take a column from a prototype, and refuses what is no text or number", () => {
    expect(csvText(["toString"], [{}])).toBe("toString\n\n");
    expect(() => csvText(["a"], [{ a: Number.NaN }])).toThrow(/finite/);
    expect(() => csvText([], [])).toThrow(InputError);
    expect(() => csvText(["a"], [{ a: { b: 1 } as never }])).toThrow(/got object/);
    expect(() => csvLines(["a"], [[[] as never]])).toThrow(InputError);
  });
});

describe("the CSV of figures and tables", () => {
  it("defuses formulas in labels, names of series and headings", () => {
    const trace = { name: "=1+1", x: ["@a"], y: [2], text: [" =cmd"] };
    const layout = { xaxis: { title: { text: "=A1" } } };
    const csv = figureCsv(figureData({ data: [trace], layout }));
    expect(csv).toBe("series,label,'=A1,y\n'=1+1,' =cmd,'@a,2\n");
    const columns = [{ name: "a", label: "＝A1" }];
    const shown = table({ id: "t", rows: [{ a: " =1" }], columns, caption: "A table." });
    expect(tableCsv(shown)).toBe("'＝A1\n' =1\n");
  });

  it("prints no object of a tampered figure as [object Object]", () => {
    const trace = { name: { a: 1 }, x: [{ b: 2 }], y: [[3]], text: [{ c: 4 }] };
    const data = figureData({ data: [trace], layout: {} });
    expect(figureCsv(data)).toBe('series,label,x,y\n"{""a"":1}","{""c"":4}","{""b"":2}",[3]\n');
    expect(String(figureTable(data, "Caption."))).not.toContain("[object");
    const grid = { z: [[{ d: 5 }]], x: [{}], y: [0] };
    expect(figureCsv(figureData({ data: [grid], layout: {} }))).not.toContain("[object");
  });

  it("takes no table from a record whose cells are objects", () => {
    const columns = [{ name: "a", label: "A" }];
    const tampered = { id: "t", caption: "A.", columns, rows: [{ a: {} }] };
    const data = { "application/vnd.tautline.table+json": tampered, "text/plain": "a table" };
    const output = { output_type: "display_data", metadata: {}, data };
    const cell = { cell_type: "code", id: "c", metadata: {}, source: "", outputs: [output] };
    const { cells } = recordedNotebook("notebooks/a.ipynb", JSON.stringify({ cells: [cell] }));
    expect(cells[0]!.shown[0]!.kind).toBe("unreadable");
  });
});
