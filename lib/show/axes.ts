import type { Plain } from "./look.js";
import { refuse } from "./record.js";

/** Trace types that a figure may use: those that can also be drawn without a browser. */
export const traceTypes = [
  "scatter",
  "bar",
  "box",
  "violin",
  "histogram",
  "heatmap",
  "contour",
] as const;

function axisKey(short: unknown, letter: "x" | "y"): string {
  const number = typeof short === "string" ? short.slice(1) : "";
  return `${letter}axis${number}`;
}

/** The layout keys of the axes that the traces use, such as "xaxis" and "yaxis2". */
export function axesOf(data: readonly Plain[]): string[] {
  const keys = data.flatMap((trace) => [axisKey(trace.xaxis, "x"), axisKey(trace.yaxis, "y")]);
  return [...new Set(keys)].sort();
}

function valuesOn(axis: string, data: readonly Plain[]): unknown[] {
  const letter = axis[0] as "x" | "y";
  return data
    .filter((trace) => axisKey(trace[`${letter}axis`], letter) === axis)
    .flatMap((trace) => (Array.isArray(trace[letter]) ? (trace[letter] as unknown[]) : []));
}

/** A trace that counts: its other axis holds frequencies. */
function carriesNumbers(axis: string, data: readonly Plain[]): boolean {
  const values = valuesOn(axis, data);
  return values.length === 0
    ? data.some((trace) => trace.type === "histogram")
    : values.some((value) => typeof value === "number");
}

function titleText(axis: Plain): string {
  const title = axis.title;
  if (typeof title === "string") return title;
  const text = (title as Plain | undefined)?.text;
  return typeof text === "string" ? text : "";
}

/** An axis that borrows another one's scale, hides its labels, or names its own ticks needs no title. */
function speaksForItself(axis: Plain): boolean {
  return (
    axis.visible === false ||
    axis.showticklabels === false ||
    axis.matches !== undefined ||
    axis.type === "category" ||
    Array.isArray(axis.ticktext)
  );
}

/** Every numeric axis must say its quantity and, in brackets, its unit: "Grip force (kgf)". */
export function checkAxes(data: readonly Plain[], layout: Plain, where: string): void {
  for (const key of axesOf(data)) {
    const axis = (layout[key] ?? {}) as Plain;
    if (speaksForItself(axis) || !carriesNumbers(key, data)) continue;
    const title = titleText(axis);
    if (!/\S.*\(.+\)/.test(title)) {
      refuse(
        'an axis title with quantity and unit, such as "Grip force (kgf)"',
        title,
        `${where}, ${key}`,
      );
    }
  }
}

/** Refuses anything but a list of traces of types that can be drawn in print. */
export function checkTraces(data: unknown, where: string): asserts data is Plain[] {
  if (!Array.isArray(data) || data.length === 0) refuse("a list of traces", data, where);
  for (const [i, trace] of (data as unknown[]).entries()) {
    if (trace === null || typeof trace !== "object")
      refuse("a trace", trace, `${where}, index ${i}`);
    const type = (trace as Plain).type ?? "scatter";
    if (!(traceTypes as readonly unknown[]).includes(type)) {
      refuse(`a trace type of ${traceTypes.join(", ")}`, type, `${where}, index ${i}`);
    }
  }
}
