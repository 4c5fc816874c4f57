import { describe, expect, it } from "vitest";
import { pairedChange } from "../../lib/stats/change.js";
import { reliability } from "../../lib/stats/reliability.js";
import { errorByTrials } from "../../lib/stats/repeats.js";
import { openStudy } from "../../lib/study/open.js";
import { beforeAfter } from "../../lib/study/tables/before-after.js";
import type { GripRule } from "../../lib/study/tables/rules.js";
import { summariseGrip } from "../../lib/study/tables/summary.js";
import { trialsByPerson } from "../../lib/study/tables/trials-by-person.js";
import { agrees } from "../reference/agree.js";
import { expectLedger, expectRange, meanOf, withoutEachValue } from "./recorded.js";
import { faultless, simulatedStudy } from "./simulated.js";

const where = { hand: "lead", position: "address" };
const many = { trialErrorKgf: 1.44, sessionErrorKgf: 0.9, fatiguePercent: 0, learningKgf: 0 };
const arms = (people: number) =>
  faultless().arms.map((arm) => ({ ...arm, people, gripGainPercent: 0 }));
const monteCarlo = (quantity: string, rel: number) => ({
  quantity,
  rel,
  why: "Monte-Carlo error of 600 simulated golfers, three standard errors",
});

describe("what the measurements are worth, against the simulator's truth", () => {
  const { study } = simulatedStudy(
    faultless({ ...many, arms: arms(300), responseSdPercent: 0, seed: 77 }),
  );
  const trials = trialsByPerson(study, { trials: "grip", where: { ...where, occasion: "w0" } });
  const within = reliability(trials.table);
  const pairsOf = (rule: GripRule) =>
    beforeAfter(study, summariseGrip(study, { rule }), { before: "w0", after: "w6", where });

  it("finds the error of a trial", () => {
    expect(trials.n).toBe(600);
    agrees(within.typicalError.value, 1.44, monteCarlo("typical error", 0.07));
  });

  it("finds the error of a visit, and what more trials buy", () => {
    const pairs = pairsOf("mean3");
    const retest = reliability(pairs.before.map((x, i) => [x, pairs.after[i]!]));
    const expected = Math.sqrt(0.9 ** 2 + 1.44 ** 2 / 3);
    agrees(retest.typicalError.value, expected, monteCarlo("retest error", 0.09));
    const bought = errorByTrials({
      trialError: within.typicalError.value,
      retestError: retest.typicalError.value,
      trials: 3,
    });
    agrees(
      bought.rows[0]!.typicalError!,
      Math.hypot(0.9, 1.44),
      monteCarlo("error of one trial", 0.09),
    );
  });

  it("finds no shift over trials where there is none, and the best of three above the mean by 0.8463 SD", () => {
    const { low, high } = within.meanShift.interval!;
    expect(low).toBeLessThan(0);
    expect(high).toBeGreaterThan(0);
    const gap = pairedChange(pairsOf("mean3").before, pairsOf("max3").before).change.value;
    // Expected largest of three independent normal values (order statistics): 0.8463 SD.
    agrees(gap, 0.8463 * 1.44, monteCarlo("best less mean", 0.05));
  });

  it("sees a fall over the trials when golfers tire", () => {
    const tired = simulatedStudy(
      faultless({ ...many, arms: arms(100), fatiguePercent: -2, seed: 78 }),
    ).study;
    const shift = reliability(
      trialsByPerson(tired, { trials: "grip", where: { ...where, occasion: "w0" } }).table,
    ).meanShift;
    expect(shift.interval!.high).toBeLessThan(0);
  });
});

describe("what the measurements are worth, against published arithmetic", () => {
  it("SEM 1.8 kgf makes an MDC95 of 4.99 kgf (Bai, Shu & Niu 2019 print 4.9 and 5.1)", () => {
    const pairs = [
      [0, 1.8 * Math.SQRT2],
      [10, 10 + 1.8 * Math.SQRT2],
      [20, 20 - 1.8 * Math.SQRT2],
      [30, 30 - 1.8 * Math.SQRT2],
    ];
    const made = reliability(pairs);
    // The four differences are ±1.8·√2 with mean 0: their SD with divisor 3 is 1.8·√2·√(4/3).
    agrees(made.mdc95.value, 4.989 * Math.sqrt(4 / 3), {
      quantity: "MDC95",
      rel: 2e-4,
      why: "four printed digits of 1.96 × √2 × 1.8",
    });
  });
});

describe("the ledger of the measurements", () => {
  const findings = () => expectLedger("winter-block/2-measurements", []);

  it("says for every finding what leaving one golfer out does", () => {
    for (const { leaveOneOut } of findings()) expect(leaveOneOut?.leaving).toBe("person");
  });

  it("is what the trials give without each golfer: third trial less first", () => {
    const rows = openStudy("winter-block").gripTrials.objects() as Record<string, unknown>[];
    const at = rows.filter(
      ({ occasion, hand, position }) =>
        occasion === "w0" && hand === "lead" && position === "address",
    );
    const force = (person: unknown, trial: number) =>
      Number(at.find((row) => row.participant === person && row.trial === trial)!.force_kgf);
    const people = [...new Set(at.map(({ participant }) => participant))];
    const shifts = people.map((one) => force(one, 3) - force(one, 1));
    expect(shifts).toHaveLength(26);
    const found = findings().find(({ id }) => id === "trial-shift-primary")!;
    expectRange(found, meanOf(shifts), withoutEachValue(shifts, meanOf));
    expect(found.leaveOneOut!.changesConclusion.every((one) => people.includes(one))).toBe(true);
  });
});
