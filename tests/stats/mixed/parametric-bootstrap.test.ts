import { describe, expect, it } from "vitest";
import { fitMixed } from "../../../lib/stats/mixed/mixed.js";
import { bootstrapMixed } from "../../../lib/stats/mixed/parametric-bootstrap.js";
import { agrees } from "../../reference/agree.js";
import { referenceCase } from "../../reference/cases.js";

const { data, computed } = referenceCase("mixed", "sleepstudy");
const fit = fitMixed(
  { subject: data.Subject, y: data.Reaction, terms: { Days: data.Days } },
  { slope: "Days" },
);
const drawn = bootstrapMixed(fit, { resamples: 2000, seed: 11 });

describe("bootstrapMixed on sleepstudy", () => {
  it("spreads the fixed effects as their standard errors say", () => {
    const exact = computed.random_slope_REML_EXACT_mpmath!.value;
    const noise = { rel: 0.06, why: "SD of 2000 draws: 1/√4000 relative, four times over" };
    agrees(drawn.fixed.intercept!.se!, exact.beta_se[0], { quantity: "intercept", ...noise });
    agrees(drawn.fixed.Days!.se!, exact.beta_se[1], { quantity: "Days", ...noise });
  });

  it("gives the intervals that R's bootMer gives, within Monte-Carlo error", () => {
    const theirs = computed.bootMer_percentile!.value;
    const { interceptSd, slopeSd, correlation } = drawn.random;
    const ours = [
      drawn.fixed.intercept!,
      drawn.fixed.Days!,
      interceptSd,
      slopeSd!,
      drawn.residualSd,
    ];
    ours.forEach(({ interval }, i) => {
      const [low, high] = theirs.limits[i];
      const tolerance = (high - low) / 10;
      const why = "a tenth of the width: tail quantiles of two sets of 2000 draws";
      agrees(interval!.low, low, { quantity: `low ${i}`, rel: tolerance / low, why });
      agrees(interval!.high, high, { quantity: `high ${i}`, rel: tolerance / high, why });
    });
    const [low, high] = theirs.correlation;
    expect(Math.abs(correlation!.interval!.low - low)).toBeLessThan(0.12);
    expect(Math.abs(correlation!.interval!.high - high)).toBeLessThan(0.12);
  });

  it("repeats with its seed, whether the fit comes from memory or from JSON", () => {
    const saved = JSON.parse(JSON.stringify(fit));
    const one = bootstrapMixed(saved, { resamples: 50, seed: 3 });
    expect(bootstrapMixed(fit, { resamples: 50, seed: 3 })).toEqual(one);
    expect(bootstrapMixed(fit, { resamples: 50, seed: 4 })).not.toEqual(one);
    expect(JSON.parse(JSON.stringify(one))).toEqual(one);
  });

  it("counts singular refits and says so", () => {
    expect(drawn.singular).toBeGreaterThan(0);
    expect(drawn.warnings[0]).toContain(`${drawn.singular} of 2000 refits were singular`);
    expect(drawn.unsettled).toBe(0);
  });
});

describe("bootstrapMixed of other models", () => {
  it("random intercept alone: no slope, no correlation", () => {
    const dyestuff = referenceCase("mixed", "Dyestuff");
    const batches = fitMixed({ subject: dyestuff.data.Batch, y: dyestuff.data.Yield });
    const { random, fixed } = bootstrapMixed(batches, { resamples: 500, seed: 2, level: 0.9 });
    expect(Object.keys(random)).toEqual(["interceptSd"]);
    expect(random.interceptSd.interval!.low).toBe(0);
    const exact = dyestuff.computed.REML_EXACT_mpmath!.value.beta_se[0];
    const why = "SD of 500 draws: 1/√1000 relative, four times over";
    agrees(fixed.intercept!.se!, exact, { quantity: "intercept", rel: 0.13, why });
    expect(fixed.intercept!.interval!.level).toBe(0.9);
  });

  it("a singular fit can be simulated from", () => {
    const flat = fitMixed({ subject: ["a", "a", "b", "b", "c", "c"], y: [1, 4, 2, 3, 4, 1] });
    expect(flat.singular).toBe(true);
    expect(bootstrapMixed(flat, { seed: 1, resamples: 40 }).random.interceptSd.value).toBe(0);
  });

  it("refuses what is not a fit, and too few resamples", () => {
    // biome-ignore lint/suspicious/noExplicitAny: a caller without types
    expect(() => bootstrapMixed({} as any, { seed: 1 })).toThrow(
      /expected a fit by fitMixed, got a record/,
    );
    expect(() => bootstrapMixed(fit, { seed: 1, resamples: 5 })).toThrow(/resamples.*at least 20/);
  });
});
