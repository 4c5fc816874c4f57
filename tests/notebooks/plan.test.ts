import { describe, expect, it } from "vitest";
import { pairedChange } from "../../lib/stats/change.js";
import { planPaired, powerPaired } from "../../lib/stats/plan.js";
import { allocate } from "../../lib/study/plan/allocation.js";
import { coachNine } from "../../lib/study/simulate/demo.js";
import { beforeAfter } from "../../lib/study/tables/before-after.js";
import { summariseGrip } from "../../lib/study/tables/summary.js";
import { expectLedger, expectRange, meanOf, rawRows, withoutEachValue } from "./recorded.js";
import { simulatedStudy } from "./simulated.js";

const where = { hand: "lead", position: "address" };

/** Change of grip in one simulated study of a coach's handful. */
function changeIn(seed: number, people: number, gripGainPercent: number) {
  const [arm] = coachNine.arms;
  const { study } = simulatedStudy({
    ...coachNine,
    seed,
    arms: [{ ...arm!, people, gripGainPercent }],
    withdrawals: [],
    missedVisits: [],
    faults: [],
    otherUnits: [],
  });
  const pairs = beforeAfter(study, summariseGrip(study, { rule: "mean3" }), {
    before: "before",
    after: "after",
    where,
  });
  return pairedChange(pairs.before, pairs.after);
}

describe("the plan, against simulated studies", () => {
  it("a study of the planned size shows the change about as often as planned", () => {
    // A large simulated study tells the true change and spread; forty small ones are then drawn.
    const truth = changeIn(1, 400, 6);
    const plan = planPaired({
      difference: truth.change.value,
      sdChange: truth.sdChange,
      power: 0.8,
    });
    const shown = Array.from({ length: 40 }, (_, i) => changeIn(100 + i, plan.n, 6)).filter(
      (one) => one.change.p! < 0.05,
    ).length;
    // Binomial(40, 0.8): 26 or fewer, or 38 or more, has probability below 0.02 in all.
    expect(shown).toBeGreaterThanOrEqual(26);
    expect(shown).toBeLessThanOrEqual(38);
  });

  it("a gain of 1.6 % with a typical error of 1.5 % takes 16 golfers, one of 4 % takes 5", () => {
    const sdChange = 1.5 * Math.SQRT2;
    expect(planPaired({ difference: 1.6, sdChange, power: 0.8 }).n).toBe(16);
    expect(planPaired({ difference: 4, sdChange, power: 0.8 }).n).toBe(5);
    expect(powerPaired({ n: 15, difference: 1.6, sdChange })).toBeLessThan(0.8);
  });

  it("draws the same arms from the same seed, as even as can be", () => {
    const codes = Array.from({ length: 25 }, (_, i) => `N${i}`);
    const drawn = allocate(codes, { arms: ["grip", "swing"], seed: 11 });
    expect(allocate(codes, { arms: ["grip", "swing"], seed: 11 })).toEqual(drawn);
    const grip = drawn.assignments.filter(({ arm }) => arm === "grip").length;
    expect(Math.abs(2 * grip - 25)).toBe(1);
  });
});

describe("the ledger of the plan", () => {
  const findings = () => expectLedger("coach-nine/1-plan", []);

  it("says for every finding what leaving one golfer of the pilot out does", () => {
    for (const { leaveOneOut } of findings()) expect(leaveOneOut?.leaving).toBe("person");
  });

  it("is what the raw trials give without each golfer: spread of changes", () => {
    const trials = rawRows("coach-nine/grip-trials.csv").filter(
      ({ hand, position, status }) =>
        hand === "lead" && position === "address" && status === "valid",
    );
    const meanAt = (person: string, visit: string) =>
      meanOf(
        trials
          .filter(({ participant, occasion }) => participant === person && occasion === visit)
          .map(({ force }) => Number(force)),
      );
    const people = [...new Set(trials.map(({ participant }) => participant!))];
    const changes = people.map((one) => meanAt(one, "after") - meanAt(one, "before"));
    expect(changes).toHaveLength(9);
    const spread = (values: number[]) =>
      Math.sqrt(
        values.reduce((total, x) => total + (x - meanOf(values)) ** 2, 0) / (values.length - 1),
      );
    const found = findings().find(({ id }) => id === "spread-of-changes")!;
    expectRange(found, spread(changes), withoutEachValue(changes, spread));
  });
});
