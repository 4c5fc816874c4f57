import { describe, expect, it } from "vitest";
import { doseRelation } from "../../lib/stats/dose.js";
import type { SimulationOptions } from "../../lib/study/simulate/simulation.js";
import { beforeAfter } from "../../lib/study/tables/before-after.js";
import { summariseGrip } from "../../lib/study/tables/summary.js";
import { summariseTraining } from "../../lib/study/tables/training.js";
import { agrees } from "../reference/agree.js";
import { referenceCase } from "../reference/cases.js";
import { faultless, simulatedStudy } from "./simulated.js";

const main = { hand: "lead", position: "address" };

/** Trained golfers of a large simulated study who missed many sessions, with what they did. */
function block(options: Partial<SimulationOptions>) {
  const arms = faultless().arms.map((arm) => ({ ...arm, people: arm.control ? 2 : 300 }));
  const quiet = { fatiguePercent: 0, responseSdPercent: 0, missedShare: 0.4 };
  const { study, made } = simulatedStudy(faultless({ ...quiet, arms, ...options }));
  const pairs = beforeAfter(study, summariseGrip(study, { rule: "mean3" }), {
    before: "w0",
    after: "w6",
    where: main,
  });
  const log = summariseTraining(study);
  const done = new Map(log.people.map((one) => [one.participant, one]));
  const rows = [...pairs.arm.keys()].filter((i) => pairs.arm[i] === "grip");
  return {
    log,
    made,
    before: rows.map((i) => pairs.before[i]!),
    after: rows.map((i) => pairs.after[i]!),
    sessions: rows.map((i) => done.get(pairs.participant[i]!)!.completed),
    minutes: rows.map((i) => done.get(pairs.participant[i]!)!.minutes),
  };
}

describe("dose, against the simulator's truth", () => {
  it("finds the slope that the simulator laid down", () => {
    const { before, after, sessions } = block({ doseShare: 1, seed: 51 });
    const mean = before.reduce((a, b) => a + b, 0) / before.length;
    // Gain = 6 % × done / (18 × 0.6) of grip: the slope is that share of the mean grip
    const truth = (0.06 * mean) / (18 * 0.6);
    const { slope } = doseRelation({ before, after, dose: sessions });
    expect(slope.interval!.low).toBeLessThan(truth);
    expect(slope.interval!.high).toBeGreaterThan(truth);
    expect(slope.interval!.low).toBeGreaterThan(0);
  });

  it("finds none where the gain does not depend on the sessions", () => {
    const { before, after, sessions, minutes } = block({ doseShare: 0, seed: 52 });
    for (const dose of [sessions, minutes]) {
      const { slope, proportional } = doseRelation({ before, after, dose });
      expect(slope.interval!.low).toBeLessThan(0);
      expect(slope.interval!.high).toBeGreaterThan(0);
      expect(slope.interval!.high).toBeLessThan(proportional);
    }
  });

  it("counts the log as the simulator wrote it", () => {
    const { log, made } = block({ seed: 53 });
    const lines = made.files["training-log.csv"]!.trimEnd().split("\n").slice(1);
    expect(log.rows).toBe(lines.length);
    const yes = lines.filter((line) => line.split(",")[3] === "yes").length;
    expect(log.people.reduce((sum, { completed }) => sum + completed, 0)).toBe(yes);
    agrees(yes / lines.length, 0.6, {
      quantity: "share of sessions done",
      rel: 0.03,
      why: "binomial error of 5 436 sessions is 1.1 %, two and a half of them",
    });
  });
});

describe("dose, against a published table", () => {
  it("agrees with R on weights after family therapy (Hand et al. 1993) and a made dose", () => {
    const { data } = referenceCase("paired", "anorexia");
    const rows = [...data.group.keys()].filter((i) => data.group[i] === "FT");
    const { slope, proportional } = doseRelation({
      before: rows.map((i) => data.before[i]),
      after: rows.map((i) => data.after[i]),
      dose: rows.map((_, i) => 10 + ((5 * i) % 9)),
    });
    const { computed } = referenceCase("baseline", "anorexia_dose");
    const full = { rel: 1e-10, why: "R by QR in double precision" };
    agrees(slope.se!, computed.slope!.value[1], { quantity: "its standard error", ...full });
    agrees(proportional, computed.proportional!.value, { quantity: "change / dose", ...full });
  });
});
