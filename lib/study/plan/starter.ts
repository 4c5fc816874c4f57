import { csvText } from "../../csv-writing.js";
import { itemAt, present } from "../../entry.js";
import { InputError } from "../../errors.js";
import { knownOptions } from "../../options.js";
import { resourceDescriptor } from "../package/descriptor.js";
import { dictionary, resourceNames } from "../package/dictionary.js";

/** What an empty study is to be called and to compare. */
export interface StarterOptions {
  /** Name of the folder: lower-case letters, digits, dots, hyphens and underscores. */
  readonly name: string;
  /** Title of the study; made from the name unless given. */
  readonly title?: string | undefined;
  /** Ids of the arms; the last of several is the one the others are compared with. */
  readonly arms?: readonly string[] | undefined;
  /** Weeks of the occasions, rising. */
  readonly weeks?: readonly number[] | undefined;
  /** Hands that are measured. */
  readonly hands?: readonly string[] | undefined;
  /** Ids of the positions in which grip is measured; the first is the one of the primary outcome. */
  readonly positions?: readonly string[] | undefined;
  /** Clubs that are swung. */
  readonly clubs?: readonly string[] | undefined;
  /** Grip trials planned per golfer, visit, hand and position. */
  readonly trials?: number | undefined;
  /** Swings planned per golfer, visit and club. */
  readonly swings?: number | undefined;
  /** Seed that the plan names for all random numbers. */
  readonly seed?: number | undefined;
}

const optionNames = [
  "name",
  "title",
  "arms",
  "weeks",
  "hands",
  "positions",
  "clubs",
  "trials",
  "swings",
  "seed",
];

const where = "emptyStudy";

/**
 * The files of a new, empty study: a datapackage.json with design, plan and data dictionary, and a CSV
 * file with its header for each resource. It reads back without an issue.
 * @param options name of the folder; title, arms, weeks and seed, if not the usual ones
 * @returns text by path in the study's folder
 * @throws InputError when a name or id is not plain, an id repeats, or the weeks do not rise
 * @see https://datapackage.org/standard/data-package/
 * @example [...emptyStudy({ name: "spring" }).keys()].length // 8
 */
export function emptyStudy(options: StarterOptions): ReadonlyMap<string, string> {
  knownOptions(options, optionNames, where);
  const { name, title = `Study ${options.name}` } = options;
  if (!plainName.test(name)) throw refused(plainNameWords, name, "name");
  const files = resourceNames.map((resource): [string, string] => {
    const columns = dictionary[resource].map((field) => field.name);
    return [`${resource}.csv`, csvText(columns, [])];
  });
  const descriptor = {
    $schema: "https://datapackage.org/profiles/2.0/datapackage.json",
    name,
    title,
    description: `${title}: grip strength and club-head speed. Codes only; the list of names is kept elsewhere.`,
    study: studyOf(title, options),
    resources: resourceNames.map((resource) => resourceDescriptor(resource)),
  };
  return new Map([["datapackage.json", `${JSON.stringify(descriptor, null, 2)}\n`], ...files]);
}

const plainName = /^[a-z0-9](?:[a-z0-9._-]{0,62}[a-z0-9])?$/;
const plainNameWords = "a name of lower-case letters, digits, dots, hyphens and underscores";

function distinctIds(ids: readonly string[], part: string): readonly string[] {
  const odd = ids.find((id) => !plainName.test(id));
  if (odd !== undefined) throw refused(plainNameWords, odd, part);
  if (ids.length > 0 && new Set(ids).size === ids.length) return ids;
  throw refused("one or more ids, each once", ids.join(", ") || "none", part);
}

function rising(weeks: readonly number[]): readonly number[] {
  const sound = weeks.length > 0 && weeks.every((week) => Number.isFinite(week) && week >= 0);
  if (sound && weeks.every((week, i) => i === 0 || week > itemAt(weeks, i - 1))) return weeks;
  throw refused("weeks from 0 that rise", weeks.join(", ") || "none", "weeks");
}

function refused(expected: string, got: string, part: string): InputError {
  return new InputError({ expected, got: JSON.stringify(got), where: `${where}, ${part}` });
}

function handsOf(hands: readonly string[]): readonly string[] {
  if (hands.every((hand) => hand === "lead" || hand === "trail"))
    return distinctIds(hands, "hands");
  throw refused('"lead", "trail" or both', hands.join(", "), "hands");
}

function count(value: number, part: string): number {
  if (Number.isSafeInteger(value) && value >= 1 && value <= 50) return value;
  throw refused("a whole number from 1 to 50", String(value), part);
}

/** The mean of as many trials as are planned, up to three. */
function gripRule(trials: number): string {
  if (trials === 1) return "first";
  return trials === 2 ? "mean2" : "mean3";
}

function studyOf(title: string, options: StarterOptions): object {
  const arms = distinctIds(options.arms ?? ["training", "control"], "arms");
  const weeks = rising(options.weeks ?? [0, 6]);
  const hands = handsOf(options.hands ?? ["lead", "trail"]);
  const places = distinctIds(options.positions ?? ["seated", "address"], "positions");
  const clubs = distinctIds(options.clubs ?? ["driver"], "clubs");
  const gripTrials = count(options.trials ?? 3, "trials");
  const swings = count(options.swings ?? 8, "swings");
  const occasions = weeks.map((week) => ({ id: `week-${week}`, week, title: `Week ${week}` }));
  const [first, last] = [itemAt(occasions, 0).id, present(occasions.at(-1)).id];
  return {
    title,
    question: "Does the training change grip strength, and does club-head speed change as well?",
    simulated: false,
    arms: arms.map((id, i) => ({
      id,
      title: id,
      ...(arms.length > 1 && i === arms.length - 1 ? { control: true } : {}),
    })),
    occasions,
    hands,
    positions: places.map((id) => positions.find((one) => one.id === id) ?? { id, title: id }),
    clubs,
    gripTrials,
    swings,
    restSeconds: 60,
    plan: {
      primary: {
        outcome: "grip",
        hand: itemAt(hands, 0),
        position: itemAt(places, 0),
        before: first,
        after: last,
        contrast: arms.length > 1 ? `${arms[0]} − ${arms.at(-1)}` : "after − before",
        unit: "kgf",
      },
      summaries: { grip: gripRule(gripTrials), speed: "mean" },
      level: 0.95,
      seed: options.seed ?? 1,
      smallestWorthwhile: {},
      calibration: "none",
    },
    cautions,
    changes: [],
  };
}

/** The first follows the recommendations of the American Society of Hand Therapists (2015). */
const positions = [
  {
    id: "seated",
    title: "Seated",
    how: "On a chair without arm rests, feet flat, upper arm at the side, elbow at a right angle, thumb up, wrist straight or slightly extended.",
  },
  {
    id: "address",
    title: "Address",
    how: "Standing as over a ball, arms hanging as with a club, one hand squeezing, the other hanging free.",
  },
];

const cautions = [
  "Maximal squeezes and full swings can cause injury: screen before every test, stop on pain, keep the swing area clear.",
  "Local ethics approval, the rules of the laboratory or club and licensed professionals come first.",
];
