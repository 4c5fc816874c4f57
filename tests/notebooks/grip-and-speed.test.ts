import { describe, expect, it } from "vitest";
import { fitDeming } from "../../lib/stats/deming.js";
import { fitMixed } from "../../lib/stats/mixed/mixed.js";
import { fitLine } from "../../lib/stats/regression.js";
import { repeatedMeasuresCorrelation } from "../../lib/stats/repeated-correlation.js";
import { subjectSlopes } from "../../lib/stats/slopes.js";
import type { SimulationOptions } from "../../lib/study/simulate/simulation.js";
import { gripWithSpeed } from "../../lib/study/tables/grip-with-speed.js";
import { summariseGrip, summariseSpeed } from "../../lib/study/tables/summary.js";
import { agreesAsPrinted, referenceCase } from "../reference/cases.js";
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
  return fitLine({
    x: rows.map((i) => visits.grip_kgf[i]!),
    y: rows.map((i) => visits.speed_mph[i]!),
  });
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

/** The estimates of the notebook, on data whose answers are in print. */
describe("grip and speed, against published values", () => {
  it("within people: pH and PaCO2 of eight patients (Bland & Altman 1995)", () => {
    const one = referenceCase("correlation", "bland1995");
    const result = repeatedMeasuresCorrelation(
      one.data.Subject.map(String),
      one.data.pH,
      one.data.PaCO2,
    );
    agreesAsPrinted(result.value, one, "r (rmcorr)");
    agreesAsPrinted(result.p!, one, "p (rmcorr)");
    agreesAsPrinted(result.df!, one, "df");
  });

  it("slopes of people and of the crowd: reaction time by days (Belenky et al. 2003)", () => {
    const one = referenceCase("regression", "sleepstudy");
    const { Subject, Days, Reaction } = one.data;
    const own = subjectSlopes(Subject, Days, Reaction);
    agreesAsPrinted(own.slope.value, one, "Days");
    const mixed = fitMixed({ subject: Subject, y: Reaction, terms: { Days } }, { slope: "Days" });
    agreesAsPrinted(mixed.fixed.Days!.value, one, "Days");
    agreesAsPrinted(mixed.fixed.Days!.se!, one, "SE Days");
  });

  it("error in both columns: Pearson's line of closest fit (1901)", () => {
    const one = referenceCase("regression", "pearson_1901");
    const line = fitDeming({ x: one.data.x, y: one.data.y });
    agreesAsPrinted(line.slope.value, one, "slope");
  });

  it("two slopes of one crowd: it rises while everybody falls", () => {
    const golfer = ["a", "a", "a", "b", "b", "b", "c", "c", "c"];
    const x = [1, 2, 3, 11, 12, 13, 21, 22, 23];
    const y = [3, 2, 1, 13, 12, 11, 23, 22, 21];
    expect(repeatedMeasuresCorrelation(golfer, x, y).value).toBeCloseTo(-1, 12);
    expect(fitLine({ x, y }).slope.value).toBeGreaterThan(0.9);
  });
});
