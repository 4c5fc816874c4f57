import { itemAt } from "../entry.js";
import { type Box, elementBox, lineWidth, pageBox, tracePoints } from "./drawn-extent.js";
import type { LetterWidths } from "./letter-widths.js";

/** A rectangle as the DOM hands it out. */
function domRect(box: Box | undefined) {
  const { left, top, right, bottom } = box ?? { left: 0, top: 0, right: 0, bottom: 0 };
  return { x: left, y: top, left, top, right, bottom, width: right - left, height: bottom - top };
}

function pathLength(d: string): number {
  const points = tracePoints(d);
  let total = 0;
  for (let i = 1; i < points.length; i++) {
    total += Math.hypot(
      itemAt(points, i)[0] - itemAt(points, i - 1)[0],
      itemAt(points, i)[1] - itemAt(points, i - 1)[1],
    );
  }
  return total;
}

function pointAt(d: string, distance: number) {
  const points = tracePoints(d);
  let left = distance;
  for (let i = 1; i < points.length; i++) {
    const [from, to] = [itemAt(points, i - 1), itemAt(points, i)];
    const size = Math.hypot(to[0] - from[0], to[1] - from[1]);
    if (left <= size && size > 0) {
      const part = Math.max(0, left) / size;
      return { x: from[0] + (to[0] - from[0]) * part, y: from[1] + (to[1] - from[1]) * part };
    }
    left -= size;
  }
  const [x, y] = points.at(-1) ?? [0, 0];
  return { x, y };
}

/** What a shape is asked for while a figure is laid out. */
const measured = [
  "getBBox",
  "getBoundingClientRect",
  "getComputedTextLength",
  "getTotalLength",
  "getPointAtLength",
];

/**
 * Measures shapes and texts by the font's own widths and the written coordinates, so that a figure
 * is laid out the same in every window: in one without a screen, and in a reader's browser.
 * @returns what gives the window its own measuring back
 */
export function giveGeometry(
  { SVGElement }: { readonly SVGElement: { readonly prototype: object } },
  letters: LetterWidths,
): () => void {
  const shape = SVGElement.prototype as Record<string, unknown>;
  const own = Object.entries(Object.getOwnPropertyDescriptors(shape));
  shape.getBBox = function (this: Element) {
    return domRect(elementBox(this, letters));
  };
  shape.getBoundingClientRect = function (this: Element) {
    return domRect(pageBox(this, letters));
  };
  shape.getComputedTextLength = function (this: Element) {
    return lineWidth(this, letters);
  };
  shape.getTotalLength = function (this: Element) {
    return pathLength(this.getAttribute("d") ?? "");
  };
  shape.getPointAtLength = function (this: Element, distance: number) {
    return pointAt(this.getAttribute("d") ?? "", distance);
  };
  return () => {
    for (const name of measured) delete shape[name];
    for (const [name, property] of own) {
      if (measured.includes(name)) Object.defineProperty(shape, name, property);
    }
  };
}
