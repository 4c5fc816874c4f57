import { itemAt, present } from "../entry.js";
import { type Markup, markup, nothing } from "../markup.js";
import { answerRole } from "../show/answer-words.js";
import type { Finding } from "../show/finding-record.js";
import { markPath, type Role } from "../show/look.js";
import { countedOf, fixedText } from "../show/wording.js";

/** A span of the number line that several strips share. */
export interface StripScale {
  /** Value at the left end. */
  readonly from: number;
  /** Value at the right end. */
  readonly to: number;
  /** Values that are marked. */
  readonly ticks: readonly number[];
}

const size = { width: 260, height: 26, margin: 10 } as const;

/** Round steps of 1, 2 or 5 times a power of ten, about five to the span. */
function stepFor(span: number): number {
  const rough = span / 5;
  const power = 10 ** Math.floor(Math.log10(rough));
  const lead = rough / power;
  return (lead <= 1 ? 1 : lead <= 2 ? 2 : lead <= 5 ? 5 : 10) * power;
}

function ends(finding: Finding): number[] {
  const { value, low = value, high = value, references = [] } = finding;
  return [value, low, high, ...references.map((mark) => mark.value)];
}

/** Whether a picture tells more than the number: an interval, reference values, or a share of a count. */
export function isDrawable({ low, references, unit }: Finding): boolean {
  return low !== undefined || Boolean(references?.length) || Boolean(countedOf(unit));
}

/** From none to all of those counted. */
function countScale(total: number): StripScale {
  const step = Math.max(1, stepFor(total));
  const inner = Array.from({ length: Math.ceil(total / step) }, (_, i) => i * step);
  const ticks = [...inner.filter((tick) => tick === 0 || tick < total - step / 2), total];
  return { from: 0, to: total, ticks };
}

/** The scale that shows all of these findings, with zero on it when they come near. */
export function scaleFor(findings: readonly Finding[]): StripScale {
  const total = countedOf(findings[0]?.unit ?? "");
  if (total && findings.every(({ unit }) => countedOf(unit) === total)) return countScale(total);
  const all = findings.flatMap(ends);
  let [low, high] = [Math.min(...all), Math.max(...all)];
  const span = high - low;
  if (low > 0 && low < 2 * span) low = 0;
  if (high < 0 && -high < 2 * span) high = 0;
  if (low === high) {
    low -= Math.abs(low) / 10 || 1;
    high += Math.abs(high) / 10 || 1;
  }
  const step = stepFor(high - low);
  const first = Math.floor(low / step);
  const last = Math.ceil(high / step);
  const ticks = Array.from({ length: last - first + 1 }, (_, i) => (first + i) * step);
  return { from: itemAt(ticks, 0), to: present(ticks.at(-1)), ticks };
}

function extent(finding: Finding): number {
  return Math.max(...ends(finding).map(Math.abs), Number.MIN_VALUE);
}

/**
 * Sorts findings into sets that can share a scale: one unit, and no set in which the largest would
 * press the smallest to a dot.
 */
export function sharedScales<T extends { finding: Finding }>(rows: readonly T[]): T[][] {
  const sets: { unit: string; least: number; most: number; rows: T[] }[] = [];
  const order = [...rows].sort((a, b) => extent(a.finding) - extent(b.finding));
  for (const row of order) {
    const { unit } = row.finding;
    const own = extent(row.finding);
    const set = sets.find((s) => s.unit === unit && own <= 8 * s.least);
    if (set) {
      set.rows.push(row);
      set.most = own;
    } else sets.push({ unit, least: own, most: own, rows: [row] });
  }
  const place = new Map(rows.map((row, i) => [row, i]));
  const inOrder = (list: T[]) =>
    [...list].sort((a, b) => present(place.get(a)) - present(place.get(b)));
  return sets
    .map((set) => inOrder(set.rows))
    .sort((a, b) => present(place.get(itemAt(a, 0))) - present(place.get(itemAt(b, 0))));
}

function placeOn(scale: StripScale) {
  const { width, margin } = size;
  return (value: number) =>
    Number(
      (margin + ((value - scale.from) / (scale.to - scale.from)) * (width - 2 * margin)).toFixed(2),
    );
}

/** The colour and shape of a finding, from what it is about. */
export function roleOf(finding: Finding): Role {
  return answerRole(finding) ?? (finding.unit === "mph" ? "speed" : "lead");
}

function markAt(role: Role, x: number, y: number): Markup {
  return markup`<g class="mark ${role}"><path d="${markPath(role, x, y, 5)}"/></g>`;
}

/** One finding as a strip: interval, mark, zero and reference values. Its words stand beside it. */
export function stripSvg(finding: Finding, scale: StripScale): Markup {
  const at = placeOn(scale);
  const middle = size.height / 2;
  const { low, high, value } = finding;
  const zero =
    scale.from <= 0 && scale.to >= 0
      ? markup`<path class="zero" d="M${at(0)} 0v${size.height}"/>`
      : "";
  const references = (finding.references ?? []).map(
    (mark) =>
      markup`<path class="reference" d="M${at(mark.value)} 2v${size.height - 4}"><title>${mark.name}</title></path>`,
  );
  const interval =
    low === undefined || high === undefined
      ? ""
      : markup`<path class="interval" d="M${at(low)} ${middle}H${at(high)}M${at(low)} ${middle - 5}v10M${at(high)} ${middle - 5}v10"/>`;
  const mark = markAt(roleOf(finding), at(value), middle);
  return markup`<svg class="strip" viewBox="0 0 ${size.width} ${size.height}" aria-hidden="true">${zero}${references}${interval}${mark}</svg>`;
}

/** The axis under strips that share a scale. */
export function scaleSvg(scale: StripScale): Markup {
  const at = placeOn(scale);
  const step = itemAt(scale.ticks, 1) - itemAt(scale.ticks, 0);
  const decimals = Math.max(0, -Math.floor(Math.log10(step) + 1e-9));
  const ticks = scale.ticks.map(
    (tick) =>
      markup`<path d="M${at(tick)} 0v5"/><text x="${at(tick)}" y="17">${fixedText(tick, decimals)}</text>`,
  );
  const line = markup`<path d="M${at(scale.from)} .5H${at(scale.to)}"/>`;
  return markup`<svg class="scale" viewBox="0 0 ${size.width} 20" aria-hidden="true">${line}${ticks}</svg>`;
}

function keyEntry(inside: Markup, words: string): Markup {
  return markup`<li><svg class="strip" viewBox="0 0 24 18" aria-hidden="true">${inside}</svg> ${words}</li>`;
}

/** A strip of its own for one finding, with its axis; nothing where the number says it all. */
export function soloStrip(finding: Finding): Markup {
  if (!isDrawable(finding)) return nothing;
  const scale = scaleFor([finding]);
  const unit = finding.unit === "" ? "" : markup`<span class="unit">${finding.unit}</span>`;
  return markup`<div class="solo">${stripSvg(finding, scale)}${scaleSvg(scale)}${unit}</div>`;
}

/** What the marks of the strips stand for. */
export function stripKey(): Markup {
  const entries = [
    keyEntry(markAt("lead", 12, 9), "lead hand"),
    keyEntry(markAt("trail", 12, 9), "trail hand"),
    keyEntry(markAt("speed", 12, 9), "club speed"),
    keyEntry(markup`<path class="interval" d="M2 9H22M2 4v10M22 4v10"/>`, "interval"),
    keyEntry(markup`<path class="zero" d="M12 1v16"/>`, "zero"),
    keyEntry(markup`<path class="reference" d="M12 1v16"/>`, "reference value"),
  ];
  return markup`<ul class="key">${entries}</ul>`;
}
