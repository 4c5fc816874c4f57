import { present } from "../../entry.js";
import { colours, tint } from "../../show/look.js";
import { wake } from "./programs.js";

interface Spec {
  data: unknown[];
  layout: Record<string, unknown>;
}

const config = {
  responsive: true,
  displaylogo: false,
  modeBarButtonsToRemove: ["select2d", "lasso2d", "toImage", "sendDataToCloud"],
};

let printing = false;

/** The palette as the page's theme paints it now; paper is always light. */
function repainted(value: unknown): unknown {
  if (typeof value === "string") return repaintedText(value);
  if (Array.isArray(value)) return value.map(repainted);
  if (value === null || typeof value !== "object") return value;
  return Object.fromEntries(Object.entries(value).map(([key, part]) => [key, repainted(part)]));
}

function themeColour(name: string): string {
  if (printing) return present((colours as Record<string, string>)[name]);
  return getComputedStyle(document.documentElement).getPropertyValue(`--${name}`).trim();
}

function repaintedText(text: string): string {
  for (const [name, hex] of Object.entries(colours)) {
    if (text === hex) return themeColour(name);
    const start = tint(hex, 0).replace("0)", "");
    if (text.startsWith(start))
      return tint(themeColour(name), Number(text.slice(start.length, -1)));
  }
  return text;
}

function specOf(figure: Element): Spec | undefined {
  const text = figure.querySelector("script.spec")?.textContent;
  return text ? (JSON.parse(text) as Spec) : undefined;
}

const live = new Map<HTMLElement, HTMLElement>();

/** Drawings whose place a live figure took, by their figure. */
const putAway = new Map<Element, readonly Element[]>();

/** The drawings that the page was sent with for a figure, also after it became live. */
export function sentDrawings(figure: Element): Element[] {
  const there = figure.querySelectorAll(".canvas > .drawing");
  return there.length > 0 ? [...there] : [...(putAway.get(figure) ?? [])];
}

/** A narrow screen keeps the drawing that was made for it. */
function isNarrow(): boolean {
  return matchMedia("(max-width:46rem)").matches;
}

/**
 * Puts the live figure into the place of its drawing. The drawing keeps its height until then, so
 * that the page does not jump under the reader.
 */
async function enliven(figure: HTMLElement): Promise<void> {
  const canvas = figure.querySelector<HTMLElement>(".canvas");
  const spec = specOf(figure);
  if (!canvas || !spec || live.has(figure) || isNarrow()) return;
  const place = document.createElement("div");
  live.set(figure, place);
  await wake("plotly", "assets/plotly.js");
  await draw(canvas, place, spec);
}

async function draw(canvas: HTMLElement, place: HTMLElement, spec: Spec): Promise<void> {
  const plotly = present(window.Plotly);
  const { width: _, ...layout } = spec.layout;
  const height = Number(layout.height ?? 440);
  place.style.height = `${height}px`;
  canvas.append(place);
  const drawing = canvas.querySelector(".wide-drawing") ?? canvas.firstElementChild;
  if (drawing && drawing !== place) {
    place.style.position = "absolute";
    place.style.inset = "0";
  }
  const painted = repainted({
    data: spec.data,
    layout: { ...layout, height, autosize: true },
  }) as Spec;
  await plotly.newPlot(place, painted.data, painted.layout, config);
  const old = [...canvas.children].filter((one) => one !== place);
  const { parentElement: figure } = canvas;
  if (figure && !putAway.has(figure)) putAway.set(figure, old);
  for (const one of old) one.remove();
  place.style.position = "";
  place.style.inset = "";
  canvas.setAttribute("role", "group"); // a picture may hold no buttons, a live figure does
  canvas.parentElement?.classList.add("live");
}

/** Draws the live figures again, in the colours of the theme that was chosen. */
export function repaintFigures(): void {
  for (const [figure, place] of live) {
    const spec = specOf(figure);
    const canvas = figure.querySelector<HTMLElement>(".canvas");
    if (spec && canvas && place.isConnected) void draw(canvas, place, spec);
  }
}

/** Live figures take the colours of paper while the page is printed. */
export function watchPrinting(): void {
  addEventListener("beforeprint", () => {
    printing = true;
    repaintFigures();
  });
  addEventListener("afterprint", () => {
    printing = false;
    repaintFigures();
  });
}

/** Figures wait as drawings until they come into view, are touched or are reached by key. */
export function watchFigures(): void {
  const figures = [...document.querySelectorAll<HTMLElement>("figure.plot")];
  const queue: HTMLElement[] = [];
  let busy = false;
  const next = async () => {
    if (busy) return;
    busy = true;
    for (let figure = queue.shift(); figure; figure = queue.shift()) {
      await enliven(figure).catch(() => undefined); // the drawing stays: nothing is lost
      await new Promise((resolve) => requestAnimationFrame(resolve));
    }
    busy = false;
  };
  const seen = new IntersectionObserver((entries) => {
    for (const { isIntersecting, target } of entries) {
      if (!isIntersecting) continue;
      seen.unobserve(target);
      queue.push(target as HTMLElement);
    }
    void next();
  });
  const start = () => {
    for (const figure of figures) seen.observe(figure);
  };
  // the first paint comes first: figures wake once the page has settled
  if (document.readyState === "complete") setTimeout(start, 200);
  else addEventListener("load", () => setTimeout(start, 200));
}
