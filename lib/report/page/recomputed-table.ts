import type { Judgement } from "../../notebook/judgement.js";
import type { Claim } from "../../show/claim-record.js";
import type { Finding } from "../../show/finding-record.js";
import { estimateWords } from "../finding-html.js";

/** One result of a notebook and what its recomputation showed. */
export interface Line {
  /** The notebook's name in addresses and anchors. */
  readonly slug: string;
  /** The recorded result and the one of the new run. */
  readonly judgement: Judgement;
  /** Whether page, record and new run agree. */
  readonly good: boolean;
  /** The verdict in words. */
  readonly words: string;
}

/** An element with a text. */
export function element(tag: string, text: string, className = ""): HTMLElement {
  const made = document.createElement(tag);
  made.textContent = text;
  if (className) made.className = className;
  return made;
}

function numbersOf(content: unknown): string {
  const finding = content as Finding | undefined;
  return finding?.value === undefined ? "–" : estimateWords(finding);
}

function row({ judgement, good, words }: Line): HTMLElement {
  const { kind, recorded, rerun } = judgement;
  const line = element("tr", "", good ? "" : "off");
  const name = element("th", nameOf(judgement));
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

/** The results one below the other: recorded, recomputed, and the verdict. */
export function resultTable(lines: readonly Line[]): HTMLElement {
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
  frame.setAttribute("aria-label", "Recorded and recomputed results");
  frame.append(table);
  return frame;
}

/** The title of a result, as the page shows it; a text is called by its cell. */
function nameOf({ kind, id, cell, recorded, rerun }: Judgement): string {
  const content = recorded ?? rerun;
  if (kind === "finding" && content) return (content as Finding).title;
  if (kind === "claim" && content) return `Claim: ${(content as Claim).statement}`;
  if (kind === "table" || kind === "figure") {
    const { caption } = (content ?? {}) as { caption?: string };
    return `${kind === "table" ? "Table" : "Figure"}: ${caption ?? id}`;
  }
  return kind === "prose" ? `Text of cell ${cell.number}` : `${kind} ${id}`;
}
