import { describe, expect, it } from "vitest";
import { figureCsv, figureData } from "../../lib/report/figure-data.js";
import { golferStrips } from "../../lib/show/golfer-strips.js";
import { pairedDots } from "../../lib/show/people.js";
import { visitPanels } from "../../lib/show/visit-panels.js";

const scale = { quantity: "Grip force", unit: "kgf" };

describe("golfers at every visit", () => {
  const visits = [0, 3, 6].map((week) => ({ week, title: `Week ${week}` }));
  const panels = (["trained", "trained", "control"] as const).map((role, i) => ({
    name: `arm ${i}`,
    role,
    values: visits.map((_, visit) => ({ participant: `G${i}`, visit, value: 40 + visit })),
  }));
  const plot = visitPanels({ panels, visits, ...scale });

  it("have a panel for each arm, named above it, with every visit in it", () => {
    const { annotations, xaxis } = plot.layout as {
      annotations: { text: string; x: number }[];
      xaxis: { ticktext: string[]; tickvals: number[] };
    };
    expect(annotations.map(({ text }) => text)).toEqual(["arm 0", "arm 1", "arm 2"]);
    expect(xaxis.ticktext).toEqual(["0", "3", "6", "0", "3", "6", "0", "3", "6"]);
    expect(annotations.map(({ x }) => x)).toEqual([1, 4, 7].map((at) => xaxis.tickvals[at]));
  });

  it("stand in the table of numbers under arm, golfer, occasion and value", () => {
    const lines = figureCsv(figureData(plot)).trim().split("\n");
    expect(lines[0]).toBe("arm,golfer,occasion,value (kgf)");
    expect(lines).toHaveLength(10);
    expect(lines[9]).toBe("arm 2,G2,Week 6,42");
  });
});

describe("one value far from all others", () => {
  const before = [1, 2, 3, 2, 2.5];
  const arm = { name: "grip", before, participant: ["a", "b", "c", "d", "e"] };
  const occasions = ["own", "drawn in"] as const;

  it("leaves the frame with an arrow that names golfer and value", () => {
    const plot = pairedDots({ arms: [{ ...arm, after: [2, 3, 4, 2, 90] }], occasions, ...scale });
    const { yaxis, annotations } = plot.layout as {
      yaxis: { range: [number, number] };
      annotations: { text: string }[];
    };
    expect(yaxis.range[1]).toBeLessThan(5);
    expect(annotations.map(({ text }) => text)).toEqual(["e: 90 kgf"]);
  });

  it("is no reason to cut where all are near", () => {
    const plot = pairedDots({ arms: [{ ...arm, after: [2, 3, 4, 2, 3] }], occasions, ...scale });
    expect(plot.layout.yaxis).not.toHaveProperty("range");
  });
});

describe("swings, a row for each golfer", () => {
  it("are sorted by the mean, each swing one mark and no more", () => {
    const plot = golferStrips({
      golfers: [
        { participant: "G01", values: [100, 104] },
        { participant: "G02", values: [90, 92, 94] },
      ],
      ...scale,
    });
    expect((plot.layout.yaxis as { ticktext: string[] }).ticktext).toEqual(["G02", "G01"]);
    expect(plot.data.map(({ x }) => x)).toEqual([
      [90, 92, 94, 100, 104],
      [92, 102],
    ]);
    expect(figureData(plot).columns).toEqual(["golfer", "order", "value (kgf)"]);
  });
});
