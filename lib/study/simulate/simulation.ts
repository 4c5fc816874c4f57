import type { PlanChange, StudyDesign, StudyPlan } from "../package/design.js";

/** Someone who leaves the study. */
export interface Withdrawal {
  /** Place in the arm, counted from 0. */
  readonly place: number;
  readonly arm: string;
  /** The last occasion the person comes to. */
  readonly after: string;
  readonly reason: string;
}

/** What a simulated study does to the people of one arm. All effects are at the last occasion. */
export interface SimulatedArm {
  readonly id: string;
  readonly title: string;
  readonly control?: boolean;
  readonly people: number;
  /** True rise of grip in percent of the person's own grip. */
  readonly gripGainPercent: number;
  /** True rise of club-head speed. */
  readonly speedGainMph: number;
  /** Training sessions a week. */
  readonly sessionsPerWeek: number;
  readonly minutes: number;
}

/** Everything that decides what a simulated study holds, beside its seed. */
export interface SimulationOptions {
  readonly name: string;
  readonly title: string;
  readonly description: string;
  readonly question: string;
  readonly seed: number;
  readonly arms: readonly SimulatedArm[];
  readonly occasions: StudyDesign["occasions"];
  /** Test positions with their grip as a share of the first one's. */
  readonly positions: readonly { id: string; title: string; how: string; share: number }[];
  readonly club: string;
  readonly trials: number;
  readonly swings: number;
  readonly restSeconds: number;
  /** Day of the first test, ISO. */
  readonly start: string;
  readonly ages: readonly [youngest: number, oldest: number];
  /** Share of women and of left-sided players. */
  readonly women: number;
  readonly leftSided: number;
  /** How the hand is written: by side or by its place on the club. */
  readonly handsAs: "side" | "club";
  /** The gain by hand and position as a multiple of the arm's: {"lead address": 1.2}. */
  readonly gainShare: Readonly<Record<string, number>>;
  /** SD of true gains between people of one arm, percent points of grip. */
  readonly responseSdPercent: number;
  /** SD of people around the norm for sex, age and height, as a share of grip. */
  readonly gripSdShare: number;
  /** How much stronger the writing hand is, percent; of right-handers only. */
  readonly dominancePercent: number;
  /** SD of one trial, and of one session in one hand and position, kgf. */
  readonly trialErrorKgf: number;
  readonly sessionErrorKgf: number;
  /** Change of grip from trial to trial, percent. */
  readonly fatiguePercent: number;
  /** Rise from occasion to occasion in everyone, from doing the test. */
  readonly learningKgf: number;
  readonly learningMph: number;
  /** SD of one swing in percent of speed, and of one session in mph. */
  readonly swingErrorPercent: number;
  readonly sessionErrorMph: number;
  /** SD of people's speed that sex, age and grip do not tell. */
  readonly speedSdMph: number;
  /** Speed that goes with a kgf more grip than the norm, between people. */
  readonly speedPerKgfBetween: number;
  /** Speed that goes with a kgf of a person's own gain beyond the arm's mean. */
  readonly speedPerKgfWithin: number;
  /** Share of sessions missed, and of the gain that depends on sessions done. */
  readonly missedShare: number;
  readonly doseShare: number;
  readonly withdrawals: readonly Withdrawal[];
  /** Visits that did not take place though the person stayed: places counted over all arms. */
  readonly missedVisits: readonly { person: number; occasion: string }[];
  /** Single trials that did not count. */
  readonly faults: readonly SimulatedFault[];
  /** Visits recorded in another unit. */
  readonly otherUnits: readonly {
    person: number;
    occasion: string;
    force: string;
    speed: string;
  }[];
  /** The trial that the testers decided to leave out; it reads far too low. */
  readonly setAside?: {
    readonly person: number;
    readonly occasion: string;
    readonly hand: "lead" | "trail";
    readonly position: string;
    readonly trial: number;
    readonly reason: string;
    readonly decidedOn: string;
  };
  readonly plan: StudyPlan;
  readonly cautions: readonly string[];
  readonly changes: readonly PlanChange[];
}

/** Every option by name; one that is missing here, or too much, does not compile. */
const namesOfOptions: Readonly<Record<keyof SimulationOptions, true>> = {
  name: true,
  title: true,
  description: true,
  question: true,
  seed: true,
  arms: true,
  occasions: true,
  positions: true,
  club: true,
  trials: true,
  swings: true,
  restSeconds: true,
  start: true,
  ages: true,
  women: true,
  leftSided: true,
  handsAs: true,
  gainShare: true,
  responseSdPercent: true,
  gripSdShare: true,
  dominancePercent: true,
  trialErrorKgf: true,
  sessionErrorKgf: true,
  fatiguePercent: true,
  learningKgf: true,
  learningMph: true,
  swingErrorPercent: true,
  sessionErrorMph: true,
  speedSdMph: true,
  speedPerKgfBetween: true,
  speedPerKgfWithin: true,
  missedShare: true,
  doseShare: true,
  withdrawals: true,
  missedVisits: true,
  faults: true,
  otherUnits: true,
  setAside: true,
  plan: true,
  cautions: true,
  changes: true,
};

export const simulationOptionNames: readonly string[] = Object.keys(namesOfOptions);

export interface SimulatedFault {
  readonly person: number;
  readonly occasion: string;
  /** Which trial of the visit, counted from 0. */
  readonly place: number;
  readonly of: "grip" | "swing";
  readonly status: "pain-stop" | "refused" | "device";
  readonly note: string;
}

/** What is true of a simulated person, without any error of measurement. */
export interface TrueVisit {
  readonly participant: string;
  readonly arm: string;
  readonly occasion: string;
  /** True grip in kgf by "hand position"; learning not included. */
  readonly grip: Readonly<Record<string, number>>;
  readonly speedMph: number;
}

/** The files of a simulated study and what is true of it. */
export interface SimulatedStudy {
  readonly kind: "simulatedStudy";
  readonly name: string;
  /** Text by file name. */
  readonly files: Readonly<Record<string, string>>;
  readonly options: SimulationOptions;
  readonly truth: readonly TrueVisit[];
}
