import { describe, expect, it } from "vitest";
import { changeWithin } from "../../lib/analysis/change-within.js";
import { compareArms } from "../../lib/analysis/compare-arms.js";
import { singleAnswers } from "../../lib/analysis/study-answer.js";
import { withOutcomes } from "../../lib/analysis/study-outcomes.js";
import { checkRandomStudy, randomStudy } from "../notebooks/random-designs.js";
import { faultless } from "../notebooks/simulated.js";
import { agrees } from "../reference/agree.js";

describe("300 studies of random designs", () => {
  it.each(Array.from({ length: 30 }, (_, i) => i))(
    "studies %i0 to %i9",
    (tens) => {
      for (let i = 0; i < 10; i++)
        for (const { quantity, found, direct } of checkRandomStudy(5000 + 10 * tens + i))
          agrees(found, direct, { quantity, rel: 1e-8, why: "least squares by other arithmetic" });
    },
    600_000,
  );
});

describe("500 simulated studies with a known truth", () => {
  it.each([1, 2, 3])(
    "%i arms: 95 % intervals include it in 92 to 98 of 100",
    (count) => {
      const gains = [6, 3, 0];
      let [hits, all] = [0, 0];
      for (let seed = 1; seed <= 500; seed++) {
        const base = faultless({ seed: 90_000 + seed });
        const arms = gains
          .map((gripGainPercent, i) => ({
            ...base.arms[0]!,
            ...{ id: `arm${i}`, title: `Arm ${i}`, people: 12, gripGainPercent },
            ...(count > 1 && gripGainPercent === 0 ? { control: true } : {}),
          }))
          .filter((_, i) => (count === 1 ? i === 0 : count === 2 ? i !== 1 : true));
        // Everybody gains the same share of grip: the ratio of geometric means has one true value
        const options = { ...base, arms, responseSdPercent: 0, doseShare: 0, learningKgf: 0 };
        const { study } = randomStudy(seed, options, 0);
        const change = withOutcomes(study).primary.logged().change();
        const answers = singleAnswers(count === 1 ? changeWithin(change) : compareArms(change));
        expect(answers).toHaveLength(Math.max(1, count - 1));
        for (const { estimate, arms: named } of answers) {
          const truth = gains[Number(named!.first.slice(4))]!;
          const { low, high } = estimate!.interval!;
          all++;
          if (low <= truth && truth <= high) hits++;
        }
      }
      // Two standard errors of a share of 0.95 in 500 are 0.02
      expect(hits / all).toBeGreaterThan(0.92);
      expect(hits / all).toBeLessThan(0.98);
    },
    900_000,
  );
});
