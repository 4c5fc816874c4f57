import fc from "fast-check";
import { describe, expect, it } from "vitest";
import type { CsvOptions } from "../../../lib/study/check/csv.js";
import { limits, readCsv } from "../../../lib/study/check/csv.js";
import { cellText } from "../../../lib/study/check/sheet.js";

function rows(text: string, options: CsvOptions = {}): string[][] {
  const result = readCsv(new TextEncoder().encode(text), options);
  if (result.kind !== "sheet") throw new Error(result.refusal.code);
  const { columns, rowCount } = result.sheet;
  return [
    columns.map(({ name }) => name),
    ...Array.from({ length: rowCount }, (_, i) => columns.map((c) => c.levels[c.codes[i]!]!)),
  ];
}

function sheet(text: string) {
  const result = readCsv(new TextEncoder().encode(text));
  if (result.kind !== "sheet") throw new Error(result.refusal.code);
  return result.sheet;
}

const table = [
  ["a", "b"],
  ["1", "x"],
  ["2", "y"],
];

describe("reading delimited text (RFC 4180)", () => {
  it.each([
    ["comma", "a,b\n1,x\n2,y\n"],
    ["semicolon", "a;b\n1;x\n2;y\n"],
    ["tab", "a\tb\n1\tx\n2\ty\n"],
    ["bar", "a|b\n1|x\n2|y\n"],
    ["CRLF", "a,b\r\n1,x\r\n2,y\r\n"],
    ["lone CR", "a,b\r1,x\r2,y\r"],
    ["no final line end", "a,b\n1,x\n2,y"],
    ["quotes round every cell", '"a","b"\n"1","x"\n"2","y"\n'],
    ["blank rows before, between and after", "\n\na,b\n1,x\n\n,\n2,y\n\n"],
  ])("%s", (_, text) => expect(rows(text)).toEqual(table));

  it("keeps delimiters, line ends and doubled quotes inside quotes", () => {
    expect(rows('a,b\n"1,5","he said ""ow""\nand stopped"\n')).toEqual([
      ["a", "b"],
      ["1,5", 'he said "ow"\nand stopped'],
    ]);
  });

  it("does not take two plain cells for the quoted one above them", () => {
    const result = rows('a,b,c\n"1,2",x,y\n1,2,x\n');
    expect(result.slice(1)).toEqual([
      ["1,2", "x", "y"],
      ["1", "2", "x"],
    ]);
  });

  it("finds the delimiter by the header, so that decimal commas do not mislead it", () => {
    expect(rows("a;b\n1,5;2,5\n1,6;2,6\n")).toEqual([
      ["a", "b"],
      ["1,5", "2,5"],
      ["1,6", "2,6"],
    ]);
  });

  it("takes the header from the row it is told", () => {
    expect(rows("Grip study,\nwinter,\na,b\n1,x\n2,y\n", { headerRows: [3] })).toEqual(table);
  });

  it("counts rows as a spreadsheet does: header 1, blank rows and quoted line ends included", () => {
    const { fileRow, blankRows } = sheet('a,b\n1,"x\ny"\n\n2,y\n,\n3,z\n');
    expect([0, 1, 2].map(fileRow)).toEqual([2, 4, 6]);
    expect(blankRows).toBe(2);
  });

  it("keeps every text once, in order of first appearance", () => {
    const { columns } = sheet("a\nx\ny\nx\nx\ny\n");
    expect(columns[0]!.levels).toEqual(["x", "y"]);
    expect([...columns[0]!.codes]).toEqual([0, 1, 0, 0, 1]);
  });

  it("tells apart texts whose hashes are equal", () => {
    // "Aa" and "BB" have the same hash with multiplier 31.
    const { columns } = sheet("a\nAa\nBB\nAaAa\nAaBB\nBBAa\nBBBB\n");
    expect(columns[0]!.levels).toEqual(["Aa", "BB", "AaAa", "AaBB", "BBAa", "BBBB"]);
  });

  it("reports rows with too few or too many cells, and goes on", () => {
    const { faults, rowCount } = sheet("a,b\n1\n2,y\n3,z,w\n");
    expect(rowCount).toBe(3);
    expect(faults.map(({ index, code, value }) => [index, code, value])).toEqual([
      [0, "row-width", "1 cells"],
      [2, "row-width", "3 cells"],
    ]);
  });

  it("reports a quotation mark that is never closed", () => {
    const { faults } = sheet('a,b\n1,x\n2,"y\n3,z\n');
    expect(faults.map(({ code }) => code)).toContain("quote-open");
  });

  it("reports a gigantic cell", () => {
    const { faults } = sheet(`a,b\n1,${"x".repeat(limits.cellBytes + 1)}\n`);
    expect(faults.map(({ code }) => code)).toEqual(["cell-long"]);
  });

  it("refuses too many columns and a file without a header", () => {
    expect(() => rows(`${"a,".repeat(limits.columns + 1)}\n`)).toThrow("file-too-large");
    expect(() => rows("\n\n")).toThrow("header-missing");
  });

  it("grows as the file does: more rows than the first ones promise", () => {
    const long = `${"x".repeat(5000)},y\n`.repeat(40);
    const many = Array.from({ length: 30_000 }, (_, i) => `${i},y`).join("\n");
    expect(sheet(`a,b\n${long}${many}\n`).rowCount).toBe(40 + 30_000);
  });
});

describe("a row read beside the row above", () => {
  /** A cell from few texts, so that most repeat the cell above and many share their beginning. */
  const cell = fc.constantFrom("", "a", "ab", "abc", "1", "12", " ", "é", 'x"y');
  const line = fc.array(cell, { minLength: 1, maxLength: 4 });
  const file = fc.record({
    lines: fc.array(line, { minLength: 1, maxLength: 12 }),
    end: fc.constantFrom("\n", "\r\n"),
    lastEnd: fc.boolean(),
  });

  it("is the row that cutting the text at its commas gives", () => {
    fc.assert(
      fc.property(file, ({ lines, end, lastEnd }) => {
        const rows = lines.map((cells) => cells.join(","));
        const text = ["p,q,r", ...rows].join(end) + (lastEnd ? end : "");
        const result = readCsv(new TextEncoder().encode(text), { delimiter: "," });
        if (result.kind !== "sheet") throw new Error(result.kind);
        const { columns, rowCount, blankRows, faults } = result.sheet;
        const read = Array.from({ length: rowCount }, (_, i) =>
          columns.map((column) => cellText(column, i)),
        );
        const kept = lines.filter((cells) => cells.some((one) => one.trim() !== ""));
        const expected = kept.map((cells) => [0, 1, 2].map((k) => cells[k] ?? ""));
        expect(read).toEqual(expected);
        expect(faults.map(({ index }) => index)).toEqual(
          kept.flatMap((cells, i) => (cells.length === 3 ? [] : [i])),
        );
        // Without its end, a last line of nothing is no line.
        const ghost = !lastEnd && rows.at(-1) === "" ? 1 : 0;
        expect(blankRows).toBe(lines.length - kept.length - ghost);
      }),
      { seed: 16, numRuns: 500 },
    );
  });
});
