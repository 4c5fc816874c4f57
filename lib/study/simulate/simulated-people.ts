import { itemAt, present } from "../../entry.js";
import type { RandomStream } from "../../num/random.js";
import { publishedMedian } from "../norms.js";
import type { SimulatedArm, SimulationOptions } from "./simulation.js";

/** One invented golfer. */
export interface Golfer {
  /** Code of the golfer. */
  readonly id: string;
  /** Place in the study, counted from 0. */
  readonly place: number;
  /** The golfer's arm and what it does. */
  readonly arm: SimulatedArm;
  /** Sex, as the norms need it. */
  readonly sex: "female" | "male";
  /** Age at the first occasion, years. */
  readonly age: number;
  /** Playing side. */
  readonly plays: "right" | "left";
  /** Hand used for writing. */
  readonly writesWith: "right" | "left";
  /** Standing height, cm. */
  readonly heightCm: number;
  /** Body mass, kg. */
  readonly massKg: number;
  /** Handicap index. */
  readonly handicap: number;
  /** Regular strength training outside the study. */
  readonly gym: "yes" | "no";
  /** True grip of the weaker hand in the first position before the study, kgf. */
  readonly gripKgf: number;
  /** True club speed before the study, mph. */
  readonly speedMph: number;
  /** True gain at the last occasion as a share of grip. */
  readonly gain: number;
  /** Planned sessions by day (ISO), and whether each was done. */
  readonly sessions: readonly { readonly date: string; readonly done: boolean }[];
}

/** Whole-body facts by sex: mean and SD of height (cm) and of body mass index. */
const bodies = {
  female: { height: 164, heightSd: 6.3, bmi: 24.5 },
  male: { height: 178, heightSd: 6.8, bmi: 26.2 },
} as const;

/** Invents the people of a study, arm by arm, each from a stream of their own. */
export function inventGolfers(options: SimulationOptions, stream: RandomStream): Golfer[] {
  const slots = options.arms.flatMap((arm) => Array.from({ length: arm.people }, () => arm));
  const traits = spreadTraits(options, slots.length, stream.split("traits"));
  const codes = stream.split("codes").shuffle(slots.map((_, i) => i));
  return slots
    .map((arm, place) => {
      const personStream = stream.split(`person ${place}`);
      return golfer(
        { arm, place, code: itemAt(codes, place) + 1, ...itemAt(traits, place) },
        options,
        personStream,
      );
    })
    .sort((a, b) => (a.id < b.id ? -1 : 1));
}

interface Traits {
  readonly sex: "female" | "male";
  readonly plays: "right" | "left";
  readonly age: number;
}

/** Ages over the whole range, women and left-sided players in their shares, in random order. */
function spreadTraits(
  { ages: [youngest, oldest], women, leftSided }: SimulationOptions,
  n: number,
  stream: RandomStream,
): Traits[] {
  const order = () => stream.shuffle(Array.from({ length: n }, (_, i) => i));
  const [ageOrder, sexOrder, sideOrder] = [order(), order(), order()];
  const step = (oldest - youngest) / Math.max(1, n - 1);
  return ageOrder.map((rank, i) => ({
    sex: itemAt(sexOrder, i) < Math.round(women * n) ? "female" : "male",
    plays: itemAt(sideOrder, i) < Math.round(leftSided * n) ? "left" : "right",
    age: Math.round(youngest + step * rank),
  }));
}

interface Slot extends Traits {
  readonly arm: SimulatedArm;
  readonly place: number;
  readonly code: number;
}

function golfer(slot: Slot, options: SimulationOptions, stream: RandomStream): Golfer {
  const { arm, place, code, sex, age, plays } = slot;
  const body = bodies[sex];
  const tall = stream.normal();
  const heightCm = Math.round(body.height + body.heightSd * tall);
  const massKg = Math.round((body.bmi + 2.4 * stream.normal()) * (heightCm / 100) ** 2);
  // A norm is the higher hand's maximum; the weaker hand lies about a twelfth below it. Norms begin at 20.
  const norm = 0.92 * publishedMedian({ sex, ageYears: Math.max(20, age) });
  const share = Math.exp(options.gripSdShare * stream.normal() + 0.03 * tall);
  const gripKgf = norm * share;
  const speedMph = speedOf({ sex, age, above: gripKgf - norm }, options, stream);
  const sessions = sessionsOf(arm, options, stream.split("sessions"));
  const deviation = options.responseSdPercent * stream.normal();
  const percent =
    arm.gripGainPercent === 0 ? 0 : arm.gripGainPercent * dose(sessions, options) + deviation;
  return {
    id: options.handsAs === "side" ? String(code).padStart(3, "0") : `1-${code}`,
    place,
    arm,
    sex,
    age,
    plays,
    writesWith: stream.uniform() < 0.1 ? "left" : "right",
    heightCm,
    massKg,
    handicap: Math.max(0, Math.round(10 * (46 - 0.33 * speedMph + 3 * stream.normal())) / 10),
    gym: stream.uniform() < 0.35 ? "yes" : "no",
    gripKgf,
    speedMph,
    gain: percent / 100,
    sessions,
  };
}

/** Driver speed falls with age; grip above the norm goes with more of it. */
function speedOf(
  { sex, age, above }: { sex: string; age: number; above: number },
  { speedPerKgfBetween, speedSdMph }: SimulationOptions,
  stream: RandomStream,
): number {
  const young = sex === "male" ? 98 : 82;
  const fall = 0.25 * Math.max(0, age - 35);
  return young - fall + speedPerKgfBetween * above + speedSdMph * stream.normal();
}

function sessionsOf(
  { sessionsPerWeek }: SimulatedArm,
  { occasions, start, missedShare }: SimulationOptions,
  stream: RandomStream,
) {
  const weeks = present(occasions.at(-1)).week;
  const days = [1, 3, 5, 6].slice(0, sessionsPerWeek);
  return Array.from({ length: weeks }, (_, week) => week).flatMap((week) =>
    days.map((day) => ({
      date: dayAfter(start, 7 * week + day),
      done: stream.uniform() >= missedShare,
    })),
  );
}

/** Gain as a multiple of the arm's: part of it follows the sessions done, on average it is 1. */
function dose(
  sessions: readonly { done: boolean }[],
  { doseShare, missedShare }: SimulationOptions,
) {
  if (sessions.length === 0) return 1;
  const done = sessions.filter((session) => session.done).length / sessions.length;
  return 1 - doseShare + (doseShare * done) / (1 - missedShare);
}

/** The ISO date some days after another. */
export function dayAfter(date: string, days: number): string {
  return new Date(Date.parse(`${date}T00:00:00Z`) + days * 86_400_000).toISOString().slice(0, 10);
}
