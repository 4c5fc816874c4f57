import { describe, expect, it } from "vitest";
import { readStudy } from "../../../lib/study/open.js";
import { summariseGrip } from "../../../lib/study/tables/summary.js";
import { tidyFiles, tidyRows } from "../../../lib/study/tables/tidy.js";
import { filesOf, gripTrials } from "../small-study.js";

const { study } = readStudy(filesOf({ gripTrials: gripTrials.replace(/^042,w6.*\n/gm, "") }));

describe("the analysis data set in long format", () => {
  const rows = tidyRows(study!);

  it("has a row for each golfer, visit, hand and position, measured or not", () => {
    // 2 golfers × 2 visits × (2 hands × 1 position + 1 club)
    expect(rows.length).toBe(12);
    const missed = rows.filter(({ value }) => value === null);
    expect(
      missed.map(({ participant, occasion, hand, trials }) => [
        participant,
        occasion,
        hand,
        trials,
      ]),
    ).toEqual([
      ["042", "w6", "lead", 0],
      ["042", "w6", "trail", 0],
    ]);
  });

  it("has the values, rules and counts of the summary", () => {
    // 007, w0, left hand: 28.0 and 29.0 kgf, by the mean of two.
    expect(rows[0]).toEqual({
      participant: "007",
      arm: "grip",
      occasion: "w0",
      week: 0,
      outcome: "grip",
      hand: "lead",
      position: "address",
      club: "",
      value: 28.5,
      unit: "kgf",
      rule: "mean2",
      trials: 2,
      planned: 2,
    });
    const grip = rows.filter(({ outcome, value }) => outcome === "grip" && value !== null);
    expect(grip.length).toBe(summariseGrip(study!, { rule: "mean2" }).totalRows());
  });

  it("is written with a dictionary of its columns", () => {
    const files = tidyFiles(study!);
    expect([...files.keys()]).toEqual(["two-golfers-tidy.csv", "two-golfers-tidy-dictionary.csv"]);
    const [data = "", dictionary = ""] = [...files.values()];
    const columns = data.split("\n")[0]!.split(",");
    const listed = dictionary
      .trim()
      .split("\n")
      .slice(1)
      .map((line) => line.split(",")[0]);
    expect(listed).toEqual(columns);
  });
});
