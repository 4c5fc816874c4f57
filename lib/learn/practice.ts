import { itemAt, present } from "../entry.js";
import { InputError } from "../errors.js";
import { type RandomStream, randomStream } from "../num/random.js";
import { mean } from "../num/sums.js";
import { type Practice, type PracticeSet, practiceSets } from "../show/lesson-outputs.js";
import { practiceSchema } from "../show/output-schemas.js";
import { outputRecord } from "../show/schema.js";
import type { TableColumn } from "../show/table-record.js";
import { fitLine } from "../stats/regression.js";
import { subjectSlopes } from "../stats/slopes.js";

interface DrawnSet {
  readonly golfer: readonly string[];
  readonly columns: Readonly<Record<string, readonly number[]>>;
  readonly given?: Readonly<Record<string, number>>;
  readonly grid?: Practice["grid"];
  readonly caption: string;
  readonly about: readonly TableColumn[];
}

/** All learners' golfers come from this one seed; their codes make them differ. */
const seed = 1908;

/** Changes when golfers or exercises change, so that a teacher can see what a student worked with. */
export const exerciseVersion = "2";

/** Grip that the exercises show; nobody squeezes outside of it. */
const gripRange = { least: 20, most: 70 } as const;

/** A golfer's grip, drawn again until it is one that golfers have. */
function gripOf(stream: RandomStream, mean: number, sd: number): number {
  for (;;) {
    const grip = mean + sd * stream.normal();
    // Room for the error of a reading.
    if (grip >= gripRange.least + 4 && grip <= gripRange.most - 8) return grip;
  }
}

/** Draws a set until it shows what its lesson is about. */
function drawnUntil(shows: (made: DrawnSet) => boolean, draw: () => DrawnSet): DrawnSet {
  for (;;) {
    const made = draw();
    if (shows(made)) return made;
  }
}

/** Whether every force of a set is one that golfers have. */
function isPlausible({ columns }: DrawnSet): boolean {
  return ["first", "second", "third", "grip", "before", "after"].every((name) =>
    (columns[name] ?? []).every((force) => force >= gripRange.least && force <= gripRange.most),
  );
}

/** Readings have one decimal, as instruments show them. */
function read(value: number): number {
  return Math.round(value * 10) / 10;
}

function names(count: number): string[] {
  return Array.from({ length: count }, (_, i) => String.fromCharCode(65 + i));
}

function column(name: string, label: string, unit = "", digits = 1): TableColumn {
  return unit ? { name, label, unit, digits } : { name, label };
}

/** Eight golfers, three squeezes each of the lead hand. */
function squeezes(stream: RandomStream): DrawnSet {
  const golfer = names(8);
  const levels = golfer.map(() => gripOf(stream, 42, 8));
  const error = 1.2 + 0.8 * stream.uniform();
  const trial = () => levels.map((value) => read(value + error * stream.normal()));
  return {
    golfer,
    columns: { first: trial(), second: trial(), third: trial() },
    caption: "Three squeezes of the lead hand by eight invented golfers, a minute apart.",
    about: [
      column("golfer", "Golfer"),
      column("first", "First", "kgf"),
      column("second", "Second", "kgf"),
      column("third", "Third", "kgf"),
    ],
  };
}

/** Ten golfers, grip and driver speed. */
function golfers(stream: RandomStream): DrawnSet {
  const golfer = names(10);
  const slope = 0.3 + 0.5 * stream.uniform();
  const grip = golfer.map(() => read(gripOf(stream, 42, 8)));
  const speed = grip.map((value) => read(92 + slope * (value - 42) + 5 * stream.normal()));
  return {
    golfer,
    columns: { grip, speed },
    caption: "Lead-hand grip force and driver speed of ten invented golfers.",
    about: [
      column("golfer", "Golfer"),
      column("grip", "Grip", "kgf"),
      column("speed", "Speed", "mph"),
    ],
  };
}

/** Nine golfers of a grip block and nine of swing practice, before and after. */
function block(stream: RandomStream): DrawnSet {
  const golfer = names(18);
  const trained = golfer.map((_, i) => (i < 9 ? 1 : 0));
  const gain = 2 + 1.5 * stream.uniform();
  const learning = 0.8 + 0.5 * stream.uniform();
  const levels = golfer.map(() => gripOf(stream, 40, 6));
  const before = levels.map((value) => read(value + 1.2 * stream.normal()));
  const after = levels.map((value, i) =>
    read(value + learning + gain * itemAt(trained, i) + 1.4 * stream.normal()),
  );
  return {
    golfer,
    columns: { trained, before, after },
    caption:
      "Lead-hand grip before and after six weeks: nine golfers with a grip block (trained 1), nine with swing practice (trained 0), all invented.",
    about: [
      column("golfer", "Golfer"),
      column("trained", "Trained"),
      column("before", "Before", "kgf"),
      column("after", "After", "kgf"),
    ],
  };
}

/** Resampled means that were written on cards. */
const cardsWritten = 39;

/** Six to ten golfers' changes, and 39 means of draws with replacement from them, in order. */
function cards(stream: RandomStream): DrawnSet {
  const golfer = names(6 + stream.below(5));
  const change = golfer.map(() =>
    read(1 + 1.8 * stream.normal() + (stream.uniform() < 0.2 ? 4 : 0)),
  );
  const draw = () => mean(change.map(() => itemAt(change, stream.below(change.length))));
  const means = Array.from({ length: cardsWritten }, () => Math.round(draw() * 100) / 100);
  means.sort((a, b) => a - b);
  const given = Object.fromEntries(means.map((value, i) => [`mean${i + 1}`, value]));
  return {
    golfer,
    columns: { change },
    given,
    caption: `Change of grip force of ${golfer.length} invented golfers.`,
    grid: {
      caption: `Means of ${cardsWritten} draws with replacement from these golfers, in order, in kgf.`,
      values: means,
      digits: 2,
    },
    about: [column("golfer", "Golfer"), column("change", "Change", "kgf")],
  };
}

const visitsEach = 4;

/** Five golfers, four visits each; the slope between golfers and the slopes within them have opposite signs. */
function visits(stream: RandomStream): DrawnSet {
  const people = names(5);
  const sign = stream.uniform() < 0.5 ? 1 : -1;
  const within = sign * (0.5 + 0.4 * stream.uniform());
  const between = -sign * (0.5 + 0.3 * stream.uniform());
  const golfer: string[] = [];
  const grip: number[] = [];
  const speed: number[] = [];
  const places = stream.shuffle([30, 36, 42, 48, 54]);
  people.forEach((name, i) => {
    const center = itemAt(places, i) + stream.normal();
    const height = 92 + between * (center - 42) + 1.5 * stream.normal();
    for (const off of [-3, -1, 1, 3]) {
      golfer.push(name);
      grip.push(read(center + off + 0.6 * stream.normal()));
      speed.push(read(height + within * off + 0.7 * stream.normal()));
    }
  });
  const pick = stream.below(people.length);
  const given = {
    pick: pick + 1,
    between: read(3 + 2 * stream.uniform()),
    within: read(4 + 3 * stream.uniform()),
    visits: visitsEach,
  };
  return {
    golfer,
    columns: { grip, speed },
    given,
    caption: `Five invented golfers on four visits. Your golfer is ${people[pick]}. For the last exercise, take the SD between golfers as ${given.between} mph and the SD of one visit as ${given.within} mph.`,
    about: [
      column("golfer", "Golfer"),
      column("grip", "Grip", "kgf"),
      column("speed", "Speed", "mph"),
    ],
  };
}

const makers: Readonly<Record<PracticeSet, (stream: RandomStream) => DrawnSet>> = {
  squeezes,
  golfers,
  block,
  cards,
  visits,
};

/** What a lesson says of its golfers holds for every code. */
const showsItsPoint: Readonly<Record<PracticeSet, (made: DrawnSet) => boolean>> = {
  squeezes: () => true,
  golfers: ({ columns }) => slopeIn(present(columns.grip), present(columns.speed)) > 0.1,
  block: ({ columns }) => effectIn(columns) > 0.3,
  cards: () => true,
  visits: ({ golfer, columns }) => {
    const [grip, speed] = [present(columns.grip), present(columns.speed)];
    const people = [...new Set(golfer)];
    const meansOf = (values: readonly number[]) =>
      people.map((name) => mean(values.filter((_, i) => golfer[i] === name)));
    const within = subjectSlopes(golfer, grip, speed).slope.value;
    return within * slopeIn(meansOf(grip), meansOf(speed)) < 0;
  },
};

function slopeIn(x: readonly number[], y: readonly number[]): number {
  return fitLine({ x, y }).slope.value;
}

/** Mean change of those who trained − mean change of the others. */
function effectIn({ trained = [], before = [], after = [] }: DrawnSet["columns"]): number {
  const changeOf = (group: number) =>
    mean(after.flatMap((value, i) => (trained[i] === group ? [value - itemAt(before, i)] : [])));
  return changeOf(1) - changeOf(0);
}

/**
 * A learner's code as it is read: without spaces at the ends, capitals and small letters alike.
 * @throws InputError when nothing is left, or more than 60 characters
 * @example learnerCode("  Blue  Heron-7 ") // "blue heron-7"
 */
export function learnerCode(code: string): string {
  const plain =
    typeof code === "string"
      ? code.normalize("NFKC").trim().replace(/\s+/g, " ").toLowerCase()
      : "";
  if (plain !== "" && plain.length <= 60) return plain;
  throw new InputError({
    expected: "a code of 1 to 60 characters, such as a nickname",
    got: JSON.stringify(code) ?? String(code),
    where: "learner",
  });
}

/**
 * The golfers that are invented for one learner: a set drawn from the learner's code, so that
 * neighbours have different numbers and a teacher can make the same ones again.
 * @param set "squeezes", "golfers", "block", "cards" or "visits": one for each lesson
 * @param learner what `learner` returned, or the code itself
 * @returns columns of readings (kgf, mph), labels of golfers, a table to show
 * @throws InputError for an unknown set or an empty code
 * @example practice("squeezes", "class").golfer.length // 8
 */
export function practice(set: PracticeSet, learner: string | { readonly code: string }): Practice {
  if (!practiceSets.includes(set)) {
    const expected = `one of ${practiceSets.join(", ")}`;
    throw new InputError({ expected, got: String(set), where: "practice" });
  }
  const code = learnerCode(typeof learner === "string" ? learner : learner?.code);
  const stream = randomStream(seed, `practice ${set} ${code}`);
  const made = drawnUntil(
    (one) => isPlausible(one) && showsItsPoint[set](one),
    () => makers[set](stream),
  );
  const { golfer, columns, given = {}, grid, caption, about } = made;
  const rows = golfer.map((name, i) => ({
    golfer: name,
    ...Object.fromEntries(Object.entries(columns).map(([key, values]) => [key, itemAt(values, i)])),
  }));
  const practiceRecord = {
    kind: "practice",
    set,
    learner: code,
    columns,
    golfer,
    given,
    ...(grid && { grid }),
    caption,
    table: { columns: about, rows },
  };
  return outputRecord(practiceSchema, practiceRecord, `practice ${set}`);
}
