import { describe, expect, it } from "vitest";
import { apparentResponders } from "../../lib/stats/apparent-responders.js";
import { individualResponse } from "../../lib/stats/individual-response.js";
import { reliability } from "../../lib/stats/reliability.js";
import { responders } from "../../lib/stats/responders.js";
import type { SimulationOptions } from "../../lib/study/simulate/simulation.js";
import { beforeAfter } from "../../lib/study/tables/before-after.js";
import { summariseGrip } from "../../lib/study/tables/summary.js";
import { agrees } from "../reference/agree.js";
import { faultless, simulatedStudy } from "./simulated.js";

const main = { hand: "lead", position: "address" };
const error = Math.hypot(1.1, 1.5 / Math.sqrt(3));

/** Changes of both arms of a large simulated study, and the error the control arm tells. */
function changes(options: Partial<SimulationOptions>) {
  const arms = faultless().arms.map((arm) => ({ ...arm, people: 250 }));
  const quiet = { doseShare: 0, fatiguePercent: 0, gripSdShare: 0.02, ages: [30, 34] as const };
  const { study, made } = simulatedStudy(faultless({ ...quiet, arms, women: 0, ...options }));
  const pairs = beforeAfter(study, summariseGrip(study, { rule: "mean3" }), {
    before: "w0",
    after: "w6",
    where: main,
  });
  const of = (arm: string) =>
    pairs.after.map((y, i) => y - pairs.before[i]!).filter((_, i) => pairs.arm[i] === arm);
  const rows = pairs.before.map((x, i) => [x, pairs.after[i]!]);
  const retest = reliability(rows.filter((_, i) => pairs.arm[i] === "swing"));
  const gains = made.truth
    .filter(({ arm, occasion }) => arm === "grip" && occasion === "w6")
    .map(({ participant, grip }) => {
      const first = made.truth.find((t) => t.participant === participant && t.occasion === "w0")!;
      return grip["lead address"]! - first.grip["lead address"]!;
    });
  return { trained: of("grip"), control: of("swing"), retest, gains };
}

const variance = (values: readonly number[]) => {
  const mean = values.reduce((a, b) => a + b, 0) / values.length;
  return values.reduce((sum, x) => sum + (x - mean) ** 2, 0) / (values.length - 1);
};

describe("who responded, against the simulator's truth", () => {
  const differing = changes({ responseSdPercent: 5, seed: 41 });
  const alike = changes({ responseSdPercent: 0, seed: 42 });

  it("finds the variance of true gains where golfers differ", () => {
    const found = individualResponse(differing.trained, differing.control).variance;
    const truth = variance(differing.gains);
    expect(truth).toBeGreaterThan(4);
    expect(found.interval!.low).toBeLessThan(truth);
    expect(found.interval!.high).toBeGreaterThan(truth);
    expect(found.interval!.low).toBeGreaterThan(0);
  });

  it("finds none where all gain the same, and keeps a negative sign", () => {
    const found = individualResponse(alike.trained, alike.control).variance;
    expect(found.interval!.low).toBeLessThan(0);
    expect(found.interval!.high).toBeGreaterThan(0);
    const turned = individualResponse(alike.control, alike.trained);
    expect(Math.sign(turned.variance.value)).toBe(-Math.sign(found.value));
    expect(Math.sign(turned.sd)).toBe(Math.sign(turned.variance.value));
  });

  it("finds the error of a visit in the control arm, and calls about 5 % of it changed", () => {
    agrees(alike.retest.typicalError.value, error, {
      quantity: "typical error",
      rel: 0.12,
      why: "Monte-Carlo error of 250 golfers is 4.5 %, three of them less the last",
    });
    const verdicts = responders(alike.control, { typicalError: error });
    // Learning of 0.6 kgf over two visits makes it a little more than 5 % of 250 = 12.5
    const beyond = verdicts.filter(({ verdict }) => verdict !== "within error").length;
    expect(beyond).toBeLessThan(28);
    expect(beyond).toBeGreaterThan(3);
  });

  it("counts as many apparent responders in a study of equal gains as the simulation foretells", () => {
    const gain = alike.trained.reduce((a, b) => a + b, 0) / alike.trained.length;
    const threshold = 4;
    const seen = alike.trained.filter((change) => change > threshold).length;
    const foretold = apparentResponders(
      { people: alike.trained.length, gain, typicalError: error, threshold },
      { studies: 400, seed: 1, level: 0.998 },
    );
    // True gains differ a little with grip, well inside the range of 998 studies in 1 000
    expect(seen).toBeGreaterThanOrEqual(foretold.low);
    expect(seen).toBeLessThanOrEqual(foretold.high);
  });
});

describe("who responded, against published arithmetic", () => {
  it("SD of change 5 with training and 3 without leave 4 for individual responses (Hopkins 2015)", () => {
    agrees(individualResponse([-5, 0, 5], [-3, 0, 3]).sd, 4, {
      quantity: "SD of responses",
      rel: 1e-12,
      why: "exact arithmetic",
    });
    expect(individualResponse([-3, 0, 3], [-5, 0, 5]).sd).toBe(-4);
  });
});
