import { itemAt } from "../entry.js";
import { upperFirst } from "../first-letter.js";
import { type Markup, markup, nothing } from "../markup.js";
import { markPath, px, type Role } from "../show/look.js";
import { fixedText } from "../show/wording.js";
import type { GolferSeries } from "../study/tables/golfer.js";

/** A series with both ends measured or not, and its label in the chart. */
interface Row {
  readonly label: string;
  readonly series: GolferSeries;
}

interface Frame {
  readonly width: number;
  readonly left: number;
  readonly right: number;
  /** Height of a row, px; labels stand above the row where the chart is narrow. */
  readonly row: number;
  readonly narrow: boolean;
}

const wide: Frame = { width: 712, left: 176, right: 146, row: 46, narrow: false };
const narrow: Frame = { width: 328, left: 8, right: 8, row: 60, narrow: true };
const head = 26;
const foot = 40;

/** The place of a series among those of its hand: what follows its first comma. */
function labelOf({ name }: GolferSeries): string {
  const words = name.includes(", ") ? name.slice(name.indexOf(", ") + 2) : name;
  return upperFirst(words);
}

/** "+4.4: changed", "−0.4: within error" or why there is no change. */
export function verdictWords({ change }: GolferSeries): string {
  if (!change) return "not tested twice";
  const number = fixedText(change.value, 1);
  const signed = /^0\.0$|^−/.test(number) ? number : `+${number}`;
  return `${signed}: ${change.verdict === "within error" ? "within error" : "changed"}`;
}

function valuesOf({ visits, change }: GolferSeries): number[] {
  const [first, last] = [visits[0], visits.at(-1)];
  const start = first?.value;
  const band =
    change && start !== null && start !== undefined
      ? [start - change.detectable, start + change.detectable]
      : [];
  return [...(first?.trials ?? []), ...(last?.trials ?? []), ...band];
}

function mark(role: Role | "first", x: number, y: number): Markup {
  if (role === "first") {
    return markup`<circle class="first" cx="${px(x)}" cy="${px(y)}" r="3.4"/>`;
  }
  return markup`<path class="${role}" d="${markPath(role, x, y, 3.4)}"/>`;
}

function rowHtml({ label, series }: Row, top: number, frame: Frame, at: (v: number) => number) {
  const { visits, change, role } = series;
  const [first, last] = [visits[0], visits.at(-1)];
  const up = top + (frame.narrow ? 17 : 0);
  const [early, late] = [up + 15, up + 29];
  const start = first?.value;
  const band =
    change && start !== null && start !== undefined
      ? markup`<rect class="band" x="${px(at(start - change.detectable))}" y="${up + 6}" width="${px(at(start + change.detectable) - at(start - change.detectable))}" height="32"/>`
      : nothing;
  const tick = (value: number | null | undefined, y: number, name: string) =>
    value === null || value === undefined
      ? nothing
      : markup`<path class="${name}" d="M${px(at(value))} ${y - 7}v14"/>`;
  const trials = [
    (first?.trials ?? []).map((force) => mark("first", at(force), early)),
    visits.length > 1 ? (last?.trials ?? []).map((force) => mark(role, at(force), late)) : [],
  ];
  const words = frame.narrow
    ? markup`<text x="0" y="${top + 15}">${label}</text><text x="${frame.width}" y="${top + 15}" class="end">${verdictWords(series)}</text>`
    : markup`<text x="${frame.left - 16}" y="${up + 27}" class="end">${label}</text><text x="${frame.width - frame.right + 14}" y="${up + 27}">${verdictWords(series)}</text>`;
  return markup`${band}${trials}${tick(start, early, "mean-first")}${visits.length > 1 ? tick(last?.value, late, "mean-last") : ""}${words}`;
}

function stepFor(span: number, most: number): number {
  return itemAt([1, 2, 5, 10, 20, 50, 100].filter((step) => span / step <= most).concat(200), 0);
}

function svg(title: string, rows: readonly Row[], frame: Frame, label: string): Markup {
  const all = rows.flatMap(({ series }) => valuesOf(series));
  const step = stepFor(Math.max(...all) - Math.min(...all), frame.narrow ? 5 : 7);
  const [from, to] = [
    Math.floor(Math.min(...all) / step) * step,
    Math.ceil(Math.max(...all) / step + 1e-9) * step,
  ];
  const span = frame.width - frame.left - frame.right - 16;
  const at = (value: number) => frame.left + 8 + ((value - from) / (to - from)) * span;
  const bottom = head + rows.length * frame.row;
  const ticks = Array.from(
    { length: Math.round((to - from) / step) + 1 },
    (_, i) => from + i * step,
  );
  const grid = ticks.map(
    (tick) =>
      markup`<path class="grid" d="M${px(at(tick))} ${head}V${bottom}"/><text x="${px(at(tick))}" y="${bottom + 16}" class="mid">${fixedText(tick, 0)}</text>`,
  );
  const unit = itemAt(rows, 0).series.unit;
  const body = rows.map((row, i) => rowHtml(row, head + i * frame.row, frame, at));
  const kind = frame.narrow ? "narrow-drawing" : "wide-drawing";
  return markup`<div class="${kind}"><svg class="trials" viewBox="0 0 ${frame.width} ${bottom + foot}" role="img" aria-label="${label}"><text x="0" y="15" class="heading">${title}</text>${grid}${body}<text x="${px(at((from + to) / 2))}" y="${bottom + 33}" class="mid">${unit}</text></svg></div>`;
}

/**
 * The trials of a hand or a club, first visit above last visit, in a row for each position: single
 * trials as marks, means as ticks, and the band in which an unchanged golfer's next test falls.
 */
export function golferChart(title: string, series: readonly GolferSeries[]): Markup {
  const rows = series
    .filter((one) => valuesOf(one).length > 0)
    .map((one) => ({ label: labelOf(one), series: one }));
  if (rows.length === 0) return nothing;
  const words = rows.map(({ label, series: one }) => `${label}, ${verdictWords(one)}`);
  const label = `${title}, first and last visit: ${words.join("; ")}.`;
  return markup`${svg(title, rows, wide, label)}${svg(title, rows, narrow, label)}`;
}
