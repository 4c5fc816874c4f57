import { InputError } from "../errors.js";
import { mean } from "../num/sums.js";
import { frozen } from "../stats/estimate.js";
import { convert } from "../units/convert.js";
import { readUnit } from "../units/unit.js";
import { columnOf, valueAt } from "./columns.js";
import { hasColumn, textColumn } from "./selection.js";
import type { Study } from "./study.js";
import { summariseGrip } from "./summary.js";

/** One hand of a golfer on one occasion: what it does in the swing, and the most it can do. */
export interface HandInSwing {
  readonly participant: string;
  readonly occasion: string;
  readonly hand: string;
  readonly swings: number;
  /** Mean over swings of the peak grip force, kgf. */
  readonly inSwingKgf: number;
  /** Highest valid trial of the same hand and occasion in the position asked for, kgf. */
  readonly maximumKgf: number;
}

/** Grip force measured during swings beside the maximum measured in the same study. */
export interface GripInSwing {
  readonly kind: "gripInSwing";
  /** Hands of golfers on occasions, with both values. */
  readonly n: number;
  readonly rows: readonly HandInSwing[];
  /** What was measured in the swing but has no maximum to set it against. */
  readonly missing: readonly { readonly participant: string; readonly reason: string }[];
  /** Rows of the file that do not count (pain stop, refused, device). */
  readonly notValid: number;
  /** Whether there is anything, as a sentence. */
  readonly says: string;
}

/**
 * Grip force that the study measured in swings, beside each golfer's own maximum of the same hand
 * and occasion. A study without such a file gives no rows and says so; nothing published stands in.
 * @param study from `openStudy`; its swing-grip file holds the peak force of each swing
 * @param options position: the test position whose highest trial is the maximum
 * @returns forces in kgf; give them to `shareOfMaximum` for the share in percent
 * @throws InputError when the position is not in the design, or a unit of the file is no force
 */
export function gripInSwing(study: Study, { position }: { position: string }): GripInSwing {
  const known = study.design.positions.map(({ id }) => id);
  if (!known.includes(position)) {
    const expected = `a position of the design (${known.join(", ")})`;
    throw new InputError({ expected, got: String(position), where: "gripInSwing, position" });
  }
  const { peaks, notValid } = peaksByHand(study);
  const maxima = maximaByHand(study, position);
  const rows: HandInSwing[] = [];
  const missing: { participant: string; reason: string }[] = [];
  for (const [key, forces] of peaks) {
    const [participant, occasion, hand] = JSON.parse(key) as [string, string, string];
    const maximumKgf = maxima.get(key);
    const swings = forces.length;
    if (maximumKgf === undefined) {
      missing.push({ participant, reason: `no valid ${hand}-hand trial at ${occasion}` });
    } else {
      const inSwingKgf = mean(Float64Array.from(forces));
      rows.push({ participant, occasion, hand, swings, inSwingKgf, maximumKgf });
    }
  }
  return frozen({
    kind: "gripInSwing",
    n: rows.length,
    rows,
    missing,
    notValid,
    says: sentence(rows, study.swingGrip.totalRows()),
  });
}

function sentence(rows: readonly HandInSwing[], recorded: number): string {
  if (recorded === 0) {
    return "This study did not measure grip force in the swing, so it can say nothing about the share of maximum that its golfers use.";
  }
  const people = new Set(rows.map(({ participant }) => participant)).size;
  return `Grip force in the swing was measured in ${people} golfers who also have a maximum.`;
}

/** Valid peak forces in kgf by person, occasion and hand. */
function peaksByHand(study: Study) {
  const table = study.swingGrip;
  const column = (name: string) => columnOf(table, name);
  const text = (name: string, row: number) => String(valueAt(column(name), row));
  const peaks = new Map<string, number[]>();
  let notValid = 0;
  for (let row = 0; row < table.totalRows(); row++) {
    const force = Number(valueAt(column("force"), row));
    const status = hasColumn(table, "status") ? text("status", row) : "valid";
    if (status !== "valid" || !Number.isFinite(force)) {
      notValid++;
      continue;
    }
    const participant = text("participant", row);
    const hand = onTheClub(study, participant, text("hand", row));
    const key = JSON.stringify([participant, text("occasion", row), hand]);
    const { symbol } = readUnit(text("unit", row), { quantity: "force" });
    const own = peaks.get(key) ?? [];
    own.push(convert(force, symbol, "kgf"));
    peaks.set(key, own);
  }
  return { peaks, notValid };
}

/** A hand written by its side, as its place on the club: a right-sided player leads with the left. */
function onTheClub({ participants }: Study, participant: string, hand: string): string {
  if (hand === "lead" || hand === "trail") return hand;
  const plays = textColumn(participants, "plays");
  const side = plays[textColumn(participants, "participant").indexOf(participant)];
  return side === hand ? "trail" : "lead";
}

function maximaByHand(study: Study, position: string): Map<string, number> {
  const summary = summariseGrip(study, { rule: "max" });
  const maxima = new Map<string, number>();
  for (let row = 0; row < summary.totalRows(); row++) {
    const get = (name: string) => summary.get(name, row) as unknown;
    if (get("position") !== position) continue;
    const key = JSON.stringify([get("participant"), get("occasion"), get("hand")]);
    maxima.set(key, Number(get("grip_kgf")));
  }
  return maxima;
}
