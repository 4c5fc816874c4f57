import { realAt } from "../entry.js";
import { InputError } from "../errors.js";
import { studentT } from "../num/distributions.js";
import { type RandomStream, randomStream } from "../num/random.js";
import { knownOptions } from "../options.js";
import { frozen, type Interval } from "./estimate.js";
import { confidenceLevel, nonNegative, requiredSeed, shown, wholeNumber } from "./input.js";
import { finite, positive } from "./plan-search.js";

/** A study as it is going to be run: two arms, a test before and one after. */
export interface SimulatedDesign {
  /** People who start, by arm. */
  readonly trained: number;
  /** People who start in the control arm. */
  readonly control: number;
  /** SD of true values between people, any unit. */
  readonly sd: number;
  /** Typical error of one trial within a visit, same unit. */
  readonly trialError: number;
  /** SD from visit to visit of a person who does not change, beyond trial error; default 0. */
  readonly visitError?: number;
  /** Trials per visit whose mean is the person's value, default 1. */
  readonly trials?: number;
  /** SD of true responses to training between people, same unit, default 0. */
  readonly responseSd?: number;
  /** How the arms are compared: adjusted for the baseline (default), or by their changes. */
  readonly analysis?: "adjusted" | "changes";
  /** Confidence level of the two-sided test, default 0.95. */
  readonly level?: number;
}

/** A design, the effect that is assumed, and the size of the simulation. */
export interface SimulationPlanInput {
  /** The study that is simulated. */
  readonly design: SimulatedDesign;
  /** True mean difference of the changes, trained − control, in the unit of the design. */
  readonly effect: number;
  /** Share of people who do not come to the second test, default 0: one for both arms or one each. */
  readonly dropout?: number | { readonly trained: number; readonly control: number };
  /** Studies simulated, default 2000. */
  readonly simulations?: number;
  /** Seed of the random numbers: the same seed gives the same result. */
  readonly seed: number;
}

/** Power of a design, from simulated studies. */
export interface SimulatedPower {
  /** Name of the function that made this record. */
  readonly kind: "planBySimulation";
  /** Share of the simulated studies whose interval excludes 0. */
  readonly power: number;
  /** Monte-Carlo standard error of that share. */
  readonly se: number;
  /** Where the true power lies, by Wilson's interval at 0.95. */
  readonly interval: Interval;
  /** Share of the intervals that include the true effect, with its Monte-Carlo error. */
  readonly coverage: number;
  /** Monte-Carlo standard error of the coverage. */
  readonly coverageSe: number;
  /** Mean half-width of the intervals, in the unit of the design. */
  readonly halfWidth: number;
  /** Mean numbers of people who complete. */
  readonly completers: { readonly trained: number; readonly control: number };
  /** Number of simulated studies. */
  readonly simulations: number;
  /** Studies with too few people left for the analysis; they count as not significant. */
  readonly tooFew: number;
  /** How the numbers were computed, in a phrase that a report can print. */
  readonly method: string;
  /** What to know before the result is used, one sentence each; empty when nothing is doubtful. */
  readonly warnings: readonly string[];
}

/**
 * Power of a study as it will be run, by simulating it: dropout, the number of trials, response
 * differences and the analysis planned.
 *
 *   value = true value (SD sd) + visit error + mean of trial errors; after, trained people gain
 *   effect + response (SD responseSd); dropout leaves completely at random; all parts normal
 *
 * "adjusted": analysis of covariance of after on before and arm, t on n1 + n2 − 3 df. "changes":
 * t test of the changes with equal variances. Power is the share of studies whose interval excludes
 * 0, with the Monte-Carlo error √(p(1 − p)/simulations). With effect 0 it is the type I error.
 *
 * @param input design and effect in one unit; dropout as a share
 * @returns power and coverage as shares, halfWidth in the unit of the design
 * @throws InputError when a count, SD or share is out of range, an option is unknown, or the seed
 *   is missing
 * @see Arnold, Hogan, Colford & Hubbard (2011) BMC Med Res Methodol 11:94; Wilson (1927) J Am Stat
 *   Assoc 22:209–212
 * @example planBySimulation({ design: { trained: 20, control: 20, sd: 6, trialError: 1.5 }, effect: 2, simulations: 200, seed: 1 }).simulations // 200
 */
export function planBySimulation(input: SimulationPlanInput): SimulatedPower {
  const where = "planBySimulation";
  knownOptions(input, ["design", "effect", "dropout", "simulations", "seed"], where);
  const design = designOf(input.design, where);
  const effect = finite(input.effect, where, "effect");
  const stays = stayingOf(input.dropout ?? 0, where);
  const simulations = wholeNumber(input.simulations ?? 2000, `${where}, simulations`);
  const seed = requiredSeed(input.seed, where);
  const tally = tallyOf(randomStream(seed, where), { design, effect, stays, simulations });
  const analysed = simulations - tally.tooFew;
  if (analysed === 0) {
    const expected = "enough people left for the analysis";
    throw new InputError({ expected, got: "too few in every simulated study", where });
  }
  const power = tally.rejected / simulations;
  const coverage = tally.covered / analysed;
  const se = shareError(power, simulations);
  return frozen({
    kind: "planBySimulation" as const,
    power,
    se,
    interval: wilson(power, simulations),
    coverage,
    coverageSe: shareError(coverage, analysed),
    halfWidth: tally.halfWidth / analysed,
    completers: { trained: tally.trained / simulations, control: tally.control / simulations },
    simulations,
    tooFew: tally.tooFew,
    method: `${simulations} studies simulated with seed ${seed}, ${design.analysis === "adjusted" ? "baseline-adjusted t" : "t test of changes"}, level ${design.level}`,
    warnings: warningsOf(tally.tooFew, se),
  });
}

interface Simulation {
  readonly design: Design;
  readonly effect: number;
  readonly stays: ReturnType<typeof stayingOf>;
  readonly simulations: number;
}

/** Sums over all simulated studies: how many found what, half-widths, and people who completed. */
function tallyOf(stream: RandomStream, { design, effect, stays, simulations }: Simulation) {
  const critical = quantilesByDf(design.level);
  const tally = { rejected: 0, covered: 0, tooFew: 0, halfWidth: 0, trained: 0, control: 0 };
  for (let study = 0; study < simulations; study++) {
    const trained = armOf(stream, design, design.trained, stays.trained, effect, design.responseSd);
    const control = armOf(stream, design, design.control, stays.control, 0, 0);
    tally.trained += trained.before.length;
    tally.control += control.before.length;
    const found = differenceOf(trained, control, design.analysis);
    if (!found) {
      tally.tooFew++;
      continue;
    }
    const half = critical(found.df) * found.se;
    tally.halfWidth += half;
    if (Math.abs(found.value) > half) tally.rejected++;
    if (Math.abs(found.value - effect) <= half) tally.covered++;
  }
  return tally;
}

/** Monte-Carlo standard error of a share, √(p(1 − p)/count). */
function shareError(share: number, count: number): number {
  return Math.sqrt((share * (1 - share)) / count);
}

function warningsOf(tooFew: number, se: number): string[] {
  const warnings: string[] = [];
  if (tooFew > 0) {
    warnings.push(
      `${tooFew} simulated studies had too few people left; they count as not significant.`,
    );
  }
  if (se > 0.02) {
    warnings.push("The Monte-Carlo error exceeds 0.02: raise the number of simulations.");
  }
  return warnings;
}

/** Upper quantiles of t, each found once: dropout gives few different degrees of freedom. */
function quantilesByDf(level: number): (df: number) => number {
  const known = new Map<number, number>();
  return (df) => {
    const value = known.get(df) ?? studentT(df).quantile((1 + level) / 2);
    known.set(df, value);
    return value;
  };
}

type Design = Required<SimulatedDesign>;

function designOf(design: SimulatedDesign, where: string): Design {
  const names = [
    "trained",
    "control",
    "sd",
    "trialError",
    "visitError",
    "trials",
    "responseSd",
    "analysis",
    "level",
  ];
  if (design === null || typeof design !== "object") {
    throw new InputError({ expected: "a design", got: shown(design), where: `${where}, design` });
  }
  knownOptions(design, names, `${where}, design`);
  const {
    visitError = 0,
    trials = 1,
    responseSd = 0,
    analysis = "adjusted",
    level = 0.95,
  } = design;
  if (analysis !== "adjusted" && analysis !== "changes") {
    const expected = '"adjusted" or "changes"';
    throw new InputError({ expected, got: shown(analysis), where: `${where}, analysis` });
  }
  return {
    trained: wholeNumber(design.trained, `${where}, trained`, 2),
    control: wholeNumber(design.control, `${where}, control`, 2),
    sd: positive(design.sd, where, "sd"),
    trialError: nonNegative(design.trialError, `${where}, trialError`),
    visitError: nonNegative(visitError, `${where}, visitError`),
    trials: wholeNumber(trials, `${where}, trials`),
    responseSd: nonNegative(responseSd, `${where}, responseSd`),
    analysis,
    level: confidenceLevel(level, where),
  };
}

function stayingOf(dropout: NonNullable<SimulationPlanInput["dropout"]>, where: string) {
  const shares =
    typeof dropout === "number" ? { trained: dropout, control: dropout } : (dropout ?? {});
  knownOptions(shares, ["trained", "control"], `${where}, dropout`);
  for (const share of [shares.trained, shares.control]) {
    if (typeof share === "number" && share >= 0 && share < 1) continue;
    const expected = "a share from 0 to below 1";
    throw new InputError({ expected, got: shown(share), where: `${where}, dropout` });
  }
  return { trained: 1 - shares.trained, control: 1 - shares.control };
}

/** The people of one arm who were measured twice. */
interface Arm {
  readonly before: number[];
  readonly after: number[];
}

function armOf(
  stream: RandomStream,
  { sd, trialError, visitError, trials }: Design,
  people: number,
  stays: number,
  effect: number,
  responseSd: number,
): Arm {
  const error = Math.hypot(visitError, trialError / Math.sqrt(trials));
  const arm: Arm = { before: [], after: [] };
  for (let i = 0; i < people; i++) {
    const level = sd * stream.normal();
    const before = level + error * stream.normal();
    const response = effect + responseSd * stream.normal();
    const after = level + response + error * stream.normal();
    // everyone's draws are made, so that one person's dropout does not move the others' values
    if (stream.uniform() >= stays) continue;
    arm.before.push(before);
    arm.after.push(after);
  }
  return arm;
}

interface Sums {
  readonly n: number;
  readonly x: number;
  readonly y: number;
  readonly xx: number;
  readonly xy: number;
  readonly yy: number;
}

function sumsOf({ before, after }: Arm): Sums {
  const n = before.length;
  const x = before.reduce((a, b) => a + b, 0) / n;
  const y = after.reduce((a, b) => a + b, 0) / n;
  let [xx, xy, yy] = [0, 0, 0];
  const seconds = Float64Array.from(after);
  for (const [i, value] of before.entries()) {
    const [dx, dy] = [value - x, realAt(seconds, i) - y];
    xx += dx * dx;
    xy += dx * dy;
    yy += dy * dy;
  }
  return { n, x, y, xx, xy, yy };
}

/** Difference of the arms with its standard error; nothing where people are too few. */
function differenceOf(trained: Arm, control: Arm, analysis: "adjusted" | "changes") {
  if (trained.before.length === 0 || control.before.length === 0) return undefined;
  const [a, b] = [sumsOf(trained), sumsOf(control)];
  const df = a.n + b.n - (analysis === "adjusted" ? 3 : 2);
  const [xx, xy, yy] = [a.xx + b.xx, a.xy + b.xy, a.yy + b.yy];
  if (df < 1 || xx === 0) return undefined;
  const slope = analysis === "adjusted" ? xy / xx : 1;
  const start = a.x - b.x;
  const squares = Math.max(0, yy - 2 * slope * xy + slope * slope * xx);
  const extra = analysis === "adjusted" ? start ** 2 / xx : 0;
  const se = Math.sqrt((squares / df) * (1 / a.n + 1 / b.n + extra));
  return { value: a.y - b.y - slope * start, se, df };
}

function wilson(share: number, count: number): Interval {
  const z = 1.959963984540054;
  const centre = (share + (z * z) / (2 * count)) / (1 + (z * z) / count);
  const half =
    (z * Math.sqrt((share * (1 - share)) / count + (z * z) / (4 * count * count))) /
    (1 + (z * z) / count);
  return { low: centre - half, high: centre + half, level: 0.95, method: "Wilson" };
}
