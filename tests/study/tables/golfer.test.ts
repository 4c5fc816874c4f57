import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { openStudy } from "../../../lib/study/open.js";
import { golferResults } from "../../../lib/study/tables/golfer.js";
import { measuresOf } from "../../../lib/study/tables/measures.js";
import { measuringError } from "../../../lib/study/tables/measuring-error.js";

const winter = openStudy("winter-block");
const nine = openStudy("coach-nine");
const golfers = golferResults(winter);

/** The value of a finding as a notebook recorded it. */
function recorded(notebook: string, id: string): number {
  const { cells } = JSON.parse(readFileSync(`notebooks/${notebook}.ipynb`, "utf8"));
  const found = cells
    .flatMap(({ outputs = [] }: { outputs?: { data?: Record<string, unknown> }[] }) => outputs)
    .map(
      ({ data }: { data?: Record<string, { id: string; value: number }> }) =>
        data?.["application/vnd.tautline.finding+json"],
    )
    .find((one: { id: string } | undefined) => one?.id === id);
  return found.value;
}

const leadAtAddress = ({ name }: { name: string }) => name === "Lead hand, at address";

describe("what a study says about one golfer", () => {
  it("takes the error from visit to visit that the notebook on measurements states", () => {
    const error = measuringError(winter, measuresOf(winter).find(leadAtAddress)!)!;
    expect(error.betweenVisits).toBe(true);
    expect(error.typical).toBe(recorded("winter-block/2-measurements", "retest-typical-error"));
    const changes = golfers.flatMap(({ series }) => series.find(leadAtAddress)?.change ?? []);
    expect(changes).toHaveLength(24);
    // 12 golfers of the control arm, two visits: t(11) at 97.5 %, Student's table
    for (const { detectable } of changes)
      expect(detectable).toBeCloseTo(2.200985160091639 * Math.SQRT2 * error.typical, 10);
  });

  it("finds as many golfers beyond the error as the notebook on responders", () => {
    const up = (arm: string) =>
      golfers.filter(
        (golfer) =>
          golfer.arm === arm && golfer.series.find(leadAtAddress)?.change?.verdict === "up",
      ).length;
    expect(up("Grip block")).toBe(recorded("winter-block/4-responders", "responders-grip"));
    expect(up("Swing practice")).toBe(recorded("winter-block/4-responders", "responders-swing"));
  });

  it("has, without a control arm, the error of a mean of one visit's trials", () => {
    // the trials of "before", lead hand at address, from the file
    const [head, ...lines] = readFileSync("data/coach-nine/grip-trials.csv", "utf8")
      .trim()
      .split("\n")
      .map((line) => line.split(","));
    const at = (row: string[], name: string) => row[head!.indexOf(name)]!;
    const measure = measuresOf(nine).find(leadAtAddress)!;
    const position = measure.where.position!;
    const people = new Set(lines.map((row) => at(row, "participant")));
    const table = [...people].map((participant) =>
      lines
        .filter(
          (row) =>
            at(row, "participant") === participant &&
            at(row, "occasion") === "before" &&
            at(row, "position") === position &&
            at(row, "hand") === "lead" &&
            at(row, "status") === "valid",
        )
        .map((row) => Number(at(row, "force"))),
    );
    expect(table.map(({ length }) => length)).toEqual(Array(9).fill(3));
    // two-way analysis of variance by hand: what is left after golfer and trial
    const mean = (values: number[]) => values.reduce((a, b) => a + b) / values.length;
    const grand = mean(table.flat());
    const columns = [0, 1, 2].map((j) => mean(table.map((row) => row[j]!)));
    const rest = table.flatMap((row) =>
      row.map((value, j) => (value - mean(row) - columns[j]! + grand) ** 2),
    );
    const typical = Math.sqrt(rest.reduce((a, b) => a + b) / (8 * 2));
    const error = measuringError(nine, measure)!;
    expect(error.betweenVisits).toBe(false);
    expect(error.typical).toBeCloseTo(typical / Math.sqrt(3), 10);
  });

  it("holds back a change where an end is missing", () => {
    const unchanged = golfers.filter(({ series }) => series.every(({ change }) => !change));
    expect(unchanged).toHaveLength(2);
    const [golfer] = golferResults(nine);
    expect(Object.isFrozen(golfer)).toBe(true);
    expect(JSON.parse(JSON.stringify(golfer))).toEqual(golfer);
  });
});
