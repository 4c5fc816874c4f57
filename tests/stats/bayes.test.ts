import { describe, expect, it } from "vitest";
import { InputError } from "../../lib/errors.js";
import { pairedChange } from "../../lib/stats/change.js";
import { pairedChangeBayes } from "../../lib/stats/paired-bayes.js";
import { poolBayes } from "../../lib/stats/pool/pool-bayes.js";
import type { Posterior } from "../../lib/stats/posterior.js";
import { agrees } from "../reference/agree.js";
import { referenceCase } from "../reference/cases.js";

const quadrature = { rel: 1e-6, why: "two rules of quadrature" };

/** Priors written as the reference file writes them: "half-normal(0, 5); mu ~ normal(0, 10)". */
function priorsOf(call: string) {
  const found = /half-(\w+)\(0, ([\d.]+)\); mu ~ (flat|normal\(([\d.]+), ([\d.]+)\))/.exec(call)!;
  const [, family, scale, mu, mean, sd] = found;
  return {
    tau: {
      distribution: family === "normal" ? ("half-normal" as const) : ("half-cauchy" as const),
      scale: Number(scale),
    },
    mu: mu === "flat" ? ("flat" as const) : { mean: Number(mean), sd: Number(sd) },
  };
}

function sameAs(ours: Posterior, theirs: Record<string, number>, what: string) {
  const pairs = {
    mean: ours.mean,
    sd: ours.sd!,
    q50: ours.median,
    "q2.5": ours.interval.low,
    "q97.5": ours.interval.high,
    ...(theirs.chance_above_swc !== undefined && { chance_above_swc: ours.chanceAbove }),
  };
  for (const [name, value] of Object.entries(pairs)) {
    agrees(value, theirs[name]!, { quantity: `${what}, ${name}`, ...quadrature });
  }
}

describe("poolBayes", () => {
  const cases = ["eight_schools", "molloy_adherence"].flatMap((id) => {
    const one = referenceCase("bayes", id);
    return Object.keys(one.computed).map((name) => ({ id, name, one }));
  });

  it.each(cases)("gives the posterior of $id under $name", ({ one, name }) => {
    const { value, call } = one.computed[name]!;
    const { y, se, smallest_worthwhile: threshold } = one.data;
    const result = poolBayes({ estimate: y, se }, { ...priorsOf(call), threshold });
    sameAs(result.mu, value.mu, "mu");
    sameAs(result.tau, value.tau, "tau");
    sameAs(result.prediction, value.new_effect, "new effect");
    const { colnames, rows } = value.effects;
    rows.forEach((row: number[], i: number) => {
      const theirs = Object.fromEntries(colnames.map((n: string, j: number) => [n, row[j]]));
      sameAs(result.effects[i]!, theirs, `effect ${i}`);
    });
    if (value.log_evidence !== undefined) {
      agrees(result.logEvidence!, value.log_evidence, { quantity: "log evidence", ...quadrature });
    }
  });

  it("leaves out an SD that does not exist, and asks for priors", () => {
    const columns = { estimate: [1, 2], se: [1, 1] };
    const tau = { distribution: "half-cauchy", scale: 1 } as const;
    expect(poolBayes(columns, { tau }).mu.sd).toBeUndefined();
    expect(poolBayes(columns, { tau, mu: { mean: 0, sd: 1 } }).mu.sd).toBeDefined();
    expect(() => poolBayes(columns, {} as never)).toThrow(InputError);
    expect(() => poolBayes(columns, { tau: { ...tau, scale: 0 } })).toThrow(/scale/);
  });

  it("a nearly empty prior of tau gives the common-effect estimate", () => {
    const columns = { estimate: [1, 2, 3], se: [1, 0.5, 1] };
    const tau = { distribution: "half-normal", scale: 1e-6 } as const;
    // weights 1, 4, 1: mean 2, SD 1/√6
    const { mu } = poolBayes(columns, { tau });
    expect(mu.mean).toBeCloseTo(2, 8);
    expect(mu.sd!).toBeCloseTo(1 / Math.sqrt(6), 8);
  });
});

describe("pairedChangeBayes", () => {
  const { data, computed } = referenceCase("bayes", "sleep_change");
  const zeros = data.change.map(() => 0);
  const withPrior = Object.keys(computed).filter((name) => computed[name]!.value.unknown_sd);

  it.each(withPrior)("gives the posterior of Student's sleep data, %s", (name) => {
    const { prior, unknown_sd: theirs } = computed[name]!.value;
    const options = { prior, threshold: data.smallest_worthwhile };
    const { change } = pairedChangeBayes(zeros, data.change, options);
    const pairs = {
      mean: change.mean,
      sd: change.sd!,
      median: change.median,
      low95: change.interval.low,
      high95: change.interval.high,
      chance_above_swc: change.chanceAbove,
    };
    for (const [quantity, value] of Object.entries(pairs)) {
      agrees(value, theirs[quantity], { quantity, ...quadrature });
    }
  });

  it("of two or three people gives scipy's quadrature, whether the prior is narrow, wide or far", () => {
    const few = referenceCase("definitions", "few_people");
    for (const [i, theirs] of few.computed.posteriors!.value.entries()) {
      const { changes, prior } = few.data.asked[i];
      const none = changes.map(() => 0);
      const { change } = pairedChangeBayes(none, changes, { prior });
      const { low, high } = change.interval;
      const ours = { mean: change.mean, sd: change.sd!, low, median: change.median, high };
      for (const [name, value] of Object.entries(ours)) {
        agrees(value, theirs[name], {
          quantity: `${changes} with SD ${prior.sd}, ${name}`,
          ...quadrature,
        });
      }
    }
  });

  it("with a very wide prior gives the t interval", () => {
    const prior = { mean: 0, sd: 1e4 };
    const { interval } = pairedChangeBayes(zeros, data.change, { prior }).change;
    const plain = pairedChange(zeros, data.change).change.interval!;
    agrees(interval.low, plain.low, {
      quantity: "lower limit",
      rel: 1e-5,
      why: "the prior is not flat",
    });
    agrees(interval.high, plain.high, {
      quantity: "upper limit",
      rel: 1e-5,
      why: "the prior is not flat",
    });
  });

  it("warns where prior and data disagree, and refuses equal changes", () => {
    const far = pairedChangeBayes(zeros, data.change, { prior: { mean: 50, sd: 1 } });
    expect(far.warnings.join()).toContain("outside the prior");
    expect(() => pairedChangeBayes([1, 2], [2, 3], { prior: { mean: 0, sd: 1 } })).toThrow(
      /differ/,
    );
    expect(() => pairedChangeBayes([1, 2], [2, 4], {} as never)).toThrow(/prior/);
  });
});
