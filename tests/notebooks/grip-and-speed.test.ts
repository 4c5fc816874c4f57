import { describe, expect, it } from "vitest";
import { repeatedMeasuresCorrelation } from "../../lib/stats/correlation.js";
import { fitLine } from "../../lib/stats/regression.js";
import { subjectSlopes } from "../../lib/stats/slopes.js";
import { gripWithSpeed } from "../../lib/study/grip-with-speed.js";
import type { SimulationOptions } from "../../lib/study/simulation.js";
import { summariseGrip, summariseSpeed } from "../../lib/study/summary.js";
import { agrees } from "../reference/agree.js";
import { faultless, simulatedStudy } from "./simulated.js";

const where = { hand: "lead", position: "address" };

/** Grip and speed of men of one age, so that nothing but grip and its slope moves their speed. */
function alike(changes: Partial<SimulationOptions>) {
  const arms = faultless().arms.map((arm) => ({
    ...arm,
    people: 150,
    gripGainPercent: 0,
    speedGainMph: 0,
  }));
  const { study } = simulatedStudy(
    faultless({ arms, women: 0, ages: [30, 34], learningKgf: 0, learningMph: 0, ...changes }),
  );
  return gripWithSpeed(
    summariseGrip(study, { rule: "mean3" }),
    summariseSpeed(study, { rule: "mean" }),
    where,
  );
}

function firstVisit(visits: ReturnType<typeof alike>) {
  const rows = visits.occasion.flatMap((occasion, i) => (occasion === "w0" ? [i] : []));
  return fitLine(
    rows.map((i) => visits.grip_kgf[i]!),
    rows.map((i) => visits.speed_mph[i]!),
  );
}

describe("grip and speed, against the simulator's truth", () => {
  it("finds the slope between golfers, a little flattened by the error of grip", () => {
    const line = firstVisit(
      alike({ speedPerKgfBetween: 0.8, trialErrorKgf: 0.3, sessionErrorKgf: 0.2, seed: 401 }),
    );
    expect(line.slope.interval!.low).toBeLessThan(0.8);
    expect(line.slope.interval!.high).toBeGreaterThan(0.7);
    const noisy = firstVisit(
      alike({ speedPerKgfBetween: 0.8, trialErrorKgf: 8, sessionErrorKgf: 6, seed: 401 }),
    );
    expect(noisy.slope.value).toBeLessThan(line.slope.value - 3 * line.slope.se!);
  });

  it("finds no slope where there is none", () => {
    const line = firstVisit(alike({ speedPerKgfBetween: 0, seed: 402 }));
    expect(Math.abs(line.slope.statistic!)).toBeLessThan(4);
  });
});

describe("grip and speed, against published values", () => {
  it("the mean slope of two people of sleepstudy (Belenky et al. 2003) is the mean of their own least-squares slopes", () => {
    const subject = ["308", "308", "308", "308", "309", "309", "309", "309"];
    const days = [0, 1, 2, 3, 0, 1, 2, 3];
    const y = [249.56, 258.7047, 250.8006, 321.4398, 222.7339, 205.2658, 202.9778, 204.707];
    const own = subjectSlopes(subject, days, y);
    const by = (id: string) =>
      fitLine(
        days.slice(0, 4),
        y.filter((_, i) => subject[i] === id),
      ).slope.value;
    agrees(own.slope.value, (by("308") + by("309")) / 2, {
      quantity: "mean slope",
      rel: 1e-12,
      why: "an identity",
    });
  });

  it("is a correlation of −1 within people whose lines fall together, whatever the crowd does", () => {
    const subject = ["a", "a", "a", "b", "b", "b", "c", "c", "c"];
    const x = [1, 2, 3, 11, 12, 13, 21, 22, 23];
    const y = [3, 2, 1, 13, 12, 11, 23, 22, 21];
    expect(repeatedMeasuresCorrelation(subject, x, y).value).toBeCloseTo(-1, 12);
    expect(fitLine(x, y).slope.value).toBeGreaterThan(0.9);
  });
});
