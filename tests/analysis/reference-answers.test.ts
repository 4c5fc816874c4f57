import { describe, it } from "vitest";
import { byHandAndPosition } from "../../lib/analysis/by-hand-and-position.js";
import { compareArms } from "../../lib/analysis/compare-arms.js";
import { equivalenceOf } from "../../lib/analysis/equivalence-of.js";
import { individualResponseOf } from "../../lib/analysis/individual-response-of.js";
import { respondersOf } from "../../lib/analysis/responders-of.js";
import { standardised } from "../../lib/analysis/standardised.js";
import { type Answer, singleAnswers } from "../../lib/analysis/study-answer.js";
import { openStudy } from "../../lib/analysis/study-outcomes.js";
import { subgroups } from "../../lib/analysis/subgroups.js";
import { visitsOf } from "../../lib/analysis/visits-of.js";
import { agrees } from "../reference/agree.js";
import reference from "../reference/winter-block.json" with { type: "json" };

const { primary } = reference;
const study = openStudy("winter-block");
const change = study.primary.change();

function close(answer: Answer | undefined, expected: Record<string, unknown>, rel = 1e-9): void {
  const why = "two direct computations in double precision";
  const { value, interval, p } = answer!.estimate!;
  const found = { value, low: interval?.low, high: interval?.high, p };
  for (const [quantity, number] of Object.entries(found)) {
    const wanted = expected[quantity];
    if (typeof wanted === "number") agrees(number!, wanted, { quantity, rel, why });
  }
}

const part = (answer: Answer, name: string) =>
  singleAnswers(answer).find((single) => single.part === name);

describe("answers about the demo study agree with a computation from its files in another language", () => {
  it("the arms, with ordinary and with HC3 standard errors", () => {
    close(compareArms(change), primary);
    close(compareArms(change, { standardErrors: "HC3" }), primary.hc3);
  });

  it("everybody as allocated, by the likelihood of all visits", () => {
    const why = "the reference minimises the likelihood numerically";
    const visits = visitsOf(study.primary);
    for (const visit of ["w3", "w6"] as const) {
      const { value } = visits.at(visit).estimate!;
      agrees(value, primary.allocated[visit], { quantity: visit, rel: 1e-5, why });
    }
  });

  it("against the smallest worthwhile change", () => {
    const tests = equivalenceOf(compareArms(change), study.plan.smallestWorthwhile);
    close(part(tests, "equivalence"), { value: primary.equivalence15 });
    close(part(tests, "superiority"), { value: primary.superiority15 });
  });

  it("every hand and position, the planned one outside Holm's family", () => {
    const others = singleAnswers(byHandAndPosition(study, compareArms));
    for (const [place, p] of Object.entries(primary["p-by-place"])) {
      const found = others.find((one) => one.part === place)!;
      close(found, { p });
      const adjusted = (primary.holm as Record<string, number>)[place];
      if (adjusted === undefined) {
        if (found.adjustedP !== undefined || !found.planned) throw new Error("planned, adjusted");
      } else {
        const why = "two direct computations in double precision";
        agrees(found.adjustedP!.p, adjusted, { quantity: place, rel: 1e-9, why });
      }
    }
  });

  it("measurement error, golfers beyond it, and the spread of responses", () => {
    const found = respondersOf(change);
    close(part(found, "typical-error"), primary.typicalError);
    close(part(found, "mdc"), primary.mdc);
    close(part(found, "grip"), { value: primary.beyond.grip });
    const response = individualResponseOf(change);
    close(part(response, "variance"), { value: primary.varianceOfResponse });
    close(part(standardised(change), "grip"), { value: primary.hedgesG });
  });

  it("the interaction with a trait", () => {
    close(subgroups(change, ["sex"]), primary.sexInteraction);
  });
});
