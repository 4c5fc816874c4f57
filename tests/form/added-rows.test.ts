import { describe, expect, it } from "vitest";
import { InputError } from "../../lib/errors.js";
import { addedRows } from "../../lib/form/added-rows.js";

const header =
  "participant,occasion,date,time,hand,position,handle_mm,device,trial,force,unit,status,note";
const file = (name: string, ...rows: string[]) => ({
  name,
  bytes: new TextEncoder().encode(`${[header, ...rows].join("\n")}\n`),
});
const people = [{ participant: "001", plays: "right" as const }];
const left = (trial: number, force: string, hand = "left") =>
  `001,w0,2025-01-08,10:30:00,${hand},seated,49,D1,${trial},${force},kgf,valid,`;

describe("adding the rows of exports", () => {
  it("adds what is new after the study's own rows and keeps these byte for byte", () => {
    const own = file("grip-trials.csv", left(1, "25"));
    const joined = addedRows(
      own,
      [file("a.csv", left(2, "26")), file("b.csv", left(3, "27"))],
      people,
    );
    expect(joined).toMatchObject({ read: 2, added: 2, duplicates: [], contradictions: [] });
    expect(joined.text.startsWith(new TextDecoder().decode(own.bytes))).toBe(true);
    expect(joined.text.split("\n").slice(2, 4)).toEqual([left(2, "26"), left(3, "27")]);
  });

  it("reports a duplicate with both rows and does not add it", () => {
    const joined = addedRows(
      file("grip-trials.csv", left(1, "25")),
      [file("a.csv", left(1, "25"))],
      people,
    );
    expect(joined).toMatchObject({ added: 0, contradictions: [] });
    expect(joined.duplicates).toMatchObject([
      { file: "a.csv", row: 2, other: "grip-trials.csv", otherRow: 2, differences: [] },
    ]);
  });

  it("reports a contradiction with the columns that differ", () => {
    const joined = addedRows(
      file("grip-trials.csv", left(1, "25")),
      [file("a.csv", left(1, "52"))],
      people,
    );
    expect(joined.duplicates).toEqual([]);
    expect(joined.contradictions).toMatchObject([
      { row: 2, otherRow: 2, differences: [{ column: "force", here: "52", there: "25" }] },
    ]);
  });

  it("knows that the left hand of a right-sided player is the lead hand", () => {
    const joined = addedRows(
      file("grip-trials.csv", left(1, "25", "lead")),
      [file("a.csv", left(1, "25"))],
      people,
    );
    expect(joined).toMatchObject({ added: 0, duplicates: [{ differences: [] }] });
  });

  it("finds contradictions between two exports", () => {
    const joined = addedRows(
      file("grip-trials.csv"),
      [file("a.csv", left(1, "25")), file("b.csv", left(1, "26"))],
      people,
    );
    expect(joined).toMatchObject({ read: 2, added: 1 });
    expect(joined.contradictions).toMatchObject([{ file: "b.csv", other: "a.csv" }]);
  });

  it("keeps line ends and a missing last line end of the study's file in order", () => {
    const bytes = new TextEncoder().encode(`${header}\r\n${left(1, "25")}`);
    const { text } = addedRows(
      { name: "grip-trials.csv", bytes },
      [file("a.csv", left(2, "26"))],
      people,
    );
    expect(text).toBe(`${header}\r\n${left(1, "25")}\r\n${left(2, "26")}\r\n`);
  });

  it("refuses a file of other columns or with an open quotation mark", () => {
    const other = { name: "x.csv", bytes: new TextEncoder().encode("a,b\n1,2\n") };
    expect(() => addedRows(file("grip-trials.csv"), [other], people)).toThrow(InputError);
    const open = file("x.csv", `001,w0,2025-01-08,,left,seated,,,1,25,kgf,valid,"open`);
    expect(() => addedRows(file("grip-trials.csv"), [open], people)).toThrow(/x\.csv, row 2/);
  });
});
