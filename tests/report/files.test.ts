import { mkdtempSync, readdirSync, readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { run as runFigures } from "../../lib/cli/figures.js";
import { run as runTables } from "../../lib/cli/tables.js";
import { figureCsv, figureData } from "../../lib/report/figure-data.js";
import { journalWidths, writeFigureFiles } from "../../lib/report/figure-files.js";
import { tableCsv, writeTableFiles } from "../../lib/report/table-files.js";
import { workbookFile } from "../../lib/report/workbook.js";
import { table } from "../../lib/show/table.js";
import { changeNotebook, recordedIn, sampleRoot } from "./sample.js";

/** A spreadsheet reader that did not write the file. */
const xlsx = createRequire(import.meta.url)("xlsx") as {
  read(
    bytes: Uint8Array,
    options: object,
  ): {
    SheetNames: string[];
    Sheets: Record<string, Record<string, { t: string; v: unknown; f?: string; z?: string }>>;
  };
};

const root = sampleRoot({ "1-change.ipynb": changeNotebook() });
const notebooks = recordedIn(root);
const folder = () => mkdtempSync(join(tmpdir(), "files-"));

const io = { cwd: process.cwd(), out: () => undefined, err: () => undefined };

describe("figure files", () => {
  it("come in the width of a column, with fonts, title and description inside", async () => {
    const out = folder();
    const files = await writeFigureFiles({
      notebooks,
      out,
      width: journalWidths.one,
      dpi: 300,
      formats: ["svg", "png", "csv"],
    });
    expect(files).toHaveLength(9);
    const svg = readFileSync(join(out, "1-change", "figure-1-one-column.svg"), "utf8");
    expect(svg).toMatch(/viewBox="0 0 321 \d+" width="85mm" height="[\d.]+mm"/);
    expect(svg).toContain("<title id=");
    expect(svg).toContain("<desc id=");
    expect(svg).toMatch(/font-family: ?(?:'|&quot;)?DejaVu Sans/);
    const png = readFileSync(join(out, "1-change", "figure-1-one-column.png"));
    expect(png.readUInt32BE(16)).toBe(1004); // 85 mm at 300 dots per inch
  });

  it("hold the numbers of every golfer", async () => {
    const out = folder();
    await writeFigureFiles({ notebooks, out, width: journalWidths.two, dpi: 72, formats: ["csv"] });
    const lines = readFileSync(join(out, "1-change", "figure-1.csv"), "utf8").split("\n");
    expect(lines[0]).toBe("arm,golfer,occasion,value (kgf)");
    expect(lines.filter((line) => /^grip block,G0?\d+,week/.test(line))).toHaveLength(26);
  });

  it("without anything to draw have the headings of their axes", () => {
    const nothing = {
      data: [{ type: "scatter", mode: "markers", x: [], y: [] }],
      layout: { xaxis: { title: { text: "Change of grip (kgf)" } }, yaxis: {} },
    };
    expect(figureCsv(figureData(nothing))).toBe("Change of grip (kgf)\n");
  });

  it("are the same bytes every time", async () => {
    const [a, b] = [folder(), folder()];
    for (const out of [a, b])
      await writeFigureFiles({
        notebooks,
        out,
        width: journalWidths.two,
        dpi: 150,
        formats: ["svg", "png"],
      });
    for (const name of readdirSync(join(a, "1-change"))) {
      expect(
        readFileSync(join(a, "1-change", name)).equals(readFileSync(join(b, "1-change", name))),
        name,
      ).toBe(true);
    }
  });

  it("are refused in a width or a format that there is none of", async () => {
    await expect(runFigures(["--width", "three"], io)).rejects.toThrow(
      "--width needs one, two, or 40 to 400 millimetres",
    );
    await expect(runFigures(["--format", "gif"], io)).rejects.toThrow(
      "--format knows svg, png and csv",
    );
    await expect(runTables(["--format", "ods"], io)).rejects.toThrow("--format knows csv and xlsx");
  });
});

describe("tables as files", () => {
  const columns = [
    { name: "golfer", label: "Golfer" },
    { name: "grip", label: "Grip", unit: "kgf", digits: 1, means: "Mean of three trials" },
    { name: "back", label: "Came back" },
  ];
  const rows = [
    { golfer: "007", grip: 41.25, back: true },
    { golfer: '=SUM(A1) "x"', grip: null, back: false },
  ];
  const plain = table({ id: "grip", rows, columns, caption: "Grip by golfer." });

  it("as CSV keep all digits and defuse what a spreadsheet would take for a formula", () => {
    expect(tableCsv(plain)).toBe(
      'Golfer,Grip (kgf),Came back\n007,41.25,true\n"\'=SUM(A1) ""x""",,false\n',
    );
  });

  it("as CSV with the digits shown read as numbers, also where a column states no digits", () => {
    const out = folder();
    const shown = table({
      id: "p",
      columns: [
        { name: "value", label: "Value", digits: 1 },
        { name: "p", label: "p" },
      ],
      rows: [{ value: -0.3588, p: 0.013921256626407067 }],
      caption: "Results.",
    });
    const [notebook] = notebooks;
    const cell = { ...notebook!.cells[1]!, shown: [{ kind: "table" as const, table: shown }] };
    writeTableFiles({ notebooks: [{ ...notebook!, cells: [cell] }], out, formats: ["csv"] });
    const read = (name: string) => readFileSync(join(out, "1-change", name), "utf8");
    expect(read("p.csv")).toBe("Value,p\n-0.4,0.0139\n");
    expect(read("p-all-digits.csv")).toBe("Value,p\n-0.3588,0.013921256626407067\n");
  });

  it("as a workbook keep types, a row of units, formats of the column, and notes", () => {
    const out = folder();
    const [notebook] = notebooks;
    const cell = { ...notebook!.cells[1]!, shown: [{ kind: "table" as const, table: plain }] };
    writeTableFiles({ notebooks: [{ ...notebook!, cells: [cell] }], out, formats: ["xlsx"] });
    const book = xlsx.read(readFileSync(join(out, "1-change.xlsx")), {
      type: "buffer",
      cellNF: true,
    });
    expect(book.SheetNames).toEqual(["grip", "Notes"]);
    const sheet = book.Sheets.grip!;
    expect(sheet.A3).toMatchObject({ t: "s", v: "007" });
    expect(sheet.B2).toMatchObject({ t: "s", v: "kgf" });
    expect(sheet.B3).toMatchObject({ t: "n", v: 41.25, z: "0.0" });
    expect(sheet.C3).toMatchObject({ t: "b", v: true });
    expect(sheet.A4).toMatchObject({ t: "s", v: '=SUM(A1) "x"' });
    expect(sheet.A4!.f).toBeUndefined();
    expect(sheet.B4).toBeUndefined();
    const notes = Object.values(book.Sheets.Notes!).map((cell) => cell.v);
    expect(notes).toContain("Mean of three trials");
    expect(notes).toContain("Grip by golfer. (cell 2)");
  });

  it("come with the findings of their notebook", () => {
    const out = folder();
    writeTableFiles({ notebooks, out, formats: ["csv", "xlsx"] });
    const book = xlsx.read(readFileSync(join(out, "1-change.xlsx")), { type: "buffer" });
    expect(book.SheetNames).toEqual(["changes", "Findings", "Notes"]);
    expect(book.Sheets.Findings!.C2).toMatchObject({ t: "n", v: 2.641 });
    expect(readFileSync(join(out, "1-change", "changes.csv"), "utf8")).toContain(
      "Golfer,Week 0 (kgf)",
    );
  });

  it("take any text and any sheet name", () => {
    const bytes = workbookFile([
      {
        name: "a/b:c*?[]\\ which is far too long for a sheet",
        rows: [["\u0000<&>\"' \ud83c\udfcc"]],
        frozen: 0,
      },
      { name: "a/b:c*?[]\\ which is far too long for a sheet", rows: [], frozen: 0 },
    ]);
    const book = xlsx.read(bytes, { type: "buffer" });
    expect(new Set(book.SheetNames).size).toBe(2);
    expect(book.Sheets[book.SheetNames[0]!]!.A1!.v).toBe("\ufffd<&>\"' \ud83c\udfcc");
  });
});
