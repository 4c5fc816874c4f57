import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { demandOf } from "../../lib/analysis/demand-of.js";
import { doseOf } from "../../lib/analysis/dose-of.js";
import { errorInRelation } from "../../lib/analysis/error-in-relation.js";
import { poolGains } from "../../lib/analysis/pool-gains.js";
import { poolGolfers } from "../../lib/analysis/pool-golfers.js";
import { poolPublished } from "../../lib/analysis/pool-published.js";
import { poolStudies } from "../../lib/analysis/pool-studies.js";
import { relate } from "../../lib/analysis/relate.js";
import { relateInGroups } from "../../lib/analysis/relate-in-groups.js";
import { relateWithin } from "../../lib/analysis/relate-within.js";
import { reliabilityByPlace } from "../../lib/analysis/reliability-by-place.js";
import { reliabilityOf } from "../../lib/analysis/reliability-of.js";
import { ruleDifference } from "../../lib/analysis/rule-difference.js";
import { specifications } from "../../lib/analysis/specifications.js";
import { type Answer, answer, singleAnswers } from "../../lib/analysis/study-answer.js";
import { openStudy, withOutcomes } from "../../lib/analysis/study-outcomes.js";
import { questionFigure } from "../../lib/show/question-figures.js";
import { fitMixed } from "../../lib/stats/mixed/mixed.js";
import { splitWithinBetween } from "../../lib/stats/within-between.js";
import { leaveParticipantsOut } from "../../lib/study/tables/leave-participants-out.js";
import { agrees } from "../reference/agree.js";

const reference = JSON.parse(
  readFileSync(new URL("../reference/study-questions.json", import.meta.url), "utf8"),
);
const study = openStudy("winter-block");
const grip = study.primary;
const speed = study.outcome("speed");
const nine = openStudy("coach-nine");

interface Expected {
  value: number;
  low?: number;
  high?: number;
  leaveOneOut?: { low: number; high: number };
}

/** Value, limits and leave-one-out range against the independent computation. */
function asComputed(found: Answer, expected: Expected, rel = 1e-9) {
  const why = "least squares by two programs";
  const check = (quantity: string, actual: number | undefined, wanted: number | undefined) => {
    if (wanted !== undefined) agrees(actual!, wanted, { quantity, rel, why });
  };
  check("value", found.estimate!.value, expected.value);
  check("lower limit", found.estimate!.interval?.low, expected.low);
  check("upper limit", found.estimate!.interval?.high, expected.high);
  check("lowest without one", found.leaveOneOut?.low, expected.leaveOneOut?.low);
  check("highest without one", found.leaveOneOut?.high, expected.leaveOneOut?.high);
}

describe("a relation between two outcomes", () => {
  const relation = relate(speed, grip);

  it("has slope and correlation, each without every golfer", () => {
    asComputed(relation, reference.slope);
    asComputed(relation.correlation, reference.correlation);
    expect(relation).toMatchObject({ unit: "mph per kgf", count: { n: 26, of: "golfers" } });
  });

  it("is adjusted for numbers and labels", () => {
    const adjusted = relate(speed, grip, { adjustFor: ["sex", "age_years", "mass_kg"] });
    asComputed(adjusted, reference.adjusted);
    asComputed(adjusted.correlation, reference.partial);
    expect(adjusted.adjustedFor).toEqual(["sex", "age", "body mass"]);
  });

  it("has HC3 beside", () => {
    const robust = relate(speed, grip, { standardErrors: "HC3" });
    const tolerance = { quantity: "HC3 error", rel: 1e-9, why: "two programs" };
    agrees(robust.estimate!.se!, reference.slope.hc3, tolerance);
    asComputed(robust, { ...reference.slope, low: undefined, high: undefined });
  });

  it("is looked at inside groups", () => {
    asComputed(relateInGroups(speed, grip, { by: "sex" }), reference.commonToSexes);
    const byAge = relateInGroups(speed, grip, { by: "age_years", cuts: [40, 60] });
    const names = byAge.groups.map(({ name }) => name);
    expect(names).toEqual(["under 40", "40 to under 60", "60 and over"]);
  });

  it("can be one of changes, in all arms and inside them", () => {
    const changes = relate(speed.change(), grip.change());
    asComputed(changes, reference.changes);
    const inArms = relate(speed.change(), grip.change(), { adjustFor: ["arm"] });
    asComputed(inArms, reference.changesWithinArms);
    const error = answer({ ...changes, kind: "x", estimate: { value: 1.2 } });
    const [share, corrected] = singleAnswers(errorInRelation(changes, { x: error }));
    asComputed(share!, { value: reference.shareOfChanges.value });
    asComputed(corrected!, { value: reference.correctedForError.value });
  });

  it("refuses an option, a covariate and a mixture that are not known", () => {
    expect(() => relate(speed, grip, { adjustfor: ["sex"] } as object)).toThrow(/adjustFor/);
    expect(() => relate(speed, grip, { adjustFor: ["shoe"] })).toThrow(/one of the columns/);
    expect(() => relate(speed.change(), grip)).toThrow(/two outcomes or two changes/);
    expect(() => relate(speed, nine.primary)).toThrow(/one study/);
  });
});

describe("a relation within golfers", () => {
  const within = relateWithin(speed, grip);

  it("leaves golfers out nearly as a fit without each does", () => {
    const rows = within.golfers.flatMap(({ participant, x, y }) =>
      x.map((value, i) => ({ participant, x: value, y: y[i]! })),
    );
    const slopeOf = (kept: typeof rows) => {
      const subject = kept.map(({ participant }) => participant);
      const split = splitWithinBetween(
        subject,
        kept.map((row) => row.x),
      );
      const terms = { between: split.between, within: split.within };
      const y = kept.map((row) => row.y);
      return fitMixed({ subject, y, terms }, { slope: "within" }).fixed.within!.value;
    };
    const values = within.golfers.map(({ participant }) =>
      slopeOf(rows.filter((row) => row.participant !== participant)),
    );
    const { low, high } = within.unadjusted.leaveOneOut!;
    expect(Math.abs(low - Math.min(...values))).toBeLessThan(0.005);
    expect(Math.abs(high - Math.max(...values))).toBeLessThan(0.005);
  });

  it("with two visits takes one slope for all golfers and says so", () => {
    const two = relateWithin(nine.outcome("speed"), nine.primary);
    expect(two.estimate).toBeDefined();
    expect(two.warnings.join()).toContain("one slope is taken for all");
  });
});

describe("reliability", () => {
  it("counts every golfer with two values or more", () => {
    asComputed(reliabilityOf(grip), reference.trialError);
    const swings = reliabilityOf(speed);
    asComputed(swings, reference.swingError);
    expect(swings.count.n).toBe(26); // one golfer lost a swing
    asComputed(swings.icc, reference.swingIcc, 1e-7);
    asComputed(reliabilityOf(grip, { between: "visits" }), reference.retestError);
    asComputed(reliabilityOf(grip, { between: "visits", visits: "all" }), reference.visitError);
  });

  it("takes the golfers of an arm that is named, and says what that error includes", () => {
    const trained = reliabilityOf(nine.primary, { between: "visits", arm: "grip" });
    asComputed(trained, reference.pilotError);
    expect(trained.warnings.join()).toContain("differences in response count as error");
    expect(() => reliabilityOf(grip, { between: "visits", arm: "gripp" })).toThrow(/an arm of/);
  });

  it("gives the minimal detectable change with its interval", () => {
    const { mdc } = reliabilityOf(grip, { between: "visits" });
    const { mdc: value, mdcHigh: high } = reference.retestError;
    asComputed(mdc, { value, high });
  });

  it("says why there is no error from visit to visit without a control arm", () => {
    expect(reliabilityOf(nine.primary, { between: "visits" }).unanswered).toMatch(/no control arm/);
  });

  it("is shown for every hand and position", () => {
    expect(reliabilityByPlace(study).table.rows).toHaveLength(6);
  });

  it("shows what another rule does: the best of three is above the mean of three", () => {
    expect(ruleDifference(grip, "max3").estimate!.interval!.low).toBeGreaterThan(0);
  });
});

describe("the dose of training", () => {
  const dose = doseOf(grip.change());

  it("is related with the outcome inside the trained arm", () => {
    asComputed(dose, reference.dose);
    const [proportional] = dose.references;
    const tolerance = { quantity: "gain in proportion", rel: 1e-9, why: "two programs" };
    agrees(proportional!.value, reference.dose.proportional, tolerance);
    asComputed(dose.difference, reference.doseDifference);
    asComputed(singleAnswers(dose.attendance)[0]!, reference.attendance);
  });

  it("names the weeks whose sessions are counted, in every arm", () => {
    for (const one of [dose, dose.otherArms, dose.difference])
      expect(one.aspect).toBe("slope on sessions completed from week 0 to week 6");
  });

  it("without a log says so", () => {
    const without = withOutcomes({ ...study, trainingLog: study.trainingLog.slice(0, 0) });
    const none = doseOf(without.primary.change());
    expect(none.unanswered).toMatch(/No training session is logged/);
    expect(none.estimate).toBeUndefined();
  });
});

describe("the specification curve of a change", () => {
  const few = { rules: ["max3"], trials: ["outlying left out"], resamples: 20 } as const;
  const curve = specifications(grip.change(), few);

  it("leaves every golfer out without drawing again", () => {
    const left = leaveParticipantsOut(study, (one) => {
      const change = withOutcomes(one).primary.change();
      return { value: specifications(change, few).estimate!.value };
    });
    expect(curve.leaveOneOut!.low).toBeCloseTo(left.low, 10);
    expect(curve.leaveOneOut!.high).toBeCloseTo(left.high, 10);
  });

  it("has a median, a joint test and the planned specification", () => {
    const [median, joint] = singleAnswers(curve.summary());
    expect(median!.estimate!.value).toBe(curve.estimate!.value);
    expect(joint!.quantity).toBe("test");
    expect(curve.specifications.filter(({ planned }) => planned)).toHaveLength(1);
  });

  it("of one arm says why there is none", () => {
    expect(specifications(nine.primary.change()).unanswered).toMatch(/one arm/);
  });
});

describe("pools", () => {
  const published = poolPublished();

  it("of published correlations use one method for all, for each left out and for each put in", () => {
    asComputed(published, reference.published.all);
    const rows = published.sensitivity.rows.slice(1);
    const expected = [...reference.published.without, ...reference.published.with] as Expected[];
    expect(rows).toHaveLength(expected.length);
    for (const [i, row] of rows.entries()) {
      for (const name of ["value", "low", "high"] as const) {
        const tolerance = {
          quantity: `${row.what}, ${name}`,
          rel: 1e-6,
          why: "REML by two searches",
        };
        agrees(Number(row[name]), expected[i]![name]!, tolerance);
      }
    }
  });

  it("of published gains assume the larger spread of two studies; the marked gain stands beside", () => {
    const changes = [study, nine].map((one) => one.outcome("speed").logged().change());
    const gains = poolGains({ spreadOf: changes });
    asComputed(gains, reference.gains, 1e-6);
    const expected = [reference.gains.all, ...reference.gains.without] as Expected[];
    for (const [i, row] of gains.withoutEach.rows.entries()) {
      for (const name of ["value", "low", "high"] as const) {
        agrees(Number(row[name]), expected[i]![name]!, {
          quantity: `${row.label}, ${name}`,
          rel: 1e-5,
          why: "REML by two searches",
        });
      }
    }
    expect(gains.withoutEach.rows).toHaveLength(6);
    expect(() => poolGains({ spreadOf: [speed.change()] })).toThrow(/on logarithms/);
    expect(() => poolGains({ spreadOf: [] })).toThrow(/on logarithms/);
  });

  it("do not support a relation once the correlation that was not printed is put in", () => {
    expect(published.estimate!.interval!.low).toBeGreaterThan(0.26);
    expect(published.leastFavourable.estimate!.interval!.low).toBeLessThan(0);
    expect(published.warnings).toEqual([
      "68 of the 99 golfers are 12 to 18 years old.",
      expect.stringContaining("−0.344 or 0 put in for it the interval includes zero"),
    ]);
  });

  it("of own studies take the change in the trained arms where one has no control arm", () => {
    const pool = poolStudies([study, nine], { scale: "percent" });
    expect(pool).toMatchObject({ unit: "%", quantity: "change", count: { n: 2, of: "studies" } });
    // the change notebook of version 0.1: 8.5 %, −11 to 32
    expect(pool.estimate!.value).toBeCloseTo(8.49, 2);
    expect(pool.estimate!.interval!.low).toBeCloseTo(-10.61, 2);
    expect(poolGolfers([study, nine]).unanswered).toMatch(/only Winter block/);
  });
});

describe("the force of a swing on the hands", () => {
  it("is the physics with stated inputs, and no share of maximum where none was measured", () => {
    const demand = demandOf(study);
    expect(demand.unanswered).toMatch(/did not measure grip force in the swing/);
    expect(demand.ratio.estimate!.value).toBeCloseTo(2.25, 10);
    expect(demand.pull.count).toEqual({ n: 7, of: "inputs" });
    expect(demand.golfers).toHaveLength(26);
  });
});

describe("a study without swings, log and second visit", () => {
  const bare = withOutcomes({
    ...study,
    swingTrials: study.swingTrials.slice(0, 0),
    trainingLog: study.trainingLog.slice(0, 0),
    gripTrials: study.gripTrials.slice(0, 0),
  });

  it("answers every question with one sentence that says why there is no number", () => {
    const answers: Answer[] = [
      relate(bare.outcome("speed"), bare.primary),
      relateWithin(bare.outcome("speed"), bare.primary),
      relateInGroups(bare.outcome("speed"), bare.primary, { by: "sex" }),
      reliabilityOf(bare.primary),
      reliabilityOf(bare.primary, { between: "visits" }),
      doseOf(bare.primary.change()),
      specifications(bare.primary.change()),
      poolStudies([bare, bare]),
      poolGolfers([bare]),
      ruleDifference(bare.primary, "max3"),
      demandOf(bare),
    ];
    for (const one of answers.flatMap(singleAnswers)) {
      expect(one.unanswered, one.kind).toMatch(/^[A-Z].*\.$/);
      expect(one.estimate, one.kind).toBeUndefined();
    }
  });
});

it("every answer with a drawing of its own has axes, a caption and a description", () => {
  const drawn = [
    relate(speed, grip),
    relateInGroups(speed, grip, { by: "sex" }),
    relateWithin(speed, grip),
    doseOf(grip.change()),
    reliabilityOf(grip),
    specifications(grip.change(), { rules: [], trials: [], resamples: 20 }),
    poolStudies([study, nine], { scale: "percent" }),
    poolPublished(),
    demandOf(study),
  ];
  for (const one of drawn) {
    const figure = questionFigure(one);
    expect(figure?.data.length, one.kind).toBeGreaterThan(0);
    expect(figure?.caption, one.kind).toMatch(/\.$/);
    expect(figure?.alt, one.kind).toMatch(/\.$/);
  }
});
