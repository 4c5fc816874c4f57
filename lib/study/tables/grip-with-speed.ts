import type { ColumnTable } from "arquero";
import { present } from "../../entry.js";
import { InputError } from "../../errors.js";
import { frozen } from "../../stats/estimate.js";
import { hasColumn, matching, type Where } from "./selection.js";

/** Grip and club speed of the same person on the same occasion, as plain columns. */
export interface GripWithSpeed {
  /** Name of this record. */
  readonly kind: "gripWithSpeed";
  /** Visits with both values. */
  readonly n: number;
  /** Code of the golfer, row by row. */
  readonly participant: readonly string[];
  /** Id of the golfer's arm, row by row. */
  readonly arm: readonly string[];
  /** Id of the occasion, row by row. */
  readonly occasion: readonly string[];
  /** Week of the occasion, row by row. */
  readonly week: readonly number[];
  /** Grip, kgf. */
  readonly grip_kgf: readonly number[];
  /** Club speed, m/s. */
  readonly speed_mps: readonly number[];
  /** Club speed, mph. */
  readonly speed_mph: readonly number[];
  /** Person and occasion with only one of the two values. */
  readonly unmatched: readonly { participant: string; occasion: string; lacks: "grip" | "speed" }[];
}

/**
 * Sets grip beside club speed, one place per person and occasion that has both.
 * @param grip from `summariseGrip`
 * @param speed from `summariseSpeed`
 * @param where leaves one grip row per person and occasion, such as {hand: "lead", position:
 *   "address"}; columns that a table does not have are not asked of it; `occasion` may be given too
 * @returns participant, arm, occasion, week, grip_kgf, speed_mps and speed_mph of equal length
 * @throws InputError when a person has more than one row left on an occasion
 * @example gripWithSpeed(summariseGrip(openStudy("coach-nine"), { rule: "mean3" }), summariseSpeed(openStudy("coach-nine"), { rule: "mean" }), { hand: "lead" }).n // 18
 */
export function gripWithSpeed(
  grip: ColumnTable,
  speed: ColumnTable,
  where: Where = {},
): GripWithSpeed {
  const grips = byVisit(grip, where, "grip_kgf");
  const speeds = byVisit(speed, where, "speed_mps");
  const both = [...grips.keys()].filter((key) => speeds.has(key));
  const pick = <T>(take: (g: Visit, s: Visit) => T): T[] =>
    both.map((key) => take(present(grips.get(key)), present(speeds.get(key))));
  const lacking = (from: Map<string, Visit>, other: Map<string, Visit>, lacks: "grip" | "speed") =>
    [...from.entries()]
      .filter(([key]) => !other.has(key))
      .map(([, { participant, occasion }]) => ({ participant, occasion, lacks }));
  return frozen({
    kind: "gripWithSpeed",
    n: both.length,
    participant: pick((g) => g.participant),
    arm: pick((g) => g.arm),
    occasion: pick((g) => g.occasion),
    week: pick((g) => g.week),
    grip_kgf: pick((g) => g.value),
    speed_mps: pick((_, s) => s.value),
    speed_mph: pick((_, s) => s.mph),
    unmatched: [...lacking(grips, speeds, "speed"), ...lacking(speeds, grips, "grip")],
  });
}

interface Visit {
  readonly participant: string;
  readonly arm: string;
  readonly occasion: string;
  readonly week: number;
  readonly value: number;
  readonly mph: number;
}

function byVisit(summary: ColumnTable, where: Where, value: string): Map<string, Visit> {
  const known = Object.fromEntries(
    Object.entries(where).filter(([name]) => hasColumn(summary, name)),
  );
  const chosen = matching(summary, known, "gripWithSpeed");
  const visits = new Map<string, Visit>();
  for (let row = 0; row < chosen.totalRows(); row++) {
    const get = (name: string) => (hasColumn(chosen, name) ? chosen.get(name, row) : null);
    const participant = String(get("participant"));
    const occasion = String(get("occasion"));
    const key = JSON.stringify([participant, occasion]);
    if (visits.has(key))
      throw new InputError({
        expected: "one row per person and occasion; choose in `where` a hand, position or club",
        got: `more than one for ${participant} on ${occasion}`,
        where: "gripWithSpeed",
      });
    visits.set(key, {
      participant,
      occasion,
      arm: String(get("arm")),
      week: Number(get("week")),
      value: Number(get(value)),
      mph: Number(get("speed_mph")),
    });
  }
  return visits;
}
