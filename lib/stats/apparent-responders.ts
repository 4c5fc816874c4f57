import { itemAt, present } from "../entry.js";
import { InputError } from "../errors.js";
import { normal } from "../num/distributions.js";
import { randomStream } from "../num/random.js";
import { mean } from "../num/sums.js";
import { knownOptions } from "../options.js";
import { orderedQuantile } from "./describe.js";
import { frozen } from "./estimate.js";
import { confidenceLevel, nonNegative, requiredSeed, shown, wholeNumber } from "./input.js";

/** A study in which the truth about every person is laid down. */
export interface ResponderWorld {
  /** People in the trained arm. */
  readonly people: number;
  /** True gain of everybody, any unit. */
  readonly gain: number;
  /** Error of one measurement, the same unit. */
  readonly typicalError: number;
  /** A change above this is called a response, the same unit. */
  readonly threshold: number;
  /** SD of true gains between people; 0 unless given: nobody responds more than another. */
  readonly responseSd?: number;
}

/** How many people would be called responders by measurement error alone. */
export interface ApparentResponders {
  /** Name of the function that made this record. */
  readonly kind: "apparentResponders";
  /** People in each simulated study. */
  readonly people: number;
  /** Number of simulated studies. */
  readonly studies: number;
  /** Chance that one person's change passes the threshold. */
  readonly chance: number;
  /** People past the threshold, study by study. */
  readonly counts: readonly number[];
  /** Mean of the counts, and the range that holds the share `level` of them. */
  readonly mean: number;
  /** Lower limit of that range, in people. */
  readonly low: number;
  /** Upper limit of that range, in people. */
  readonly high: number;
  /** Share of the studies that the range includes, such as 0.95. */
  readonly level: number;
  /** Mean over studies of the lowest and the highest change among the people. */
  readonly spread: { readonly lowest: number; readonly highest: number };
  /** Of those past the threshold, the share who pass it when the whole study is run again. */
  readonly again: number;
  /** The changes of the first study, one per person. */
  readonly example: readonly number[];
  /** Seed of the random numbers: the same seed gives the same result. */
  readonly seed: number;
  /** How the numbers were computed, in a phrase that a report can print. */
  readonly method: string;
}

/**
 * Simulates studies in which everybody has the same true gain and counts the "responders" that
 * measurement error makes: change = gain + √2 · typicalError · e with normal e, and, if asked,
 * true gains that differ with SD responseSd. Each study is run twice, to see who passes again.
 *
 * @param world people, true gain, typical error and threshold in one unit
 * @param options studies (default 2000), seed, and level of the range of the counts
 * @returns counts in people, changes in the unit given
 * @throws InputError when people or studies are not whole numbers from 1 up, or a number is not
 *   finite or negative where it cannot be
 * @see Senn (2004) Stat Med 23:3729–3753; Atkinson & Batterham (2015) Exp Physiol 100:577–588
 *   (both cited from memory)
 * @example apparentResponders({ people: 12, gain: 2, typicalError: 1.4, threshold: 2 }, { studies: 50, seed: 1 }).chance // 0.5
 */
export function apparentResponders(
  world: ResponderWorld,
  options: { studies?: number; seed: number; level?: number },
): ApparentResponders {
  knownOptions(options, ["studies", "seed", "level"], "apparentResponders");
  const { studies = 2000, level = 0.95 } = options ?? {};
  const seed = requiredSeed(options?.seed, "apparentResponders");
  const { people, gain, typicalError, threshold, responseSd = 0 } = checked(world);
  wholeNumber(studies, "apparentResponders, studies");
  confidenceLevel(level, "apparentResponders");
  const error = Math.SQRT2 * typicalError;
  const stream = randomStream(seed, "apparent responders");
  const runs = Array.from({ length: studies }, () => {
    const gains = Array.from({ length: people }, () =>
      responseSd > 0 ? gain + responseSd * stream.normal() : gain,
    );
    return [0, 1].map(() => gains.map((trueGain) => trueGain + error * stream.normal()));
  });
  const passes = (change: number) => change > threshold;
  const firsts = runs.map(([first]) => present(first));
  const counts = firsts.map((changes) => changes.filter(passes).length);
  const sorted = Float64Array.from(counts).sort();
  const total = counts.reduce((sum, count) => sum + count, 0);
  const twice = runs.reduce(
    (sum, [first, second]) =>
      sum + present(first).filter((x, i) => passes(x) && passes(itemAt(present(second), i))).length,
    0,
  );
  return frozen({
    kind: "apparentResponders",
    people,
    studies,
    chance: chanceOf(gain - threshold, Math.hypot(error, responseSd)),
    counts,
    mean: total / studies,
    low: orderedQuantile(sorted, (1 - level) / 2, 1),
    high: orderedQuantile(sorted, (1 + level) / 2, 1),
    level,
    spread: {
      lowest: mean(firsts.map((changes) => Math.min(...changes))),
      highest: mean(firsts.map((changes) => Math.max(...changes))),
    },
    again: total === 0 ? 0 : twice / total,
    example: itemAt(firsts, 0),
    seed,
    method: `simulation, ${responseSd > 0 ? "true gains that differ" : "one true gain for everybody"}`,
  });
}

function checked(world: ResponderWorld): ResponderWorld {
  const { people, gain, typicalError, threshold, responseSd = 0 } = world;
  wholeNumber(people, "apparentResponders, people");
  nonNegative(typicalError, "apparentResponders, typicalError");
  nonNegative(responseSd, "apparentResponders, responseSd");
  for (const [name, value] of Object.entries({ gain, threshold })) {
    if (typeof value === "number" && Number.isFinite(value)) continue;
    const where = `apparentResponders, ${name}`;
    throw new InputError({ expected: "a finite number", got: shown(value), where });
  }
  return world;
}

/** Chance that a normal value with this mean is above 0; without spread it is 0 or 1. */
function chanceOf(centre: number, sd: number): number {
  if (sd === 0) return centre > 0 ? 1 : 0;
  return normal(0, 1).cdf(centre / sd);
}
