import { lowerFirst } from "../first-letter.js";
import { type Markup, markup, nothing, proseHtml } from "../markup.js";
import { companionText, fixedText, withUnit } from "../show/wording.js";
import type { GolferAccount } from "../study/golfer-account.js";
import type { GolferNorm, GolferSeries } from "../study/tables/golfer.js";
import type { GolferChange } from "../study/tables/measuring-error.js";
import { cautionsHtml } from "./cautions.js";
import { golferChart } from "./golfer-chart.js";
import { handoutHtml } from "./handout-frame.js";

function one(value: number): string {
  return fixedText(value, 1);
}

/** A change with its sign, to the decimal of the values it comes from. */
function signed(value: number, unit: string): string {
  const text = one(value);
  return withUnit(/^0\.0$|^−/.test(text) ? text : `+${text}`, unit);
}

type Changed = GolferSeries & { readonly change: GolferChange };

function comparedSeries({ series }: GolferAccount): Changed[] {
  return series.filter((one): one is Changed => one.change !== undefined);
}

function errorName({ change }: Changed): string {
  return change.betweenVisits ? "measurement error" : "trial-to-trial error";
}

/** "Lead hand, at address" as a golfer says it: "your lead hand at address". */
function spoken({ name, role }: GolferSeries): string {
  return role === "speed"
    ? `your ${lowerFirst(name)}`
    : `your ${lowerFirst(name).replace(", ", " ")}`;
}

function listed(items: readonly string[]): string {
  const shown =
    items.length > 3 ? [...items.slice(0, 2), `${items.length - 2} more values`] : items;
  const last = shown.at(-1) ?? "";
  return shown.length < 2 ? last : `${shown.slice(0, -1).join(", ")} and ${last}`;
}

/** "your lead hand at address is", "your lead hand and your trail hand are" */
function areNow(series: readonly GolferSeries[]): string {
  return `${listed(series.map(spoken))} ${series.length === 1 ? "is" : "are"}`;
}

/** The answer to the golfer's question in one sentence. */
function didIChange(account: GolferAccount): string {
  const compared = comparedSeries(account);
  const [first] = compared;
  if (!first)
    return "Did I change? We cannot say: you were not tested at both the first and the last visit.";
  const up = compared.filter(({ change }) => change.verdict === "up");
  const down = compared.filter(({ change }) => change.verdict === "down");
  const error = errorName(first);
  if (up.length + down.length === 0) return `Did I change? No: every change is within ${error}.`;
  const words = [
    ...(up.length > 0 ? [`${areNow(up)} higher`] : []),
    ...(down.length > 0 ? [`${areNow(down)} lower`] : []),
  ];
  return `Did I change? Yes, by more than ${error}: ${words.join("; ")}.`;
}

/** The values behind the answer: first to last, for the first hand and for speed. */
function leadHtml(account: GolferAccount): Markup {
  const compared = comparedSeries(account);
  const chosen = [
    compared.find(({ role }) => role === "lead"),
    compared.find(({ role }) => role === "speed"),
  ].filter((one) => one !== undefined);
  const items = chosen.map(({ name, unit, visits, change }) => {
    const [first, last] = [visits[0]?.value ?? 0, visits.at(-1)?.value ?? 0];
    const other = companionText({ value: last, low: last - 2, high: last + 2 }, unit);
    const beside = other ? ` (${other})` : "";
    return markup`${proseHtml(`${name}: ${one(first)} → `)}<b>${proseHtml(withUnit(one(last), unit))}</b>${proseHtml(`${beside}, ${signed(change.value, unit)} (measurement error up to ${one(change.detectable)}).`)} `;
  });
  return items.length > 0 ? markup`<p class="key-answer">${items}</p>` : nothing;
}

function meaning({ change, unit }: Changed): string {
  const error = change.betweenVisits ? "measurement error" : "trial-to-trial error";
  const bound = withUnit(one(change.detectable), unit);
  if (change.verdict === "within error") return `within ${error} (${bound})`;
  const open = change.betweenVisits ? "" : "; how much days differ is not known";
  return `${change.verdict}, by more than ${error} (${bound})${open}`;
}

function changeCells(series: GolferSeries): Markup {
  const { change, unit } = series;
  if (!change) {
    return markup`<td data-label="Change">–</td><td data-label="Meaning">not tested at the first and the last visit</td>`;
  }
  const words = meaning({ ...series, change });
  return markup`<td data-label="Change">${proseHtml(signed(change.value, unit))}</td><td data-label="Meaning">${proseHtml(words)}</td>`;
}

function visitCell({ trials, value }: GolferSeries["visits"][number], visit: string): Markup {
  if (value === null) return markup`<td data-label="${visit}">–</td>`;
  const [least, most] = [Math.min(...trials), Math.max(...trials)];
  const few = trials.length <= 4;
  const all = few
    ? trials.map(one).join(" · ")
    : `${trials.length} swings, ${one(least)} to ${one(most)}`;
  return markup`<td data-label="${visit}"><span><b>${one(value)}</b><small>${all}</small></span></td>`;
}

function seriesTable(account: GolferAccount): Markup {
  const heads = ["Measured", ...account.visits, "Change", "Meaning"];
  const head = heads.map((name) => markup`<th scope="col">${name}</th>`);
  const rows = account.series.map((series) => {
    const visits = series.visits.map((visit, i) => visitCell(visit, account.visits[i] ?? ""));
    return markup`<tr><th scope="row">${series.name} <small>${series.unit}</small></th>${visits}${changeCells(series)}</tr>`;
  });
  return markup`<table class="sheet"><caption>Your values; single squeezes and swings in small print.</caption><thead><tr>${head}</tr></thead><tbody>${rows}</tbody></table>`;
}

function chartsHtml(account: GolferAccount): Markup {
  const of = (role: GolferSeries["role"]) => account.series.filter((one) => one.role === role);
  const charts = [
    golferChart("Lead hand", of("lead")),
    golferChart("Trail hand", of("trail")),
    golferChart("Club speed", of("speed")),
  ];
  const words = `Open circles: first visit. Filled or coloured marks: last visit. Each mark is one squeeze or swing, each upright line their mean. The lead hand is the upper hand on the grip. 1 kgf is the weight of 1 kg. ${errorWords(account)}`;
  return markup`<figure class="charts">${charts}<figcaption>${proseHtml(words)}</figcaption></figure>`;
}

/** What the band is, from how many golfers, and how many comparisons share it. */
function errorWords(account: GolferAccount): string {
  const compared = comparedSeries(account);
  if (compared.length === 0) return "";
  const sources = [
    ...new Set(compared.map(({ change }) => `${change.from}, ${change.people} golfers`)),
  ];
  const many =
    compared.length > 4
      ? ` Among ${compared.length} values, one may look like a change when nothing changed.`
      : "";
  return `Grey band: where your last value would fall 95 times in 100 if nothing had changed (${sources.join("; ")}).${many}`;
}

function normHtml(norm: GolferNorm | undefined, reason: string | undefined): Markup {
  if (!norm) return markup`<p>No comparison with other people: ${reason ?? "none was made"}.</p>`;
  const { best, hand, group, median, band, low, high, source, cautions } = norm;
  const other = companionText({ value: best, low: best - 0.5, high: best + 0.5 }, "kgf");
  const words = `Your highest squeeze at your last visit was ${withUnit(one(best), "kgf")} (${other}; ${lowerFirst(hand)}). In the group “${group}”, half of the people squeeze more than ${withUnit(one(median), "kgf")} and most squeeze between ${one(low)} and ${withUnit(one(high), "kgf")}. A published table with five classes calls your value “${band}”.`;
  return markup`<p>${proseHtml(words)} <small>${proseHtml(cautions.join(" "))} ${source}.</small></p>`;
}

/** One golfer's own page: whether they changed, their trials, a norm, cautions. No ranking. */
export function golferSheet(account: GolferAccount): string {
  const invented = account.simulated ? " These data are invented; nobody was tested." : "";
  const body = markup`${leadHtml(account)}
${chartsHtml(account)}
${seriesTable(account)}
<h2>Compared with other people</h2>
${normHtml(account.norm, account.noNorm)}
<h2>What this sheet does not say</h2>
<p>It compares you with yourself, not with the other golfers of the study. It does not say why a value changed, and a stronger grip does not promise a faster swing. It is no medical advice.</p>
${cautionsHtml("Before you squeeze or swing", account.cautions)}`;
  const about = markup`Golfer ${account.code} · ${account.study} · ${account.arm}.${invented}`;
  return handoutHtml(`Golfer ${account.code}`, didIChange(account), about, body);
}
