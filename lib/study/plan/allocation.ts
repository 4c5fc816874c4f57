import { itemAt, present, wholeAt } from "../../entry.js";
import { InputError } from "../../errors.js";
import { type RandomStream, randomStream } from "../../num/random.js";
import { knownOptions } from "../../options.js";
import type { Labels } from "../../stats/estimate.js";
import { frozen } from "../../stats/estimate.js";
import { labels, shown } from "../../stats/input.js";

/** Which arm each golfer was drawn into, and how even the draw came out. */
export interface Allocation {
  /** Name of this record. */
  readonly kind: "allocate";
  /** The arm of each golfer, with the stratum of the draw. */
  readonly assignments: readonly {
    readonly participant: string;
    readonly arm: string;
    readonly stratum: string;
  }[];
  /** Golfers in each arm, in all and in each stratum. */
  readonly counts: readonly {
    readonly stratum: string;
    readonly arms: Readonly<Record<string, number>>;
  }[];
  /** Seed of the random numbers: the same seed gives the same result. */
  readonly seed: number;
  /** How it was computed, in a phrase that a report can print. */
  readonly method: string;
  /** What to know before the result is used, one sentence each; empty when nothing is doubtful. */
  readonly warnings: readonly string[];
}

const everyone = "everyone";

/**
 * Draws golfers into arms at random, as evenly as whole people allow: in every stratum, and over all
 * strata together, two arms never differ by more than one golfer (for each time an arm is named).
 *
 * Within a stratum the golfers are put in random order and dealt round the arms; the arms that take
 * the golfers left over are those that have the fewest so far, ties drawn. Before the draw every
 * golfer has the same chance of every arm. Draw once, before the first test, and keep the seed.
 * @param participants codes, each once
 * @param options arms: their ids; an arm named twice takes twice as many. strata: a label for each
 *   golfer, such as sex or "woman, over 50"; seed: a whole number
 * @throws InputError when codes repeat, lengths differ, there are fewer than two arms, or the seed is
 *   not a whole number from 0
 * @see Kernan WN, Viscoli CM, Makuch RW, Brass LM, Horwitz RI (1999) Stratified randomization for
 *   clinical trials. J Clin Epidemiol 52:19–26
 * @example allocate(["A", "B", "C", "D"], { arms: ["grip", "swing"], seed: 1 }).counts[0].arms // {"grip":2,"swing":2}
 */
export function allocate(
  participants: Labels,
  options: { arms: readonly string[]; strata?: Labels; seed: number },
): Allocation {
  knownOptions(options, ["arms", "strata", "seed"], "allocate");
  const { arms, strata, seed } = options;
  const codes = distinct(labels(participants, "allocate, participants", participants?.length));
  const slots = checkedArms(arms);
  const groups = strata
    ? labels(strata, "allocate, strata", codes.length)
    : codes.map(() => everyone);
  const drawn = draw(codes, groups, slots, randomStream(seed, "allocation"));
  const assignments = codes.map((participant, i) => {
    return { participant, arm: itemAt(slots, wholeAt(drawn, i)), stratum: itemAt(groups, i) };
  });
  return frozen({
    kind: "allocate",
    assignments,
    counts: countsOf(assignments, slots),
    seed,
    method: "random order within strata, dealt round the arms (stratified, balanced to one)",
    warnings: warningsOf(groups, slots),
  });
}

function distinct(codes: string[]): string[] {
  const repeated = codes.find((code, i) => codes.indexOf(code) !== i);
  if (repeated === undefined) return codes;
  const where = "allocate, participants";
  throw new InputError({ expected: "each code once", got: JSON.stringify(repeated), where });
}

function checkedArms(arms: unknown): string[] {
  const list = Array.isArray(arms) ? (arms as unknown[]) : [];
  const texts = list.filter((arm): arm is string => typeof arm === "string" && arm !== "");
  if (texts.length === list.length && new Set(texts).size >= 2) return texts;
  throw new InputError({
    expected: "the ids of at least two arms",
    got: Array.isArray(arms) ? JSON.stringify(arms).slice(0, 60) : shown(arms),
    where: "allocate, arms",
  });
}

/** The slot drawn for each golfer. */
function draw(
  codes: readonly string[],
  groups: readonly string[],
  slots: readonly string[],
  stream: RandomStream,
): Int32Array {
  const drawn = new Int32Array(codes.length);
  const taken = slots.map(() => 0);
  for (const stratum of new Set(groups)) {
    const people = stream.shuffle([...groups.keys()].filter((i) => groups[i] === stratum));
    while (people.length > 0) {
      const round = stream
        .shuffle([...slots.keys()])
        .sort((a, b) => itemAt(taken, a) - itemAt(taken, b));
      for (const slot of round.slice(0, people.length)) {
        drawn[present(people.pop())] = slot;
        taken[slot] = itemAt(taken, slot) + 1;
      }
    }
  }
  return drawn;
}

function countsOf(
  assignments: Allocation["assignments"],
  slots: readonly string[],
): Allocation["counts"] {
  const strata = [...new Set(assignments.map(({ stratum }) => stratum))];
  const count = (stratum: string, among: Allocation["assignments"]) => ({
    stratum,
    arms: Object.fromEntries(
      [...new Set(slots)].map((arm) => [arm, among.filter((one) => one.arm === arm).length]),
    ),
  });
  const whole = count(everyone, assignments);
  if (strata.length <= 1) return [whole];
  return [
    whole,
    ...strata.map((one) =>
      count(
        one,
        assignments.filter(({ stratum }) => stratum === one),
      ),
    ),
  ];
}

function warningsOf(groups: readonly string[], slots: readonly string[]): string[] {
  const small = [...new Set(groups)].filter(
    (stratum) => groups.filter((group) => group === stratum).length < slots.length,
  );
  if (small.length === 0) return [];
  return [
    `strata with fewer golfers than arms cannot be balanced within the stratum: ${small.join(", ")}`,
  ];
}
