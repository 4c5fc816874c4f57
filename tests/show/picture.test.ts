import { describe, expect, it } from "vitest";
import { isPlainDrawing } from "../../lib/report/drawing-check.js";
import type { Layer, Picture } from "../../lib/show/picture.js";
import { pictureSvg } from "../../lib/show/picture-svg.js";

const dots: Layer = { kind: "dots", tone: "lead", x: [1, 3], y: [2, 4] };

function pictureOf(...layers: Layer[]): Picture {
  const axis = { title: "Grip force (kgf)", low: 0, high: 5 };
  return { height: 300, panels: [{ title: "Golfers", x: axis, y: axis, layers }] };
}

describe("pictureSvg", () => {
  it("says what is seen, draws at the width asked for, and is nothing but shapes and words", () => {
    const svg = pictureSvg(pictureOf(dots), 'Two "dots" & no more.', 500);
    expect(svg).toContain('aria-label="Two &quot;dots&quot; &amp; no more."');
    expect(svg).toContain('viewBox="0 0 500 300"');
    expect(isPlainDrawing(svg)).toBe(true);
  });

  it("places values on the axes: the middle of x and y is the middle of the plot", () => {
    const svg = pictureSvg(pictureOf({ ...dots, x: [2.5], y: [2.5], radius: 0 }), "", 620);
    const [, width, height] = /<svg x="[^"]*" y="[^"]*" width="([\d.]+)" height="([\d.]+)"/.exec(
      svg,
    )!;
    expect(svg).toContain(`M${Number(width) / 2} ${Number(height) / 2}`);
  });

  it("sets panels side by side where there is room and below one another where not", () => {
    const [panel] = pictureOf(dots).panels;
    const two = { height: 300, panels: [panel!, panel!] };
    expect(pictureSvg(two, "", 720)).toContain('viewBox="0 0 720 300"');
    expect(pictureSvg(two, "", 360)).toContain('viewBox="0 0 360 600"');
  });

  it("keeps names of rules that stand close apart, in rows", () => {
    const rule = (value: number, says: string): Layer => {
      return { kind: "rule", tone: "ink", axis: "x", value, says };
    };
    const svg = pictureSvg(pictureOf(rule(2, "no change"), rule(2.1, "true effect")), "");
    const heights = ["no change", "true effect"].map(
      (name) => new RegExp(`y="([\\d.]+)"[^>]*>${name}`).exec(svg)![1],
    );
    expect(new Set(heights).size).toBe(2);
  });

  it("keeps letters of dots that stand close apart, and leaves others beside their dots", () => {
    const handles = ["A", "B", "C"].map((mark) => ({ label: mark, mark }));
    const svg = pictureSvg(pictureOf({ ...dots, x: [3, 3, 1], y: [2, 2.05, 2], handles }), "");
    const [a, b, c] = ["A", "B", "C"].map((mark) =>
      Number(new RegExp(`y="([\\d.]+)"[^>]*>${mark}<`).exec(svg)![1]),
    );
    expect(a! - b!).toBeGreaterThanOrEqual(12);
    const alone = pictureSvg(pictureOf({ ...dots, x: [1], y: [2], handles: [handles[2]!] }), "");
    expect(c).toBe(Number(/y="([\d.]+)"[^>]*>C</.exec(alone)![1]));
  });

  it("turns no text of a record into style or markup", () => {
    const planted = '"/><script>alert(1)</script>';
    const layers = [
      { ...dots, tone: planted },
      { ...dots, radius: planted },
      { kind: "line", tone: "ink", x: [planted], y: [1], width: "9;background:url(//x)" },
    ] as unknown as Layer[];
    const svg = pictureSvg(pictureOf(...layers), planted);
    expect(svg).not.toContain("<script");
    expect(svg).not.toContain("url(");
    expect(isPlainDrawing(svg)).toBe(true);
  });
});
