import { describe, expect, it } from "vitest";
import { randomStream } from "../../lib/num/random.js";
import { armEffects, type EffectChoice, effectCombinations } from "../../lib/stats/arm-effect.js";
import { adjustForBaseline } from "../../lib/stats/baseline.js";
import { pairedChange } from "../../lib/stats/change.js";
import { specificationCurve } from "../../lib/stats/specification.js";
import { agrees } from "../reference/agree.js";

const exact = (quantity: string) => ({ quantity, rel: 1e-12, why: "same formula, rounding only" });

function study(effect: number, seed = 5, perArm = 13) {
  const stream = randomStream(seed, "specification test");
  const people = Array.from({ length: 2 * perArm }, (_, i) => i);
  const before = people.map(() => 40 + 8 * stream.normal());
  return {
    participant: people.map((i) => `G${String(i).padStart(2, "0")}`),
    before,
    after: before.map((x, i) => x * (1 + (i % 2 ? effect : 0)) + 1.4 * stream.normal()),
    arm: people.map((i) => (i % 2 ? "grip" : "swing")),
  };
}

const input = (columns: ReturnType<typeof study>) => ({
  data: { rule: ["mean3", "max3"], "set-asides": ["out", "in"], flagged: ["in", "out"] },
  columns: ({ rule }: Record<string, string>) =>
    rule === "max3" ? { ...columns, after: columns.after.map((y) => y + 1) } : columns,
  reference: "swing",
  planned: {
    rule: "mean3",
    "set-asides": "out",
    flagged: "in",
    scale: "log",
    adjust: "baseline",
    centre: "mean",
  },
});

/** The effect under one choice, everybody counted once. */
function effectUnder(
  before: Float64Array,
  after: Float64Array,
  choice: EffectChoice,
  trained: Uint8Array,
): number {
  const place = effectCombinations.findIndex(
    (one) =>
      one.scale === choice.scale && one.adjust === choice.adjust && one.centre === choice.centre,
  );
  const into = new Float64Array(effectCombinations.length);
  armEffects(before, after).fill(new Int32Array(before.length).fill(1), trained, into);
  return into[place]!;
}

describe("armEffects", () => {
  const columns = study(0.06);
  const before = Float64Array.from(columns.before);
  const after = Float64Array.from(columns.after);
  const trained = Uint8Array.from(columns.arm, (g) => +(g === "grip"));

  it("adjusted raw mean is the analysis of covariance over the mean baseline", () => {
    const ancova = adjustForBaseline({
      before,
      after,
      group: columns.arm,
      reference: "swing",
    });
    const mean = columns.before.reduce((a, b) => a + b) / columns.before.length;
    const choice = { scale: "raw", adjust: "baseline", centre: "mean" } as const;
    agrees(
      effectUnder(before, after, choice, trained),
      (100 * ancova.difference!.value) / mean,
      exact("adjusted difference"),
    );
  });

  it("log change is the ratio of the arms' ratios of geometric means", () => {
    const of = (arm: string) => {
      const keep = (_: number, i: number) => columns.arm[i] === arm;
      return pairedChange(columns.before.filter(keep), columns.after.filter(keep)).percent!.value;
    };
    const choice = { scale: "log", adjust: "change", centre: "mean" } as const;
    const expected = 100 * ((1 + of("grip") / 100) / (1 + of("swing") / 100) - 1);
    agrees(effectUnder(before, after, choice, trained), expected, exact("log difference"));
  });

  it("trims a fifth from each end and takes the middle of an even count", () => {
    const x = new Float64Array(10).fill(100);
    const y = Float64Array.from([100, 100, 100, 100, 100, 101, 102, 103, 104, 200]);
    const arm = Uint8Array.of(0, 0, 0, 0, 0, 1, 1, 1, 1, 1);
    const of = (centre: "trimmed mean" | "median" | "mean") =>
      effectUnder(x, y, { scale: "raw", adjust: "change", centre }, arm);
    expect(of("trimmed mean")).toBeCloseTo(3, 12);
    expect(of("median")).toBeCloseTo(3, 12);
    expect(of("mean")).toBeCloseTo(22, 12);
  });

  it("cuts whole values only: one from each end of seven, because a fifth of them is 1.4", () => {
    const reference = [90, 95, 97, 98, 99.5, 100, 120];
    const trainedAfter = [101, 102, 104, 108, 116, 132, 164];
    const x = new Float64Array(14).fill(100);
    const y = Float64Array.of(...reference, ...trainedAfter);
    const arm = Uint8Array.from(y, (_, i) => (i < 7 ? 0 : 1));
    const inner = (values: number[]) => values.slice(1, 6).reduce((total, one) => total + one) / 5;
    const choice = { scale: "raw", adjust: "change", centre: "trimmed mean" } as const;
    agrees(
      effectUnder(x, y, choice, arm),
      inner(trainedAfter) - inner(reference),
      exact("difference of trimmed means"),
    );
  });
});

describe("specificationCurve", () => {
  it("tries every combination, orders them and marks the planned one", () => {
    const curve = specificationCurve(input(study(0.06)), { resamples: 200, seed: 3 });
    expect(curve.specifications.length).toBe(96);
    expect(curve.specifications.filter((one) => one.planned).length).toBe(1);
    expect(curve.specifications[curve.planned]!.choice).toEqual(input(study(0.06)).planned);
    const values = curve.specifications.map((one) => one.value);
    expect(values).toEqual([...values].sort((a, b) => a - b));
    expect(curve.sameSign).toBe(1);
    expect(curve.jointP).toBeLessThan(0.05);
  });

  it("draws a combination that repeats another's people and values once, and says how many differ", () => {
    const columns = study(0.04);
    const repeated = {
      ...input(columns),
      data: { rule: ["mean3"], setAside: ["out", "in"] },
      planned: { rule: "mean3", setAside: "out", scale: "raw", adjust: "change", centre: "mean" },
    };
    const curve = specificationCurve(repeated, { resamples: 60, seed: 2 });
    expect([curve.specifications.length, curve.distinct]).toEqual([24, 12]);
    for (const { choice, value, interval } of curve.specifications) {
      const twin = curve.specifications.find(
        (one) =>
          one.choice.setAside !== choice.setAside &&
          (["scale", "adjust", "centre"] as const).every((k) => one.choice[k] === choice[k]),
      )!;
      expect([twin.value, twin.interval]).toEqual([value, interval]);
    }
  });

  it("is the same for the same seed, and moves with another", () => {
    const run = (seed: number) => specificationCurve(input(study(0.03)), { resamples: 100, seed });
    expect(run(3)).toEqual(run(3));
    expect(run(4).specifications[0]!.interval).not.toEqual(run(3).specifications[0]!.interval);
  });

  it("finds nothing joint when there is nothing: p over null studies is not small too often", () => {
    const small = Array.from({ length: 40 }, (_, i) => {
      const columns = study(0, 100 + i, 8);
      const one = {
        ...input(columns),
        data: { rule: ["mean3"] },
        planned: { rule: "mean3", scale: "log", adjust: "baseline", centre: "mean" },
      };
      return specificationCurve(one, { resamples: 60, seed: 9 }).jointP;
    }).filter((p) => p < 0.1).length;
    // Binomial(40, 0.1): more than 10 has probability below 0.002
    expect(small).toBeLessThanOrEqual(10);
  });

  it("refuses a plan that is none of the combinations, one arm, a repeated person, a zero", () => {
    const columns = study(0.06);
    const with_ = (over: object) => () =>
      specificationCurve({ ...input(columns), ...over }, { seed: 1, resamples: 20 });
    expect(with_({ planned: { rule: "best" } })).toThrow(/one of the combinations/);
    expect(with_({ reference: "none" })).toThrow(/two arms, one of them "none"/);
    const twice = columns.participant.map(() => "G01");
    expect(with_({ columns: () => ({ ...columns, participant: twice }) })).toThrow(
      /each person once/,
    );
    const zero = columns.before.map(() => 0);
    expect(with_({ columns: () => ({ ...columns, before: zero }) })).toThrow(/positive values/);
  });
});
