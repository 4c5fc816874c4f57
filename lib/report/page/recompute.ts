import { present } from "../../entry.js";
import type { Comparison } from "../../notebook/compare.js";
import type { Judgement } from "../../notebook/judgement.js";
import type { Figure } from "../../show/figure-record.js";
import { anchorOf } from "../context.js";
import { misprint, type NotebookOnPage } from "./page-judge.js";
import { workerText } from "./programs.js";
import type { PageCell, PageOutput, RecomputeNews, RecomputeOrder } from "./recompute-worker.js";
import { element, type Line, resultTable } from "./recomputed-table.js";
import { type DrawingVerdict, drawingWords, judgeDrawings } from "./redrawing.js";

const figureType = "application/vnd.tautline.figure+json";

/** A figure's record stands with the figure; the notebook's record points to it. */
function resolved(output: PageOutput): PageOutput {
  const place = (output.data[figureType] as { at?: string } | undefined)?.at;
  if (place === undefined) return output;
  const spec = document.getElementById(place)?.querySelector("script.spec")?.textContent;
  return { ...output, data: { [figureType]: JSON.parse(spec ?? "null") } };
}

function ordersOf(panel: HTMLElement): RecomputeOrder[] {
  const scripts = [...panel.querySelectorAll<HTMLScriptElement>("script.record")];
  return scripts.map((script) => {
    const { slug, path, kinds, cells } = JSON.parse(
      script.textContent ?? "",
    ) as RecomputeOrder["record"] & {
      slug: string;
      path: string;
      kinds: string[];
    };
    const whole = cells.map((cell: PageCell) => ({ ...cell, outputs: cell.outputs.map(resolved) }));
    return { slug, path, kinds, record: { cells: whole } };
  });
}

/** Runs the orders in a worker; `tell` hears of every cell. */
async function recomputed(
  orders: readonly RecomputeOrder[],
  tell: (news: RecomputeNews) => void,
): Promise<void> {
  const address = URL.createObjectURL(new Blob([await workerText()], { type: "text/javascript" }));
  const worker = new Worker(address);
  try {
    await new Promise<void>((resolve, reject) => {
      let open = orders.length;
      worker.onerror = (event) => reject(new Error(event.message || "the worker did not start"));
      worker.onmessage = ({ data }: MessageEvent<RecomputeNews>) => {
        tell(data);
        if (data.kind !== "cell" && --open === 0) resolve();
      };
      for (const order of orders) worker.postMessage(order);
    });
  } finally {
    worker.terminate();
    URL.revokeObjectURL(address);
  }
}

function placesOf(slug: string, kind: string, id: string): HTMLElement[] {
  const all = document.querySelectorAll<HTMLElement>(`[data-of-kind="${kind}"]`);
  return [...all].filter(({ dataset }) => dataset.ofNotebook === slug && dataset.ofId === id);
}

function lineOf(notebook: NotebookOnPage, judgement: Judgement, all: readonly Judgement[]): Line {
  const wrong = misprint(notebook, judgement, all);
  const agrees = judgement.verdict === "same" || judgement.verdict === "within tolerance";
  const verdict = judgement.verdict === "same" ? "reproduced" : judgement.verdict;
  const words = wrong ?? [verdict, judgement.difference].filter(Boolean).join(": ");
  return { slug: notebook.slug, judgement, good: agrees && !wrong, words };
}

/** The line of a figure with what its drawings showed. */
function withDrawings(line: Line, { wrong }: DrawingVerdict): Line {
  return wrong === undefined || !line.good ? line : { ...line, good: false, words: wrong };
}

/** The figures of the new run whose drawings stand on this page. */
function figuresIn(lines: readonly Line[]) {
  return lines.flatMap((line) => {
    const { kind, id, rerun } = line.judgement;
    const place = document.getElementById(anchorOf(line, "figure", id));
    return kind === "figure" && place && rerun ? [{ line, place, figure: rerun as Figure }] : [];
  });
}

/** Puts the verdict beside the number it is about, wherever the page keeps a place for it. */
function mark({ slug, judgement, good, words }: Line): void {
  for (const place of placesOf(slug, judgement.kind, judgement.id)) {
    const target = place.querySelector(".recomputed");
    target?.replaceChildren(
      element(
        "span",
        good ? "recomputed here: reproduced" : `recomputed here: ${words}`,
        `badge ${good ? "good" : "bad"}`,
      ),
    );
  }
}

const nouns: readonly (readonly [kind: string, one: string, many: string])[] = [
  ["finding", "finding with its interval and details", "findings with their intervals and details"],
  ["claim", "claim", "claims"],
  ["table", "table", "tables"],
  ["figure", "figure with its numbers", "figures with their numbers"],
  ["prose", "text", "texts"],
];

/** What was compared, by kind: "2 findings with their intervals and details, 1 table and 3 texts". */
function compared(lines: readonly Line[]): string {
  const parts = nouns.flatMap(([kind, one, many]) => {
    const count = lines.filter(({ judgement }) => judgement.kind === kind).length;
    return count === 0 ? [] : [`${count} ${count === 1 ? one : many}`];
  });
  const last = parts.pop() ?? "nothing";
  return parts.length > 0 ? `${parts.join(", ")} and ${last}` : last;
}

function summary(
  article: ParentNode,
  lines: readonly Line[],
  verdicts: readonly DrawingVerdict[],
  failures: readonly string[],
  seconds: number,
): string {
  const off = lines.filter(({ good }) => !good).length;
  const time = `computed from the raw rows in this browser in ${seconds.toFixed(1)} s`;
  if (failures.length) return `Not everything could be recomputed: ${failures.join("; ")}.`;
  const summary =
    off === 0
      ? `${lines.length} of ${lines.length} results reproduced, ${time}.`
      : `${off} of ${lines.length} results are not as this page shows them, ${time}.`;
  return `${summary} Compared: ${compared(lines)}.${drawingWords(article, verdicts)}`;
}

async function run(panel: HTMLElement, status: HTMLElement): Promise<void> {
  const lines: Line[] = [];
  const failures: string[] = [];
  const start = performance.now();
  const orders = ordersOf(panel);
  await recomputed(orders, (news) => {
    if (news.kind === "cell") status.textContent = `Running cell ${news.number} of ${news.slug}…`;
    else if (news.kind === "failed") failures.push(`${news.slug}, ${news.message}`);
    else {
      const { path = "" } = orders.find(({ slug }) => slug === news.slug) ?? {};
      const { judgements } = news.comparison as Comparison;
      const notebook = { slug: news.slug, path };
      lines.push(...judgements.map((one) => lineOf(notebook, one, judgements)));
    }
  });
  const figures = figuresIn(lines);
  if (figures.length > 0) status.textContent = "Drawing the figures again…";
  const verdicts = await judgeDrawings(figures);
  for (const [i, { line }] of figures.entries())
    lines[lines.indexOf(line)] = withDrawings(line, present(verdicts[i]));
  const good = failures.length === 0 && lines.every((line) => line.good);
  status.textContent = summary(
    panel.closest("article") ?? document,
    lines,
    verdicts,
    failures,
    (performance.now() - start) / 1000,
  );
  panel.classList.toggle("good", good);
  panel.classList.toggle("bad", !good);
  const details = panel.querySelector<HTMLDetailsElement>(".results");
  details?.querySelector("div")?.replaceChildren(resultTable(lines));
  if (details) details.hidden = false;
  lines.filter(({ judgement }) => judgement.kind === "finding").forEach(mark);
}

/** Makes the buttons work that run a page's notebooks again from the raw data. */
export function offerRecomputing(): void {
  for (const button of document.querySelectorAll<HTMLButtonElement>("[data-act=recompute]")) {
    const panel = button.closest("article")?.querySelector<HTMLElement>(".recompute");
    if (!panel) continue;
    const status = present(panel.querySelector<HTMLElement>("[role=status]"));
    button.addEventListener("click", async () => {
      button.disabled = true;
      status.textContent = "Loading the library and the raw data…";
      try {
        await run(panel, status);
      } catch (error) {
        status.textContent = `It could not be run: ${error instanceof Error ? error.message : error}`;
        panel.classList.add("bad");
      } finally {
        button.disabled = false;
      }
    });
  }
}
