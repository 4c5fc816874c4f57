import { type Markup, markup, nothing, proseHtml } from "../markup.js";
import { supportHeads } from "../show/claim.js";
import type { Claim } from "../show/claim-record.js";
import type { Finding } from "../show/finding-record.js";
import { plannedWords } from "../show/finding-words.js";
import { anchorOf, judgementOf, linkTo, type PageContext } from "./context.js";
import { type CordScale, cordSvg, scaleFor, sharedScales } from "./cord.js";
import { estimateHtml, ofAttributes } from "./finding-html.js";
import type { RecordedNotebook } from "./recorded.js";
import { exceptionHtml } from "./result-state.js";

/** A claim with its notebook and the finding behind it. */
export interface Conclusion {
  /** The notebook that states it. */
  readonly notebook: Pick<RecordedNotebook, "slug" | "path">;
  /** The claim. */
  readonly claim: Claim;
  /** The finding that it rests on; undefined where the notebook states none of that name. */
  readonly finding: Finding | undefined;
}

const order = ["supported", "contradicted", "not settled"];

/** The value that a claim compares its finding with. */
function comparedWith({ bound }: Claim, { references = [] }: Finding): number {
  if (typeof bound === "number") return bound;
  return references.find(({ name }) => name === bound)?.value ?? 0;
}

/** Supported first, then contradicted, then not settled; otherwise as they were stated. */
export function inOrderOfSupport(all: readonly Conclusion[]): Conclusion[] {
  const rank = ({ claim }: Conclusion) => order.indexOf(claim.support);
  return [...all].sort((a, b) => rank(a) - rank(b));
}

/** One conclusion as a row: statement, estimate, cord, state. */
export function conclusionRow(
  context: PageContext,
  { notebook, claim, finding }: Conclusion,
  scale: CordScale | undefined,
  place: "home" | "elsewhere",
): Markup {
  const mood = String(claim.support).replace(/\s/g, "-");
  const target = linkTo(
    context,
    notebook.slug,
    anchorOf(notebook, "finding", String(claim.finding)),
  );
  const planned = plannedWords(claim) ?? (finding && plannedWords(finding));
  const said = planned === undefined ? nothing : markup`<small>${planned}</small>`;
  const strongest =
    place === "home"
      ? markup`<small data-shown="strongest">${proseHtml(claim.reason ?? claim.strongest)}</small>`
      : nothing;
  const id = place === "home" ? markup`id="${anchorOf(notebook, "claim", claim.id)}" ` : nothing;
  const drawing =
    finding && scale ? cordSvg(finding, scale, comparedWith(claim, finding)) : nothing;
  const state = exceptionHtml(judgementOf(context, notebook.path, "claim", claim.id));
  return markup`<tr ${id}class="${mood}" ${ofAttributes(notebook, "claim", claim.id)}><th scope="row"><a href="${target}">${proseHtml(claim.statement)}</a>${said}${strongest}${state}</th><td class="estimate">${finding ? estimateHtml(finding) : ""}</td><td class="picture">${drawing}</td><td class="support" data-shown="support">${supportHeads[claim.support]}</td></tr>`;
}

/** Conclusions as one table; cords of one unit share a scale. */
export function conclusionsHtml(
  context: PageContext,
  all: readonly Conclusion[],
  label: string,
  place: "home" | "elsewhere",
): Markup {
  if (all.length === 0) return nothing;
  const drawn = all.flatMap((one) => (one.finding ? [{ one, finding: one.finding }] : []));
  const scales = new Map(
    sharedScales(drawn).flatMap((rows) => {
      const scale = scaleFor(rows.map(({ finding }) => finding));
      return rows.map(({ one }) => [one, scale] as const);
    }),
  );
  const rows = all.map((one) => conclusionRow(context, one, scales.get(one), place));
  return markup`<table class="conclusions" aria-label="${label}"><thead><tr><th scope="col">Statement</th><th scope="col">Estimate (95 % CI)</th><th scope="col">Interval and zero</th><th scope="col">State</th></tr></thead><tbody>${rows}</tbody></table>`;
}

/** Fewer rows than this are not worth a fold. */
const fewRows = 3;

/**
 * Conclusions of a study: those that are settled or were planned as a table, all others folded below.
 */
export function firstConclusionsHtml(
  context: PageContext,
  all: readonly Conclusion[],
  label: string,
): Markup {
  const isFirst = ({ claim, finding }: Conclusion) =>
    claim.support !== "not settled" || (claim.planned ?? finding?.planned) === true;
  const first = all.filter(isFirst);
  const rest = all.filter((one) => !isFirst(one));
  if (first.length === 0 || rest.length < fewRows) {
    return conclusionsHtml(context, all, label, "elsewhere");
  }
  const words = `${rest.length} further statements, none of them planned, are not settled`;
  const folded = conclusionsHtml(context, rest, `${label}, not settled`, "elsewhere");
  return markup`${conclusionsHtml(context, first, label, "elsewhere")}<details class="further"><summary>${words}</summary>${folded}</details>`;
}
