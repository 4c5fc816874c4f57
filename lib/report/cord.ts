import { itemAt, present } from "../entry.js";
import { type Markup, markup, nothing } from "../markup.js";
import { answerRole } from "../show/answer-words.js";
import type { Finding } from "../show/finding-record.js";
import { markPath, px, type Role } from "../show/look.js";
import { countedOf, fixedText } from "../show/wording.js";

/** A span of the number line that several cords share. */
export interface CordScale {
  /** Value at the left end. */
  readonly from: number;
  /** Value at the right end. */
  readonly to: number;
}

const size = { width: 220, height: 30, margin: 9, middle: 13, sag: 11 } as const;

/** Round steps of 1, 2 or 5 times a power of ten, about five to the span. */
function stepFor(span: number): number {
  const rough = span / 5;
  const power = 10 ** Math.floor(Math.log10(rough));
  const lead = rough / power;
  return (lead <= 1 ? 1 : lead <= 2 ? 2 : lead <= 5 ? 5 : 10) * power;
}

function ends(finding: Finding): number[] {
  const { value, low = value, high = value } = finding;
  return [value, low, high, ...(finding.references ?? []).map((mark) => mark.value)];
}

/** Whether there is a cord to draw: a number without an interval stands in words only. */
export function isDrawable({ low }: Finding): boolean {
  return low !== undefined;
}

/** The scale that shows all of these findings, with zero on it when they come near. */
export function scaleFor(findings: readonly Finding[]): CordScale {
  const total = countedOf(findings[0]?.unit ?? "");
  if (total && findings.every(({ unit }) => countedOf(unit) === total)) {
    return { from: 0, to: total };
  }
  const all = findings.flatMap(ends);
  let [low, high] = [Math.min(...all), Math.max(...all)];
  const span = high - low;
  if (low > 0 && low < 2 * span) low = 0;
  if (high < 0 && -high < 2 * span) high = 0;
  // Limits that differ by rounding only would make a scale too narrow for a second tick.
  if (high - low <= 1e-9 * Math.max(Math.abs(low), Math.abs(high))) {
    low -= Math.abs(low) / 10 || 1;
    high += Math.abs(high) / 10 || 1;
  }
  const step = stepFor(high - low);
  const round = (edge: number) => Number((edge * step).toPrecision(12));
  return { from: round(Math.floor(low / step)), to: round(Math.ceil(high / step)) };
}

/** The values that the axis of a scale names. */
export function ticksOf({ from, to }: CordScale): number[] {
  const step = stepFor(to - from);
  const first = Math.ceil(from / step - 1e-9);
  const count = Math.floor(to / step + 1e-9) - first + 1;
  return Array.from({ length: count }, (_, i) => Number(((first + i) * step).toPrecision(12)));
}

function extent(finding: Finding): number {
  return Math.max(...ends(finding).map(Math.abs), Number.MIN_VALUE);
}

/**
 * Sorts findings into sets that can share a scale: one unit, and no set in which the largest would
 * press the smallest to a dot.
 */
export function sharedScales<T extends { finding: Finding }>(rows: readonly T[]): T[][] {
  const sets: { unit: string; least: number; rows: T[] }[] = [];
  const order = [...rows].sort((a, b) => extent(a.finding) - extent(b.finding));
  for (const row of order) {
    const { unit } = row.finding;
    const reach = extent(row.finding);
    const set = sets.find((s) => s.unit === unit && reach <= 8 * s.least);
    if (set) set.rows.push(row);
    else sets.push({ unit, least: reach, rows: [row] });
  }
  const place = new Map(rows.map((row, i) => [row, i]));
  const inOrder = (list: T[]) =>
    [...list].sort((a, b) => present(place.get(a)) - present(place.get(b)));
  return sets
    .map((set) => inOrder(set.rows))
    .sort((a, b) => present(place.get(itemAt(a, 0))) - present(place.get(itemAt(b, 0))));
}

function placeOn({ from, to }: CordScale) {
  const { width, margin } = size;
  return (value: number) => margin + ((value - from) / (to - from)) * (width - 2 * margin);
}

/** A point of the cord: how far it hangs at a share of its length, px. */
function hangAt(sag: number, share: number): number {
  return sag * 4 * share * (1 - share);
}

/**
 * The line between two limits, with its limits and its mark. It hangs where the value compared with
 * lies between the limits; the limits themselves are exact.
 * @param at places in px of low, value and high
 */
export function cordLine(
  at: { readonly low: number; readonly value: number; readonly high: number },
  y: number,
  taut: boolean,
  role: Role | undefined,
): Markup {
  const span = at.high - at.low;
  const sag = taut ? 0 : Math.min(size.sag, span / 3);
  const middle = (at.low + at.high) / 2;
  const line = `M${px(at.low)} ${px(y)}Q${px(middle)} ${px(y + 2 * sag)} ${px(at.high)} ${px(y)}`;
  const limits = `M${px(at.low)} ${px(y - 5)}v10M${px(at.high)} ${px(y - 5)}v10`;
  const share = span > 0 ? (at.value - at.low) / span : 0;
  const inside = share >= 0 && share <= 1;
  const mark = markAt(role, at.value, y + (inside ? hangAt(sag, share) : 0));
  return markup`<path class="line" d="${line}"/><path class="limit" d="${limits}"/>${mark}`;
}

/** The mark of a value: the shape of its family, or a tick. */
function markAt(role: Role | undefined, x: number, y: number): Markup {
  if (role === undefined) {
    return markup`<path class="tick" d="M${px(x)} ${px(y - 6)}v12"/>`;
  }
  return markup`<g class="mark ${role}"><path d="${markPath(role, x, y, 4.5)}"/></g>`;
}

/** Whether an interval leaves out the value that it is compared with. */
function excludes({ low, high }: Finding, value: number): boolean {
  return low !== undefined && high !== undefined && (low > value || high < value);
}

/**
 * One finding as a cord: a line held between its limits, taut where it excludes the value compared
 * with and slack where it includes it. Its words stand beside it.
 * @param comparedWith zero unless a conclusion compares with another value
 */
export function cordSvg(finding: Finding, scale: CordScale, comparedWith = 0): Markup {
  const at = placeOn(scale);
  const { low, high, value } = finding;
  const upright = (place: number, name: string) =>
    markup`<path class="${name}" d="M${px(at(place))} 1v${size.height - 2}"/>`;
  const isOn = (place: number) => place >= scale.from && place <= scale.to;
  const zero = isOn(0) ? upright(0, "zero") : nothing;
  const references = (finding.references ?? [])
    .filter(({ value: place }) => isOn(place))
    .map(({ value: place }) => upright(place, "reference"));
  const drawn =
    low === undefined || high === undefined
      ? markAt(answerRole(finding), at(value), size.middle)
      : cordLine(
          { low: at(low), value: at(value), high: at(high) },
          size.middle,
          excludes(finding, comparedWith),
          answerRole(finding),
        );
  return markup`<svg class="cord" data-from="${scale.from}" data-to="${scale.to}" viewBox="0 0 ${size.width} ${size.height}" aria-hidden="true">${zero}${references}${drawn}</svg>`;
}

/** The axis under cords that share a scale. */
export function axisSvg(scale: CordScale): Markup {
  const at = placeOn(scale);
  const ticks = ticksOf(scale);
  const step = itemAt(ticks, 1) - itemAt(ticks, 0);
  const decimals = Math.max(0, -Math.floor(Math.log10(step) + 1e-9));
  const few = ticks.filter((_, i) => ticks.length <= 6 || i % 2 === 0);
  const marks = few.map(
    (tick) =>
      markup`<path d="M${px(at(tick))} 0v4"/><text x="${px(at(tick))}" y="15">${fixedText(tick, decimals)}</text>`,
  );
  const line = markup`<path d="M${px(at(scale.from))} .5H${px(at(scale.to))}"/>`;
  return markup`<svg class="axis-line" viewBox="0 0 ${size.width} 18" aria-hidden="true">${line}${marks}</svg>`;
}

/** A cord of its own for one finding, with its axis; nothing where the number says it all. */
export function soloCord(finding: Finding): Markup {
  if (!isDrawable(finding)) return nothing;
  const scale = scaleFor([finding]);
  return markup`<div class="solo">${cordSvg(finding, scale)}${axisSvg(scale)}</div>`;
}

function keyEntry(width: number, inside: Markup, words: string): Markup {
  return markup`<li><svg class="cord" viewBox="0 0 ${width} 26" width="${width}" height="26" aria-hidden="true">${inside}</svg> ${words}</li>`;
}

const roleWords = { lead: "lead hand", trail: "trail hand", speed: "club speed" } as const;

/** What the cords and marks of these findings stand for. */
export function cordKey(findings: readonly Finding[]): Markup {
  const roles = (["lead", "trail", "speed"] as const).filter((role) =>
    findings.some((finding) => answerRole(finding) === role),
  );
  const ends = { low: 4, value: 24, high: 44 };
  const references = findings.some((finding) => (finding.references ?? []).length > 0);
  return markup`<ul class="key">${keyEntry(48, cordLine(ends, 9, true, undefined), "interval excludes zero: taut")}${keyEntry(48, cordLine(ends, 7, false, undefined), "interval includes zero: slack")}${roles.map((role) => keyEntry(16, markAt(role, 8, 13), roleWords[role]))}${references ? keyEntry(10, markup`<path class="reference" d="M5 2v22"/>`, "reference value") : ""}</ul>`;
}
