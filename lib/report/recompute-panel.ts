import { present } from "../entry.js";
import { type Markup, markup, nothing } from "../markup.js";
import { anchorOf, type SiteContext } from "./context.js";
import { scriptJson } from "./figure-html.js";
import { fontLetters } from "./font-metrics.js";
import { carriedLetters } from "./letter-widths.js";
import { type RecordedCell, type RecordedNotebook, shownOf } from "./recorded.js";
import type { Shown } from "./recorded-outputs.js";

type Kind = "finding" | "claim" | "figure" | "table" | "prose";

const mime = (kind: Kind) => `application/vnd.tautline.${kind}+json`;

function outputOf(notebook: RecordedNotebook, shown: Shown, kinds: readonly Kind[]): object[] {
  const display = (kind: Kind, content: unknown) =>
    kinds.includes(kind) ? [{ output_type: "display_data", data: { [mime(kind)]: content } }] : [];
  switch (shown.kind) {
    case "finding":
    case "unanswered":
      return display("finding", shown.finding);
    case "claim":
      return display("claim", shown.claim);
    case "table":
      return display("table", shown.table);
    case "prose":
      return display("prose", shown.prose);
    case "figure":
      return display("figure", { at: anchorOf(notebook, "figure", shown.figure.id) });
    default:
      return [];
  }
}

/** Every cell of the notebook, also the ones a page leaves out: cells are matched by their place. */
function cellsOf(notebook: RecordedNotebook, kinds: readonly Kind[]): object[] {
  const byNumber = new Map(notebook.cells.map((cell) => [cell.number, cell]));
  const last = Math.max(0, ...byNumber.keys());
  return Array.from({ length: last }, (_, i) =>
    cellRecord(notebook, byNumber.get(i + 1), i, kinds),
  );
}

function cellRecord(
  notebook: RecordedNotebook,
  cell: RecordedCell | undefined,
  i: number,
  kinds: readonly Kind[],
): object {
  const outputs = cell?.shown.flatMap((shown) => outputOf(notebook, shown, kinds)) ?? [];
  return {
    cell_type: cell?.kind === "code" ? "code" : "raw",
    id: cell?.id ?? `cell-${i + 1}`,
    outputs,
  };
}

function recordScript(notebook: RecordedNotebook, kinds: readonly Kind[]): Markup {
  const record = {
    slug: notebook.slug,
    path: notebook.path,
    kinds,
    cells: cellsOf(notebook, kinds),
  };
  return markup`<script type="application/json" class="record">${scriptJson(record)}</script>`;
}

/** The button that runs a page's notebooks again; nothing where none of them can. */
export function recomputeButton(
  context: SiteContext,
  notebooks: readonly RecordedNotebook[],
): Markup {
  const unable = notebooks.filter(({ slug }) => context.unable.has(slug));
  const notes = unable.map(
    ({ title, slug }) =>
      markup`<p><small>A page cannot recompute “${title}”: ${present(context.unable.get(slug))}.</small></p>`,
  );
  if (unable.length === notebooks.length) return markup`${notes}`;
  return markup`<p class="scripted"><button type="button" data-act="recompute">Recompute every result</button></p>${notes}`;
}

/** How wide every letter of the figures is, so that the page draws them as they were drawn. */
function lettersScript(notebooks: readonly RecordedNotebook[], kinds: readonly Kind[]): Markup {
  const figures = notebooks.flatMap((notebook) =>
    shownOf(notebook, "figure").map(({ shown }) => shown.figure),
  );
  if (figures.length === 0 || !kinds.includes("figure")) return nothing;
  const usual = Array.from({ length: 95 }, (_, i) => String.fromCharCode(32 + i)).join("");
  const characters = [...new Set(`${usual}−–—…×·\u00a0${JSON.stringify(figures)}`)].sort().join("");
  return markup`<script type="application/json" class="letters">${scriptJson(carriedLetters(fontLetters, characters))}</script>`;
}

/** Where the results of a re-run in this page appear; the records that they are compared with. */
export function recomputePanel(
  context: SiteContext,
  notebooks: readonly RecordedNotebook[],
  kinds: readonly Kind[],
): Markup {
  const ready = notebooks.filter(({ slug }) => !context.unable.has(slug));
  if (ready.length === 0) return nothing;
  const scripts = ready.map((notebook) => recordScript(notebook, kinds));
  return markup`<section class="recompute" aria-label="Recompute in this browser"><p role="status"></p><details class="results" hidden><summary>Result by result</summary><div></div></details>${scripts}${lettersScript(ready, kinds)}</section>`;
}
