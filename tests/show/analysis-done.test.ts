import { describe, expect, it } from "vitest";
import { compareArms } from "../../lib/analysis/compare-arms.js";
import type { Change } from "../../lib/analysis/outcome.js";
import type { OutcomeChoice } from "../../lib/analysis/outcome-choice.js";
import { openStudy } from "../../lib/analysis/study-outcomes.js";
import { analysisDone, primarySentences, ruleSentences } from "../../lib/show/analysis-done.js";
import type { RecordedFinding } from "../../lib/show/finding-record.js";
import { findings } from "../../lib/show/findings.js";
import { studyAccounts } from "../../lib/study/study-account.js";

const study = openStudy("winter-block");
const { plan } = studyAccounts(".", ["winter-block"])[0]!;

/** What the cell "primary" of a notebook records for a change. */
function primaryOf(change: Change): readonly RecordedFinding[] {
  return findings("primary", compareArms(change));
}

function departuresOf(choice: OutcomeChoice, visits: readonly string[] = []): readonly string[] {
  const change = study.primary.with(choice).change(...visits);
  return analysisDone(plan, primaryOf(change)).departures;
}

describe("the analysis as it was made", () => {
  it("departs in nothing where the notebook does what the plan names", () => {
    const done = analysisDone(plan, [
      ...primaryOf(study.primary.change()),
      ...findings("primary-hc3", compareArms(study.primary.change(), { standardErrors: "HC3" })),
    ]);
    expect(done.departures).toEqual([]);
    expect(done.primary.map(({ id }) => id)).toEqual(["primary"]);
    expect(done.participants).toHaveLength(24);
    expect([done.planned, done.notPlanned]).toEqual([2, 0]);
    expect(primarySentences(done)).toEqual([
      "Primary comparison as made: Lead-hand grip at address, week 0 to week 6, grip block − swing practice, adjusted for baseline.",
      "One value per golfer and visit: mean of the first three trials.",
      "Method: analysis of covariance.",
    ]);
  });

  it("names what was planned and what was used, field by field", () => {
    expect(departuresOf({ rule: "median3" })).toEqual([
      "Rule: planned mean of the first three trials, used median of the first three trials.",
    ]);
    expect(departuresOf({ hand: "trail" })).toEqual([
      "Outcome: planned lead-hand grip in position address, used trail-hand grip in position address.",
    ]);
    expect(departuresOf({ position: "seated" }, ["w0", "w3"])).toEqual([
      "Outcome: planned lead-hand grip in position address, used lead-hand grip in position seated.",
      "Visits: planned week 0 to week 6, used week 0 to week 3.",
    ]);
    const speed = analysisDone(plan, primaryOf(study.outcome("speed").change()));
    expect(speed.departures[0]).toBe(
      "Outcome: planned lead-hand grip in position address, used club-head speed.",
    );
    const narrow = analysisDone({ ...plan, level: 0.9 }, primaryOf(study.primary.change()));
    expect(narrow.departures).toEqual(["Confidence level: planned 90 %, used 95 %."]);
  });

  it("reads rules from the findings' fields, not from the plan", () => {
    const median = study.primary.with({ rule: "median3" });
    const done = analysisDone(plan, [
      ...primaryOf(median.change()),
      ...findings("place", compareArms(median.with({ hand: "trail" }).change())),
      ...findings("speed", compareArms(study.outcome("speed").change())),
    ]);
    expect(ruleSentences(done)).toEqual([
      "Rules used for grip: median of the first three trials.",
      "Rules used for club-head speed: mean of all swings.",
    ]);
  });

  it("says so where no primary comparison is recorded", () => {
    expect(primarySentences(analysisDone(plan, []))).toEqual([
      "No finding of the primary comparison is recorded.",
    ]);
  });
});

describe("the rules of the plan in words", () => {
  it("names swings for speed and trials for grip, also where both rules have one name", () => {
    expect(plan.speedRule).toBe(study.outcome("speed").rule.title);
    expect(plan.gripRule).toBe(study.primary.rule.title);
    expect(plan.speedRule).toBe("mean of all swings");
  });
});
