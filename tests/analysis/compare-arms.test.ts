import { describe, expect, it } from "vitest";
import { changeWithin } from "../../lib/analysis/change-within.js";
import { compareArms } from "../../lib/analysis/compare-arms.js";
import { standardised } from "../../lib/analysis/standardised.js";
import { singleAnswers } from "../../lib/analysis/study-answer.js";
import { openStudy, withOutcomes } from "../../lib/analysis/study-outcomes.js";
import { withoutParticipant } from "../../lib/study/tables/variants.js";

describe("the arms of the demo study", () => {
  const study = openStudy("winter-block");
  const effect = compareArms(study.primary.change());

  it("are compared as planned, with the golfers, visits and trials behind the number", () => {
    expect(effect).toMatchObject({
      kind: "compareArms",
      planned: true,
      unit: "kgf",
      count: { n: 24, of: "golfers" },
      arms: { first: "Grip block", second: "Swing practice" },
      measure: { name: "Lead-hand grip at address" },
    });
    // recomputed in R and Python from the CSV files
    expect(effect.estimate!.value).toBeCloseTo(2.38, 2);
    expect(effect.estimate!.interval!.low).toBeCloseTo(0.5353057099941847, 10);
    expect(effect.estimate!.interval!.high).toBeCloseTo(4.224612532914911, 10);
    expect(effect.leaveOneOut!.low).toBeCloseTo(1.8715363934670681, 10);
    expect(effect.leaveOneOut!.high).toBeCloseTo(2.680078279982282, 10);
    expect(effect.source.participants).toHaveLength(24);
  });

  it("are named by their titles where baselines lie far apart and the draw is not recorded", () => {
    const change = study.primary.change();
    const rows = change.rows.map((row) => ({
      ...row,
      before: row.before + (row.arm === "grip" ? 30 : 0),
    }));
    const { allocation: _, ...design } = study.design;
    const without = withOutcomes({ ...study, design } as typeof study).primary.change();
    const apart = compareArms(Object.assign(Object.create(without), { rows }));
    expect(apart.warnings.join()).toMatch(/Grip block and Swing practice differ by .* SD at base/);
    expect(effect.warnings.join()).not.toContain("not randomised");
  });

  it("have a range without each golfer with HC3 errors and as standardised effects too", () => {
    const change = study.primary.change();
    const hc3 = compareArms(change, { standardErrors: "HC3" });
    // one estimate, two errors: the values without each golfer are the same
    expect(hc3.leaveOneOut!.low).toBeCloseTo(effect.leaveOneOut!.low, 10);
    expect(hc3.leaveOneOut!.high).toBeCloseTo(effect.leaveOneOut!.high, 10);
    const without = change.rows.map(({ participant }) =>
      withOutcomes(withoutParticipant(study, participant)).primary.change(),
    );
    const zero = (rest: typeof change) =>
      compareArms(rest, { standardErrors: "HC3" }).estimate!.interval!.low <= 0;
    const turned = without.flatMap((rest, i) => (zero(rest) ? [change.rows[i]!.participant] : []));
    expect(hc3.leaveOneOut!.changesConclusion).toEqual(turned);
    const sizes = without.map((rest) => standardised(rest).parts[0]!.estimate!.value);
    const { leaveOneOut } = standardised(change).parts[0]!;
    expect(leaveOneOut!.low).toBeCloseTo(Math.min(...sizes), 10);
    expect(leaveOneOut!.high).toBeCloseTo(Math.max(...sizes), 10);
  });

  it("are not planned with another rule, hand or visit", () => {
    const planned = (change = study.primary.change()) => compareArms(change).planned;
    expect(planned(study.primary.with({ rule: "max3" }).change())).toBe(false);
    expect(planned(study.primary.with({ hand: "trail" }).change())).toBe(false);
    expect(planned(study.primary.change("w0", "w3"))).toBe(false);
    expect(planned(study.primary.logged().change())).toBe(false);
  });

  it("change within themselves, one answer per arm", () => {
    const parts = singleAnswers(changeWithin(study.primary.change()));
    expect(parts.map(({ arms, count }) => [arms!.first, count.n])).toEqual([
      ["Grip block", 12],
      ["Swing practice", 12],
    ]);
  });

  it("tell who is missing and why", () => {
    expect(study.primary.change().missing).toEqual([
      {
        participant: "012",
        arm: "swing",
        reason: "left the study on 2025-01-15 (back pain at work, not from the study)",
      },
      { participant: "016", arm: "grip", reason: "left the study on 2025-02-05 (moved away)" },
    ]);
  });
});

describe("a study of one arm", () => {
  const study = openStudy("coach-nine");

  it("has no comparison, and says why", () => {
    const { unanswered, estimate } = compareArms(study.outcome("speed").change());
    expect(unanswered).toBe(
      "The study has one arm and no control: its change includes any change that would have happened without training.",
    );
    expect(estimate).toBeUndefined();
  });

  it("has a change within", () => {
    expect(changeWithin(study.outcome("speed").change())).toMatchObject({
      unit: "mph",
      count: { n: 9, of: "golfers" },
    });
  });
});
