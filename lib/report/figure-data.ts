import { csvLines } from "../csv-writing.js";
import { itemAt } from "../entry.js";
import { type Markup, markup } from "../markup.js";

/** The numbers behind one figure as a table: one row per point. */
export interface FigureData {
  /** Headings. */
  readonly columns: readonly string[];
  /** Rows, one cell per heading. */
  readonly rows: readonly (readonly (string | number)[])[];
}

interface Trace {
  readonly type?: string;
  readonly name?: string;
  readonly x?: readonly (string | number | null)[];
  readonly y?: readonly (string | number | null)[];
  readonly z?: readonly (readonly (number | null)[])[];
  readonly text?: readonly string[] | string;
  readonly xaxis?: string;
  readonly yaxis?: string;
  readonly error_x?: ErrorBar;
  readonly error_y?: ErrorBar;
  readonly customdata?: readonly unknown[];
  readonly meta?: unknown;
}

/** What a drawing's own fields stand for, by their names; an empty name is that of the axis. */
type Named = Readonly<Partial<Record<"name" | "text" | "customdata" | "x" | "y", string>>>;

/** The columns that a trace names itself; a trace that names none is only a line for the eye. */
function namedColumns({ meta }: Trace): Named | undefined {
  const { columns } = (meta ?? {}) as { columns?: Named };
  return columns !== null && typeof columns === "object" ? columns : undefined;
}

interface ErrorBar {
  readonly array?: readonly number[];
  readonly arrayminus?: readonly number[];
}

type Row = (string | number)[];

function axisName(layout: Record<string, unknown>, trace: Trace, letter: "x" | "y"): string {
  const key = `${letter}axis${(trace[`${letter}axis`] ?? letter).slice(1)}`;
  const axis = (layout[key] ?? {}) as { title?: { text?: string } };
  return axis.title?.text?.replace(/<[^>]*>/g, " ") || letter;
}

/** Where an axis names its places, a place reads as its name. */
function named(layout: Record<string, unknown>, trace: Trace, letter: "x" | "y") {
  const key = `${letter}axis${(trace[`${letter}axis`] ?? letter).slice(1)}`;
  const { tickvals = [], ticktext = [] } = (layout[key] ?? {}) as {
    tickvals?: unknown[];
    ticktext?: string[];
  };
  return (value: string | number | null | undefined): string | number => {
    const at = tickvals.indexOf(value);
    const name = at < 0 ? undefined : ticktext[at];
    return typeof name === "string" ? name.replace(/,? *<br> */g, ", ") : readable(value);
  };
}

/** Texts and numbers as they are; what a recorded file holds besides reads as JSON. */
function readable(value: unknown): string | number {
  if (value === null || value === undefined) return "";
  if (typeof value === "string" || Number.isFinite(value)) return value as string | number;
  return typeof value === "number" ? String(value) : JSON.stringify(value);
}

function errorLimits(value: unknown, bar: ErrorBar | undefined, i: number): Row {
  if (typeof value !== "number" || bar?.array?.[i] === undefined) return ["", ""];
  const up = itemAt(bar.array, i);
  return [value - (bar.arrayminus?.[i] ?? up), value + up].map(readable);
}

function pointRows(trace: Trace, layout: Record<string, unknown>): Row[] {
  const count = Math.max(trace.x?.length ?? 0, trace.y?.length ?? 0);
  const [nameX, nameY] = [named(layout, trace, "x"), named(layout, trace, "y")];
  const bar = trace.error_x ?? trace.error_y;
  const measured = trace.error_x ? trace.x : trace.y;
  const rows: Row[] = [];
  for (let i = 0; i < count; i++) {
    const label = Array.isArray(trace.text) ? (trace.text[i] ?? "") : "";
    const [x, y] = [trace.x?.[i], trace.y?.[i]];
    if (x === null || y === null) continue;
    const name = readable(trace.name);
    rows.push([name, readable(label), nameX(x), nameY(y), ...errorLimits(measured?.[i], bar, i)]);
  }
  return rows;
}

function gridRows(trace: Trace): Row[] {
  return (trace.z ?? []).flatMap((line, j) =>
    line.map((value, i) => [
      readable(trace.name),
      "",
      readable(trace.x?.[i] ?? i),
      readable(trace.y?.[j] ?? j),
      readable(value),
      "",
    ]),
  );
}

/** The points of traces that name their columns; a trace without names is left to the others. */
function namedRows(traces: readonly Trace[], layout: Record<string, unknown>): FigureData {
  const rows: Map<string, string | number>[] = [];
  for (const trace of traces) {
    const columns = Object.entries(namedColumns(trace) ?? {}) as [keyof Named, string][];
    if (columns.length === 0) continue;
    const bar = trace.error_x ?? trace.error_y;
    const measured = trace.error_x ? trace.x : trace.y;
    for (let i = 0; i < (trace.x?.length ?? 0); i++) {
      const row = new Map<string, string | number>();
      for (const [field, heading] of columns) {
        const axis = field === "x" || field === "y" ? axisName(layout, trace, field) : "";
        const given = field === "name" ? trace.name : trace[field]?.[i];
        const unit = /\(([^()]*)\)$/.exec(axis)?.[1];
        const named = heading === "value" && unit ? `value (${unit})` : heading || axis;
        row.set(named, readable(given));
      }
      const [low, high] = errorLimits(measured?.[i], bar, i);
      if (low !== "" && low !== undefined) row.set("lower limit", low);
      if (high !== "" && high !== undefined) row.set("upper limit", high);
      rows.push(row);
    }
  }
  const columns = [...new Set(rows.flatMap((row) => [...row.keys()]))];
  return { columns, rows: rows.map((row) => columns.map((name) => row.get(name) ?? "")) };
}

function isEmpty(rows: readonly Row[], column: number): boolean {
  return rows.every((row) => row[column] === "");
}

/**
 * The data of a figure, point by point. Drawings of this library name their columns: arm, golfer,
 * occasion, value. Any other figure has its series and axes; columns that stay empty are left out.
 */
export function figureData(figure: { data: readonly object[]; layout: object }): FigureData {
  const layout = figure.layout as Record<string, unknown>;
  const traces = figure.data as readonly Trace[];
  if (traces.some(namedColumns)) return namedRows(traces, layout);
  const grid = traces.some((trace) => trace.z);
  const rows = traces.flatMap((trace) => (trace.z ? gridRows(trace) : pointRows(trace, layout)));
  const first = traces[0] ?? {};
  const names = ["series", "label", axisName(layout, first, "x"), axisName(layout, first, "y")];
  const columns = [...names, ...(grid ? ["value", "-"] : ["lower limit", "upper limit"])];
  // A figure that says why there is nothing to draw still has the headings of its axes.
  const isNamed = (i: number) => !["series", "label", "x", "y"].includes(itemAt(columns, i));
  const drawn = (i: number) =>
    rows.length === 0 ? i < names.length && isNamed(i) : !isEmpty(rows, i);
  const kept = columns.map((_, i) => i).filter(drawn);
  return {
    columns: kept.map((i) => itemAt(columns, i)),
    rows: rows.map((row) => kept.map((i) => itemAt(row, i))),
  };
}

/** Figure data as CSV, numbers with all their digits. */
export function figureCsv({ columns, rows }: FigureData): string {
  return columns.length > 0 ? csvLines(columns, rows) : "";
}

const shownRows = 200;

function shortNumber(value: string | number): string {
  return typeof value === "number" ? String(Number(value.toPrecision(6))) : value;
}

/** The first rows of a figure's data as markup. */
export function figureTable({ columns, rows }: FigureData, caption: string): Markup {
  const head = columns.map((name) => markup`<th scope="col">${name}</th>`);
  const body = rows.slice(0, shownRows).map((row) => {
    const cells = row.map((value) => {
      const kind = typeof value === "number" ? markup` class="number"` : "";
      return markup`<td${kind}>${shortNumber(value)}</td>`;
    });
    return markup`<tr>${cells}</tr>`;
  });
  const more = rows.length > shownRows ? ` The first ${shownRows} of ${rows.length} rows.` : "";
  const title = markup`<caption>${caption}${more}</caption>`;
  return markup`<table>${title}<thead><tr>${head}</tr></thead><tbody>${body}</tbody></table>`;
}
