import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { createRequire } from "node:module";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { unzipSync, zipSync } from "fflate";
import { describe, expect, it } from "vitest";
import { archiveFault, archiveLimits } from "../../../lib/study/check/workbook-archive.js";
import type { Parts } from "../small-study.js";
import { gripTrials, inspect, withResource } from "../small-study.js";

// The writer of the same library makes the workbooks; what is read back is compared with what a
// spreadsheet shows, not with what the writer was given.
const book = createRequire(import.meta.url)("xlsx");

type Cell = { t: string; v?: unknown; z?: string; f?: string; w?: string };
type SheetRecord = Record<string, unknown>;

/** The grip trials of the small study as a sheet: codes as text, dates as serials, force as numbers. */
function gripSheet(): SheetRecord {
  const rows = gripTrials
    .trimEnd()
    .split("\n")
    .map((line) => line.split(","));
  const values = rows.map((row, r) =>
    row.map((text, c) => {
      if (r === 0) return text;
      if (c === 2) return (Date.parse(text) - Date.parse("1899-12-30")) / 86_400_000;
      return [5, 7, 8].includes(c) ? Number(text) : text;
    }),
  );
  const sheet = book.utils.aoa_to_sheet(values);
  for (let r = 1; r < rows.length; r++) sheet[book.utils.encode_cell({ r, c: 2 })].z = "dd/mm/yyyy";
  return sheet;
}

function workbook(sheets: Record<string, SheetRecord>, more: object = {}): Uint8Array {
  const record = { SheetNames: Object.keys(sheets), Sheets: sheets, ...more };
  return new Uint8Array(book.write(record, { type: "array", bookType: "xlsx", cellStyles: true }));
}

const read = (bytes: Uint8Array, resource: Record<string, unknown> = {}): Parts => ({
  gripTrials: bytes,
  descriptor: withResource("grip-trials", resource),
});

const codes = (parts: Parts) => inspect(parts).issues.map(({ code }) => code);

describe("workbooks", () => {
  it("are refused when a header has 16 384 columns, or one cell that far, as a CSV file is", () => {
    const last = 16_383;
    const header = gripTrials.slice(0, gripTrials.indexOf("\n")).split(",");
    const wide = Array.from({ length: last + 1 }, (_, c) => header[c] ?? `c${c}`);
    const far = gripSheet();
    far[book.utils.encode_cell({ r: 0, c: last })] = { t: "s", v: "far" };
    far["!ref"] = `A1:${book.utils.encode_cell({ r: 20, c: last })}`;
    const csv = new TextEncoder().encode(`${wide.join(",")}\n`);
    for (const bytes of [csv, workbook({ trials: book.utils.aoa_to_sheet([wide]) })]) {
      const refused = inspect(read(bytes)).issues.find(({ code }) => code === "file-too-large");
      expect(refused?.value).toMatch(/^(?:401|16384) columns$/);
      expect(refused?.expected).toBe("at most 400 columns");
    }
    const found = inspect(read(workbook({ trials: far }))).issues;
    expect(found.map(({ code, value }) => [code, value])).toContainEqual([
      "file-too-large",
      "16384 columns",
    ]);
  });

  it("read as the same study: dates from serials, ids as text", () => {
    const { study, issues } = inspect(read(workbook({ trials: gripSheet() })));
    expect(issues).toEqual([]);
    expect(study!.gripTrials.objects()).toEqual(inspect().study!.gripTrials.objects());
    expect(study!.gripTrials.get("date", 0)).toBe("2025-01-06");
    expect(study!.gripTrials.get("participant", 0)).toBe("007");
  });

  it("hold the same rows for danfojs", async () => {
    const folder = mkdtempSync(join(tmpdir(), "workbook "));
    const path = join(folder, "trials.xlsx");
    writeFileSync(path, workbook({ trials: gripSheet() }));
    const danfo = (await import("danfojs-node")) as unknown as {
      readExcel(path: string): Promise<{ columns: string[]; values: unknown[][] }>;
    };
    const { columns, values } = await danfo.readExcel(path);
    rmSync(folder, { recursive: true });
    const column = (name: string) => values.map((row) => row[columns.indexOf(name)]);
    const ours = inspect(read(workbook({ trials: gripSheet() }))).study!.gripTrials;
    expect([...ours.array("force")]).toEqual(column("force"));
    expect([...ours.array("participant")]).toEqual(column("participant"));
  });

  it("keep a code that is a number shown as 007", () => {
    const sheet = gripSheet();
    for (let r = 2; r <= 9; r++) sheet[`A${r}`] = { t: "n", v: 7, z: "000" } satisfies Cell;
    const { study, issues } = inspect(read(workbook({ trials: sheet })));
    expect(issues).toEqual([]);
    expect(study!.gripTrials.get("participant", 0)).toBe("007");
  });

  it("count dates from 1904 when the workbook does", () => {
    const sheet = gripSheet();
    for (let r = 2; r <= 17; r++) (sheet[`C${r}`] as { v: number }).v -= 1462;
    const parts = read(workbook({ trials: sheet }, { Workbook: { WBProps: { date1904: true } } }));
    expect(inspect(parts).study!.gripTrials.get("date", 0)).toBe("2025-01-06");
  });

  it("give formulas by their stored value, and say how many there were", () => {
    const sheet = gripSheet();
    sheet.I2 = { t: "n", v: 28, f: "14*2" } satisfies Cell;
    const { study, issues } = inspect(read(workbook({ trials: sheet })));
    expect(study!.gripTrials.get("force_kgf", 0)).toBe(28);
    expect(issues).toMatchObject([{ code: "formula-cells", value: "1" }]);
  });

  it("name an error value as what it is", () => {
    const sheet = gripSheet();
    sheet.I2 = { t: "e", v: 42, w: "#N/A" } satisfies Cell;
    const { issues } = inspect(read(workbook({ trials: sheet })));
    expect(issues).toMatchObject([
      { row: 2, column: "force", code: "not-a-number", value: "#N/A" },
      {},
    ]);
  });

  it("say which rows are hidden and which cells are merged, and read them", () => {
    const sheet = gripSheet();
    sheet["!rows"] = [{}, {}, { hidden: true }];
    sheet["!merges"] = [{ s: { r: 0, c: 0 }, e: { r: 0, c: 1 } }];
    const { study, issues } = inspect(read(workbook({ trials: sheet })));
    expect(issues.map(({ code, value }) => [code, value])).toEqual([
      ["hidden-rows", "3"],
      ["merged-cells", "A1:B1"],
    ]);
    expect(study!.gripTrials.totalRows()).toBe(16);
  });

  it("take the header from the first row that is not blank, or the row they are told", () => {
    const rows = gripTrials
      .trimEnd()
      .split("\n")
      .map((line) => line.split(","));
    const blank = workbook({ trials: book.utils.aoa_to_sheet([[], [], ...rows]) });
    expect(codes(read(blank))).toEqual([]);
    const titled = workbook({ trials: book.utils.aoa_to_sheet([["Grip"], ["winter"], ...rows]) });
    expect(codes(read(titled, { dialect: { headerRows: [3] } }))).toEqual([]);
    const { issues } = inspect(read(titled, { dialect: { headerRows: [3] } }));
    expect(issues).toEqual([]);
    expect(inspect(read(titled)).study).toBeNull();
  });

  it("read the sheet that is named; the first of several is read and said", () => {
    const bytes = workbook({ notes: book.utils.aoa_to_sheet([["hello"]]), trials: gripSheet() });
    expect(codes(read(bytes, { dialect: { sheetName: "trials" } }))).toEqual([]);
    expect(codes(read(bytes, { dialect: { sheetNumber: 2 } }))).toEqual([]);
    expect(codes(read(bytes))).toContain("sheet-chosen");
    expect(codes(read(bytes, { dialect: { sheetName: "nothing" } }))).toEqual(["file-unreadable"]);
  });

  it("count rows as the sheet does", () => {
    const sheet = gripSheet();
    sheet.I5 = { t: "s", v: "strong" } satisfies Cell;
    const { issues } = inspect(read(workbook({ trials: sheet })));
    expect(issues).toContainEqual(
      expect.objectContaining({ row: 5, column: "force", value: "strong" }),
    );
  });
});

describe("archives that are no workbooks, or too much", () => {
  const small = { ...archiveLimits, bytes: 2 ** 20 };

  it("a bomb is refused before it is unpacked into memory", () => {
    const bomb = zipSync({ "xl/worksheets/sheet1.xml": new Uint8Array(small.bytes + 1) });
    expect(bomb.length).toBeLessThan(small.bytes / 100);
    expect(archiveFault(bomb, small)).toBe("more than 1 MB when unpacked");
    expect(archiveFault(bomb)).toBeNull();
  });

  it("a bomb that lies about its size is refused too", () => {
    const bomb = zipSync({ "a.xml": new Uint8Array(small.bytes + 1) });
    const view = new DataView(bomb.buffer);
    for (let at = 0; at + 4 < bomb.length; at++)
      if (view.getUint32(at, true) === 0x02014b50) view.setUint32(at + 24, 10, true);
    view.setUint32(22, 10, true);
    expect(archiveFault(bomb, small)).toBe("more than 1 MB when unpacked");
  });

  it("too many files, a cut file, a zip of something else, an old workbook", () => {
    const many = Object.fromEntries(
      Array.from({ length: 2001 }, (_, i) => [`f${i}`, new Uint8Array(1)]),
    );
    expect(archiveFault(zipSync(many))).toBe("2001 files inside");
    const whole = workbook({ trials: gripSheet() });
    for (const bytes of [
      whole.subarray(0, whole.length / 2),
      whole.subarray(0, 30),
      zipSync({ "readme.txt": new TextEncoder().encode("hello") }),
      Uint8Array.from([0xd0, 0xcf, 0x11, 0xe0, 0xa1, 0xb1, 0x1a, 0xe1]),
    ]) {
      const { study, issues } = inspect(read(bytes));
      expect(study).toBeNull();
      expect(issues.map(({ file, severity }) => [file, severity])).toEqual([
        ["grip-trials.csv", "stop"],
      ]);
    }
  });

  it("a sheet that claims all there is, with one cell in its last corner, takes no time", () => {
    const whole = unzipSync(workbook({ trials: gripSheet() }));
    const path = "xl/worksheets/sheet1.xml";
    const xml = new TextDecoder()
      .decode(whole[path])
      .replace(/<dimension ref="[^"]*"/, '<dimension ref="A1:XFD1048576"')
      .replace("</sheetData>", '<row r="1048576"><c r="XFD1048576"><v>1</v></c></row></sheetData>');
    expect(xml).toContain("XFD1048576");
    const far = zipSync({ ...whole, [path]: new TextEncoder().encode(xml) });
    const { account, issues } = inspect(read(far));
    expect(account[1]).toMatchObject({ rows: 17, used: 16 });
    expect(issues.map(({ row, code }) => [row, code])).toContainEqual([1_048_576, "row-width"]);
  });
});
