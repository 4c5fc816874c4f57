import { describe, expect, it } from "vitest";
import { InputError } from "../../lib/errors.js";
import { figure } from "../../lib/show/figure.js";
import { groupLines } from "../../lib/show/group-lines.js";
import { forceSpeedPlane } from "../../lib/show/plane.js";
import { rangeRows } from "../../lib/show/ranges.js";

const words = { id: "f1", caption: "Grip and speed.", alt: "Dots and a line." };
const force = { quantity: "Grip force", unit: "kgf" };
const speed = { quantity: "Club speed", unit: "mph" };

describe("groups with lines of their own", () => {
  const line = { slope: 0.5, intercept: 70, from: 30, to: 40 };
  const plot = groupLines({
    groups: [
      { name: "women", x: [30, 40], y: [85, 90], participant: ["a", "b"], role: "lead", line },
      { name: "men", x: [50], y: [99], role: "trail" },
    ],
    overall: { slope: 1, intercept: 50, from: 30, to: 50 },
    x: force,
    y: speed,
  });

  it("draws a group's line over its own range only, the overall line last", () => {
    const drawn = figure({ ...words, ...plot }).data;
    expect(drawn.map(({ name }) => name)).toEqual([
      "women",
      "women, own line",
      "men",
      "everyone in one line",
    ]);
    expect(drawn[1]).toMatchObject({ x: [30, 40], y: [85, 90] });
    expect(drawn[3]).toMatchObject({ x: [30, 50], y: [80, 100] });
  });

  it("refuses columns of different lengths", () => {
    const groups = [{ name: "men", x: [1], y: [1, 2], role: "lead" as const }];
    expect(() => groupLines({ groups, x: force, y: speed })).toThrow(InputError);
  });
});

describe("ranges, one row per person", () => {
  it("puts the band behind the bars, and a dot only where something was measured", () => {
    const plot = rangeRows({
      rows: [
        { label: "G01", low: 30, high: 52, value: 40 },
        { label: "G02", low: 20, high: 42 },
      ],
      ranges: "usual range",
      band: { says: "published", low: 25, high: 35 },
      ...force,
    });
    const [band, bars, points] = figure({ ...words, ...plot }).data;
    expect(band).toMatchObject({ name: "published", fill: "toself", x: [25, 35, 35, 25, 25] });
    expect(bars).toMatchObject({ x: [30, 52, null, 20, 42, null] });
    expect(points).toMatchObject({ x: [40], y: [1], text: ["G01"] });
  });

  it("may be drawn on a scale of factors", () => {
    const rows = [{ label: "G01", low: 0.1, high: 0.4 }];
    const plot = rangeRows({
      rows,
      ranges: "needed",
      scale: "log",
      quantity: "Friction",
      unit: "1",
    });
    expect(figure({ ...words, ...plot }).layout).toMatchObject({ xaxis: { type: "log" } });
    expect(plot.data).toHaveLength(1);
  });
});

describe("the plane of force and speed", () => {
  const curve = [
    { speed: 80, value: 22, low: 20, high: 25 },
    { speed: 100, value: 35, low: 32, high: 39 },
  ];
  const groups = [{ name: "men", force: [40], speed: [105], role: "lead" as const }];
  const scales = { force, speed };

  it("draws the band from limit to limit, then the curve and all golfers", () => {
    const plot = forceSpeedPlane({ groups, curve, curveSays: "pull", ...scales });
    const [band, line, men, ...others] = figure({ ...words, ...plot }).data;
    expect(band).toMatchObject({ x: [20, 32, 39, 25], y: [80, 100, 100, 80] });
    expect(line).toMatchObject({ x: [22, 35], y: [80, 100] });
    expect(men).toMatchObject({ x: [40], y: [105] });
    expect(others).toEqual([]);
  });
});
