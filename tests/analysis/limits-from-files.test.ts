import { describe, it } from "vitest";
import { byHandAndPosition } from "../../lib/analysis/by-hand-and-position.js";
import { compareArms } from "../../lib/analysis/compare-arms.js";
import { compareStudies } from "../../lib/analysis/compare-studies.js";
import { demandOf } from "../../lib/analysis/demand-of.js";
import { errorInRelation } from "../../lib/analysis/error-in-relation.js";
import { individualResponseOf } from "../../lib/analysis/individual-response-of.js";
import { poolStudies } from "../../lib/analysis/pool-studies.js";
import { relate } from "../../lib/analysis/relate.js";
import { relationToBaseline } from "../../lib/analysis/relation-to-baseline.js";
import { reliabilityOf } from "../../lib/analysis/reliability-of.js";
import { standardised } from "../../lib/analysis/standardised.js";
import { type Answer, singleAnswers } from "../../lib/analysis/study-answer.js";
import { openStudy } from "../../lib/analysis/study-outcomes.js";
import { studySize } from "../../lib/analysis/study-size.js";
import { subgroups } from "../../lib/analysis/subgroups.js";
import { visitsOf } from "../../lib/analysis/visits-of.js";
import type { Estimate } from "../../lib/stats/estimate.js";
import { agrees } from "../reference/agree.js";
import reference from "../reference/study-limits.json" with { type: "json" };

const study = openStudy("winter-block");
const nine = openStudy("coach-nine");
const grip = study.primary;
const change = grip.change();
const direct = { rel: 1e-9, why: "two direct computations in double precision" };
const roots = { rel: 1e-7, why: "scipy's quantiles and non-central t have about 9 digits" };

interface Expected {
  readonly value: number;
  readonly low?: number;
  readonly high?: number;
  readonly p?: number;
  readonly leaveOneOut?: { readonly low: number; readonly high: number };
}

function sameEstimate(found: Estimate, expected: Expected, what: string, tolerance = direct): void {
  const { value, interval, p } = found;
  const ours = { value, low: interval?.low, high: interval?.high, p };
  for (const quantity of ["value", "low", "high", "p"] as const) {
    const wanted = expected[quantity];
    if (wanted === undefined) continue;
    agrees(ours[quantity]!, wanted, { ...tolerance, quantity: `${what}, ${quantity}` });
  }
}

function same(found: Answer | undefined, expected: Expected, tolerance = direct): void {
  const what = found!.part ?? found!.kind;
  sameEstimate(found!.estimate!, expected, what, tolerance);
  for (const side of ["low", "high"] as const) {
    const wanted = expected.leaveOneOut?.[side];
    if (wanted === undefined) continue;
    const quantity = `${what}, ${side} without one golfer`;
    agrees(found!.leaveOneOut![side], wanted, { ...direct, quantity });
  }
}

/** Rows of a table against [value, low, high] each. */
function sameRows(
  rows: readonly object[],
  expected: readonly number[][],
  names: readonly string[],
): void {
  for (const [i, wanted] of expected.entries()) {
    for (const [j, name] of names.entries()) {
      const value = Number((rows[i] as Record<string, unknown>)[name]);
      agrees(value, wanted[j]!, { ...roots, quantity: `row ${i}, ${name}` });
    }
  }
}

const limits = ["value", "low", "high"] as const;
const triple = ([value, low, high]: readonly number[]) => ({
  value: value!,
  low: low!,
  high: high!,
});

describe("intervals and ranges without each golfer, from the study's files (study-limits.py)", () => {
  it("the arms at every hand and position", () => {
    const places = singleAnswers(byHandAndPosition(study, compareArms));
    for (const [place, expected] of Object.entries(reference.places)) {
      same(
        places.find(({ part }) => part === place),
        expected,
      );
    }
    same(compareArms(change), reference.places["lead-address"]);
  });

  it("women and men", () => {
    const found = subgroups(change, ["sex"]);
    same(found, reference.sexes.interaction);
    for (const sex of ["female", "male"] as const) {
      const { effect } = found.effects.find(({ label }) => label === `sex: ${sex}`)!;
      sameEstimate(effect, reference.sexes[sex], sex);
    }
  });

  it("what measurement error does to lines", () => {
    const typicalError = reliabilityOf(grip, { between: "visits" });
    same(relationToBaseline(change, { typicalError }), reference.onBaseline);
    const relation = relate(study.outcome("speed"), grip);
    const corrected = singleAnswers(errorInRelation(relation, { x: typicalError }));
    same(
      corrected.find(({ part }) => part === "corrected"),
      reference.corrected,
    );
  });

  it("every visit, by the restricted likelihood", () => {
    const found = visitsOf(grip);
    // the reference finds its optimum by a simplex search
    const search = { rel: 1e-6, why: "a likelihood is flat at its optimum" };
    for (const visit of ["w3", "w6"] as const) {
      same(found.at(visit), { value: reference.visits.differences[visit] }, search);
    }
    const { grip: trained, swing } = reference.visits.means;
    for (const [i, wanted] of [...trained, ...swing].entries()) {
      sameEstimate(found.means[i]!.mean, { value: wanted }, `mean ${i}`, search);
    }
  });

  it("three trials: forms of the ICC, more trials, coefficient of variation, shift, agreement", () => {
    const found = reliabilityOf(grip);
    sameRows(found.iccForms.rows, reference.iccForms, limits);
    const errors = Object.values(reference.errorOfMean).map((value) => [value]);
    sameRows(found.moreTrials.rows, errors, ["typicalError"]);
    same(found.cv, triple(reference.cvPercent), roots);
    same(found.shift, reference.shift);
    sameRows(found.agreement.rows, reference.agreement, limits);
  });

  it("sizes in standard deviations, and the spread of responses", () => {
    const between = singleAnswers(standardised(change)).find(({ part }) => part === "grip");
    same(between, triple(reference.hedgesG), roots);
    const [variance] = singleAnswers(individualResponseOf(change));
    const expected = { ...triple(reference.response), leaveOneOut: reference.responseWithout };
    same(variance, expected, roots);
  });

  it("nine golfers: against the control arm, golfers needed, and both studies in turn", () => {
    const own = nine.primary.change();
    same(compareStudies(own, change), reference.nineAgainstControl, roots);
    const size = studySize(own, { difference: 3 });
    sameRows(size.byDifference.rows, reference.needed, ["paired80", "paired90"]);
    same(size.power, { value: reference.powerOfNine }, roots);
    const { withoutEach } = poolStudies([study, nine], { scale: "percent" });
    sameRows(withoutEach.rows, reference.poolWithout, limits);
  });

  it("the pull of the club, with its band", () => {
    const { rows } = demandOf(study).pulls;
    const pulls = rows.map(({ speed }) => reference.pulls[String(speed) as "80"]);
    sameRows(rows, pulls, ["pull", "low", "high"]);
  });
});
