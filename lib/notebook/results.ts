/** A cell as the comparison names it: counted from 1 among all cells. */
export interface CellName {
  /** Number of the cell among all cells, from 1. */
  readonly number: number;
  /** Id of the cell in the notebook file. */
  readonly id: string;
}

/** "finding", "figure" and so on, as the output's own type names it; "text" and "image" for others. */
export type ResultKind = string;

/** The other forms of a result, as a reader meets them in a front end. */
export type Form =
  | (typeof textForms)[number]["form"]
  | "chart"
  | "image"
  | "display setting"
  | "channel"
  | "further form";

/** One thing that a notebook shows and that a re-run must show again. */
export interface Result {
  /** What sort of result it is. */
  readonly kind: ResultKind;
  /** The id that its author gave it; cell and place of the output for text and images. */
  readonly id: string;
  /** The cell that shows the result. */
  readonly cell: CellName;
  /** The data of the result; for a text the text itself. */
  readonly content: unknown;
  /** Every other form of the same result. */
  readonly forms: ReadonlyMap<Form, unknown>;
}

/** The least that is asked of a recorded notebook; the comparison runs in a browser as it is. */
export interface RecordedNotebook {
  /** The cells from top to bottom; outputs are those of the notebook file. */
  readonly cells: readonly {
    readonly cell_type: string;
    readonly id: string;
    readonly outputs?: readonly unknown[];
  }[];
}

type Json = Record<string, unknown>;

const ours = /^application\/vnd\.tautline\.([a-z]+)\+json$/;

const textForms = [
  { mime: "text/html", form: "HTML" },
  { mime: "text/plain", form: "plain text" },
  { mime: "text/markdown", form: "Markdown" },
  { mime: "text/latex", form: "LaTeX" },
  { mime: "image/svg+xml", form: "drawing" },
] as const;

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
    if (kind === "text" || kind === "image" || isPlace(id, cell)) continue;
    const key = `${kind} ${id}`;
    cells.set(key, [...(cells.get(key) ?? []), cell.number]);
  }
  return [...cells]
    .filter(([, list]) => list.length > 1)
    .map(([id, list]) => ({ id, cells: list }));
}

/** An output without an id of its own is called by its place. */
function isPlace(id: string, cell: CellName): boolean {
  return id.startsWith(`${cell.id}/`);
}

function resultOf(output: Json, cell: CellName, index: number): Result {
  const data = (output.data ?? {}) as Json;
  const forms = formsOf(data);
  const settings = displaySettings(output.metadata);
  if (settings !== undefined) forms.set("display setting", settings);
  const channel = channelOf(output);
  if (channel !== undefined) forms.set("channel", channel);
  for (const mime of Object.keys(data).sort()) {
    const kind = ours.exec(mime)?.[1];
    const content = data[mime];
    if (kind === undefined || content === null || typeof content !== "object") continue;
    const id = (content as Json).id;
    const whole = kind === "figure" ? withChart(content as Json, data[plotly]) : content;
    addFurther(forms, data, mime);
    return {
      kind,
      id: typeof id === "string" ? id : place(cell, index),
      cell,
      content: whole,
      forms,
    };
  }
  addFurther(forms, data);
  const image = Object.keys(data).find(isImage);
  if (image) {
    const content = text(data[image]);
    return { kind: "image", id: place(cell, index), cell, content, forms };
  }
  const content = plainText(output, data, forms);
  return { kind: "text", id: place(cell, index), cell, content, forms };
}

/** A figure recorded without its chart takes the chart from the form that draws it. */
function withChart(figure: Json, chart: unknown): Json {
  if (figure.data !== undefined || chart === null || typeof chart !== "object") return figure;
  const { data, layout } = chart as Json;
  return { ...figure, data, layout };
}

function formsOf(data: Json): Map<Form, unknown> {
  const forms = new Map<Form, unknown>();
  for (const { mime, form } of textForms) {
    if (data[mime] !== undefined) forms.set(form, text(data[mime]));
  }
  if (data[plotly] !== undefined) forms.set("chart", data[plotly]);
  const images = Object.keys(data).sort().filter(isImage);
  if (images.length > 0) forms.set("image", images.map((mime) => text(data[mime])).join("\n"));
  return forms;
}

function isImage(mime: string): boolean {
  return /^image\/(?!svg)/.test(mime);
}

const named: readonly string[] = [...textForms.map(({ mime }) => mime), plotly];

/** A front end may show any media type it knows before those named above: the rest is one more form. */
function addFurther(forms: Map<Form, unknown>, data: Json, own?: string): void {
  const further = Object.keys(data)
    .filter((mime) => mime !== own && !named.includes(mime) && !isImage(mime))
    .sort()
    .map((mime) => `${mime}: ${JSON.stringify(data[mime])}`);
  if (further.length > 0) forms.set("further form", further.join("\n"));
}

/** Width, height, a frame of its own and the like, kept beside an output; a front end obeys them. */
function displaySettings(metadata: unknown): string | undefined {
  if (metadata === null || typeof metadata !== "object") return undefined;
  const settings = Object.entries(metadata);
  return settings.length > 0 ? JSON.stringify(settings.sort()) : undefined;
}

/** How a front end frames an output: a stream by its name and colour, a value by its number. */
function channelOf({ output_type, name }: Json): string | undefined {
  if (output_type === undefined || output_type === "display_data") return undefined;
  return output_type === "stream" ? `stream ${String(name)}` : String(output_type);
}

/** What a text output says. */
function plainText(output: Json, data: Json, forms: Map<Form, unknown>): string {
  if (output.output_type === "stream") return text(output.text);
  if (output.output_type === "error") return `${String(output.ename)}: ${String(output.evalue)}`;
  const form = (["plain text", "Markdown", "HTML"] as const).find((name) => forms.has(name));
  return form === undefined ? JSON.stringify(data) : text(forms.get(form));
}

/** A stored text may be a list of lines. */
function text(value: unknown): string {
  return Array.isArray(value) ? value.join("") : String(value);
}

function place(cell: CellName, index: number): string {
  return `${cell.id}/${index + 1}`;
}
