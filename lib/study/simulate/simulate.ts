import { csvText } from "../../csv-writing.js";
import { itemAt, present } from "../../entry.js";
import { InputError } from "../../errors.js";
import { randomStream } from "../../num/random.js";
import { knownOptions } from "../../options.js";
import { frozen } from "../../stats/estimate.js";
import { descriptorOf } from "../package/descriptor.js";
import type { ResourceName } from "../package/dictionary.js";
import { dictionary } from "../package/dictionary.js";
import { exportedText } from "./device-export.js";
import type { Golfer } from "./simulated-people.js";
import { dayAfter, inventGolfers } from "./simulated-people.js";
import type { TrialRow, Visit } from "./simulated-trials.js";
import { recordVisit } from "./simulated-trials.js";
import {
  type SimulatedStudy,
  type SimulationOptions,
  simulationOptionNames,
} from "./simulation.js";

/**
 * Makes a study whose true effects are known: people from published norms, trials with their errors,
 * and the faults that real files have. The same options give the same bytes.
 *
 * True grip of a hand in a position = norm for sex and age × person × writing hand × position ×
 * (1 + gain); a trial adds a session error, a trial error, fatigue and learning. Speed follows sex,
 * age and grip above the norm; the block adds its gain, and a person's own gain in grip moves it.
 * @param options who takes part, what is true, what goes wrong, and the seed
 * @returns files as text by name, and the truth by person and occasion
 * @throws InputError when an option is unknown, or there are no arms, people or occasions
 * @see Tomkinson et al. (2025) J Sport Health Sci 14:101014, for the norms people are drawn around
 * @example Object.keys(inventStudy(coachNine).files).length // 6
 */
export function inventStudy(options: SimulationOptions): SimulatedStudy {
  knownOptions(options, simulationOptionNames, "inventStudy");
  const { arms, occasions, positions, name, seed } = options;
  if (occasions.length < 2 || arms.every(({ people }) => people < 1) || positions.length < 1)
    throw new InputError({
      expected: "people in an arm, two occasions and a position",
      got: `${arms.length} arms, ${occasions.length} occasions, ${positions.length} positions`,
      where: "inventStudy",
    });
  const stream = randomStream(seed, `study ${name}`);
  const golfers = inventGolfers(options, stream.split("people"));
  const visits = golfers.flatMap((golfer) => visitsOf(golfer, options));
  const rows: Partial<Record<ResourceName, TrialRow[]>> = {
    participants: golfers.map((golfer) => participantRow(golfer, options)),
    "grip-trials": visits.flatMap(({ grip }) => grip),
    "swing-trials": visits.flatMap(({ swings }) => swings),
    "training-log": golfers.flatMap((golfer) => logRows(golfer, options)),
    calibration: calibrationRows(options),
    "set-aside": setAsideRows(golfers, options),
  };
  return frozen({
    kind: "simulatedStudy",
    name,
    files: filesOf(rows, options),
    options,
    truth: visits.map(({ truth }) => truth),
  });
}

function visitsOf(golfer: Golfer, options: SimulationOptions): Visit[] {
  const stream = randomStream(options.seed, `study ${options.name}/visits of ${golfer.place}`);
  return options.occasions.flatMap(({ id }, place) => {
    // Every visit has its own stream, so that one more or less leaves the others as they are.
    return comes(golfer, id, options)
      ? [recordVisit(golfer, place, options, stream.split(id))]
      : [];
  });
}

function comes(golfer: Golfer, occasion: string, options: SimulationOptions): boolean {
  const order = options.occasions.map(({ id }) => id);
  const leave = withdrawalOf(golfer, options);
  if (leave && order.indexOf(occasion) > order.indexOf(leave.after)) return false;
  return !options.missedVisits.some(
    (missed) => missed.person === golfer.place && missed.occasion === occasion,
  );
}

function withdrawalOf({ arm, place }: Golfer, { withdrawals, arms }: SimulationOptions) {
  const before = arms.slice(
    0,
    arms.findIndex(({ id }) => id === arm.id),
  );
  const first = before.reduce((sum, { people }) => sum + people, 0);
  return withdrawals.find((one) => one.arm === arm.id && one.place === place - first);
}

/** The day someone leaves: halfway to the next occasion. */
function leavingDay(golfer: Golfer, options: SimulationOptions): string | null {
  const leave = withdrawalOf(golfer, options);
  if (!leave) return null;
  const last = present(options.occasions.find(({ id }) => id === leave.after));
  return dayAfter(options.start, 7 * last.week + 9);
}

function participantRow(golfer: Golfer, options: SimulationOptions): TrialRow {
  const { id, arm, sex, age, plays, writesWith, heightCm, massKg, handicap, gym } = golfer;
  return {
    participant: id,
    arm: arm.id,
    sex,
    age_years: age,
    plays,
    writes_with: writesWith,
    height_cm: heightCm,
    mass_kg: massKg,
    handicap,
    gym_training: gym,
    withdrew_on: leavingDay(golfer, options),
    withdrew_reason: withdrawalOf(golfer, options)?.reason ?? null,
  };
}

function logRows(golfer: Golfer, options: SimulationOptions): TrialRow[] {
  const stream = randomStream(options.seed, `study ${options.name}/log of ${golfer.place}`);
  const until = leavingDay(golfer, options);
  return golfer.sessions
    .filter(({ date }) => until === null || date < until)
    .map(({ date, done }) => {
      const sore = stream.uniform() < 0.04;
      return {
        participant: golfer.id,
        date,
        minutes: done ? golfer.arm.minutes - stream.below(4) : 0,
        completed: done ? "yes" : "no",
        discomfort: done ? (sore ? "mild" : "none") : null,
        note: done ? null : itemAt(["away", "ill", "no time"], stream.below(3)),
      };
    });
}

/** The dynamometer is hung with known loads before each occasion; it reads a trace too high. */
function calibrationRows(options: SimulationOptions): TrialRow[] {
  const stream = randomStream(options.seed, `study ${options.name}/calibration`);
  return options.occasions.flatMap(({ week }) =>
    [10, 20, 40, 60].map((load) => ({
      date: dayAfter(options.start, 7 * week - 1),
      device: "D1",
      known_load: load,
      reading: Number((0.1 + 1.004 * load + 0.12 * stream.normal()).toFixed(1)),
      unit: "kgf",
      note: null,
    })),
  );
}

function setAsideRows(
  golfers: readonly Golfer[],
  { setAside, handsAs }: SimulationOptions,
): TrialRow[] {
  const golfer = golfers.find(({ place }) => place === setAside?.person);
  if (!setAside || !golfer) return [];
  const side = (setAside.hand === "lead") === (golfer.plays === "right") ? "left" : "right";
  return [
    {
      file: "grip-trials",
      participant: golfer.id,
      occasion: setAside.occasion,
      hand: handsAs === "side" ? side : setAside.hand,
      position: setAside.position,
      club: null,
      number: String(setAside.trial),
      reason: setAside.reason,
      decided_on: setAside.decidedOn,
    },
  ];
}

function filesOf(
  rows: Partial<Record<ResourceName, TrialRow[]>>,
  options: SimulationOptions,
): Record<string, string> {
  const files = Object.entries(rows)
    .filter(([, lines]) => lines.length > 0)
    .map(([name, lines]) => {
      const present = new Set(Object.keys(itemAt(lines, 0)));
      const kind = name as ResourceName;
      const columns = dictionary[kind]
        .map((field) => field.name)
        .filter((column) => present.has(column));
      const device = options.exports?.[kind];
      const text = device ? exportedText(kind, lines, device) : csvText(columns, lines);
      return { name: kind, columns, device, path: device?.path ?? `${name}.csv`, text };
    });
  const { name, title, description, question, plan, cautions, changes } = options;
  const descriptor = descriptorOf({
    name,
    title,
    description,
    question,
    simulated: true,
    design: designOf(options),
    plan,
    cautions,
    changes,
    files,
  });
  return Object.fromEntries([
    ["datapackage.json", `${JSON.stringify(descriptor, null, 2)}\n`],
    ...files.map(({ path, text }) => [path, text]),
  ]);
}

function designOf(options: SimulationOptions) {
  return {
    arms: options.arms.map(({ id, title, control }) => ({
      id,
      title,
      ...(control ? { control } : {}),
    })),
    occasions: options.occasions,
    hands: ["lead", "trail"] as const,
    positions: options.positions.map(({ id, title, how }) => ({ id, title, how })),
    clubs: [options.club],
    gripTrials: options.trials,
    swings: options.swings,
    restSeconds: options.restSeconds,
    ...(options.arms.length > 1 && { allocation: "random" as const }),
  };
}
