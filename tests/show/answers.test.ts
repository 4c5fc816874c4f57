import { describe, expect, it } from "vitest";
import { amongNorms } from "../../lib/analysis/among-norms.js";
import { changeWithin } from "../../lib/analysis/change-within.js";
import { compareArms } from "../../lib/analysis/compare-arms.js";
import { doseOf } from "../../lib/analysis/dose-of.js";
import { individualResponseOf } from "../../lib/analysis/individual-response-of.js";
import { relate } from "../../lib/analysis/relate.js";
import { type Answer, singleAnswers } from "../../lib/analysis/study-answer.js";
import { openStudy } from "../../lib/analysis/study-outcomes.js";
import { subgroups } from "../../lib/analysis/subgroups.js";
import { itemAt } from "../../lib/entry.js";
import { claim } from "../../lib/show/claim.js";
import type { ClaimWords } from "../../lib/show/claim-record.js";
import { finding } from "../../lib/show/finding.js";
import { findings } from "../../lib/show/findings.js";
import { table } from "../../lib/show/table.js";

const change = openStudy("winter-block").primary.change();
const effect = compareArms(change);
const alone = compareArms(openStudy("coach-nine").outcome("speed").change());

describe("an answer shown as a finding", () => {
  it("carries what the number is about, and a sentence made from it", () => {
    const record = finding("primary", effect);
    expect(record).toMatchObject({
      kind: "finding",
      id: "primary",
      quantity: "difference",
      measure: { name: "Lead-hand grip at address" },
      arms: { first: "Grip block", second: "Swing practice" },
      adjustedFor: ["baseline"],
      planned: true,
      count: { n: 24, of: "golfers" },
      references: [{ name: "smallest worthwhile change", value: 1.5 }],
    });
    expect(record.sentence).toBe(
      "Lead-hand grip at address, week 6: grip block − swing practice (baseline-adjusted): 2.4 kgf (95 % CI 0.5 to 4.2), n = 24 golfers, analysis of covariance.",
    );
  });

  it("has one finding per single answer, named by its part", () => {
    expect(findings("within", changeWithin(change)).map(({ id }) => id)).toEqual([
      "within-grip",
      "within-swing",
    ]);
    expect(() => finding("within", changeWithin(change))).toThrow(/one answer/);
  });

  it("says why there is no number, and is no error", () => {
    const record = finding("alone", alone);
    expect(record).not.toHaveProperty("value");
    expect(record.sentence).toContain("not answered. The study has one arm and no control");
    expect(table("alone-table", alone).rows).toHaveLength(1);
  });
});

describe("a claim on an answer", () => {
  it("names the finding that shows the answer, also when the question is asked again", () => {
    finding("primary", effect);
    const [made] = claim("more", compareArms(change), "is above 0");
    expect(made).toMatchObject({
      finding: "primary",
      relation: "is above",
      bound: 0,
      planned: true,
      support: "supported",
      statement:
        "Lead-hand grip at address rose more in the grip block group than in the swing practice group.",
    });
    const [worthwhile] = claim("worthwhile", effect, "is above the smallest worthwhile change");
    expect(worthwhile!.support).toBe("not settled");
    expect(worthwhile!.statement).toBe(
      "Lead-hand grip at address rose more in the grip block group than in the swing practice group, by more than the smallest worthwhile change.",
    );
    expect(made!.strongest).toContain("at least 0.5 kgf (95 % CI 0.5 to 4.2)");
  });

  it("speaks of no effect where the allocation is not known to be random", () => {
    const { randomised: _, ...given } = effect;
    finding("observed", given);
    expect(claim("observed-more", given, "is above 0")[0]!.statement).toBe(
      "Lead-hand grip at address ended higher in the grip block group than in the swing practice group.",
    );
  });

  it("says of a relation who had more, within golfers at which visits, of changes who gained", () => {
    const study = openStudy("winter-block");
    const [primary, speed] = [study.primary, study.outcome("speed")];
    const said = (id: string, answer: Answer, words: ClaimWords) => {
      finding(id, answer);
      return claim(`${id}-claim`, answer, words)[0]!.statement;
    };
    expect(
      said("between", relate(speed, primary, { adjustFor: ["sex", "age_years"] }), "is above 0"),
    ).toBe(
      "Golfers with a higher lead-hand grip at address had a higher club-head speed in week 0 (adjusted for sex and age).",
    );
    expect(said("changes", relate(speed.change(), primary.change()), "is below 0")).toBe(
      "Golfers whose lead-hand grip at address rose more gained less club-head speed from week 0 to week 6.",
    );
  });

  it("says above or below 0 after the title where a number has no sentence of its own", () => {
    const { primary } = openStudy("winter-block");
    const boot = compareArms(primary.change(), { interval: "BCa" });
    finding("boot", boot);
    expect(claim("boot-claim", boot, "is above 0")[0]!.statement).toMatch(
      /^Lead-hand grip at address, week 6: .*, BCa bootstrap: above 0\.$/,
    );
  });

  it("gives a sentence to questions about sessions, single responses, norms and subgroups", () => {
    const study = openStudy("winter-block");
    const change = study.primary.change();
    const said = (id: string, answer: Answer) => {
      const single = itemAt(singleAnswers(answer), 0);
      finding(id, single);
      return claim(`${id}-claim`, single, "is above 0")[0]!.statement;
    };
    expect(said("sessions", doseOf(change))).toBe(
      "Golfers in the grip block group who trained more gained more lead-hand grip at address.",
    );
    expect(said("single", individualResponseOf(change))).toBe(
      "Changes in lead-hand grip at address varied more in the grip block group than in the swing practice group.",
    );
    expect(said("norms", amongNorms(study))).toBe(
      "Highest grip of both hands, seated, was on average above the published median of sex and age.",
    );
    expect(said("subgroup", subgroups(change, ["sex"]))).toBe(
      "The difference between the arms in lead-hand grip at address was larger for “male” than for “female” (sex).",
    );
  });

  it("is not settled on a question without an answer, with the reason", () => {
    finding("alone", alone);
    const [made] = claim("alone-claim", alone, "is above 0");
    expect(made).toMatchObject({ support: "not settled" });
    expect(made!.reason).toContain("one arm");
  });

  it("refuses an answer that no finding shows, and words it does not know", () => {
    const other = compareArms(
      openStudy("winter-block").primary.with({ hand: "trail", rule: "max6" }).change(),
    );
    expect(() => claim("unseen", other, "is above 0")).toThrow(/findings shows above the claim/);
    expect(() => claim("words", effect, "beats 0" as ClaimWords)).toThrow(/is above 0/);
  });
});
