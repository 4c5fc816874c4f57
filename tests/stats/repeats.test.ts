import { describe, expect, it } from "vitest";
import { randomStream } from "../../lib/num/random.js";
import { icc } from "../../lib/stats/icc.js";
import { reliability } from "../../lib/stats/reliability.js";
import { errorByTrials, spearmanBrown } from "../../lib/stats/repeats.js";
import { agrees } from "../reference/agree.js";

/** Shrout & Fleiss (1979), Table 2: six targets, four judges. */
const shroutFleiss = [
  [9, 2, 5, 8],
  [6, 1, 3, 2],
  [8, 4, 6, 8],
  [7, 1, 2, 6],
  [10, 5, 6, 9],
  [6, 2, 4, 7],
];

describe("spearmanBrown", () => {
  it("takes ICC(3,1) to ICC(3,4), printed as .71 and .91 by Shrout & Fleiss (1979)", () => {
    const forms = icc(shroutFleiss);
    const many = spearmanBrown(forms["ICC(3,1)"]!.value, 4);
    agrees(many, forms["ICC(3,k)"]!.value, {
      quantity: "ICC(3,k)",
      rel: 1e-12,
      why: "an identity",
    });
    agrees(many, 0.91, { quantity: "ICC(3,k)", rel: 0.005 / 0.91, why: "two printed digits" });
  });

  it("goes back again, and refuses what is no reliability", () => {
    expect(spearmanBrown(spearmanBrown(0.6, 5), 1 / 5)).toBeCloseTo(0.6, 12);
    expect(() => spearmanBrown(1.2, 3)).toThrow(/at most 1/);
    expect(() => spearmanBrown(0.5, 0)).toThrow(/above 0/);
    expect(() => spearmanBrown(-0.9, 3)).toThrow(/above −1/);
  });
});

describe("errorByTrials", () => {
  it("gives back the retest error it was told, and never less than the visit's own", () => {
    const told = errorByTrials({ trialError: 1.44, retestError: 1.2, trials: 3 }, { upTo: 50 });
    agrees(told.rows[2]!.typicalError!, 1.2, {
      quantity: "typical error at 3",
      rel: 1e-12,
      why: "an identity",
    });
    agrees(told.visitVariance, 1.44 - 1.44 ** 2 / 3, {
      quantity: "visit variance",
      rel: 1e-12,
      why: "arithmetic",
    });
    const errors = told.rows.map((row) => row.typicalError!);
    expect(errors).toEqual([...errors].sort((a, b) => b - a));
    expect(errors.at(-1)!).toBeGreaterThan(Math.sqrt(told.visitVariance));
  });

  it("finds the visit's variance of simulated golfers", () => {
    const stream = randomStream(4, "repeats test");
    const visits = Array.from({ length: 4000 }, () => {
      const level = 40 + 8 * stream.normal();
      return [0, 1].map(() => {
        const day = level + 0.9 * stream.normal();
        return [0, 1, 2].map(() => day + 1.5 * stream.normal());
      });
    });
    const mean = (x: number[]) => x.reduce((a, b) => a + b) / x.length;
    const made = errorByTrials({
      trialError: reliability(visits.map((golfer) => golfer[0]!)).typicalError.value,
      retestError: reliability(visits.map((golfer) => golfer.map(mean))).typicalError.value,
      trials: 3,
    });
    agrees(made.visitVariance, 0.81, {
      quantity: "visit variance",
      rel: 0.1,
      why: "Monte-Carlo error, 4 000 golfers",
    });
  });

  it("keeps a negative variance, says so, and leaves the errors out that it would make imaginary", () => {
    const odd = errorByTrials({ trialError: 2, retestError: 1, trials: 3 }, { upTo: 20 });
    expect(odd.visitVariance).toBeLessThan(0);
    expect(odd.warnings.length).toBe(1);
    expect(odd.rows.at(-1)).toEqual({ trials: 20 });
  });
});
