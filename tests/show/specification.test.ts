import { describe, expect, it } from "vitest";
import { figureCsv, figureData } from "../../lib/report/figure-data.js";
import { figure } from "../../lib/show/figure.js";
import { specificationPlot } from "../../lib/show/specification.js";

const interval = (low: number, high: number) => ({ low, high, level: 0.95, method: "percentile" });
const specifications = [
  {
    choice: { rule: "max", scale: "log" },
    value: -1,
    interval: interval(-3, 1),
    n: 24,
    planned: false,
  },
  {
    choice: { rule: "mean", scale: "log" },
    value: 2,
    interval: interval(1, 3),
    n: 24,
    planned: true,
  },
  {
    choice: { rule: "mean", scale: "raw" },
    value: 4,
    interval: interval(2, 6),
    n: 24,
    planned: false,
  },
];
const scale = { quantity: "Effect", unit: "%" };

type Trace = { x: unknown[]; y: unknown[]; yaxis?: string; name?: string };
const plot = specificationPlot({
  specifications,
  ...scale,
  labels: { rule: "Value", log: "logs" },
});
const traces = plot.data as unknown as Trace[];

describe("specificationPlot", () => {
  it("draws every effect with its interval above", () => {
    const [held, out, effects] = traces;
    expect(held!.y).toEqual([-3, 1, null]);
    expect(out!.y).toEqual([1, 3, null, 2, 6, null]);
    expect(effects!.y).toEqual([-1, 2, 4]);
  });

  it("has a table of numbers with a row per specification and no empty cell", () => {
    const [heads, ...rows] = figureCsv(figureData(plot)).trim().split("\n");
    expect(heads).toBe("rank,choices,planned,value (%),lower limit,upper limit");
    expect(rows).toHaveLength(specifications.length);
    expect(rows[1]).toBe('2,"mean, logs",yes,2,1,3');
    expect(rows.join()).not.toMatch(/,,|,$/);
  });

  it("marks below each specification once for every choice it made", () => {
    const below = traces.filter((trace) => trace.yaxis === "y2" && trace.name !== undefined);
    const marks = below.flatMap(({ x, y }) => x.map((rank, i) => `${rank} ${y[i]}`));
    expect(marks).toHaveLength(specifications.length * 2);
    expect(new Set(marks).size).toBe(marks.length);
    const axis = plot.layout.yaxis2 as { ticktext: string[]; tickvals: number[] };
    expect(axis.ticktext).toEqual(["Value: max", "Value: mean", "scale: logs", "scale: raw"]);
    // The second specification took mean and log
    expect(marks.filter((mark) => mark.startsWith("2 "))).toEqual([
      `2 ${axis.tickvals[1]}`,
      `2 ${axis.tickvals[2]}`,
    ]);
  });

  it("sets the planned one on the curve and on its own choices", () => {
    const planned = traces.slice(-2);
    expect(planned[0]).toMatchObject({ x: [2], y: [2] });
    expect(planned[1]!.x).toEqual([2, 2]);
  });

  it("is a figure the house takes, and refuses a curve without a planned one", () => {
    const made = figure({ id: "curve", ...plot, caption: "A curve.", alt: "Three effects." });
    expect(made.kind).toBe("figure");
    const none = specifications.map((one) => ({ ...one, planned: false }));
    expect(() => specificationPlot({ specifications: none, ...scale })).toThrow(/planned/);
    expect(() => specificationPlot({ specifications: [], ...scale })).toThrow(/no specification/);
  });
});
