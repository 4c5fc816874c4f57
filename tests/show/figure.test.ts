import { afterEach, describe, expect, it } from "vitest";
import { InputError } from "../../lib/errors.js";
import { changeStrip } from "../../lib/show/change-strip.js";
import { type DisplayBundle, onDisplay } from "../../lib/show/display.js";
import { boxPlot, histogram } from "../../lib/show/distribution.js";
import { figure } from "../../lib/show/figure.js";
import { forestPlot } from "../../lib/show/forest.js";
import { colours, marks } from "../../lib/show/look.js";
import { pairedDots } from "../../lib/show/people.js";
import { agreementPlot, fittedScatter } from "../../lib/show/relation.js";
import { slopePlot } from "../../lib/show/slope-plot.js";
import { table } from "../../lib/show/table.js";

const shown: DisplayBundle[] = [];
onDisplay((bundle) => shown.push(bundle));
afterEach(() => {
  shown.length = 0;
});

const words = { id: "f1", caption: "Grip before and after.", alt: "Dots joined by lines." };
const force = { quantity: "Grip force", unit: "kgf" };
const speed = { quantity: "Club speed", unit: "mph" };
const good = {
  ...words,
  data: [{ x: new Float64Array([1, 2]), y: [3, 4] }],
  layout: { xaxis: { title: "Time (week)" }, yaxis: { title: { text: "Grip force (kgf)" } } },
};

function refusal(change: object): InputError {
  try {
    figure({ ...good, ...change } as never);
  } catch (error) {
    expect(error).toBeInstanceOf(InputError);
    return error as InputError;
  }
  throw new Error("nothing was refused");
}

describe("figure", () => {
  it("returns plain frozen JSON under the house look", () => {
    const record = figure(good);
    expect(record.data[0]!.x).toEqual([1, 2]);
    expect(record.layout).toMatchObject({
      paper_bgcolor: "#fbfaf6",
      xaxis: { title: { text: "Time (week)" }, showline: true },
    });
    expect(Object.isFrozen(record.data[0])).toBe(true);
  });

  it("shows one message in four forms", () => {
    const record = figure(good);
    expect(Object.keys(shown[0]!.data).sort()).toEqual([
      "application/vnd.plotly.v1+json",
      "application/vnd.tautline.figure+json",
      "text/html",
      "text/plain",
    ]);
    expect(shown[0]!.data["application/vnd.plotly.v1+json"]).toMatchObject({
      data: record.data,
      layout: record.layout,
    });
  });

  it.each([
    ["a caption that is no sentence", { caption: "grip before and after" }, "caption"],
    ["no alternative text", { alt: "" }, "alt"],
    ["an axis without a title", { layout: { xaxis: { title: "Time (week)" } } }, "yaxis"],
    ["an axis without a unit", { layout: { ...good.layout, xaxis: { title: "Time" } } }, "xaxis"],
    ["a trace that cannot be printed", { data: [{ type: "surface", z: [[1]] }] }, "data, index 0"],
    ["no traces", { data: [] }, "data"],
    [
      "a number that JSON cannot hold",
      { data: [{ x: [1], y: [Number.NaN] }] },
      "data, index 0.y, index 0",
    ],
  ])("refuses %s", (_, change, place) => {
    expect(refusal(change).where).toBe(`figure f1, ${place}`);
    expect(shown).toHaveLength(0);
  });

  it("asks no unit of named categories, hidden labels or borrowed scales", () => {
    const data = [
      { x: ["a", "b"], y: [1, 2] },
      { x: ["a", "b"], y: [1, 2], xaxis: "x2", yaxis: "y2" },
    ];
    const layout = { yaxis: { title: "Grip force (kgf)" }, yaxis2: { matches: "y" } };
    expect(figure({ ...words, data, layout }).kind).toBe("figure");
  });
});

describe("marks", () => {
  it("are the design's colours, each with a shape of its own", () => {
    expect(colours).toMatchObject({ paper: "#fbfaf6", ink: "#1d2733" });
    expect(marks.lead).toMatchObject({ colour: "#0b6e69", symbol: "circle" });
    expect(marks.trail).toMatchObject({ colour: "#b5532d", symbol: "diamond-open" });
    expect(marks.speed).toMatchObject({ colour: "#3f4a9a", symbol: "square" });
    expect(marks.trained).toMatchObject({ colour: colours.ink, symbol: "triangle-up" });
    expect(marks.control).toMatchObject({ colour: "#7a8694", symbol: "triangle-up-open" });
    const looks = Object.values(marks).map(({ colour, symbol }) => `${colour} ${symbol}`);
    expect(new Set(looks).size).toBe(looks.length);
  });
});

describe("ready figures pass their own rules", () => {
  const interval = { low: 1, high: 3, level: 0.95, method: "t" };
  const estimate = { value: 2, interval };
  const plots = {
    pairedDots: pairedDots({
      arms: [
        { name: "grip", before: [40, 41], after: [43, 44], participant: ["G01", "G02"] },
        { name: "swing", before: [39], after: [38], role: "control" },
      ],
      occasions: ["week 0", "week 6"],
      ...force,
    }),
    changeStrip: changeStrip({
      groups: [{ name: "grip", changes: [1, 2, 3], estimate }],
      quantity: "Change of grip force",
      unit: "kgf",
      references: [{ says: "smallest worthwhile", value: 1.5 }],
    }),
    slopePlot: slopePlot({
      people: [
        { participant: "G01", x: [1, 2], y: [2, 4], slope: 2, intercept: 0 },
        { participant: "G02", x: [1, 3], y: [1, 2] },
      ],
      x: force,
      y: speed,
      group: { slope: 1, intercept: 0 },
    }),
    fittedScatter: fittedScatter({
      groups: [{ name: "golfers", x: [40, 45], y: [90, 96] }],
      line: [
        {
          x: 40,
          y: 91,
          mean: { ...interval, low: 90, high: 92 },
          single: { ...interval, low: 80, high: 99 },
        },
        {
          x: 45,
          y: 95,
          mean: { ...interval, low: 94, high: 96 },
          single: { ...interval, low: 84, high: 103 },
        },
      ],
      x: force,
      y: speed,
    }),
    agreementPlot: agreementPlot({
      means: [40, 45],
      differences: [1, -1],
      bias: { value: 0, interval: { ...interval, low: -1, high: 1 } },
      lower: { value: -2 },
      upper: { value: 2 },
      ...force,
    }),
    forestPlot: forestPlot({
      rows: [
        { label: "study A", estimate, weight: 0.6 },
        { label: "study B", estimate, weight: 0.4, role: "trail" },
      ],
      pooled: { label: "pooled", estimate },
      prediction: { ...interval, low: -1, high: 5 },
      quantity: "Change of grip force",
      unit: "kgf",
    }),
    boxPlot: boxPlot({ groups: [{ name: "lead", values: [40, 42, 45] }], ...force }),
    histogram: histogram({ values: [1, 2, 2.4], ...force, counted: "golfers", binWidth: 1 }),
  };

  it.each(Object.entries(plots))("%s", (_, plot) => {
    expect(figure({ ...words, ...plot }).data.length).toBe(plot.data.length);
  });

  it("draws every person as a dot and reaches both limits of an interval", () => {
    const [people, mean] = plots.changeStrip.data as [
      { x: number[]; y: number[] },
      Record<string, never>,
    ];
    expect(people.x).toEqual([1, 2, 3]);
    expect(new Set(people.y).size).toBe(3);
    expect(mean.error_x).toMatchObject({ array: [1], arrayminus: [1] });
  });

  it("draws pooled studies in one neutral mark of one size, weights in words, the pool below a rule", () => {
    const { data, layout } = plots.forestPlot;
    expect(data).toHaveLength(1);
    expect(data[0]!.marker).toMatchObject({ symbol: "line-ns-open", size: 15, color: colours.ink });
    const { ticktext } = layout.yaxis as { ticktext: string[] };
    expect(ticktext).toEqual([
      "study A<br>weight 60 %",
      "study B<br>weight 40 %",
      "pooled",
      "a new study",
    ]);
    const shapes = layout.shapes as { y0?: number; type: string }[];
    expect(shapes.filter(({ type }) => type === "line").map(({ y0 }) => y0)).toEqual([1.5]);
    expect(JSON.stringify(data)).not.toContain("toself");
  });

  it("keeps zero in the frame, ends a line that leaves it in an arrow, and lets a slack line hang", () => {
    const row = (value: number, low: number, high: number) => ({
      label: `row ${value}`,
      estimate: { value, interval: { low, high, level: 0.95, method: "t" } },
    });
    const rows = [row(5, 4, 6), row(5.5, 4.5, 6.5), row(6, -40, 52)];
    const { data, layout } = forestPlot({ rows, quantity: "Change", unit: "kgf" });
    const [from, to] = (layout.xaxis as { range: [number, number] }).range;
    expect(from).toBeLessThan(0);
    expect(from).toBeGreaterThan(-40);
    expect(to).toBeLessThan(52);
    const paths = (layout.shapes as { path?: string }[]).map(({ path = "" }) => path);
    expect(paths.filter((path) => path.split("L").length === 3)).toHaveLength(2);
    const places = data[0]!.y as number[];
    expect(places.slice(0, 2)).toEqual([2, 1]);
    expect(places[2]).toBeLessThan(0);
  });

  it("counts every value of a histogram, the largest too", () => {
    expect(plots.histogram.data[0]!.xbins).toEqual({ start: 1, end: 3, size: 1 });
    const counts = { values: [1, 2, 4], ...force, counted: "studies", binWidth: 1, centred: true };
    expect(histogram(counts).data[0]!.xbins).toEqual({ start: 0.5, end: 4.5, size: 1 });
  });

  it("refuses columns of different lengths", () => {
    const arms = [{ name: "grip", before: [40, 41], after: [43] }];
    expect(() => pairedDots({ arms, occasions: ["a", "b"], ...force })).toThrow(InputError);
  });
});

describe("table", () => {
  const columns = [
    { name: "golfer", label: "Golfer" },
    { name: "grip", label: "Grip", unit: "kgf", digits: 1 },
  ];
  const rows = [
    { golfer: "007", grip: 41.25, other: 1 },
    { golfer: "<b>", grip: null },
  ];

  it("keeps values as they are, rounds to be read, and drops unnamed columns", () => {
    const record = table({ id: "t", rows, columns, caption: "Grip by golfer." });
    expect(record.rows).toEqual([
      { golfer: "007", grip: 41.25 },
      { golfer: "<b>", grip: null },
    ]);
    const html = shown[0]!.data["text/html"] as string;
    expect(html).toContain('<th scope="col" style="text-align:right">Grip (kgf)</th>');
    expect(html).toContain(">41.3</td>");
    expect(html).toContain("&lt;b&gt;");
    expect(shown[0]!.data["text/plain"]).toContain("–");
  });

  it("takes a table that hands out its rows", () => {
    expect(
      table({ id: "t", rows: { objects: () => rows }, columns, caption: "Grip." }).rows,
    ).toHaveLength(2);
  });

  it("refuses a row without one of the columns", () => {
    expect(() => table({ id: "t", rows: [{ golfer: "007" }], columns, caption: "Grip." })).toThrow(
      /table t, rows, index 0, grip: expected/,
    );
  });
});
