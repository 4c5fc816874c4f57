import { InputError } from "../../errors.js";
import { studentT } from "../../num/distributions.js";
import { knownOptions } from "../../options.js";
import { type Estimate, frozen } from "../estimate.js";
import { shown } from "../input.js";
import { tEstimate } from "../t-estimate.js";
import type { VisitsFit } from "./visits.js";

/** What is assumed about people who were not seen at a visit. */
export interface DropoutShift {
  /** Label of the visit; default: the last one. */
  readonly visit?: string | number;
  /**
   * What is added to the expected value of each person not seen at that visit, in the unit of y:
   * −2 says that those who left ended 2 lower than others like them. One number for every arm, or
   * one by arm (arms that are not named: 0).
   */
  readonly shift: number | Readonly<Record<string, number>>;
}

/** A comparison of arms when those who left are assumed to differ from those who stayed. */
export interface ShiftedDropouts {
  /** Name of the function that made this record. */
  readonly kind: "shiftDropouts";
  /** Label of the visit. */
  readonly visit: string;
  /** By arm, unit of y. */
  readonly shift: Readonly<Record<string, number>>;
  /** By arm: people in the fit, how many of them were not seen at the visit, and their share. */
  readonly missing: Readonly<
    Record<string, { readonly people: number; readonly missing: number; readonly share: number }>
  >;
  /** Means of the arms with the shift; unit of y. */
  readonly means: Readonly<Record<string, Estimate>>;
  /** Arm − reference with the shift, and without; unit of y. */
  readonly differences: Readonly<Record<string, Estimate>>;
  /** Arm − reference as fitted, without a shift; unit of y. */
  readonly unshifted: Readonly<Record<string, Estimate>>;
  /**
   * By arm: the shift of its own people alone that brings a limit of the interval to 0, so that a
   * difference that excludes zero no longer does; left out where the interval includes zero already
   * or no shift does so.
   */
  readonly tippingShift: Readonly<Record<string, number>>;
  /** How the numbers were computed, in a phrase that a report can print. */
  readonly method: string;
  /** What to know before the result is used, one sentence each; empty when nothing is doubtful. */
  readonly warnings: readonly string[];
}

/**
 * What a difference would be if those who left had ended lower, or higher, than the fit expects.
 *
 * `fitVisits` expects of a person who was not seen what it sees in people of the same arm with the
 * same earlier values (missing at random), which no data can confirm. Here a shift δ is added to
 * that expectation for each person not seen (delta adjustment, a pattern-mixture model):
 *
 *   mean(arm) + δ·π,   difference + δ·π(arm) − δ·π(reference),   π the share not seen,
 *   variance + δ²·π(1 − π)/people of each arm, the sampling of π.
 *
 * It is what imputing the missing values from the model and adding δ to each gives on average.
 * Degrees of freedom are those without the shift. People who were never seen are not in the fit.
 *
 * Units: shifts, means and differences in the unit of y.
 *
 * @param fit a result of fitVisits
 * @throws InputError for a visit or an arm that the fit does not have, a shift that is not finite,
 *   or a difference at a constrained baseline
 * @see Little (1994) Biometrika 81:471–483; Ratitch, O'Kelly, Tosiello (2013) Pharm Stat 12:337–347;
 *   White, Carpenter, Horton (2018) Stat Sinica 28:1985–2003
 * @example shiftDropouts(fitVisits({ subject: [1, 1, 2, 2, 3, 3, 4], visit: [0, 6, 0, 6, 0, 6, 0], y: [30, 33, 41, 43, 36, 40, 33] }), { shift: -2 }).missing.all.share // 0.25
 */
export function shiftDropouts(fit: VisitsFit, options: DropoutShift): ShiftedDropouts {
  const where = "shiftDropouts";
  knownOptions(options, ["visit", "shift"], where);
  const visit = visitOf(fit, options.visit, where);
  const shift = shiftsOf(fit, options.shift, where);
  const missing = missingAt(fit, visit);
  const arms = Object.fromEntries(fit.arms.map((arm) => [arm, shareOf(missing, shift, arm)]));
  const means = Object.fromEntries(
    Object.entries(fit.means[visit] ?? {}).map(([arm, mean]) => [
      arm,
      moved(mean, [{ sign: 1, ...part(arms, arm) }], fit.level),
    ]),
  );
  const unshifted = fit.differences[visit] ?? {};
  const differences = Object.fromEntries(
    Object.entries(unshifted).map(([arm, difference]) => [
      arm,
      moved(
        difference,
        [
          { sign: 1, ...part(arms, arm) },
          { sign: -1, ...part(arms, fit.reference) },
        ],
        fit.level,
      ),
    ]),
  );
  const tipping = Object.entries(unshifted).flatMap(([arm, difference]) => {
    const found = tippingOf(difference, part(arms, arm), fit.level);
    return found === undefined ? [] : [[arm, found] as const];
  });
  const none = fit.arms.filter((arm) => part(arms, arm).share === 0);
  return frozen({
    kind: where,
    ...{ visit, shift, missing, means, differences, unshifted },
    tippingShift: Object.fromEntries(tipping),
    method: "delta adjustment of a fit under missing at random",
    warnings:
      none.length === fit.arms.length
        ? [`nobody is missing at visit ${visit}: a shift of those who left changes nothing`]
        : [],
  } as const);
}

/** An arm's share not seen, its people, and its shift. */
interface ArmPart {
  readonly share: number;
  readonly people: number;
  readonly delta: number;
}

function shareOf(
  missing: ShiftedDropouts["missing"],
  shift: Readonly<Record<string, number>>,
  arm: string,
): ArmPart {
  const { share = 0, people = 1 } = missing[arm] ?? {};
  return { share, people, delta: shift[arm] ?? 0 };
}

function part(arms: Readonly<Record<string, ArmPart>>, arm: string): ArmPart {
  return arms[arm] ?? { share: 0, people: 1, delta: 0 };
}

/** An estimate with the shifts of some arms' missing people. */
function moved(
  { value, se = 0, df = 1, interval }: Estimate,
  parts: readonly (ArmPart & { readonly sign: number })[],
  level: number,
): Estimate {
  let shifted = value;
  let variance = se * se;
  for (const { sign, share, people, delta } of parts) {
    shifted += sign * delta * share;
    variance += (delta * delta * share * (1 - share)) / people;
  }
  const method = `${interval?.method ?? "t"}; delta adjustment`;
  return tEstimate(shifted, Math.sqrt(variance), df, level, method);
}

/** The δ nearest to 0 with |difference + δπ| = t·√(se² + δ²π(1 − π)/n). */
function tippingOf(
  { value, se = 0, df = 1 }: Estimate,
  { share, people }: ArmPart,
  level: number,
): number | undefined {
  const t = studentT(df).quantile((1 + level) / 2);
  if (share === 0 || Math.abs(value) <= t * se) return undefined;
  const a = share * share - (t * t * share * (1 - share)) / people;
  const b = value * share;
  const c = value * value - t * t * se * se;
  if (a === 0) return -c / (2 * b);
  const root = b * b - a * c;
  if (root < 0) return undefined;
  // The root that cancels nothing, and the other by their product c/a.
  const far = -(b + Math.sign(b) * Math.sqrt(root));
  const roots = [far / a, c / far];
  return roots.reduce((one, other) => (Math.abs(other) < Math.abs(one) ? other : one));
}

function visitOf(fit: VisitsFit, wanted: string | number | undefined, where: string): string {
  const visit = wanted === undefined ? fit.visits.at(-1) : String(wanted);
  const answered = fit.arms.length === 1 || (visit !== undefined && visit in fit.differences);
  if (visit !== undefined && fit.visits.includes(visit) && answered) return visit;
  const later = fit.visits.filter((label) => fit.arms.length === 1 || label in fit.differences);
  throw new InputError({
    expected: `a visit with a difference between arms (${later.join(", ")})`,
    got: shown(wanted),
    where: `${where}, visit`,
  });
}

function shiftsOf(
  { arms }: VisitsFit,
  shift: DropoutShift["shift"],
  where: string,
): Record<string, number> {
  const finite = (value: unknown, place: string): number => {
    if (typeof value === "number" && Number.isFinite(value)) return value;
    const expected = "a shift in the unit of the outcome, such as -2";
    throw new InputError({ expected, got: shown(value), where: place });
  };
  if (shift === null || typeof shift !== "object") {
    const all = finite(shift, `${where}, shift`);
    return Object.fromEntries(arms.map((arm) => [arm, all]));
  }
  knownOptions(shift, arms, `${where}, shift`);
  return Object.fromEntries(
    arms.map((arm) => [arm, finite(shift[arm] ?? 0, `${where}, shift.${arm}`)]),
  );
}

function missingAt({ people, seen }: VisitsFit, visit: string): ShiftedDropouts["missing"] {
  return Object.fromEntries(
    Object.entries(people).map(([arm, count]) => {
      const missing = count - (seen[visit]?.[arm] ?? 0);
      return [arm, { people: count, missing, share: missing / count }];
    }),
  );
}
