import { type Markup, markup, nothing, proseHtml } from "../markup.js";
import { markPath, type Role } from "../show/look.js";
import { companionText, fixedText, withUnit } from "../show/wording.js";
import type { GolferAccount } from "../study/golfer-account.js";
import type { GolferNorm, GolferSeries } from "../study/tables/golfer.js";
import type { GolferChange } from "../study/tables/measuring-error.js";
import { cautionsHtml } from "./cautions.js";
import { handoutHtml } from "./handout-frame.js";

function one(value: number): string {
  return fixedText(value, 1);
}

/** A change with its sign, to the decimal of the values it comes from. */
function signed(value: number, unit: string): string {
  const text = one(value);
  return withUnit(/^0\.0$|^−/.test(text) ? text : `+${text}`, unit);
}

const meanings: Readonly<Record<GolferChange["verdict"], string>> = {
  up: "up, by more than",
  down: "down, by more than",
  "within error": "no change that could be told from",
};

/** The verdict in words; it claims no more than the error that it rests on. */
function meaning({ verdict, betweenVisits, detectable }: GolferChange, unit: string): string {
  const error = betweenVisits ? "measuring error" : "trial-to-trial error";
  const open =
    !betweenVisits && verdict !== "within error" ? "; how much days differ is not known" : "";
  return `${meanings[verdict]} ${error} (${withUnit(one(detectable), unit)})${open}`;
}

function changeCells({ change, unit }: GolferSeries): Markup {
  if (!change) return markup`<td>–</td><td>not measured at both ends</td>`;
  const words = meaning(change, unit);
  return markup`<td class="number">${proseHtml(signed(change.value, unit))}</td><td>${proseHtml(words)}</td>`;
}

function visitCell({ trials, value }: GolferSeries["visits"][number]): Markup {
  if (value === null) return markup`<td class="number">–</td>`;
  const [least, most] = [Math.min(...trials), Math.max(...trials)];
  const few = trials.length <= 4;
  const all = few ? trials.map(one).join(" · ") : `${trials.length}: ${one(least)} to ${one(most)}`;
  return markup`<td class="number"><b>${one(value)}</b><small>${all}</small></td>`;
}

function seriesRow(series: GolferSeries): Markup {
  const visits = series.visits.map(visitCell);
  return markup`<tr><th scope="row">${series.name}<small>${series.unit}</small></th>${visits}${changeCells(series)}</tr>`;
}

function seriesTable(account: GolferAccount): Markup {
  const heads = ["Measured", ...account.visits, "First to last", "What that means"];
  const head = heads.map((name) => markup`<th scope="col">${name}</th>`);
  return markup`<table class="sheet"><caption>Your values; your single trials in small print below each</caption><thead><tr>${head}</tr></thead><tbody>${account.series.map(seriesRow)}</tbody></table>`;
}

const plot = { width: 640, height: 150, left: 44, right: 10, top: 12, bottom: 26 };

function mark(role: Role, x: number, y: number): Markup {
  return markup`<path class="${role}" d="${markPath(role, x, y, 3.2)}"/>`;
}

/** Every trial of the grip series as a mark, visit by visit, series beside series. */
function trialPlot(account: GolferAccount): Markup {
  const grips = account.series.filter(({ role }) => role !== "speed");
  const all = grips.flatMap(({ visits }) => visits.flatMap(({ trials }) => trials));
  if (all.length === 0) return nothing;
  const [least, most] = [
    Math.floor(Math.min(...all) / 5) * 5,
    Math.ceil((Math.max(...all) + 0.1) / 5) * 5,
  ];
  const y = (force: number) =>
    plot.top + ((most - force) / (most - least)) * (plot.height - plot.top - plot.bottom);
  const wide = (plot.width - plot.left - plot.right) / account.visits.length;
  const marks = grips.flatMap((series, s) =>
    series.visits.flatMap(({ trials }, v) =>
      trials.map((force) =>
        mark(series.role, plot.left + wide * v + (wide * (s + 1)) / (grips.length + 1), y(force)),
      ),
    ),
  );
  const ticks = Array.from({ length: (most - least) / 5 + 1 }, (_, i) => least + 5 * i).map(
    (tick) =>
      markup`<path class="grid" d="M${plot.left} ${y(tick).toFixed(1)}H${plot.width - plot.right}"/><text x="${plot.left - 6}" y="${(y(tick) + 3.5).toFixed(1)}" class="end">${tick}</text>`,
  );
  const names = account.visits.map(
    (visit, v) =>
      markup`<text x="${(plot.left + wide * (v + 0.5)).toFixed(1)}" y="${plot.height - 8}" class="mid">${visit}</text>`,
  );
  const label = `Every squeeze of ${grips.length} series, visit by visit, from ${one(Math.min(...all))} to ${one(Math.max(...all))} kgf.`;
  return markup`<figure><svg class="trials" viewBox="0 0 ${plot.width} ${plot.height}" role="img" aria-label="${label}">${ticks}${marks}${names}</svg><figcaption>Every squeeze as a mark, in kgf: filled circles for the lead hand, open diamonds for the trail hand.</figcaption></figure>`;
}

function normHtml(norm: GolferNorm | undefined, reason: string | undefined): Markup {
  if (!norm) return markup`<p>No comparison with other people: ${reason ?? "none was made"}.</p>`;
  const { best, hand, group, middle, band, low, high, source, cautions } = norm;
  const other = companionText({ value: best, low: best - 0.5, high: best + 0.5 }, "kgf");
  const words = `Your highest squeeze at your last visit was ${withUnit(one(best), "kgf")} (${other}; ${hand.toLowerCase()}). In the group “${group}” half squeeze more than ${withUnit(one(middle), "kgf")}; your value lies in the fifth called “${band}”. Single people alike commonly lie anywhere from ${one(low)} to ${withUnit(one(high), "kgf")}.`;
  return markup`<p>${proseHtml(words)}</p><p><small>${proseHtml(cautions.join(" "))} ${source}.</small></p>`;
}

function errorNote(account: GolferAccount): Markup {
  const sources = [
    ...new Set(account.series.flatMap(({ change }) => (change ? [change.from] : []))),
  ];
  const compared = account.series.filter(({ change }) => change).length;
  if (compared === 0) return nothing;
  const chance =
    compared > 4
      ? ` With ${compared} comparisons, one may look like a change when nothing changed.`
      : "";
  return markup`<p>Two measurements of an unchanged person differ too. The error in brackets is what such differences stay within 95 times in 100, taken from ${sources.join("; or from ")}.${chance}</p>`;
}

/** One golfer's own page: trials, change against measurement error, norm, cautions. No ranking. */
export function golferSheet(account: GolferAccount): string {
  const invented = account.simulated ? " These data are invented; nobody was tested." : "";
  const body = markup`<p class="about">${account.study} · ${account.arm}.${invented}</p>
${seriesTable(account)}
${errorNote(account)}
${trialPlot(account)}
<h2>Beside other people</h2>
${normHtml(account.norm, account.noNorm)}
<h2>What this sheet does not say</h2>
<p>It compares you with yourself, not with the other golfers of the study. It does not say why a value changed, and a stronger grip does not promise a faster swing. It is no medical advice.</p>
${cautionsHtml("Before you squeeze or swing", account.cautions)}`;
  return handoutHtml(`Golfer ${account.code}`, body);
}
