import { describe, expect, it } from "vitest";
import { amongNorms } from "../../lib/analysis/among-norms.js";
import { baselineOf } from "../../lib/analysis/baseline-of.js";
import { changeWithin } from "../../lib/analysis/change-within.js";
import { percentsOf } from "../../lib/analysis/percents-of.js";
import { poolStudies } from "../../lib/analysis/pool-studies.js";
import { relateWithin } from "../../lib/analysis/relate-within.js";
import { reliabilityByPlace } from "../../lib/analysis/reliability-by-place.js";
import { ruleDifference } from "../../lib/analysis/rule-difference.js";
import { specifications } from "../../lib/analysis/specifications.js";
import { type Answer, singleAnswers } from "../../lib/analysis/study-answer.js";
import { openStudy } from "../../lib/analysis/study-outcomes.js";
import { agrees } from "../reference/agree.js";
import reference from "../reference/study-questions.json" with { type: "json" };

const study = openStudy("winter-block");
const grip = study.primary;
const speed = study.outcome("speed");
const close = { rel: 1e-9, why: "two direct computations in double precision" };

interface Expected {
  readonly value: number;
  readonly low?: number;
  readonly high?: number;
  readonly p?: number;
  readonly n?: number;
  readonly leaveOneOut?: { readonly low: number; readonly high: number };
}

function same(found: Answer | undefined, expected: Expected, rel = close.rel): void {
  const { value, interval, p } = found!.estimate!;
  const pairs = [
    ["value", value, expected.value],
    ["low", interval?.low, expected.low],
    ["high", interval?.high, expected.high],
    ["p", p, expected.p],
    ["lowest without one", found!.leaveOneOut?.low, expected.leaveOneOut?.low],
    ["highest without one", found!.leaveOneOut?.high, expected.leaveOneOut?.high],
  ] as const;
  for (const [quantity, ours, theirs] of pairs) {
    if (theirs !== undefined) agrees(ours!, theirs, { quantity, rel, why: close.why });
  }
  if (expected.n !== undefined) expect(found!.count.n).toBe(expected.n);
}

describe("questions agree with numpy and scipy from the study's files (study-questions.py)", () => {
  it("the change within each arm, and in percent", () => {
    const within = singleAnswers(changeWithin(grip.change()));
    for (const arm of ["grip", "swing"] as const) {
      same(
        within.find(({ part }) => part === arm),
        reference.withinArms[arm],
      );
    }
    const [percent] = singleAnswers(changeWithin(speed.logged().change()));
    same(percent, reference.speedPercentInGrip);
  });

  it("the difference of the arms in percent, by its denominator", () => {
    const { rows } = percentsOf(grip.change());
    expect(rows).toHaveLength(reference.percents.length);
    for (const [i, { of, value }] of rows.entries()) {
      agrees(Number(value), reference.percents[i]!, { quantity: String(of), ...close });
    }
  });

  it("the best of three trials less their mean", () => {
    same(ruleDifference(grip, "max3"), reference.bestOfThree);
  });

  it("the golfers at the start, as printed", () => {
    const { rows } = baselineOf(study, grip);
    const cell = (title: string, arm: "grip" | "swing") =>
      rows.find(({ characteristic }) => String(characteristic).startsWith(title))![arm];
    for (const arm of ["grip", "swing"] as const) {
      const { golfers, age, grip: force } = reference.atTheStart[arm];
      const printed = ([mean, sd]: number[]) => `${mean!.toFixed(1)} (${sd!.toFixed(1)})`;
      expect(cell("Golfers", arm)).toBe(String(golfers));
      expect(cell("Age", arm)).toBe(printed(age));
      expect(cell("Lead-hand grip at address", arm)).toBe(printed(force));
    }
  });

  it("the error of three trials at every hand and position", () => {
    const places = Object.entries(reference.errorByPlace);
    const { rows } = reliabilityByPlace(study).table;
    expect(rows).toHaveLength(places.length);
    for (const [name, expected] of places) {
      const [hand, position] = name.split(" ");
      const row = rows.find(({ place }) => {
        const words = String(place).toLowerCase();
        return words.startsWith(hand!) && words.includes(position!);
      })!;
      const { value: typicalError, ...limits } = expected;
      for (const [column, wanted] of Object.entries({ typicalError, ...limits })) {
        agrees(Number(row[column]), wanted, { quantity: `${name}, ${column}`, ...close });
      }
    }
  });

  it("the distance from the published median of sex and age", () => {
    const norms = amongNorms(study);
    same(norms, reference.fromMedian);
    expect(norms.above.estimate!.value).toBe(reference.fromMedian.above);
  });

  it("the effect under every choice about the analysis, with scipy's trimmed mean", () => {
    const plain = { rules: [], trials: [], golfers: [], resamples: 20 };
    const curve = specifications(grip.change(), plain);
    expect(curve.specifications).toHaveLength(reference.specifications.length);
    for (const [i, { value }] of curve.specifications.entries()) {
      agrees(value, reference.specifications[i]!, { quantity: `effect ${i}`, ...close });
    }
  });

  it("the pool of two studies in percent", () => {
    const pool = poolStudies([study, openStudy("coach-nine")], { scale: "percent" });
    same(pool, reference.twoStudies, 1e-7);
  });

  it("the relation within golfers: mixed model, own lines and correlation", () => {
    const within = relateWithin(speed, grip);
    same(within.correlation, reference.repeatedCorrelation);
    same(within.ownSlopes, reference.ownSlopes);
    // the reference minimises the likelihood by a simplex search
    const search = { rel: 1e-5, why: "a likelihood is flat at its optimum" };
    for (const [found, wanted] of [
      [within, reference.withinGolfers],
      [within.unadjusted, reference.withinGolfersUntimed],
    ] as const) {
      agrees(found.estimate!.value, wanted.value, { quantity: "slope", ...search });
      agrees(found.estimate!.se!, wanted.se, { quantity: "its error", ...search });
    }
  });
});
