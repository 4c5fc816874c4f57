import { unlessRefused } from "../errors.js";
import { publishedTable } from "../study/package/published.js";
import { gripWithSpeed } from "../study/tables/grip-with-speed.js";
import { summariseGrip, summariseSpeed } from "../study/tables/summary.js";
import { holdDemand } from "../swing/hold.js";
import { clubPull } from "../swing/pull.js";
import { convert } from "../units/convert.js";
import { column, type ResultTable, resultTable } from "./result-table.js";
import type { StudyOutcomes } from "./study-outcomes.js";

/** A golfer by force and speed. */
export interface PlaneGolfer {
  /** Code of the golfer. */
  readonly participant: string;
  /** Sum of the highest trial of each hand, kgf. */
  readonly force: number;
  /** Club speed, mph. */
  readonly speed: number;
}

const kgf = (newtons: number) => convert(newtons, "N", "kgf");
const pullAt = (mph: number) => clubPull({ speedMps: convert(mph, "mph", "m/s") });
const speeds = [80, 90, 100, 110, 120];

/** Pull by club speed with the range from the inputs. */
export function pullTable(): ResultTable {
  return resultTable(
    "Pull on both hands together by club speed, with the range from the inputs.",
    [
      column("speed", "Club speed", "mph", 0),
      column("pull", "Pull", "N", 0),
      column("low", "Lowest", "N", 0),
      column("high", "Highest", "N", 0),
      column("kgf", "Pull", "kgf", 0),
    ],
    speeds.map((speed) => {
      const { forceN, band } = pullAt(speed);
      return { speed, pull: forceN, low: band.low, high: band.high, kgf: kgf(forceN) };
    }),
  );
}

/** Normal force that holds the pull over the published range of friction. */
export function holdTable(): ResultTable {
  return resultTable(
    "Normal force of both hands together that would hold the pull by friction, for the published range of friction.",
    [
      column("speed", "Club speed", "mph", 0),
      column("low", "From", "kgf", 0),
      column("high", "To", "kgf", 0),
    ],
    speeds.map((speed) => {
      const { low, high } = holdDemand({ pullN: pullAt(speed).band });
      return { speed, low: kgf(low), high: kgf(high) };
    }),
  );
}

/** The pull of the club from 70 to 120 mph with its range, in kgf. */
export function pullCurve() {
  return Array.from({ length: 21 }, (_, i) => 70 + 2.5 * i).map((speed) => {
    const { forceN, band } = pullAt(speed);
    return { speed, value: kgf(forceN), low: kgf(band.low), high: kgf(band.high) };
  });
}

/** Golfers who have both hands' highest trials and a club speed on a visit. */
export function golfersOnPlane(
  study: StudyOutcomes,
  occasion: string,
  position: string | undefined,
): PlaneGolfer[] {
  if (study.gripTrials.totalRows() === 0 || study.swingTrials.totalRows() === 0) return [];
  const best = summariseGrip(study, { rule: "max3" });
  const swings = summariseSpeed(study, { rule: study.plan.summaries.speed });
  const [club] = study.design.clubs;
  const where = {
    occasion,
    ...(position !== undefined && { position }),
    ...(club !== undefined && { club }),
  };
  const hands = unlessRefused(() => ({
    lead: gripWithSpeed(best, swings, { ...where, hand: "lead" }),
    trail: gripWithSpeed(best, swings, { ...where, hand: "trail" }),
  }));
  if (!hands) return [];
  const { lead, trail } = hands;
  const trailGrip = new Map(trail.participant.map((golfer, i) => [golfer, trail.grip_kgf[i]]));
  return lead.participant.flatMap((participant, i) => {
    const [ofLead, ofTrail] = [lead.grip_kgf[i], trailGrip.get(participant)];
    const speed = lead.speed_mph[i];
    if (ofLead === undefined || ofTrail === undefined || speed === undefined) return [];
    return [{ participant, force: ofLead + ofTrail, speed }];
  });
}

/** Friction of skin as published. */
export function frictionTable(): ResultTable {
  const rows = unlessRefused(() => publishedTable("skin-friction").rows);
  if (!rows) {
    return resultTable("The published table of friction is not in this folder's data.", [], []);
  }
  return resultTable(
    "Friction of skin as published; no value for the rubber of a club grip was found.",
    [
      column("material", "Material"),
      column("condition", "Condition"),
      column("mu", "Coefficient", "", 2),
      column("sd", "SD", "", 2),
      column("source", "Source"),
    ],
    rows,
  );
}
