import { itemAt, present } from "../../entry.js";
import type { Comparison } from "../../notebook/compare.js";
import type { Judgement } from "../../notebook/judgement.js";
import { type Finding, findingSentence } from "../../show/finding.js";
import { companionText, intervalText, valueText } from "../../show/wording.js";
import { workerText } from "./programs.js";
import type { PageCell, PageOutput, RecomputeNews, RecomputeOrder } from "./recompute-worker.js";

type Json = Record<string, unknown>;

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
    const { slug, kinds, cells } = JSON.parse(
      script.textContent ?? "",
    ) as RecomputeOrder["record"] & {
      slug: string;
      kinds: string[];
    };
    const whole = cells.map((cell: PageCell) => ({ ...cell, outputs: cell.outputs.map(resolved) }));
    return { slug, kinds, record: { cells: whole } };
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

function plain(text: string | null): string {
  return (text ?? "").replace(/\s+/g, " ").trim();
}

/** What the page must read for a finding, form by form. */
function formsOf(finding: Finding): Record<string, string> {
  const level = / interval /;
  return {
    sentence: findingSentence(finding),
    value: valueText(finding, finding.unit),
    companion: companionText(finding, finding.unit) ?? "",
    interval:
      finding.low === undefined ? "no interval" : itemAt(intervalText(finding).split(level), 1),
    exact: String(finding.value),
  };
}

function formsOfClaim(claim: Json): Record<string, string> {
  return { support: String(claim.support), strongest: String(claim.strongest) };
}

/**
 * The first place where the page's words are not those of its record. The record itself is held
 * against the new run by the comparison, so that words, record and raw data must all agree.
 */
function misprint(slug: string, { kind, id, recorded }: Judgement): string | undefined {
  if (recorded === undefined || (kind !== "finding" && kind !== "claim")) return undefined;
  const forms = kind === "finding" ? formsOf(recorded as Finding) : formsOfClaim(recorded as Json);
  for (const place of placesOf(slug, kind, id)) {
    for (const shown of place.querySelectorAll<HTMLElement>("[data-shown]")) {
      const expected = plain(forms[present(shown.dataset.shown)] ?? "");
      const reads = plain(shown.textContent).toLowerCase();
      if (reads !== expected.toLowerCase())
        return `the page reads “${plain(shown.textContent)}”, the record says “${expected}”`;
    }
  }
  return undefined;
}

function placesOf(slug: string, kind: string, id: string): HTMLElement[] {
  const all = document.querySelectorAll<HTMLElement>(`[data-of-kind="${kind}"]`);
  return [...all].filter(({ dataset }) => dataset.ofNotebook === slug && dataset.ofId === id);
}

interface Line {
  readonly slug: string;
  readonly judgement: Judgement;
  readonly good: boolean;
  readonly words: string;
}

function lineOf(slug: string, judgement: Judgement): Line {
  const wrong = misprint(slug, judgement);
  const agrees = judgement.verdict === "same" || judgement.verdict === "within tolerance";
  const verdict = judgement.verdict === "same" ? "reproduced" : judgement.verdict;
  const words = wrong ?? [verdict, judgement.difference].filter(Boolean).join(": ");
  return { slug, judgement, good: agrees && !wrong, words };
}

function element(tag: string, text: string, className = ""): HTMLElement {
  const made = document.createElement(tag);
  made.textContent = text;
  if (className) made.className = className;
  return made;
}

function numbersOf(content: unknown): string {
  const { value, low, high, unit } = (content ?? {}) as Partial<Finding>;
  if (value === undefined) return "–";
  const range = low === undefined ? "" : ` (${low} to ${high})`;
  return `${value}${range} ${unit ?? ""}`.trim();
}

function row({ judgement, good, words }: Line): HTMLElement {
  const { id, kind, recorded, rerun } = judgement;
  const line = element("tr", "", good ? "" : "off");
  const name = element("th", kind === "finding" ? id : `${kind} ${id}`);
  name.setAttribute("scope", "row");
  const number = kind === "finding";
  line.append(
    name,
    element("td", number ? numbersOf(recorded) : "recorded", "digits"),
    element("td", number ? numbersOf(rerun) : "recomputed", "digits"),
    element("td", words),
  );
  return line;
}

function resultTable(lines: readonly Line[]): HTMLElement {
  const table = document.createElement("table");
  const head = document.createElement("tr");
  for (const title of ["Result", "Recorded", "Recomputed here", "Verdict"]) {
    const cell = element("th", title);
    cell.setAttribute("scope", "col");
    head.append(cell);
  }
  const top = document.createElement("thead");
  top.append(head);
  const body = document.createElement("tbody");
  body.append(...lines.map(row));
  table.append(top, body);
  const frame = element("div", "", "wide");
  frame.tabIndex = 0;
  frame.setAttribute("role", "region");
  frame.setAttribute("aria-label", "Recorded against recomputed");
  frame.append(table);
  return frame;
}

/** Puts the verdict beside the number it is about. */
function mark({ slug, judgement, good, words }: Line): void {
  for (const place of placesOf(slug, judgement.kind, judgement.id)) {
    const target = place.querySelector(".recomputed") ?? place;
    target.replaceChildren(
      element(
        "span",
        good ? "recomputed here: reproduced" : `recomputed here: ${words}`,
        `badge ${good ? "good" : "bad"}`,
      ),
    );
  }
}

function summary(lines: readonly Line[], failures: readonly string[], seconds: number): string {
  const off = lines.filter(({ good }) => !good).length;
  const time = `computed from the raw rows in this browser in ${seconds.toFixed(1)} s`;
  if (failures.length) return `Not everything could be recomputed: ${failures.join("; ")}.`;
  return off === 0
    ? `All ${lines.length} results came out as this page shows them, ${time}.`
    : `${off} of ${lines.length} results are not as this page shows them, ${time}.`;
}

async function run(panel: HTMLElement, status: HTMLElement): Promise<void> {
  const lines: Line[] = [];
  const failures: string[] = [];
  const start = performance.now();
  await recomputed(ordersOf(panel), (news) => {
    if (news.kind === "cell") status.textContent = `Running ${news.slug}, cell ${news.number}…`;
    else if (news.kind === "failed") failures.push(`${news.slug}, ${news.message}`);
    else
      lines.push(
        ...(news.comparison as Comparison).judgements.map((one) => lineOf(news.slug, one)),
      );
  });
  const good = failures.length === 0 && lines.every((line) => line.good);
  status.textContent = summary(lines, failures, (performance.now() - start) / 1000);
  panel.classList.toggle("good", good);
  panel.classList.toggle("bad", !good);
  panel.querySelector(".results")?.replaceChildren(resultTable(lines));
  lines.filter(({ judgement }) => judgement.kind === "finding").forEach(mark);
}

/** Makes the buttons work that run a page's notebooks again from the raw data. */
export function offerRecomputing(): void {
  for (const button of document.querySelectorAll<HTMLButtonElement>("[data-act=recompute]")) {
    const panel = present(button.closest<HTMLElement>(".recompute"));
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
