import { describe, expect, it } from "vitest";
import { tablesOf } from "../../../lib/study/mapping/raw-table.js";

const tableIn = (text: string) => tablesOf("export.csv", new TextEncoder().encode(text))[0]!;
const body = "S01;L;1;38,5\nS01;R;1;41,5\n";

describe("where the headings of an export stand", () => {
  it.each([
    ["a title alone", "Griffkraft\n"],
    ["a title followed by separators, as a spreadsheet saves it", "Griffkraft;;;\n"],
    ["a title and an empty row", "Griffkraft;;;\n;;;\n"],
  ])("%s is no row of headings", (_, title) => {
    const table = tableIn(`${title}Spieler;Hand;Versuch;Kraft (kg)\n${body}`);
    expect(table.headerRows).toHaveLength(1);
    expect(table.columns.map(({ name }) => name)).toEqual([
      "Spieler",
      "Hand",
      "Versuch",
      "Kraft (kg)",
    ]);
    expect(table.above).toContain("Griffkraft");
    expect(table.rowCount).toBe(2);
  });

  it("merged headings over two columns each are read with those below", () => {
    const { headerRows, columns } = tableIn(
      "Player;Lead;;Trail;\n;Trial 1;Trial 2;Trial 1;Trial 2\nS01;38,5;39,0;41,5;42,0\n",
    );
    expect(headerRows).toEqual([1, 2]);
    expect(columns.map(({ name }) => name)).toEqual([
      "Player",
      "Lead Trial 1",
      "Lead Trial 2",
      "Trail Trial 1",
      "Trail Trial 2",
    ]);
  });
});
