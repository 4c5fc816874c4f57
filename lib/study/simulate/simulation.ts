import type { PlanChange, StudyDesign, StudyPlan } from "../package/design.js";
import type { ResourceName } from "../package/dictionary.js";
import type { DeviceExport } from "./device-export.js";

/** Someone who leaves the study. */
export interface Withdrawal {
  /** Place in the arm, counted from 0. */
  readonly place: number;
  /** Id of the arm. */
  readonly arm: string;
  /** The last occasion the person comes to. */
  readonly after: string;
  /** Why the golfer leaves. */
  readonly reason: string;
}

/** What a simulated study does to the people of one arm. All effects are at the last occasion. */
export interface SimulatedArm {
  /** Id that the files use. */
  readonly id: string;
  /** Name as a reader sees it. */
  readonly title: string;
  /** True for the arm that others are compared with. */
  readonly control?: boolean;
  /** Golfers who start. */
  readonly people: number;
  /** True rise of grip in percent of the person's own grip. */
  readonly gripGainPercent: number;
  /** True rise of club-head speed, mph. */
  readonly speedGainMph: number;
  /** Training sessions a week. */
  readonly sessionsPerWeek: number;
  /** Length of a session, minutes. */
  readonly minutes: number;
}

/** Everything that decides what a simulated study holds, beside its seed. */
export interface SimulationOptions {
  /** Name of the study's folder. */
  readonly name: string;
  /** Title of the study. */
  readonly title: string;
  /** What the study is, in a paragraph. */
  readonly description: string;
  /** The question that the study asks, as a sentence. */
  readonly question: string;
  /** Seed of the random numbers: the same seed gives the same result. */
  readonly seed: number;
  /** The arms and what each does. */
  readonly arms: readonly SimulatedArm[];
  /** The visits, in order. */
  readonly occasions: StudyDesign["occasions"];
  /** Test positions with their grip as a share of the first one's. */
  readonly positions: readonly { id: string; title: string; how: string; share: number }[];
  /** The club that is swung. */
  readonly club: string;
  /** Grip trials per golfer, occasion, hand and position. */
  readonly trials: number;
  /** Swings per golfer and occasion. */
  readonly swings: number;
  /** Least rest between two trials of one hand, in seconds. */
  readonly restSeconds: number;
  /** Day of the first test, ISO. */
  readonly start: string;
  /** Range of ages, years. */
  readonly ages: readonly [youngest: number, oldest: number];
  /** Share of women and of left-sided players. */
  readonly women: number;
  /** Share of left-sided players, 0 to 1. */
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
  /** SD of one session in one hand and position, kgf. */
  readonly sessionErrorKgf: number;
  /** Change of grip from trial to trial, percent. */
  readonly fatiguePercent: number;
  /** Rise from occasion to occasion in everyone, from doing the test. */
  readonly learningKgf: number;
  /** The same rise of club speed, mph. */
  readonly learningMph: number;
  /** SD of one swing in percent of speed, and of one session in mph. */
  readonly swingErrorPercent: number;
  /** SD of one session, mph. */
  readonly sessionErrorMph: number;
  /** SD of people's speed that sex, age and grip do not explain. */
  readonly speedSdMph: number;
  /** Speed that goes with a kgf more grip than the norm, between people. */
  readonly speedPerKgfBetween: number;
  /** Speed that goes with a kgf of a person's own gain beyond the arm's mean. */
  readonly speedPerKgfWithin: number;
  /** Share of sessions missed, and of the gain that depends on sessions done. */
  readonly missedShare: number;
  /** Share of the gain that depends on sessions done, 0 to 1. */
  readonly doseShare: number;
  /** Golfers who leave the study. */
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
  /** Kinds of rows that stand in a file as a device of the lab exports it; the others in our columns. */
  readonly exports?: Readonly<Partial<Record<ResourceName, DeviceExport>>>;
  /** What was going to be reported, decided before the data were seen. */
  readonly plan: StudyPlan;
  /** Sentences about safety and limits that are shown with the data. */
  readonly cautions: readonly string[];
  /** Changes to the plan, each with its day and reason. */
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
  exports: true,
  plan: true,
  cautions: true,
  changes: true,
};

/** Names of all options, for refusing an unknown one. */
export const simulationOptionNames: readonly string[] = Object.keys(namesOfOptions);

/** A trial that did not count. */
export interface SimulatedFault {
  /** Place of the golfer over all arms, counted from 0. */
  readonly person: number;
  /** Id of the occasion in the design. */
  readonly occasion: string;
  /** Which trial of the visit, counted from 0. */
  readonly place: number;
  /** What was tried. */
  readonly of: "grip" | "swing";
  /** Why it did not count. */
  readonly status: "pain-stop" | "refused" | "device";
  /** Remark in the file. */
  readonly note: string;
}

/** What is true of a simulated person, without any error of measurement. */
export interface TrueVisit {
  /** Code of the golfer. */
  readonly participant: string;
  /** Id of the arm in the design. */
  readonly arm: string;
  /** Id of the occasion in the design. */
  readonly occasion: string;
  /** True grip in kgf by "hand position"; learning not included. */
  readonly grip: Readonly<Record<string, number>>;
  /** True club speed, mph; learning not included. */
  readonly speedMph: number;
}

/** The files of a simulated study and what is true of it. */
export interface SimulatedStudy {
  /** Name of this record. */
  readonly kind: "simulatedStudy";
  /** Name of the study's folder. */
  readonly name: string;
  /** Text by file name. */
  readonly files: Readonly<Record<string, string>>;
  /** What the study was made from. */
  readonly options: SimulationOptions;
  /** What is true of each golfer on each occasion. */
  readonly truth: readonly TrueVisit[];
}
