/** A cell as the comparison names it: counted from 1 among all cells. */
export interface CellName {
  readonly number: number;
  readonly id: string;
}

export type ResultKind = "finding" | "claim" | "figure" | "table" | "text" | "image";

/** One thing that a notebook shows and that a re-run must show again. */
export interface Result {
  readonly kind: ResultKind;
  /** The id that its author gave it; cell and place of the output for text and images. */
  readonly id: string;
  readonly cell: CellName;
  readonly content: unknown;
}

/** The least that is asked of a recorded notebook; the comparison runs in a browser as it is. */
export interface RecordedNotebook {
  readonly cells: readonly {
    readonly cell_type: string;
    readonly id: string;
    readonly outputs?: readonly unknown[];
  }[];
}

type Json = Record<string, unknown>;

const kinds = ["finding", "claim", "figure", "table"] as const;
const plotly = "application/vnd.plotly.v1+json";

/** What a recorded notebook shows, in order. Ids of findings, figures and tables come from their JSON. */
export function resultsOf(notebook: RecordedNotebook): Result[] {
  return notebook.cells.flatMap((cell, i) => {
    if (cell.cell_type !== "code") return [];
    const name = { number: i + 1, id: cell.id };
    return (cell.outputs ?? []).map((output, j) => resultOf(output as Json, name, j));
  });
}

/** Ids that are stated more than once in a notebook, each with the cells that state it. */
export function repeatedIds(results: readonly Result[]): { id: string; cells: number[] }[] {
  const cells = new Map<string, number[]>();
  for (const { kind, id, cell } of results) {
    if (kind === "text" || kind === "image") continue;
    const key = `${kind} ${id}`;
    cells.set(key, [...(cells.get(key) ?? []), cell.number]);
  }
  return [...cells]
    .filter(([, list]) => list.length > 1)
    .map(([id, list]) => ({ id, cells: list }));
}

function resultOf(output: Json, cell: CellName, index: number): Result {
  const data = (output.data ?? {}) as Json;
  for (const kind of kinds) {
    const content = data[`application/vnd.tautline.${kind}+json`];
    if (content === null || typeof content !== "object") continue;
    const id = (content as Json).id;
    const spec = kind === "figure" ? withSpec(content as Json, data[plotly]) : content;
    return { kind, id: typeof id === "string" ? id : place(cell, index), cell, content: spec };
  }
  const image = Object.keys(data).find((mime) => /^image\/(?!svg)/.test(mime));
  if (image) return { kind: "image", id: place(cell, index), cell, content: data[image] };
  return { kind: "text", id: place(cell, index), cell, content: plainText(output, data) };
}

/** A figure is judged by its traces and layout, wherever they are stored; never by its drawing. */
function withSpec(figure: Json, spec: unknown): Json {
  if (figure.data !== undefined || spec === null || typeof spec !== "object") return figure;
  const { data, layout } = spec as Json;
  return { ...figure, data, layout };
}

function plainText(output: Json, data: Json): string {
  if (output.output_type === "stream") return text(output.text);
  if (output.output_type === "error") return `${String(output.ename)}: ${String(output.evalue)}`;
  const form = data["text/plain"] ?? data["text/markdown"] ?? data["text/html"];
  return form === undefined ? JSON.stringify(data) : text(form);
}

/** A stored text may be a list of lines. */
function text(value: unknown): string {
  return Array.isArray(value) ? value.join("") : String(value);
}

function place(cell: CellName, index: number): string {
  return `${cell.id}/${index + 1}`;
}
