import { InputError } from "../../errors.js";
import { knownOptions } from "../../options.js";
import { frozen } from "../../stats/estimate.js";
import { shown } from "../../stats/input.js";
import type { StudyDesign } from "../package/design.js";
import { dictionary } from "../package/dictionary.js";
import { type TestOrder, testOrders } from "./sheets-order.js";

/** A golfer, as far as a sheet needs one. */
export interface SheetPerson {
  /** Code of the golfer. */
  readonly participant: string;
  /** Playing side, if known: it decides which hand leads. */
  readonly plays?: "right" | "left";
}

/** One grip trial to be done. */
export interface GripTask {
  /** Code of the golfer. */
  readonly participant: string;
  /** Id of the position. */
  readonly position: string;
  /** "lead" or "trail", or "left" or "right" where the playing side is known. */
  readonly hand: string;
  /** Which hand it is by its place on the club. */
  readonly handRole: "lead" | "trail";
  /** Number of the trial, from 1. */
  readonly trial: number;
}

/** What one occasion asks for, in the order of testing. */
export interface RecordingSheets {
  /** Name of this record. */
  readonly kind: "recordingSheets";
  /** Id of the occasion in the design. */
  readonly occasion: string;
  /** The order of testing of each golfer. */
  readonly orders: readonly TestOrder[];
  /** Grip trials in the order of testing. */
  readonly grip: readonly GripTask[];
  /** Swings in the order of testing. */
  readonly swings: readonly {
    readonly participant: string;
    readonly club: string;
    readonly swing: number;
  }[];
  /** Least rest between two trials of one hand, in seconds. */
  readonly restSeconds: number;
  /** Seed of the random numbers: the same seed gives the same result. */
  readonly seed: number;
  /** How it was computed, in a phrase that a report can print. */
  readonly method: string;
}

/** Rest between squeezes of one hand where the design does not say. NHANES 2011–2012, MGX_G: 60 s. */
const usualRestSeconds = 60;

const method =
  "positions by a Williams design and the first hand crossed with it, allocated in random blocks; hands in turn, trial by trial; the same order at every visit";

/**
 * The trials of one occasion in the order in which they are to be done: positions and first hand
 * randomised and balanced over golfers (`testOrders`), hands in turn within a position, the same
 * order for a golfer on every occasion.
 * @param people codes and playing sides
 * @param options occasion: its id; design: of the study; seed: a whole number
 * @throws InputError when there is nobody, a code repeats, or the design has no such occasion
 * @see NHANES 2011–2012 grip test (MGX_G): hands in turn, first hand random, 60 s for one hand
 * @see Williams EJ (1949) Aust J Sci Res A 2:149–168
 * @example recordingSheets([{ participant: "A" }], { occasion: "w0", design: openStudy("winter-block").design, seed: 1 }).grip.length // 18
 */
export function recordingSheets(
  people: readonly SheetPerson[],
  options: { occasion: string; design: StudyDesign; seed: number },
): RecordingSheets {
  knownOptions(options, ["occasion", "design", "seed"], "recordingSheets");
  const { occasion, design, seed } = options;
  checkAsked(people, occasion, design);
  const positions = design.positions.map(({ id }) => id);
  const codes = people.map(({ participant }) => participant);
  const orders =
    positions.length > 0 ? testOrders(codes, { positions, hands: design.hands, seed }) : [];
  return frozen({
    kind: "recordingSheets",
    occasion,
    orders,
    grip: people.flatMap((person, i) => (orders[i] ? gripTasks(person, orders[i], design) : [])),
    swings: people.flatMap(({ participant }) => swingTasks(participant, design)),
    restSeconds: design.restSeconds || usualRestSeconds,
    seed,
    method,
  });
}

function checkAsked(people: readonly SheetPerson[], occasion: string, design: StudyDesign): void {
  const known = design.occasions.map(({ id }) => id);
  if (people.length === 0) {
    const where = "recordingSheets, people";
    throw new InputError({ expected: "at least one golfer", got: "none", where });
  }
  if (!known.includes(occasion)) {
    const where = "recordingSheets, occasion";
    throw new InputError({ expected: `one of ${known.join(", ")}`, got: shown(occasion), where });
  }
}

function gripTasks(person: SheetPerson, order: TestOrder, design: StudyDesign): GripTask[] {
  const others = design.hands.filter((hand) => hand !== order.firstHand);
  const hands = [order.firstHand, ...others] as GripTask["handRole"][];
  const trials = Array.from({ length: design.gripTrials }, (_, i) => i + 1);
  return order.positions.flatMap((position) =>
    trials.flatMap((trial) =>
      hands.map((handRole) => ({
        participant: person.participant,
        position,
        hand: sideOf(handRole, person.plays),
        handRole,
        trial,
      })),
    ),
  );
}

/** The lead hand is the one nearer the target: the left of a right-sided player. */
export function sideOf(role: "lead" | "trail", plays?: "right" | "left"): string {
  if (plays === undefined) return role;
  const lead = plays === "right" ? "left" : "right";
  return role === "lead" ? lead : plays;
}

function swingTasks(participant: string, design: StudyDesign): RecordingSheets["swings"] {
  return design.clubs.flatMap((club) =>
    Array.from({ length: design.swings }, (_, i) => ({ participant, club, swing: i + 1 })),
  );
}

/**
 * The grip trials of a sheet as rows of the grip-trials file, with everything filled in but what is
 * found on the day: date, time, handle, device, force and status.
 */
export function gripRows(sheets: RecordingSheets, unit: string): Record<string, string>[] {
  return sheets.grip.map((task) => ({
    participant: task.participant,
    occasion: sheets.occasion,
    hand: task.hand,
    position: task.position,
    trial: String(task.trial),
    unit,
  }));
}

/** The swings of a sheet as rows of the swing-trials file; speed, status and date are left open. */
export function swingRows(sheets: RecordingSheets, unit: string): Record<string, string>[] {
  return sheets.swings.map((task) => ({
    participant: task.participant,
    occasion: sheets.occasion,
    club: task.club,
    swing: String(task.swing),
    unit,
  }));
}

/** The columns of a file of a study, in the order of the data dictionary. */
export function columnsOf(resource: keyof typeof dictionary): string[] {
  return dictionary[resource].map(({ name }) => name);
}
