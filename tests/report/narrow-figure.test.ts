import { describe, expect, it } from "vitest";
import { heightForNames, narrowFigure } from "../../lib/report/narrow-figure.js";

interface Axis {
  readonly ticktext: readonly string[];
  readonly title: { readonly text: string; readonly standoff: number };
}

/** The axes of a figure with these names beside it, a row apart, drawn for a narrow screen. */
function drawn(names: readonly string[], height: number, title = "Change (kgf)") {
  const places = names.map((_, i) => i);
  const { layout } = narrowFigure({
    data: [],
    layout: {
      height,
      xaxis: { title: { text: title } },
      yaxis: { tickvals: places, ticktext: names, range: [-0.5, names.length - 0.5] },
    },
  });
  return layout as { xaxis: Axis; yaxis: Axis; height: number; margin: { b: number } };
}

const linesOf = (name: string) => name.split("<br>").length;
const fourRows = Array.from({ length: 4 }, (_, i) => `Trail-hand grip, top of the swing ${i}`);
const sixteenRows = Array.from({ length: 16 }, (_, i) => `trials: set-asides put back ${i}`);

describe("names beside an axis on a narrow screen", () => {
  it("are broken into short lines where rows have room for them", () => {
    const { yaxis } = drawn(fourRows, 440);
    expect(yaxis.ticktext.map(linesOf)).toEqual([3, 3, 3, 3]);
  });

  it("never take more lines than a row has room for, while a wider column helps", () => {
    const { yaxis, height } = drawn(sixteenRows, 440);
    expect(height / 16).toBeLessThan(30);
    expect(yaxis.ticktext.map(linesOf)).toEqual(sixteenRows.map(() => 1));
    expect(yaxis.ticktext).toEqual(sixteenRows);
  });

  it("leave the title below the axis the width that remains, and its lines the room", () => {
    const title = "Specifications in order of their effect (rank)";
    const wide = drawn(["a", "b"], 440, title);
    const close = drawn(sixteenRows, 440, title);
    expect(linesOf(wide.xaxis.title.text)).toBe(2);
    expect(linesOf(close.xaxis.title.text)).toBeGreaterThan(2);
    expect(close.xaxis.title.standoff).toBeGreaterThan(wide.xaxis.title.standoff);
    expect(close.margin.b).toBeGreaterThan(wide.margin.b);
  });
});

describe("names beside an axis in one column of a page", () => {
  it("get the height that they need beside half of the width for the plot", () => {
    const names = ["Winter block (simulated), n = 12<br>weight 63 %", "pooled, random effects"];
    const yaxis = { tickvals: [0, 1], ticktext: names, range: [-0.5, 1.5] };
    const height = heightForNames({ yaxis });
    // Three lines of 15 px for each of two rows, and what surrounds the plot.
    expect(height).toBeGreaterThan(2 * 45);
    const { layout } = narrowFigure({ data: [], layout: { height: height / 0.92, yaxis } }, 0);
    const shown = (layout as { yaxis: Axis }).yaxis.ticktext;
    for (const line of shown.flatMap((name) => name.split("<br>")))
      expect(line.length).toBeLessThanOrEqual(22);
    expect(shown[0]).toContain("n\u00a0=\u00a012");
    expect(Math.max(...shown.map(linesOf)) * 15 * names.length).toBeLessThanOrEqual(height);
  });

  it("need none where there are no names, or axes above one another", () => {
    expect(heightForNames({ yaxis: { title: { text: "Speed" } } })).toBe(0);
    const yaxis = { tickvals: [0], ticktext: ["a"], range: [-0.5, 0.5] };
    expect(heightForNames({ yaxis, yaxis2: yaxis })).toBe(0);
  });
});
