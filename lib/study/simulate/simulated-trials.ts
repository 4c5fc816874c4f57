import { itemAt, present } from "../../entry.js";
import type { RandomStream } from "../../num/random.js";
import { convert } from "../../units/convert.js";
import type { Golfer } from "./simulated-people.js";
import { dayAfter } from "./simulated-people.js";
import type { SimulatedFault, SimulationOptions, TrueVisit } from "./simulation.js";

type Hand = "lead" | "trail";
type Cell = string | number | null;
/** One row of a simulated trial file, by column name. */
export type TrialRow = Record<string, Cell>;

/** One person on one occasion, as recorded and as it truly was. */
export interface Visit {
  /** Grip trials as recorded. */
  readonly grip: readonly TrialRow[];
  /** Swings as recorded. */
  readonly swings: readonly TrialRow[];
  /** What is true of the golfer on that occasion. */
  readonly truth: TrueVisit;
}

/** Records one visit: positions in random order, hands in turn, then the swings. */
export function recordVisit(
  golfer: Golfer,
  occasionPlace: number,
  options: SimulationOptions,
  stream: RandomStream,
): Visit {
  const occasion = itemAt(options.occasions, occasionPlace);
  const share = occasion.week / present(options.occasions.at(-1)).week;
  const truth = trueVisit(golfer, { occasion: occasion.id, share }, options);
  const date = dayAfter(options.start, 7 * occasion.week + stream.below(4));
  const session: Session = { golfer, truth, date, visits: occasionPlace, options };
  return {
    grip: gripRows(session, stream.split("grip")),
    swings: swingRows(session, stream.split("swings")),
    truth,
  };
}

interface Session {
  readonly golfer: Golfer;
  readonly truth: TrueVisit;
  readonly date: string;
  /** Occasions before this one. */
  readonly visits: number;
  readonly options: SimulationOptions;
}

function trueVisit(
  golfer: Golfer,
  { occasion, share }: { occasion: string; share: number },
  { positions, gainShare, dominancePercent, speedPerKgfWithin }: SimulationOptions,
): TrueVisit {
  const { id, arm, plays, writesWith, gripKgf, gain } = golfer;
  const grip: Record<string, number> = {};
  for (const hand of ["lead", "trail"] as const) {
    const side = (hand === "lead") === (plays === "right") ? "left" : "right";
    const dominant = side === writesWith && side === "right" ? 1 + dominancePercent / 100 : 1;
    for (const position of positions) {
      const key = `${hand} ${position.id}`;
      grip[key] = gripKgf * dominant * position.share * (1 + gain * share * (gainShare[key] ?? 1));
    }
  }
  const ownGain = gripKgf * (gain - arm.gripGainPercent / 100) * share;
  const speedMph = golfer.speedMph + arm.speedGainMph * share + speedPerKgfWithin * ownGain;
  return { participant: id, arm: arm.id, occasion, grip, speedMph };
}

function gripRows(session: Session, stream: RandomStream): TrialRow[] {
  const { golfer, truth, options, visits } = session;
  const { trials, trialErrorKgf, sessionErrorKgf, fatiguePercent, learningKgf } = options;
  const rows: TrialRow[] = [];
  let seconds = 9 * 3600 + 900 * stream.below(24);
  for (const position of stream.shuffle([...options.positions])) {
    const firstHand: Hand = stream.uniform() < 0.5 ? "lead" : "trail";
    const hands: Hand[] = firstHand === "lead" ? ["lead", "trail"] : ["trail", "lead"];
    const day = hands.map(() => sessionErrorKgf * stream.normal());
    for (let trial = 1; trial <= trials; trial++) {
      for (const [h, hand] of hands.entries()) {
        const tired = 1 + (fatiguePercent / 100) * (trial - 1);
        const level = present(truth.grip[`${hand} ${position.id}`]) * tired + learningKgf * visits;
        const force = Math.max(1, level + itemAt(day, h) + trialErrorKgf * stream.normal());
        rows.push(gripRow(session, { hand, position: position.id, trial, force, seconds }));
        seconds += Math.ceil(options.restSeconds / 2) + 3 + stream.below(10);
      }
    }
    seconds += 120 + stream.below(60);
  }
  return withFaults(rows, session, "grip").map((row) => withSetAside(row, golfer, options));
}

interface Squeeze {
  readonly hand: Hand;
  readonly position: string;
  readonly trial: number;
  readonly force: number;
  readonly seconds: number;
}

function gripRow(
  { golfer, truth, date, options }: Session,
  { hand, position, trial, force, seconds }: Squeeze,
): TrialRow {
  const other = otherUnit(golfer, truth.occasion, options)?.force;
  const side = (hand === "lead") === (golfer.plays === "right") ? "left" : "right";
  return {
    participant: golfer.id,
    occasion: truth.occasion,
    date,
    time: clock(seconds),
    hand: options.handsAs === "side" ? side : hand,
    position,
    handle_mm: golfer.sex === "female" ? 49 : 55,
    device: "D1",
    trial,
    force: rounded(other ? convert(force, "kgf", other) : force, other === "N" ? 0 : 1),
    unit: other ?? "kgf",
    status: "valid",
    note: null,
  };
}

function swingRows(session: Session, stream: RandomStream): TrialRow[] {
  const { golfer, truth, date, visits, options } = session;
  const { swings, swingErrorPercent, sessionErrorMph, learningMph } = options;
  const level = truth.speedMph + learningMph * visits + sessionErrorMph * stream.normal();
  const unit = otherUnit(golfer, truth.occasion, options)?.speed ?? "mph";
  const rows = Array.from({ length: swings }, (_, i) => {
    const mph = level * (1 + (swingErrorPercent / 100) * stream.normal());
    return {
      participant: golfer.id,
      occasion: truth.occasion,
      date,
      club: options.club,
      device: "S1",
      swing: i + 1,
      speed: rounded(convert(mph, "mph", unit), 1),
      unit,
      status: "valid",
      note: null,
    };
  });
  return withFaults(rows, session, "swing");
}

function otherUnit({ place }: Golfer, occasion: string, { otherUnits }: SimulationOptions) {
  return otherUnits.find((one) => one.person === place && one.occasion === occasion);
}

/** Empties the trials that did not count: a value not measured is missing, never 0. */
function withFaults(rows: TrialRow[], { golfer, truth, options }: Session, of: "grip" | "swing") {
  const visitFaults = options.faults.filter(
    (fault: SimulatedFault) =>
      fault.of === of && fault.person === golfer.place && fault.occasion === truth.occasion,
  );
  const valueName = of === "grip" ? "force" : "speed";
  return rows.map((row, i) => {
    const fault = visitFaults.find(({ place }) => place === i);
    return fault ? { ...row, [valueName]: null, status: fault.status, note: fault.note } : row;
  });
}

/** The trial that the set-aside file names was a poor one: it reads a third below the others. */
function withSetAside(
  row: TrialRow,
  golfer: Golfer,
  { setAside, handsAs }: SimulationOptions,
): TrialRow {
  if (!setAside || golfer.place !== setAside.person || row.occasion !== setAside.occasion)
    return row;
  if (row.position !== setAside.position || row.trial !== setAside.trial) return row;
  const side = (setAside.hand === "lead") === (golfer.plays === "right") ? "left" : "right";
  if (row.hand !== (handsAs === "side" ? side : setAside.hand)) return row;
  return { ...row, force: rounded(Number(row.force) * 0.65, 1), note: "handle slipped" };
}

function rounded(value: number, digits: number): number {
  return Number(value.toFixed(digits));
}

function clock(seconds: number): string {
  const part = (value: number) => String(Math.floor(value)).padStart(2, "0");
  return `${part(seconds / 3600)}:${part((seconds % 3600) / 60)}:${part(seconds % 60)}`;
}
