import { describe, expect, it } from "vitest";
import type { Parts } from "../small-study.js";
import { described, gripTrials, inspect, participants, swingTrials } from "../small-study.js";

const repeats = (parts: Parts) =>
  inspect(parts)
    .issues.filter(({ code }) => code === "trial-repeated")
    .map(({ file, row, column, value, expected }) => ({ file, row, column, value, expected }));
const leftOut = (parts: Parts) =>
  inspect(parts).setAside.map(({ file, row, reason, by }) => ({ file, row, reason, by }));

/** Rows 2 to 17 are the study's own; these come as rows 18, 19 … */
const withMore = (...lines: string[]) => ({ gripTrials: `${gripTrials}${lines.join("\n")}\n` });

const first = "007,w0,2025-01-06,left,address,50,D1,1,28.0,kgf,valid,";
const last = "042,w6,2025-02-18,right,address,55,D1,2,47.5,kgf,valid,";

describe("a trial that a file has twice", () => {
  it("with the same value is used once, whichever golfer, hand and visit it is", () => {
    for (const [line, row] of [
      [first, 2],
      [last, 17],
    ] as const) {
      expect(repeats(withMore(line))).toEqual([
        {
          file: "grip-trials.csv",
          row: 18,
          column: "trial",
          value: "the same value",
          expected: `row ${row}`,
        },
      ]);
      expect(leftOut(withMore(line))).toEqual([
        { file: "grip-trials.csv", row: 18, reason: "repeat of a trial", by: "error" },
      ]);
    }
  });

  it("with two values is used not at all, and the message has the other value with its unit", () => {
    const parts = withMore(first.replace("28.0", "29.5"));
    expect(repeats(parts)).toMatchObject([
      { row: 18, value: "another value (28 kgf)", expected: "row 2" },
    ]);
    const reason = "trial given twice, with two values";
    expect(leftOut(parts)).toMatchObject([
      { row: 2, reason },
      { row: 18, reason },
    ]);
  });

  it("three times, the last with another value, has no row that is used", () => {
    expect(leftOut(withMore(first, first.replace("28.0", "27.0")))).toMatchObject([
      { row: 2, reason: "trial given twice, with two values" },
      { row: 18, reason: "repeat of a trial" },
      { row: 19, reason: "trial given twice, with two values" },
    ]);
  });

  it("is compared only with rows that are used: a void trial may be done again", () => {
    expect(repeats(withMore(first.replace("valid", "void")))).toEqual([]);
    expect(
      repeats({
        gripTrials: `${gripTrials.replace(first, first.replace("valid", "void"))}${first}\n`,
      }),
    ).toEqual([]);
  });

  it("is another trial when number, hand, visit, golfer or position differs", () => {
    expect(repeats({})).toEqual([]);
    expect(repeats(withMore(first.replace("D1,1", "D1,3")))).toEqual([]);
  });

  it("in another position or with another hand is another trial, and is found in the last position", () => {
    const descriptor = described({ study: { positions: [{ id: "address" }, { id: "top" }] } });
    const top = last.replace("address", "top");
    expect(repeats({ descriptor, ...withMore(top) })).toEqual([]);
    expect(repeats({ descriptor, ...withMore(top, top.replace("right", "left"), top) })).toEqual([
      {
        file: "grip-trials.csv",
        row: 20,
        column: "trial",
        value: "the same value",
        expected: "row 18",
      },
    ]);
  });

  it("in another file is named with that file", () => {
    const descriptor = described({
      resources: (list) => [...list, { name: "again", kind: "grip-trials", path: "again.csv" }],
    });
    const [header] = gripTrials.split("\n");
    const more = { "again.csv": `${header}\n${first}\n` };
    expect(repeats({ descriptor, more })).toMatchObject([
      { file: "again.csv", row: 2, expected: "grip-trials.csv, row 2" },
    ]);
  });

  it("of swings counts by club and swing", () => {
    const line = swingTrials.split("\n")[1]!;
    expect(repeats({ swingTrials: `${swingTrials}${line}\n` })).toEqual([
      {
        file: "swing-trials.csv",
        row: 30,
        column: "swing",
        value: "the same value",
        expected: "row 2",
      },
    ]);
  });

  it("is found where golfers are many and the numbers of swings are high", () => {
    const golfers = Array.from({ length: 1_300 }, (_, i) => `G${i}`);
    const many = golfers.map((golfer) => `${golfer},grip,female,40,right\n`).join("");
    const swing = (golfer: string, occasion: string) =>
      `${golfer},${occasion},2025-01-06,driver,200,80.0,mph,valid,\n`;
    const far = ["G0", "G1299"].flatMap((golfer) => ["w0", "w6"].map((w) => swing(golfer, w)));
    const parts = { participants: participants + many, swingTrials: swingTrials + far.join("") };
    expect(repeats(parts)).toEqual([]);
    const again = { ...parts, swingTrials: parts.swingTrials + swing("G1299", "w0") };
    expect(repeats(again)).toMatchObject([{ row: 34, expected: "row 32" }]);
  });
});
