import { itemAt, present } from "../entry.js";

/** Elements that a figure drawing is made of. */
const elements = new Set(
  "svg g path rect circle line text tspan defs clipPath image title desc linearGradient stop".split(
    " ",
  ),
);
const attributes =
  /^(?:class|id|d|x|y|x1|x2|y1|y2|cx|cy|r|rx|ry|dx|dy|width|height|transform|style|viewBox|fill|stroke|opacity|stroke-[a-z]+|fill-[a-z]+|font-[a-z]+|text-anchor|clip-path|offset|stop-[a-z]+|gradientUnits|preserveAspectRatio|role|aria-label|aria-labelledby|pointer-events|shape-rendering|xml:space|data-[a-z-]+|xmlns|xmlns:xlink)$/;
const picture = /^data:image\/png;base64,[A-Za-z0-9+/=]*$/;

function attributeAllowed(name: string, value: string): boolean {
  if (name === "href" || name === "xlink:href") return picture.test(value);
  if (name === "xmlns" || name === "xmlns:xlink") return /^http:\/\/www\.w3\.org\//.test(value);
  if (/^data-/.test(name)) return true;
  return attributes.test(name) && !/url\((?!#)|javascript:|@import|expression\(|\\/i.test(value);
}

/** One tag at the start of the text: its name, its attributes, and where it ends. */
const tag = /^<(\/?)([A-Za-z]+)((?:\s+[A-Za-z:_-]+="[^"<]*")*)\s*(\/?)>/;

/**
 * Whether a drawing holds nothing but shapes, words and pixels, so that it may stand inside a page.
 * It is a yes or no: nothing is cleaned, and what is not certain is refused.
 */
export function isPlainDrawing(svg: string): boolean {
  let rest = svg.trim();
  let depth = 0;
  if (!/^<svg /.test(rest)) return false;
  while (rest !== "") {
    if (!rest.startsWith("<")) {
      const next = rest.indexOf("<");
      if (next < 0) return false;
      rest = rest.slice(next);
      continue;
    }
    const found = tag.exec(rest);
    if (!found || !elements.has(itemAt(found, 2))) return false;
    for (const [, name, value] of itemAt(found, 3).matchAll(/([A-Za-z:_-]+)="([^"]*)"/g)) {
      if (!attributeAllowed(present(name), present(value))) return false;
    }
    if (found[1]) depth--;
    else if (!found[4]) depth++;
    rest = rest.slice(found[0].length);
    if (depth === 0) return rest.trim() === "";
  }
  return false;
}
