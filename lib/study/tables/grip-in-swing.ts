import { InputError } from "../../errors.js";
import { mean } from "../../num/sums.js";
import { knownOptions } from "../../options.js";
import { frozen } from "../../stats/estimate.js";
import type { Study } from "../study.js";
import { summariseGrip } from "./summary.js";

/** One hand of a golfer on one occasion: what it does in the swing, and the most it can do. */
export interface HandInSwing {
  /** Code of the golfer. */
  readonly participant: string;
  /** Id of the occasion in the design. */
  readonly occasion: string;
  /** "lead" or "trail". */
  readonly hand: string;
  /** Swings in which force was measured. */
  readonly swings: number;
  /** Mean over swings of the peak grip force, kgf. */
  readonly inSwingKgf: number;
  /** Highest valid trial of the same hand and occasion in the position asked for, kgf. */
  readonly maximumKgf: number;
}

/** Grip force measured during swings beside the maximum measured in the same study. */
export interface GripInSwing {
  /** Name of this record. */
  readonly kind: "gripInSwing";
  /** Hands of golfers on occasions, with both values. */
  readonly n: number;
  /** One row per golfer, occasion and hand. */
  readonly rows: readonly HandInSwing[];
  /** What was measured in the swing but has no maximum to set it against. */
  readonly missing: readonly { readonly participant: string; readonly reason: string }[];
  /** Rows of the file that do not count (pain stop, refused, device, or unreadable). */
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
 * @throws InputError when the position is not in the design
 */
export function gripInSwing(study: Study, options: { position: string }): GripInSwing {
  knownOptions(options, ["position"], "gripInSwing");
  const { position } = options;
  const known = study.design.positions.map(({ id }) => id);
  if (!known.includes(position)) {
    const expected = `a position of the design (${known.join(", ")})`;
    throw new InputError({ expected, got: String(position), where: "gripInSwing, position" });
  }
  const peaks = peaksByHand(study);
  const notValid = setAsideRows(study);
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
    says: sentence(rows, study.swingGrip.totalRows() + notValid),
  });
}

function sentence(rows: readonly HandInSwing[], recorded: number): string {
  if (recorded === 0) {
    return "This study did not measure grip force in the swing, so the share of maximum that its golfers use is not known.";
  }
  const people = new Set(rows.map(({ participant }) => participant)).size;
  return `Grip force in the swing was measured in ${people} golfers who also have a maximum.`;
}

/** Valid peak forces in kgf by person, occasion and hand. */
function peaksByHand({ swingGrip }: Study): Map<string, number[]> {
  const peaks = new Map<string, number[]>();
  for (let row = 0; row < swingGrip.totalRows(); row++) {
    const get = (name: string) => swingGrip.get(name, row) as unknown;
    const key = JSON.stringify([get("participant"), get("occasion"), get("hand")]);
    const values = peaks.get(key) ?? [];
    values.push(Number(get("force_kgf")));
    peaks.set(key, values);
  }
  return peaks;
}

/** Rows of the swing-grip file that the check set aside. */
function setAsideRows({ account, setAside }: Study): number {
  const line = account.find(({ resource }) => resource === "swing-grip");
  return setAside.filter(({ file }) => file === line?.file).length;
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
