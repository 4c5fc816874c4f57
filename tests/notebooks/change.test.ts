import { describe, expect, it } from "vitest";
import { adjustForBaseline } from "../../lib/stats/baseline.js";
import { effectByTrait } from "../../lib/stats/interaction.js";
import { adjustP } from "../../lib/stats/multiplicity.js";
import { adjustedPercent, percentDifference } from "../../lib/stats/percent.js";
import { specificationCurve } from "../../lib/stats/specification.js";
import { openStudy } from "../../lib/study/open.js";
import type { Study } from "../../lib/study/study.js";
import { beforeAfter } from "../../lib/study/tables/before-after.js";
import { leaveParticipantsOut } from "../../lib/study/tables/leave-participants-out.js";
import { withoutOutlyingTrials } from "../../lib/study/tables/outlying.js";
import type { GripRule } from "../../lib/study/tables/rules.js";
import { summariseGrip } from "../../lib/study/tables/summary.js";
import { summariseTraining } from "../../lib/study/tables/training.js";
import { participantColumn } from "../../lib/study/tables/trials-by-person.js";
import { withSetAsides } from "../../lib/study/tables/variants.js";
import { agrees } from "../reference/agree.js";
import { faultless, simulatedStudy } from "./simulated.js";

const main = { hand: "lead", position: "address" };
const pairsOf = (study: Study, rule: GripRule = "mean3", where = main, after = "w6") =>
  beforeAfter(study, summariseGrip(study, { rule }), { before: "w0", after, where });
const armsOf = ({ before, after, arm }: ReturnType<typeof pairsOf>) => ({
  before,
  after,
  group: arm,
  reference: "swing",
});

/** Many golfers, each gaining exactly the arm's percentage, and no learning that would blur it. */
const large = (gripGainPercent: number, seed: number) =>
  simulatedStudy(
    faultless({
      seed,
      arms: faultless().arms.map((arm) => ({
        ...arm,
        people: 250,
        gripGainPercent: arm.control ? 0 : gripGainPercent,
      })),
      responseSdPercent: 0,
      doseShare: 0,
      learningKgf: 0,
      fatiguePercent: 0,
    }),
  ).study;

describe("what changed, against the simulator's truth", () => {
  const study = large(6, 31);

  // An interval that misses the truth once in ten thousand studies: four standard errors
  const level = 0.9999;

  it("finds a gain of 6 % as 6 %, and halfway half of it", () => {
    for (const [after, truth] of [
      ["w6", 6],
      ["w3", 3],
    ] as const) {
      const pairs = pairsOf(study, "mean3", main, after);
      const { interval } = adjustedPercent(armsOf(pairs), { level }).difference;
      expect(interval!.low, after).toBeLessThan(truth);
      expect(interval!.high, after).toBeGreaterThan(truth);
      expect(interval!.low, after).toBeGreaterThan(0);
    }
  });

  it("finds the smaller gain at the top of the swing, and every hand and position after Holm", () => {
    const cells = ["lead", "trail"].flatMap((hand) =>
      ["address", "seated", "top"].map((position) => ({ hand, position })),
    );
    const found = cells.map(
      (where) => adjustedPercent(armsOf(pairsOf(study, "mean3", where)), { level }).difference,
    );
    for (const [i, { interval }] of found.entries()) {
      const truth = cells[i]!.position === "top" ? 4.8 : 6;
      expect(interval!.low).toBeLessThan(truth);
      expect(interval!.high).toBeGreaterThan(truth);
    }
    const average = found.reduce((sum, { value }) => sum + value, 0) / found.length;
    // Four standard errors of a mean of six, each 0.57 %
    expect(Math.abs(average - 5.6)).toBeLessThan(0.93);
    const holm = adjustP(
      found.map(({ p }) => p!),
      "holm",
    );
    expect(Math.max(...holm)).toBeLessThan(0.001);
  });

  it("finds that women gain fewer kgf at the same percentage, as an interaction", () => {
    const pairs = pairsOf(study);
    const trait = participantColumn(study, pairs.participant, "sex").map((s) => +(s === "female"));
    const { interaction } = effectByTrait({ ...armsOf(pairs), trait });
    const mean = (woman: number) => {
      const own = pairs.before.filter((_, i) => trait[i] === woman);
      return own.reduce((a, b) => a + b, 0) / own.length;
    };
    const truth = 0.06 * (mean(1) - mean(0));
    expect(interaction.interval!.low).toBeLessThan(truth);
    expect(interaction.interval!.high).toBeGreaterThan(truth);
    expect(truth).toBeLessThan(-0.5);
  });

  it("finds nothing in a study without an effect", () => {
    const none = adjustForBaseline(armsOf(pairsOf(large(0, 32)))).difference!;
    expect(none.interval!.low).toBeLessThan(0);
    expect(none.interval!.high).toBeGreaterThan(0);
    expect(Math.abs(none.value)).toBeLessThan(0.55);
  });
});

describe("what changed, over choices and people", () => {
  const study = openStudy("winter-block");

  it("tries 96 specifications and more, 2 000 resamples each", () => {
    const people = summariseTraining(study).people;
    const often = new Set(
      people.filter(({ share }) => share! >= 0.8).map(({ participant }) => participant),
    );
    const variants: Record<string, Study> = {
      used: study,
      back: withSetAsides(study),
      trimmed: withoutOutlyingTrials(study, { deviations: 3 }),
    };
    const curve = specificationCurve(
      {
        data: {
          rule: ["mean3", "max3", "median3", "mean2", "max2", "first"],
          trials: Object.keys(variants),
          golfers: ["all", "often"],
        },
        columns: ({ rule, trials, golfers }) => {
          const pairs = pairsOf(variants[trials!]!, rule as GripRule);
          const rows = [...pairs.before.keys()].filter(
            (i) => golfers === "all" || often.has(pairs.participant[i]!),
          );
          return {
            participant: rows.map((i) => pairs.participant[i]!),
            before: rows.map((i) => pairs.before[i]!),
            after: rows.map((i) => pairs.after[i]!),
            arm: rows.map((i) => pairs.arm[i]!),
          };
        },
        reference: "swing",
        planned: {
          rule: "mean3",
          trials: "used",
          golfers: "all",
          scale: "raw",
          adjust: "baseline",
          centre: "mean",
        },
      },
      { resamples: 2000, seed: 1 },
    );
    // No trial that was set aside or is outlying belongs to this outcome: those choices repeat
    expect([curve.specifications.length, curve.distinct]).toEqual([432, 144]);
    const planned = curve.specifications[curve.planned]!;
    const pairs = pairsOf(study);
    const baseline = pairs.before.reduce((a, b) => a + b, 0) / pairs.n;
    agrees(planned.value, (100 * adjustForBaseline(armsOf(pairs)).difference!.value) / baseline, {
      quantity: "planned specification",
      rel: 1e-12,
      why: "one formula in two places",
    });
  });

  it("moves by each golfer's weight and no more when one is left out", () => {
    const left = leaveParticipantsOut(
      study,
      (s) => adjustForBaseline(armsOf(pairsOf(s))).difference!,
    );
    const whole = adjustForBaseline(armsOf(pairsOf(study))).difference!;
    expect(left.low).toBeLessThanOrEqual(whole.value);
    expect(left.high).toBeGreaterThanOrEqual(whole.value);
    // Whoever has no pair of visits cannot move it
    for (const { participant } of pairsOf(study).missing)
      expect(left.without.find((one) => one.label === participant)!.value).toBe(whole.value);
  });
});

describe("what changed, against published arithmetic", () => {
  it("a difference of 44 and 40 kgf is 10.00, 9.09 or 9.52 % (Laterality 2019)", () => {
    const { ofSecond, ofFirst, ofMean } = percentDifference(44, 40);
    const printed = { rel: 6e-4, why: "three printed digits" };
    agrees(ofSecond, 10.0, { quantity: "of the second", ...printed });
    agrees(ofFirst, 9.09, { quantity: "of the first", ...printed });
    agrees(ofMean, 9.52, { quantity: "of the mean", ...printed });
  });

  it("eight outcomes at 0.05 make at least one false find in 33.7 % of null studies (Cummings 2018)", () => {
    agrees(1 - 0.95 ** 8, 0.337, { quantity: "any of eight", rel: 1.5e-3, why: "three digits" });
    // The least of eight p values that Holm lets through is 0.05 / 8
    const at = (least: number) => adjustP([least, ...Array(7).fill(0.9)], "holm")[0]!;
    agrees(at(0.05 / 8), 0.05, { quantity: "Holm at the edge", rel: 1e-14, why: "exact" });
  });
});
