import { describe, expect, it } from "vitest";
import { attenuation } from "../../lib/stats/attenuation.js";
import { fitLinear } from "../../lib/stats/linear-model.js";
import { fitMixed } from "../../lib/stats/mixed/mixed.js";
import { slopesByGroup } from "../../lib/stats/slopes-by-group.js";
import { splitWithinBetween } from "../../lib/stats/within-between.js";
import type { SimulationOptions } from "../../lib/study/simulate/simulation.js";
import { gripWithSpeed } from "../../lib/study/tables/grip-with-speed.js";
import { summariseGrip, summariseSpeed } from "../../lib/study/tables/summary.js";
import { participantColumn } from "../../lib/study/tables/trials-by-person.js";
import { faultless, simulatedStudy } from "./simulated.js";

/** Grip and speed of 300 simulated golfers, with their sex. */
function golfers(changes: Partial<SimulationOptions>, occasion?: string) {
  const arms = faultless().arms.map((arm) => ({ ...arm, people: 150 }));
  const { study } = simulatedStudy(faultless({ arms, ages: [22, 34], ...changes }));
  const found = gripWithSpeed(
    summariseGrip(study, { rule: "mean3" }),
    summariseSpeed(study, { rule: "mean" }),
    { hand: "lead", position: "address", ...(occasion ? { occasion } : {}) },
  );
  return {
    ...found,
    sex: participantColumn(study, found.participant, "sex").map(String),
  };
}

describe("the crowd and its groups, on simulated golfers", () => {
  it("a slope of −0.6 inside women and men is hidden by a crowd that rises", () => {
    const { sex, grip_kgf, speed_mph } = golfers({ speedPerKgfBetween: -0.6, seed: 403 }, "w0");
    const found = slopesByGroup(sex, grip_kgf, speed_mph);
    expect(found.overall.slope.interval!.low).toBeGreaterThan(0);
    expect(found.within.interval!.low).toBeLessThan(-0.55);
    expect(found.within.interval!.high).toBeGreaterThan(-0.6);
    expect(found.reversal).toBe("beyond the intervals");
  });

  it("adjusted for sex, no slope is left where there is none", () => {
    const { sex, grip_kgf, speed_mph } = golfers({ speedPerKgfBetween: 0, seed: 404 }, "w0");
    const woman = sex.map((one) => (one === "female" ? 1 : 0));
    const { coefficients } = fitLinear({ y: speed_mph, terms: { grip: grip_kgf, woman } });
    expect(Math.abs(coefficients.grip!.statistic!)).toBeLessThan(4);
    expect(slopesByGroup(sex, grip_kgf, speed_mph).overall.slope.interval!.low).toBeGreaterThan(
      0.3,
    );
  });

  it("the known error of grip undone, the slope is the true one again", () => {
    const errors = {
      trialErrorKgf: 3,
      sessionErrorKgf: 4,
      fatiguePercent: 0,
      dominancePercent: 0,
    };
    const errorSd = Math.sqrt(4 ** 2 + 3 ** 2 / 3);
    const draws = Array.from({ length: 8 }, (_, i) => {
      const men = golfers(
        {
          ...errors,
          women: 0,
          ages: [30, 34],
          speedPerKgfBetween: 0.8,
          seed: 410 + i,
        },
        "w0",
      );
      return attenuation(men.grip_kgf, men.speed_mph, { errorSd });
    });
    const over = (values: number[]) => values.reduce((sum, one) => sum + one, 0) / draws.length;
    // The standard error of a mean of eight; four of them on either side.
    const slack = (4 * over(draws.map(({ corrected }) => corrected!.se!))) / Math.sqrt(8);
    expect(Math.abs(over(draws.map(({ corrected }) => corrected!.value)) - 0.8)).toBeLessThan(
      slack,
    );
    expect(over(draws.map(({ slope }) => slope.value))).toBeLessThan(0.8 - slack);
  });
});

describe("within golfers, on simulated golfers", () => {
  it("what follows the trained arm's clock is no slope of grip once the clock is in the model", () => {
    // Nobody's own gain moves their speed; the block alone raises both.
    const visits = golfers({ speedPerKgfWithin: 0, seed: 406 });
    const { between, within } = splitWithinBetween(visits.participant, visits.grip_kgf);
    const trained = visits.week.map((week, i) => (visits.arm[i] === "swing" ? 0 : week));
    const columns = { subject: visits.participant, y: visits.speed_mph };
    const plain = fitMixed({ ...columns, terms: { between, within } }).fixed.within!;
    const timed = fitMixed({
      ...columns,
      terms: { between, within, week: visits.week, trained },
    }).fixed.within!;
    expect(plain.interval!.low).toBeGreaterThan(0.05);
    expect(Math.abs(timed.statistic!)).toBeLessThan(4);
    expect(timed.value).toBeLessThan(plain.value / 3);
  });
});
