import { type Markup, markup, nothing } from "../markup.js";
import { type CheckState, checkState, type Judged, type SiteContext } from "./context.js";
import type { RecordedNotebook } from "./recorded.js";

/** The state of a result in words, with the edits that explain it. */
function stateWords(judged: Judged): string {
  const state = checkState(judged);
  if (state === "reproduced") return "reproduced";
  if (state === "new") return "new since the last check";
  if (state === "not reproduced") {
    return judged.verdict === "missing" ? "not reproduced: missing" : "not reproduced: different";
  }
  const what = judged.verdict === "missing" ? "no longer shown" : "changed";
  return `${what} after an edit (${judged.edits.join(", ")})`;
}

/** A word beside a result that the last re-run did not reproduce; nothing beside all others. */
export function exceptionHtml(judged: Judged | undefined): Markup {
  if (!judged) return nothing;
  const state = checkState(judged);
  if (state === "reproduced") return nothing;
  const mood = state === "not reproduced" ? "bad" : "none";
  return markup`<span class="badge ${mood}">${stateWords(judged)}</span>`;
}

/** What the last re-run said of one result, in words. */
export function stateOf(judged: Judged | undefined): string {
  if (!judged) return "not compared with a re-run on this machine";
  return judged.difference ? judged.difference : stateWords(judged);
}

/** "28 November 2026" from "2026-11-28"; any other text stays as it is. */
export function dayWords(iso: string): string {
  const [, year, month, day] = /^(\d{4})-(\d{2})-(\d{2})/.exec(iso) ?? [];
  const names =
    "January February March April May June July August September October November December";
  const name = names.split(" ")[Number(month) - 1];
  return day && name ? `${Number(day)} ${name} ${year}` : iso;
}

/** One line on the last comparison of these notebooks with a re-run, and the exceptions by name. */
export function stateLine(
  { verdict }: Pick<SiteContext, "verdict">,
  notebooks: readonly Pick<RecordedNotebook, "path">[],
  after: Markup = nothing,
): Markup {
  const runs = (verdict?.notebooks ?? []).filter(({ notebook }) =>
    notebooks.some(({ path }) => path === notebook),
  );
  if (runs.length === 0) {
    return markup`<p class="state verdict">Not yet compared with a re-run.${after}</p>`;
  }
  const all = runs.flatMap(({ judgements, edits }) => judgements.map((one) => ({ ...one, edits })));
  const inState = (state: CheckState) => all.filter((one) => checkState(one) === state);
  const days = [...new Set(runs.map(({ on }) => dayWords(on)))];
  const when = days.length > 1 ? `between ${days[0]} and ${days.at(-1)}` : `on ${days[0] ?? ""}`;
  if (all.length > 0 && inState("new").length === all.length) {
    return markup`<p class="state verdict"><b>${all.length}</b> results recorded for the first time ${when}, not yet compared with a re-run.${after}</p>`;
  }
  const failed = inState("not reproduced");
  const verdictWords =
    failed.length === 0 ? "" : markup` <b class="bad">${failed.length} not reproduced.</b>`;
  return markup`<p class="state verdict"><b>${inState("reproduced").length} of ${all.length}</b> results reproduced ${when}.${verdictWords}${after}</p>${exceptions("Not reproduced", failed)}${exceptions("Changed by an edit", inState("changed by an edit"))}${exceptions("New", inState("new"))}`;
}

function exceptions(title: string, results: readonly Judged[]): Markup {
  if (results.length === 0) return nothing;
  const items = results.map(({ kind, id, difference, edits }) => {
    const why = edits.length > 0 ? ` (${edits.join(", ")})` : "";
    return markup`<li>${kind} <b>${id}</b>${difference ? `: ${difference}` : ""}${why}</li>`;
  });
  return markup`<details class="state"><summary>${title}: ${results.length}</summary><ul>${items}</ul></details>`;
}
