import { InputError } from "../errors.js";
import { knownOptions } from "../options.js";
import { describe } from "../stats/describe.js";
import { type Estimate, frozen } from "../stats/estimate.js";
import { tEstimate } from "../stats/t-estimate.js";
import { withoutEachRow } from "../stats/without-each-row.js";
import { gripInSwing, type HandInSwing } from "../study/tables/grip-in-swing.js";
import { sourceOf } from "../study/tables/source.js";
import { clubPull } from "../swing/pull.js";
import { convert } from "../units/convert.js";
import { leaveOneOutOf } from "./leave-one-out.js";
import { visitOf } from "./related-rows.js";
import { column, type ResultTable, resultTable } from "./result-table.js";
import { type Answer, type AnswerFields, answer } from "./study-answer.js";
import type { StudyOutcomes } from "./study-outcomes.js";
import {
  frictionTable,
  golfersOnPlane,
  holdTable,
  type PlaneGolfer,
  pullCurve,
  pullTable,
} from "./swing-pull.js";

/** When and where grip is taken for the maximum. */
export interface DemandOptions {
  /** Id of the visit; the first of the design unless given. */
  readonly at?: string;
  /** Id of the position whose highest trial is the maximum; that of the plan, or the first. */
  readonly position?: string;
}

/** How much force a swing puts on the hands. */
export interface DemandAnswer extends Answer {
  /** Name of the function that was asked. */
  readonly kind: "demandOf";
  /** Pull of the club on both hands at 100 mph, from ordinary masses and radii. */
  readonly pull: Answer;
  /** Pull at 120 mph over pull at 80 mph. */
  readonly ratio: Answer;
  /** Pull by club speed with the range from the inputs. */
  readonly pulls: ResultTable;
  /** Normal force that would hold the pull by friction: a range, never one number. */
  readonly holds: ResultTable;
  /** Friction of skin as published. */
  readonly friction: ResultTable;
  /** Grip measured in the swing as a share of the maximum, hand by hand; empty where not measured. */
  readonly measured: ResultTable;
  /** Golfers by the sum of both hands' highest trials and club speed. */
  readonly golfers: readonly PlaneGolfer[];
  /** The pull of the club by speed with its range, in kgf. */
  readonly curve: readonly {
    readonly speed: number;
    readonly value: number;
    readonly low: number;
    readonly high: number;
  }[];
}

/**
 * How much force a swing puts on the hands: the share of a golfer's maximal grip that was measured in
 * the swing, where the study measured it; and the pull of the club from the speed of the head, with
 * stated inputs. A pull is not a grip: what grip it needs depends on friction, which is known only
 * within a factor of more than three, so no required grip is given.
 *
 * @param study from `openStudy`
 * @returns the mean share of maximum in percent, over golfers; without measured grip in the swing
 *   why there is none in `unanswered`. The physics stands beside it in either case.
 * @throws InputError when a visit or position is not in the design
 */
export function demandOf(study: StudyOutcomes, options: DemandOptions = {}): DemandAnswer {
  knownOptions(options, ["at", "position"], "demandOf");
  const visit = visitOf(study, options.at);
  const position = positionOf(study, options.position);
  const shares = position === undefined ? [] : sharesOf(study, position);
  const fields: AnswerFields = {
    kind: "demandOf",
    quantity: "share",
    aspect: "share of maximal grip in the swing",
    measure: { outcome: "grip", name: "Peak grip force in the swing" },
    unit: "%",
    count: { n: new Set(shares.map(({ participant }) => participant)).size, of: "golfers" },
    rule: "mean of the peaks over swings, highest trial of the same hand and visit",
    method: "mean over golfers, t",
    source: sourceOf(study, {
      trials: "grip",
      participant: [...new Set(shares.map(({ participant }) => participant))],
    }),
  };
  return frozen({
    ...shareAnswer(fields, shares, study.plan.level),
    kind: "demandOf" as const,
    pull: pullAnswer(),
    ratio: ratioAnswer(),
    pulls: pullTable(),
    holds: holdTable(),
    friction: frictionTable(),
    measured: measuredTable(shares),
    golfers: golfersOnPlane(study, visit.id, position),
    curve: pullCurve(),
  });
}

function positionOf({ design, plan }: StudyOutcomes, chosen?: string): string | undefined {
  const wanted = chosen ?? plan.primary?.position ?? design.positions[0]?.id;
  const ids = design.positions.map(({ id }) => id);
  if (wanted === undefined || ids.includes(wanted)) return wanted;
  const expected = `a position of the design (${ids.join(", ")})`;
  throw new InputError({ expected, got: JSON.stringify(wanted), where: "demandOf, position" });
}

interface Share extends HandInSwing {
  /** Force in the swing as a percentage of the maximum. */
  readonly share: number;
}

function sharesOf(study: StudyOutcomes, position: string): Share[] {
  return gripInSwing(study, { position }).rows.map((row) => ({
    ...row,
    share: (100 * row.inSwingKgf) / row.maximumKgf,
  }));
}

function shareAnswer(fields: AnswerFields, shares: readonly Share[], level: number): Answer {
  if (shares.length === 0) {
    const unanswered =
      "The study did not measure grip force in the swing, so the share of maximal grip used in a swing is not known.";
    return answer({ ...fields, unanswered });
  }
  const golfers = [...new Set(shares.map(({ participant }) => participant))];
  const means = golfers.map((golfer) => {
    const own = shares.filter(({ participant }) => participant === golfer);
    return own.reduce((sum, { share }) => sum + share, 0) / own.length;
  });
  if (means.length < 2) {
    return answer({ ...fields, estimate: { value: means[0] ?? 0 } });
  }
  const { mean, se } = describe(means);
  const estimate: Estimate = tEstimate(mean, se ?? 0, means.length - 1, level, "t");
  const without = withoutEachRow([means.map(() => 1)], means, [1], level);
  return answer({ ...fields, estimate, leaveOneOut: leaveOneOutOf(estimate, golfers, without) });
}

function physics(name: string): AnswerFields {
  return {
    kind: "demandOf",
    quantity: "size",
    measure: { outcome: "speed", name },
    unit: "",
    count: { n: 0, of: "inputs" },
    rule: "no trials",
    method: "club on a curve, ordinary masses and radii (common practice, no source)",
    source: { files: [], rowsUsed: 0, setAside: [], participants: [] },
  };
}

function pullAnswer(): Answer {
  const pull = clubPull({ speedMps: convert(100, "mph", "m/s") });
  const kgf = (newtons: number) => convert(newtons, "N", "kgf");
  const [low, high] = [kgf(pull.band.low), kgf(pull.band.high)];
  return answer({
    ...physics("Pull of the club on both hands at 100 mph"),
    unit: "kgf",
    count: { n: pull.inputs.length, of: "inputs" },
    estimate: { value: kgf(pull.forceN) },
    warnings: [
      `With each input moved over its usual range the pull is ${low.toFixed(0)} to ${high.toFixed(0)} kgf; it is an estimate from masses and radii, not a measurement.`,
    ],
  });
}

function ratioAnswer(): Answer {
  const at = (mph: number) => clubPull({ speedMps: convert(mph, "mph", "m/s") }).forceN;
  return answer({
    ...physics("Pull of the club at 120 mph divided by the pull at 80 mph"),
    unit: "times",
    count: { n: 2, of: "inputs" },
    method: "the pull grows with the square of the speed",
    estimate: { value: at(120) / at(80) },
  });
}

function measuredTable(shares: readonly Share[]): ResultTable {
  return resultTable(
    "Peak grip in the swing as a share of the same hand's highest trial at the same visit, as measured in this study.",
    [
      column("participant", "Golfer"),
      column("hand", "Hand"),
      column("swings", "Swings", "", 0),
      column("inSwingKgf", "In the swing", "kgf", 1),
      column("maximumKgf", "Maximum", "kgf", 1),
      column("share", "Share", "%", 0),
    ],
    shares.map(({ occasion: _, ...row }) => row),
  );
}
