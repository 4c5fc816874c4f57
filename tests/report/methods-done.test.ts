import { describe, expect, it } from "vitest";
import { changeWithin } from "../../lib/analysis/change-within.js";
import { compareArms } from "../../lib/analysis/compare-arms.js";
import { openStudy, withOutcomes } from "../../lib/analysis/study-outcomes.js";
import type { SiteContext } from "../../lib/report/context.js";
import { indexPage } from "../../lib/report/index-page.js";
import { methodsPage } from "../../lib/report/methods-page.js";
import { recordedNotebook } from "../../lib/report/recorded.js";
import { studyPage } from "../../lib/report/study-page.js";
import { findings } from "../../lib/show/findings.js";
import { studyAccounts } from "../../lib/study/study-account.js";
import { withoutParticipant } from "../../lib/study/tables/variants.js";
import { sampleNotebook } from "./sample.js";

/**
 * The pages of the demo study with a change notebook that uses the median of three, to week 3, without
 * golfer 001.
 */
function pages() {
  const withoutOne = withOutcomes(withoutParticipant(openStudy("winter-block"), "001"));
  const change = withoutOne.primary.with({ rule: "median3" }).change("w0", "w3");
  const notebook = sampleNotebook("winter-block", [
    { markdown: "# What changed?" },
    { code: "", shows: () => findings("primary", compareArms(change)) },
  ]);
  const path = "notebooks/winter-block/3-change.ipynb";
  const notebooks = [recordedNotebook(path, JSON.stringify(notebook))];
  const studies = studyAccounts(".", ["winter-block"]);
  const context: SiteContext = {
    ...{ notebooks, studies, parts: [], drawings: new Map(), unable: new Map() },
    ...{ oneFile: false, recomputes: false },
  };
  const people = change.rows.length;
  return {
    people,
    methods: String(methodsPage(context).html),
    study: String(studyPage(context, studies[0]!, notebooks).html),
  };
}

describe("pages of a study whose notebook departs from the plan", () => {
  const { methods, study, people } = pages();

  it("state the rule and the visits that were used, beside those of the plan", () => {
    const rule =
      "Rule: planned mean of the first three trials, used median of the first three trials.";
    expect(methods.split(rule)).toHaveLength(4); // the text, CONSORT 10 and CONSORT 14
    expect(methods).toContain("Visits: planned week 0 to week 6, used week 0 to week 3.");
    expect(methods).toContain("One value per golfer and visit: median of the first three trials.");
    expect(methods).toMatch(/<td>median of the first three trials<\/td>/);
    expect(methods).toContain("Findings that were not planned: 1 of 1.");
  });

  it("count who is in the comparison that was made, not in the planned one", () => {
    expect(people).toBe(23); // 24 were measured on both visits
    const [, grip, swing] =
      /<b>(\d+)<\/b> and <b>(\d+)<\/b> in the primary comparison \(Before the block and Halfway\)/.exec(
        study,
      )!;
    expect(Number(grip) + Number(swing)).toBe(people);
    expect(study).toContain("<b>1 golfer withdrew</b> between Before the block and Halfway");
    expect(study).toContain("<b>1 golfer withdrew</b> between Halfway and After the block");
  });
});

describe("pages of a study whose data do not answer yet", () => {
  it("say why, and show no other number in the place of the answer", () => {
    const empty = openStudy("winter-block").without(
      ...studyAccounts(".", ["winter-block"])[0]!.flow.arms[0]!.participants,
    );
    const notebook = sampleNotebook("winter-block", [
      { markdown: "# What changed?" },
      {
        code: "",
        shows: () => {
          findings("primary", compareArms(empty.primary.change()));
          findings("within", changeWithin(empty.primary.change()));
        },
      },
    ]);
    const path = "notebooks/winter-block/3-change.ipynb";
    const notebooks = [recordedNotebook(path, JSON.stringify(notebook))];
    const studies = studyAccounts(".", ["winter-block"]);
    const context: SiteContext = {
      ...{ notebooks, studies, parts: [], drawings: new Map(), unable: new Map() },
      ...{ oneFile: false, recomputes: false },
    };
    for (const page of [studyPage(context, studies[0]!, notebooks), indexPage(context)]) {
      const answers = String(page.html).match(/<p class="key-answer".*?<\/p>/g);
      expect(answers).toHaveLength(1);
      expect(answers![0]).toContain(
        "The data do not answer the question yet. A comparison needs at least two golfers per arm",
      );
    }
  });
});
