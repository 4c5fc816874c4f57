import { execFileSync } from "node:child_process";
import { describe, expect, it } from "vitest";
import { InputError } from "../../lib/errors.js";
import { addDrawings, drawFigures } from "../../lib/report/drawing.js";
import { paintedPng } from "../../lib/report/png.js";
import { figure } from "../../lib/show/figure.js";
import { pairedDots } from "../../lib/show/people.js";

const one = figure({
  id: "pairs",
  caption: "Grip before & after.",
  alt: "Two dots <joined> by a line.",
  ...pairedDots({
    arms: [{ name: "grip", before: [40, 42.5], after: [43, 44] }],
    occasions: ["week 0", "week 6"],
    quantity: "Grip force",
    unit: "kgf",
  }),
});
const heat = {
  id: "heat",
  data: [{ type: "heatmap", x: ["a", "b"], y: ["c"], z: [[1, 2]] }],
  layout: { width: 300, height: 200 },
};

describe("drawing without a browser", () => {
  it("draws every person, names ids after the figure, and describes itself", async () => {
    const svg = (await drawFigures([one])).get("pairs")!;
    expect(svg.match(/<path class="point[ "]/g)).toHaveLength(4);
    expect(svg).toContain('<title id="pairs-title">Grip before &amp; after.</title>');
    expect(svg).toContain("Two dots &lt;joined&gt; by a line.");
    expect(svg).toContain(">Grip force (kgf)</text>");
    const ids = [...svg.matchAll(/\bid="([^"]+)"/g)].map(([, id]) => id);
    expect(ids.filter((id) => !id!.includes("pairs"))).toEqual([]);
    expect(svg).not.toMatch(/url\((&quot;|')/);
  });

  it("says the look of a crowd of dots once, and paints the same pixels", async () => {
    const dots = { type: "scatter", mode: "markers", x: [1, 2, 3, 4], y: [2, 1, 4, 3] };
    const crowd = { id: "crowd", data: [dots], layout: { width: 300, height: 200 } };
    const svg = (await drawFigures([crowd])).get("crowd")!;
    const group = /<g style="(opacity: 1;[^"]*)">((?:<path class="point"[^>]*>)+)<\/g>/.exec(svg)!;
    expect(group[2]!.match(/<path/g)).toHaveLength(4);
    expect(group[2]).not.toContain("style=");
    const spelled = group[2]!.replaceAll(" d=", ` style="${group[1]}" d=`);
    const each = svg.replace(group[0], spelled);
    const paint = (drawing: string) => paintedPng(drawing, { width: 300, dpi: 96 });
    expect(Buffer.compare(paint(svg), paint(each))).toBe(0);
  });

  it("gives the same bytes in another process and another order", async () => {
    const here = await drawFigures([heat, one]);
    const program = `
      import { drawFigures } from "./lib/dist/report/drawing.js";
      const drawn = await drawFigures(${JSON.stringify([one, heat])});
      process.stdout.write(JSON.stringify([...drawn]));`;
    const out = execFileSync("node", ["--input-type=module", "-e", program], { encoding: "utf8" });
    const there = new Map(JSON.parse(out) as [string, string][]);
    expect(there.get("pairs")).toBe(here.get("pairs"));
    expect(there.get("heat")).toBe(here.get("heat"));
  });

  it("keeps the size that a figure asks for, else the one given", async () => {
    const drawn = await drawFigures([heat, one], { width: 500, height: 300 });
    expect(drawn.get("heat")).toMatch(/^<svg [^>]*width="300" height="200"/);
    expect(drawn.get("pairs")).toMatch(/^<svg [^>]*width="500" height="300"/);
  });

  it("refuses a trace type that never ends or comes out empty", async () => {
    const bad = { id: "s", data: [{ type: "surface", z: [[1]] }], layout: {} };
    await expect(drawFigures([bad])).rejects.toThrow(InputError);
  });

  it("ends a worker that takes too long and says which figure it was", async () => {
    await expect(drawFigures([one], { limit: 1 })).rejects.toThrow(
      "figure pairs: not drawn within 1 ms",
    );
  });
});

describe("painting", () => {
  it("writes a PNG of the asked width with its resolution inside", async () => {
    const svg = (await drawFigures([one])).get("pairs")!;
    const png = paintedPng(svg, { width: 1000, dpi: 300 });
    expect(png.readUInt32BE(16)).toBe(1000);
    expect(png.readUInt32BE(20)).toBe(611); // 1000 · 440/720, rounded
    const at = png.indexOf("pHYs");
    expect(png.readUInt32BE(at + 4)).toBe(11811); // 300 dpi in dots per metre
  });
});

describe("drawings in a notebook", () => {
  it("adds the drawing to figure outputs and leaves the rest alone", async () => {
    const kind = "application/vnd.tautline.figure+json";
    const notebook = {
      cells: [
        { cell_type: "markdown" },
        {
          cell_type: "code",
          outputs: [
            { output_type: "stream", text: "hello" },
            { output_type: "display_data", data: { [kind]: one, "text/plain": "x" } },
          ],
        },
      ],
    };
    const before = JSON.stringify(notebook);
    const drawn = await addDrawings(notebook);
    expect(JSON.stringify(notebook)).toBe(before);
    const data = drawn.cells[1]!.outputs![1]!.data as unknown as Record<string, string>;
    expect(data["image/svg+xml"]).toContain("<svg");
    expect(data["text/html"]).toContain('alt="Two dots &lt;joined&gt; by a line."');
    expect(drawn.cells[1]!.outputs![0]).toEqual(notebook.cells[1]!.outputs![0]);
  });
});
