import { itemAt, present } from "../entry.js";
import { type Lettering, type LetterWidths, lineExtent, textWidth } from "./letter-widths.js";

/** A rectangle in px; `undefined` stands for "nothing drawn". */
export interface Box {
  /** Left edge. */
  readonly left: number;
  /** Upper edge. */
  readonly top: number;
  /** Right edge. */
  readonly right: number;
  /** Lower edge. */
  readonly bottom: number;
}

/** An affine map [a, b, c, d, e, f] as SVG writes it. */
type Affine = readonly [number, number, number, number, number, number];

const identity: Affine = [1, 0, 0, 1, 0, 0];

function product(m: Affine, n: Affine): Affine {
  return [
    m[0] * n[0] + m[2] * n[1],
    m[1] * n[0] + m[3] * n[1],
    m[0] * n[2] + m[2] * n[3],
    m[1] * n[2] + m[3] * n[3],
    m[0] * n[4] + m[2] * n[5] + m[4],
    m[1] * n[4] + m[3] * n[5] + m[5],
  ];
}

function numbersIn(text: string): number[] {
  return (text.match(/-?(?:\d+\.?\d*|\.\d+)(?:e-?\d+)?/gi) ?? []).map(Number);
}

function step(name: string, values: number[]): Affine {
  const [a = 0, b = 0, c = 0, d = 0, e = 0, f = 0] = values;
  if (name === "translate") return [1, 0, 0, 1, a, b];
  if (name === "scale") return [a, 0, 0, values[1] ?? a, 0, 0];
  if (name === "matrix") return [a, b, c, d, e, f];
  const turn = (a * Math.PI) / 180;
  const rotation: Affine = [Math.cos(turn), Math.sin(turn), -Math.sin(turn), Math.cos(turn), 0, 0];
  return product(product([1, 0, 0, 1, b, c], rotation), [1, 0, 0, 1, -b, -c]);
}

function transformOf(element: Element): Affine {
  const written = element.getAttribute("transform") ?? "";
  let result = identity;
  for (const [, name, values] of written.matchAll(/(translate|scale|rotate|matrix)\(([^)]*)\)/g)) {
    result = product(result, step(present(name), numbersIn(present(values))));
  }
  return result;
}

function moved({ left, top, right, bottom }: Box, m: Affine): Box {
  const corners = [
    [left, top],
    [right, top],
    [left, bottom],
    [right, bottom],
  ] as const;
  const xs = corners.map(([x, y]) => m[0] * x + m[2] * y + m[4]);
  const ys = corners.map(([x, y]) => m[1] * x + m[3] * y + m[5]);
  return {
    left: Math.min(...xs),
    top: Math.min(...ys),
    right: Math.max(...xs),
    bottom: Math.max(...ys),
  };
}

function union(boxes: readonly (Box | undefined)[]): Box | undefined {
  const drawn = boxes.filter((box) => box !== undefined);
  if (drawn.length === 0) return undefined;
  return {
    left: Math.min(...drawn.map((box) => box.left)),
    top: Math.min(...drawn.map((box) => box.top)),
    right: Math.max(...drawn.map((box) => box.right)),
    bottom: Math.max(...drawn.map((box) => box.bottom)),
  };
}

function styled(element: Element, property: string): string {
  const style = element.getAttribute("style") ?? "";
  const inline = new RegExp(`(?:^|;)\\s*${property}\\s*:\\s*([^;]+)`).exec(style)?.[1];
  return inline?.trim() ?? element.getAttribute(property) ?? "";
}

function inherited(element: Element | null, property: string): string {
  for (let at = element; at; at = at.parentElement) {
    const value = styled(at, property);
    if (value && value !== "inherit") return value;
  }
  return "";
}

function fontSize(element: Element | null): number {
  if (!element) return 12;
  const written = styled(element, "font-size");
  const size = Number.parseFloat(written);
  if (!Number.isFinite(size)) return fontSize(element.parentElement);
  if (written.endsWith("%")) return (fontSize(element.parentElement) * size) / 100;
  return written.endsWith("em") ? fontSize(element.parentElement) * size : size;
}

function lettering(element: Element): Lettering {
  const weight = inherited(element, "font-weight");
  return { size: fontSize(element), bold: weight === "bold" || Number(weight) >= 600 };
}

/** Width of a text element or part of one, as it would be set on a single line. */
export function lineWidth(element: Element, letters: LetterWidths): number {
  let width = 0;
  for (const node of element.childNodes) {
    if (node.nodeType === 3)
      width += textWidth(node.textContent ?? "", lettering(element), letters);
    else if (node.nodeType === 1) width += lineWidth(node as Element, letters);
  }
  return width;
}

function length(value: string | null, size: number): number {
  const number = Number.parseFloat(value ?? "");
  if (!Number.isFinite(number)) return 0;
  return present(value).trim().endsWith("em") ? number * size : number;
}

function lineBox(
  line: Element,
  x: number,
  baseline: number,
  letters: LetterWidths,
): Box | undefined {
  const width = lineWidth(line, letters);
  if (width === 0) return undefined;
  const anchor = inherited(line, "text-anchor");
  const left = anchor === "middle" ? x - width / 2 : anchor === "end" ? x - width : x;
  const { ascent, descent } = lineExtent(lettering(line), letters);
  return { left, right: left + width, top: baseline - ascent, bottom: baseline + descent };
}

function textBox(text: Element, letters: LetterWidths): Box | undefined {
  const size = fontSize(text);
  const x = length(text.getAttribute("x"), size);
  const y = length(text.getAttribute("y"), size);
  const lines = [...text.children].filter((child) => child.getAttribute("class") === "line");
  if (lines.length === 0) {
    return lineBox(text, x, y + length(text.getAttribute("dy"), size), letters);
  }
  let baseline = y;
  return union(
    lines.map((line) => {
      baseline += length(line.getAttribute("dy"), size);
      return lineBox(line, length(line.getAttribute("x") ?? `${x}`, size), baseline, letters);
    }),
  );
}

function at(element: Element, name: string): number {
  return Number.parseFloat(element.getAttribute(name) ?? "0") || 0;
}

function rectBox(element: Element): Box {
  const left = at(element, "x");
  const top = at(element, "y");
  return { left, top, right: left + at(element, "width"), bottom: top + at(element, "height") };
}

/** Walks straight and curved segments by their written points: enough for marks and key lines. */
function pathBox(d: string): Box | undefined {
  const points = tracePoints(d);
  if (points.length === 0) return undefined;
  const xs = points.map(([x]) => x);
  const ys = points.map(([, y]) => y);
  return {
    left: Math.min(...xs),
    top: Math.min(...ys),
    right: Math.max(...xs),
    bottom: Math.max(...ys),
  };
}

const operands: Readonly<Record<string, number>> = {
  m: 2,
  l: 2,
  h: 1,
  v: 1,
  c: 6,
  s: 4,
  q: 4,
  t: 2,
  a: 7,
};

/** The end points of a path's segments, in order. */
export function tracePoints(d: string): [number, number][] {
  const points: [number, number][] = [];
  let x = 0;
  let y = 0;
  for (const [, letter, rest] of d.matchAll(/([a-z])([^a-df-z]*)/gi)) {
    const command = present(letter).toLowerCase();
    const size = operands[command];
    if (!size) continue;
    const relative = letter === command;
    const values = numbersIn(present(rest));
    for (let i = 0; i + size <= values.length; i += size) {
      const end = values.slice(i, i + size);
      if (command === "h") x = itemAt(end, 0) + (relative ? x : 0);
      else if (command === "v") y = itemAt(end, 0) + (relative ? y : 0);
      else {
        x = itemAt(end, size - 2) + (relative ? x : 0);
        y = itemAt(end, size - 1) + (relative ? y : 0);
      }
      points.push([x, y]);
    }
  }
  return points;
}

/** The box of an element in its own coordinates: what SVG calls the bounding box. */
export function elementBox(element: Element, letters: LetterWidths): Box | undefined {
  switch (element.tagName) {
    case "text":
      return textBox(element, letters);
    case "rect":
    case "image":
      return rectBox(element);
    case "path":
      return pathBox(element.getAttribute("d") ?? "");
    case "circle": {
      const [x, y, r] = [at(element, "cx"), at(element, "cy"), at(element, "r")];
      return { left: x - r, right: x + r, top: y - r, bottom: y + r };
    }
    case "clipPath":
    case "defs":
      return undefined;
    default:
      return union([...element.children].map((child) => placedBox(child, letters)));
  }
}

/** The box of an element with its own transform applied. */
function placedBox(element: Element, letters: LetterWidths): Box | undefined {
  const box = elementBox(element, letters);
  return box && moved(box, transformOf(element));
}

/** The box of an element in the coordinates of the drawing it belongs to. */
export function pageBox(element: Element, letters: LetterWidths): Box | undefined {
  let box = placedBox(element, letters);
  for (let up = element.parentElement; box && up; up = up.parentElement) {
    if (up.tagName !== "svg") box = moved(box, transformOf(up));
  }
  return box;
}
