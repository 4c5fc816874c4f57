import { describe, expect, it } from "vitest";
import { armEffects, effectCombinations } from "../../lib/stats/arm-effect.js";
import { baselineRelation } from "../../lib/stats/baseline-relation.js";
import { correlationOfZ, fisherZ } from "../../lib/stats/fisher.js";
import { leaveOneOut } from "../../lib/stats/leave-one-out.js";
import { fitLinear } from "../../lib/stats/linear-model.js";
import { shiftDropouts } from "../../lib/stats/mixed/dropout-shift.js";
import { fitVisits } from "../../lib/stats/mixed/visits.js";
import { planBySimulation } from "../../lib/stats/plan-by-simulation.js";
import { fitLine } from "../../lib/stats/regression.js";
import { errorByTrials } from "../../lib/stats/repeats.js";
import { smallestWorthwhile } from "../../lib/stats/responders.js";
import { specificationCurve } from "../../lib/stats/specification.js";
import { summariseSpecifications } from "../../lib/stats/specification-summary.js";
import { splitWithinBetween } from "../../lib/stats/within-between.js";
import { agrees } from "../reference/agree.js";
import { agreesAsPrinted, referenceCase } from "../reference/cases.js";

const full = { rel: 1e-10, why: "numpy and scipy in double precision" };
const reference = (id: string) => referenceCase("definitions", id);

/** Weights of girls before and after (Hand et al. 1993), without the third arm. */
function girls() {
  const { data } = referenceCase("paired", "anorexia");
  const rows = [...data.group.keys()].filter((i: number) => data.group[i] !== "CBT");
  const of = (name: string) => rows.map((i: number) => data[name][i]);
  return {
    participant: rows.map(String),
    before: of("before") as number[],
    after: of("after") as number[],
    arm: of("group") as string[],
  };
}

describe("a specification curve on published weights", () => {
  const { computed } = reference("arm_effects");
  const columns = girls();

  it("has scipy's effect under each of the twelve choices", () => {
    const into = new Float64Array(effectCombinations.length);
    const trained = Uint8Array.from(columns.arm, (arm) => +(arm === "FT"));
    const counts = new Int32Array(trained.length).fill(1);
    armEffects(Float64Array.from(columns.before), Float64Array.from(columns.after)).fill(
      counts,
      trained,
      into,
    );
    const expected = computed.effects!.value;
    expect(expected).toHaveLength(into.length);
    for (const [i, { value, ...choice }] of expected.entries()) {
      expect(effectCombinations[i]).toEqual(choice);
      agrees(into[i]!, value, { quantity: Object.values(choice).join(", "), ...full });
    }
  });

  it("has numpy's median of them, and the range of each option", () => {
    const curve = specificationCurve(
      {
        data: { rule: ["as published"] },
        columns: () => columns,
        reference: "Cont",
        planned: { rule: "as published", scale: "raw", adjust: "baseline", centre: "mean" },
      },
      { resamples: 20, seed: 1 },
    );
    agrees(curve.median, computed.median!.value, { quantity: "median", ...full });
    const lines = summariseSpecifications(curve).filter(({ choice }) => choice !== "rule");
    expect(lines).toHaveLength(7);
    for (const { choice, option, low, median, high } of lines) {
      const wanted = computed.by_option!.value[choice][option];
      agrees(low, wanted.low, { quantity: `${option}, lowest`, ...full });
      agrees(median, wanted.median, { quantity: `${option}, median`, ...full });
      agrees(high, wanted.high, { quantity: `${option}, highest`, ...full });
    }
  });
});

it("baselineRelation corrects a published retest as scipy's line does with Blomqvist's formula", () => {
  const { data, computed } = reference("blomqvist");
  const { rows } = referenceCase("reliability", "wright_pair").data;
  const [before, after] = [0, 1].map((k) => rows.map((row: number[]) => row[k]));
  const found = baselineRelation(before, after, data);
  agrees(found.slope.value, computed.slope!.value, { quantity: "slope", ...full });
  agrees(found.expected, computed.expected!.value, { quantity: "slope by error", ...full });
  for (const name of ["beyond", "corrected"] as const) {
    const estimate = name === "beyond" ? found.beyondError : found.corrected!;
    const ours = [estimate.value, estimate.interval!.low, estimate.interval!.high];
    for (const [i, one] of ours.entries()) {
      agrees(one, computed[name]!.value[i], { quantity: `${name} ${i}`, rel: 1e-9, why: full.why });
    }
  }
});

it("leaveOneOut gives R's slope without each child (Mickey, Dunn & Clark 1967)", () => {
  const { data, computed } = referenceCase("lines", "gesell");
  const children = data.age.map((_: number, i: number) => `child ${i + 1}`);
  const found = leaveOneOut(
    children,
    (rows) => fitLine({ x: rows.map((i) => data.age[i]), y: rows.map((i) => data.score[i]) }).slope,
  );
  const expected = computed.slope_without!.value as number[];
  for (const [i, { label, value }] of found.without.entries()) {
    agrees(value, expected[i]!, { quantity: `slope without ${label}`, ...full });
  }
  agrees(found.low, Math.min(...expected), { quantity: "lowest", ...full });
});

it("splitWithinBetween gives numpy's own means, and R's common slope within people (Bland & Altman 1995)", () => {
  const { data, computed } = referenceCase("correlation", "bland1995");
  const subject = data.Subject.map(String);
  const found = splitWithinBetween(subject, data.pH);
  const wanted = reference("own_means").computed;
  for (const i of data.pH.keys()) {
    agrees(found.between[i]!, wanted.between!.value[i], { quantity: `own mean ${i}`, ...full });
    const off = Math.abs(found.within[i]! - wanted.within!.value[i]);
    expect(off, `distance ${i}`).toBeLessThan(1e-14);
  }
  // R's slope is that of pH on PaCO2
  const { between, within } = splitWithinBetween(subject, data.PaCO2);
  const fit = fitLinear({ y: data.pH, terms: { between: [...between], within: [...within] } });
  agrees(fit.coefficients.within!.value, computed.common_slope!.value, {
    quantity: "slope within people",
    ...full,
  });
});

it("shiftDropouts moves the closed-form mean of people who left (Anderson 1957)", () => {
  const { data, computed } = reference("left_early");
  const { before, after, arm } = girls();
  const people = [...arm.keys()].filter((i) => arm[i] === "FT");
  const rows = people.flatMap((i, place) => [
    { subject: i, visit: 0, y: before[i]! },
    ...(place % data.leftEvery === data.leftEvery - 1
      ? []
      : [{ subject: i, visit: 6, y: after[i]! }]),
  ]);
  const fit = fitVisits({
    subject: rows.map(({ subject }) => subject),
    visit: rows.map(({ visit }) => visit),
    y: rows.map(({ y }) => y),
  });
  const at = (shift: number) => shiftDropouts(fit, { shift });
  const optimum = { rel: 1e-8, why: "a likelihood's optimum against its closed form" };
  agrees(at(0).means.all!.value, computed.at_random!.value, { quantity: "mean", ...optimum });
  agrees(at(data.shift).means.all!.value, computed.shifted!.value, {
    quantity: "shifted mean",
    ...optimum,
  });
  agrees(at(data.shift).missing.all!.share, computed.share!.value, { quantity: "share", ...full });
});

describe("errorByTrials on the calcium of turnip greens (Snedecor & Cochran 1967)", () => {
  const greens = reference("turnip_greens");
  const found = errorByTrials(greens.data, { upTo: 4 });

  it("takes the variance of leaves and of determinations apart", () => {
    agreesAsPrinted(found.trialVariance, greens, "determinations");
    agreesAsPrinted(found.visitVariance, greens, "leaves");
    agrees(found.visitVariance, greens.computed.leaves!.value, { quantity: "leaves", ...full });
  });

  it("gives the error of the mean of one to four", () => {
    for (const [i, { typicalError }] of found.rows.entries()) {
      agrees(typicalError!, greens.computed.error_of_mean!.value[i], {
        quantity: `error of the mean of ${i + 1}`,
        ...full,
      });
    }
  });
});

it("Fisher's z is numpy's inverse hyperbolic tangent, and back", () => {
  const { data, computed } = reference("fisher_z");
  const exact = { rel: 1e-13, why: "two mathematical libraries" };
  for (const [i, r] of data.r.entries()) {
    const z = computed.z!.value[i];
    agrees(fisherZ(r), z, { quantity: `z of ${r}`, ...exact });
    agrees(correlationOfZ(z), r, { quantity: `r of ${z}`, ...exact });
  }
});

it("smallestWorthwhile has the limits that scipy's chi-squared gives when the error is an estimate", () => {
  const { data, computed } = reference("worthwhile");
  const { baseline, ...options } = data;
  const found = smallestWorthwhile(baseline, options);
  const [low, high] = computed.limits!.value;
  agrees(found.value!, computed.value!.value, { quantity: "value", ...full });
  agrees(found.interval!.high, high, { quantity: "high", rel: 1e-8, why: "quantiles" });
  if (low === 0) expect(found.interval!.low).toBe(0);
  else agrees(found.interval!.low, low, { quantity: "low", rel: 1e-8, why: "quantiles" });
});

it("planBySimulation comes within 4 Monte-Carlo errors of scipy's non-central t", () => {
  const { data, computed } = reference("power_of_changes");
  const { people, gain, sdChange } = data;
  const design = { trained: people, control: people, sd: 6, analysis: "changes" } as const;
  const trialError = sdChange / Math.SQRT2;
  const found = planBySimulation({
    design: { ...design, trialError },
    effect: gain,
    simulations: 4000,
    seed: 11,
  });
  const power = computed.power!.value;
  agrees(found.power, power, {
    quantity: "power",
    rel: (4 * found.se) / power,
    why: "4 Monte-Carlo errors of 4000 studies",
  });
});
