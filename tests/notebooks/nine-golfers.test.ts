import { describe, expect, it } from "vitest";
import { baselineRelation, selectionGain } from "../../lib/stats/baseline-relation.js";
import { pairedChange } from "../../lib/stats/change.js";
import { fitLine } from "../../lib/stats/regression.js";
import { reliability } from "../../lib/stats/reliability.js";
import { publishedTable } from "../../lib/study/package/published.js";
import { coachNine } from "../../lib/study/simulate/demo.js";
import type { SimulationOptions } from "../../lib/study/simulate/simulation.js";
import { beforeAfter } from "../../lib/study/tables/before-after.js";
import { summariseGrip } from "../../lib/study/tables/summary.js";
import { agrees } from "../reference/agree.js";
import { simulatedStudy } from "./simulated.js";

const where = { hand: "lead", position: "address" };
const error = Math.hypot(1.1, 1.5 / Math.sqrt(3));

function pairsOf(options: Partial<SimulationOptions>) {
  const { study } = simulatedStudy({ ...coachNine, faults: [], ...options });
  const summary = summariseGrip(study, { rule: "mean3" });
  return beforeAfter(study, summary, { before: "before", after: "after", where });
}

/** One arm of many golfers alike in strength, so that error is a good part of their spread. */
const alike = (gripGainPercent: number, seed: number) =>
  pairsOf({
    seed,
    arms: coachNine.arms.map((arm) => ({ ...arm, people: 400, gripGainPercent })),
    ages: [30, 34],
    women: 0,
    gripSdShare: 0.06,
    responseSdPercent: 0,
    doseShare: 0,
    fatiguePercent: 0,
    learningKgf: 0,
  });

describe("nine golfers without a control group, against the simulator's truth", () => {
  it("a slope falls where nobody changes, as steeply as error foretells, and is put right", () => {
    const pairs = alike(0, 61);
    const relation = baselineRelation(pairs.before, pairs.after, { typicalError: error });
    expect(relation.slope.interval!.high).toBeLessThan(0);
    expect(relation.slope.interval!.low).toBeLessThan(relation.expected);
    expect(relation.slope.interval!.high).toBeGreaterThan(relation.expected);
    expect(relation.corrected!.interval!.low).toBeLessThan(0);
    expect(relation.corrected!.interval!.high).toBeGreaterThan(0);
  });

  it("whoever read low rises by what picking foretells, though nobody changes", () => {
    const { before, after } = alike(0, 62);
    const mean = before.reduce((a, b) => a + b, 0) / before.length;
    const sd = Math.sqrt(before.reduce((a, b) => a + (b - mean) ** 2, 0) / (before.length - 1));
    const picked = [...before.keys()].filter((i) => before[i]! < mean);
    const rises = pairedChange(
      picked.map((i) => before[i]!),
      picked.map((i) => after[i]!),
      { level: 0.9999 },
    ).change;
    const foretold = selectionGain({ mean, sd, typicalError: error, below: mean }).value;
    expect(foretold).toBeGreaterThan(0.2);
    expect(rises.interval!.low).toBeLessThan(foretold);
    expect(rises.interval!.high).toBeGreaterThan(foretold);
  });

  it("finds the gain as a change, and learning of the test looks just the same", () => {
    const change = (options: Partial<SimulationOptions>) =>
      pairedChange(
        ...(({ before, after }) => [before, after] as const)(
          pairsOf({ seed: 63, fatiguePercent: 0, ...options }),
        ),
      ).change.value;
    const trained = coachNine.arms.map((arm) => ({ ...arm, gripGainPercent: 0 }));
    const still = change({ arms: trained, learningKgf: 0 });
    // Two visits, so learning once: every golfer rises by it, and readings are rounded to 0.1 kgf
    expect(change({ arms: trained, learningKgf: 2.4 }) - still).toBeCloseTo(2.4, 1);
    expect(change({ learningKgf: 0 }) - still).toBeGreaterThan(1);
  });
});

describe("nine golfers without a control group, against published values", () => {
  it("reliability 0.92 makes a slope of −0.08 of nothing (Bobos et al. 2020, ICC of healthy hands)", () => {
    const before = [31, 35, 38, 41, 44, 47, 52, 55, 59];
    const centre = before.reduce((a, b) => a + b, 0) / before.length;
    const variance = before.reduce((a, b) => a + (b - centre) ** 2, 0) / (before.length - 1);
    const typicalError = Math.sqrt(variance * (1 - 0.92));
    agrees(baselineRelation(before, before, { typicalError }).expected, -0.08, {
      quantity: "slope by error alone",
      rel: 1e-12,
      why: "exact arithmetic",
    });
  });

  it("a retest in which nobody changed has no corrected slope (peak flow, Bland & Altman 1986)", () => {
    // Lancet i:307–310, large meter, first and second reading in l/min
    const first = [
      494, 395, 516, 434, 476, 557, 413, 442, 650, 433, 417, 656, 267, 478, 178, 423, 427,
    ];
    const second = [
      490, 397, 512, 401, 470, 611, 415, 431, 638, 429, 420, 633, 275, 492, 165, 372, 421,
    ];
    const { typicalError } = reliability(first.map((x, i) => [x, second[i]!]));
    const { corrected, slope } = baselineRelation(first, second, {
      typicalError: typicalError.value,
      typicalErrorDf: typicalError.df!,
    });
    const plain = fitLine({ x: first, y: second.map((y, i) => y - first[i]!) });
    agrees(slope.value, plain.slope.value, { quantity: "slope", rel: 1e-12, why: "one formula" });
    expect(corrected!.interval!.low).toBeLessThan(0);
    expect(corrected!.interval!.high).toBeGreaterThan(0);
  });

  it("takes the spread of men of 40–44 years from Steiber (2016), table S3: 53.8 and 9.3 kgf", () => {
    const { rows } = publishedTable("norms-steiber2016-age");
    const men = rows.find((row) => row.sex === "male" && row.age_group_y === "40-44")!;
    expect([men.mean_grip_kgf, men.sd_kgf]).toEqual([53.8, 9.3]);
  });
});
