import { describe, expect, it } from "vitest";
import { InputError } from "../../../lib/errors.js";
import { pool } from "../../../lib/stats/pool/pool.js";
import { poolNested } from "../../../lib/stats/pool/pool-nested.js";
import { poolPeople } from "../../../lib/stats/pool/pool-people.js";
import { poolRegression } from "../../../lib/stats/pool/pool-regression.js";
import { smallStudyTest } from "../../../lib/stats/pool/small-study.js";
import { agrees } from "../../reference/agree.js";
import { referenceCase, rowsOf } from "../../reference/cases.js";

const optimum = { rel: 1e-5, why: "a likelihood is flat at its top" };
const closed = { rel: 1e-9, why: "closed form" };
const tail = { rel: 1e-3, why: "p of an estimate at an optimum" };
const topic = "pooling-deeper";

/** Standard errors from the variances of a case. */
const errorsOf = (data: { vi: number[] }) => data.vi.map(Math.sqrt);

describe("poolRegression", () => {
  const variants = ["bcg_latitude", "bcg_latitude_year"].flatMap((id) =>
    ["REML", "DL", "EE"].flatMap((method) =>
      ["z", "knha", "adhoc"]
        .filter((test) => method !== "EE" || test === "z")
        .map((test) => ({ id, method, test })),
    ),
  );

  it.each(variants)("gives metafor's $method, $test for $id", ({ id, method, test }) => {
    const { data, computed } = referenceCase(topic, id);
    const { value } = computed[`regression_${method}_${test}`]!;
    const { rownames, colnames, rows } = value.coefficients;
    const moderators = Object.fromEntries(
      rownames.slice(1).map((name: string) => [name, data[name]]),
    );
    const result = poolRegression(
      { estimate: data.yi, se: errorsOf(data), moderators },
      {
        method: method === "EE" ? "common" : (method as "REML" | "DL"),
        hartungKnapp: test === "z" ? false : test === "knha" ? true : "modified",
      },
    );
    rowsOf({ colnames, rows }).forEach((row, i) => {
      const estimate = result.coefficients[i === 0 ? "intercept" : rownames[i]]!;
      agrees(estimate.value, row.estimate!, { quantity: `${rownames[i]}`, ...optimum });
      agrees(estimate.se!, row.se!, { quantity: `se of ${rownames[i]}`, ...optimum });
      agrees(estimate.p!, row.p!, { quantity: `p of ${rownames[i]}`, ...tail });
      agrees(estimate.interval!.low, row.lower!, { quantity: `lower ${rownames[i]}`, ...optimum });
      agrees(estimate.interval!.high, row.upper!, { quantity: `upper ${rownames[i]}`, ...optimum });
    });
    agrees(result.tau2, value.tau2, { quantity: "tau2", ...optimum });
    agrees(result.i2, value.I2, { quantity: "I2", ...optimum });
    if (result.rSquared !== undefined)
      agrees(result.rSquared, value.R2, { quantity: "R2", ...optimum });
    agrees(result.q.statistic, value.QE, { quantity: "QE", ...closed });
    agrees(result.q.p, value.QE_p, { quantity: "p of QE", rel: 1e-8, why: "tail of chi-squared" });
    agrees(result.moderators.statistic, value.QM, { quantity: "QM", ...optimum });
    agrees(result.moderators.p, value.QM_p, { quantity: "p of QM", ...tail });
  });

  it("gives fitted effects with confidence and prediction intervals", () => {
    const { data, computed } = referenceCase(topic, "bcg_latitude");
    const columns = {
      estimate: data.yi,
      se: errorsOf(data),
      moderators: { latitude: data.latitude },
    };
    const { studies } = poolRegression(columns, { hartungKnapp: true });
    rowsOf(computed.predictions_REML_knha!.value).forEach((row, i) => {
      const { fitted, prediction } = studies[i]!;
      agrees(fitted.value, row.value!, { quantity: "fitted", ...optimum });
      agrees(fitted.se!, row.se!, { quantity: "se", ...optimum });
      agrees(fitted.interval!.low, row.ci_low!, { quantity: "lower", ...optimum });
      agrees(prediction!.low, row.pi_low!, { quantity: "lower prediction", ...optimum });
      agrees(prediction!.high, row.pi_high!, { quantity: "upper prediction", ...optimum });
    });
  });

  it("refuses too few studies and a repeated label, and warns of few", () => {
    const columns = {
      estimate: [1, 2, 3, 5],
      se: [1, 1, 1, 1],
      moderators: { weeks: [2, 4, 6, 8] },
    };
    expect(poolRegression(columns).warnings.join()).toContain("chance finding");
    const two = { estimate: [1, 2], se: [1, 1], moderators: { weeks: [1, 2] } };
    expect(() => poolRegression(two)).toThrow(/more than 2 studies/);
    expect(() => poolRegression({ ...columns, label: ["a", "b", "a", "c"] })).toThrow(
      /label of its own/,
    );
  });
});

describe("poolRegression at the edges", () => {
  const fitted = (size: number, error: number, method: "common" | "REML" = "REML") =>
    poolRegression(
      {
        estimate: [size, size, size, size],
        se: [error, error, error, error],
        moderators: { weeks: [1, 2, 3, 5] },
      },
      { method },
    );

  it("fits equal estimates by their size", () => {
    const { intercept } = fitted(1e6, 1, "REML").coefficients;
    const why = "a level line, rounded sums";
    agrees(intercept!.value, 1e6, { quantity: "intercept", rel: 1e-12, why });
  });

  it.each([
    [1e152, 1e-149, "REML"],
    [1e150, 1e-140, "REML"],
    [1e150, 1e-149, "common"],
  ] as const)("refuses %d with standard errors of %d (%s) in words", (size, error, method) => {
    expect(() => fitted(size, error, method)).toThrow(InputError);
    expect(() => fitted(size, error, method)).toThrow(/numbers whose squares a double can hold/);
  });
});

describe("smallStudyTest", () => {
  const { data, computed } = referenceCase(topic, "bcg_latitude");
  const columns = { estimate: data.yi, se: errorsOf(data) };
  const theirs = computed.small_study!.value;

  it("gives Egger's regression", () => {
    const result = smallStudyTest(columns);
    const egger = theirs.egger_weighted_regression;
    agrees(result.statistic, egger.statistic, { quantity: "t", ...closed });
    agrees(result.p, egger.p, { quantity: "p", rel: 1e-8, why: "tail of t" });
    agrees(result.slope.value, egger.intercept_form.intercept, { quantity: "slope", ...closed });
    agrees(result.slope.se!, egger.intercept_form.se, { quantity: "se", ...closed });
    agrees(result.limit.value, egger.limit_estimate, { quantity: "limit", ...closed });
    agrees(result.limit.interval!.low, egger.limit_low, { quantity: "lower limit", ...closed });
    expect(result.df).toBe(egger.df);
  });

  it.each([
    ["mixed_effects_sei", { hartungKnapp: false }],
    ["mixed_effects_vi", { hartungKnapp: false, predictor: "variance" }],
    ["mixed_effects_sei_knha", { hartungKnapp: true }],
  ] as const)("gives the random-effects form %s", (name, options) => {
    const result = smallStudyTest(columns, { model: "random", ...options });
    agrees(result.statistic, theirs[name].statistic, { quantity: "statistic", ...optimum });
    agrees(result.p, theirs[name].p, { quantity: "p", ...tail });
    agrees(result.limit.value, theirs[name].limit_estimate, { quantity: "limit", ...optimum });
    agrees(result.tau2!, theirs[name].tau2, { quantity: "tau2", ...optimum });
  });

  it("refuses equal standard errors", () => {
    expect(() => smallStudyTest({ estimate: [1, 2, 3], se: [1, 1, 1] })).toThrow(/differ/);
  });
});

describe("poolNested", () => {
  const { data, computed } = referenceCase(topic, "konstantopoulos_districts");
  const columns = { estimate: data.yi, se: errorsOf(data), study: data.group };

  it("gives metafor's three levels for Konstantopoulos's districts", () => {
    const result = poolNested(columns);
    const { mu, mu_t: t, sigma2, icc, logLik_REML: likelihood, I2, Q } = computed;
    agrees(result.estimate.value, mu!.value.estimate, {
      quantity: "mean",
      rel: 1e-6,
      why: "fixed effect",
    });
    agrees(result.estimate.se!, mu!.value.se, { quantity: "se", ...optimum });
    agrees(result.estimate.p!, t!.value.p, { quantity: "p", ...tail });
    agrees(result.estimate.interval!.low, t!.value.lower, {
      quantity: "lower",
      rel: 1e-4,
      why: "near 0",
    });
    agrees(result.tau2.between, sigma2!.value.between, { quantity: "between", ...optimum });
    agrees(result.tau2.within, sigma2!.value.within, { quantity: "within", ...optimum });
    agrees(result.icc!, icc!.value, { quantity: "icc", ...optimum });
    agrees(result.logLikelihood, likelihood!.value, { quantity: "log-likelihood", ...closed });
    agrees(result.i2.total, 100 * I2!.value.total, { quantity: "total I2", ...optimum });
    agrees(result.i2.within, 100 * I2!.value.within, { quantity: "within I2", ...optimum });
    agrees(result.q.statistic, Q!.value.QE, { quantity: "Q", ...closed });
    expect(result.estimate.df).toBe(t!.value.df);
  });

  it("gives profile limits of both variances", () => {
    const { between, within } = poolNested(columns).tau2Interval;
    const [first, second] = computed.sigma2_limits!.value.rows;
    const profile = { rel: 1e-4, why: "a root on top of an optimum" };
    agrees(between.low, first[0], { quantity: "lower between", ...profile });
    agrees(between.high, first[1], { quantity: "upper between", ...profile });
    agrees(within.low, second[0], { quantity: "lower within", ...profile });
    agrees(within.high, second[1], { quantity: "upper within", ...profile });
  });

  it("refuses one result per study", () => {
    expect(() => poolNested({ estimate: [1, 2], se: [1, 1], study: ["a", "b"] })).toThrow(
      /use pool/,
    );
  });
});

describe("poolPeople", () => {
  const models = [
    ["bdf_ten_schools", "treatment_random", {}],
    ["bdf_ten_schools", "intercept_and_treatment_random", { studies: "random" }],
    ["bdf_ten_schools", "intercept_random", { studies: "random", effect: "common" }],
    ["npk_blocks", "intercept_random", { studies: "random", effect: "common" }],
  ] as const;

  it.each(models)("gives lmer's one-stage model of %s, %s", (id, name, options) => {
    const { data, computed } = referenceCase(topic, id);
    const { treatment, sd, logLik_REML: likelihood } = computed[name]!.value;
    const result = poolPeople(
      {
        study: data.study,
        after: data.y,
        before: data.pre0,
        group: data.treat.map(String),
        reference: "0",
      },
      options,
    );
    const { difference } = result;
    agrees(difference.value, treatment.estimate, {
      quantity: "difference",
      rel: 1e-6,
      why: "fixed effect",
    });
    agrees(difference.se!, treatment.se, { quantity: "se", ...optimum });
    agrees(difference.df!, treatment.df, { quantity: "df", rel: 1e-4, why: "second derivatives" });
    agrees(difference.p!, treatment.p, { quantity: "p", ...tail });
    agrees(difference.interval!.low, treatment.lower, { quantity: "lower", rel: 1e-4, why: "df" });
    agrees(result.logLikelihood, likelihood, { quantity: "log-likelihood", ...closed });
    agrees(result.residualSd, sd["Residual "], { quantity: "residual SD", ...optimum });
    const effect = sd["study treat"] ?? sd["study.1 treat"];
    if (effect !== undefined)
      agrees(result.effectSd!, effect, { quantity: "effect SD", ...optimum });
    const intercept = sd["study (Intercept)"];
    if (intercept !== undefined) {
      agrees(result.interceptSd!, intercept, { quantity: "intercept SD", ...optimum });
    }
  });

  it("works without a baseline; refuses an unknown reference and a single study", () => {
    const { data } = referenceCase(topic, "npk_blocks");
    const columns = {
      study: data.study,
      after: data.y,
      group: data.treat.map(String),
      reference: "0",
    };
    expect(poolPeople(columns).n).toBe(24);
    expect(() => poolPeople({ ...columns, reference: "2" })).toThrow(InputError);
    expect(() => poolPeople({ ...columns, study: data.study.map(() => "one") })).toThrow(
      /2 or more/,
    );
  });
});

describe("the labels of studies", () => {
  it("appear once each", () => {
    const twice = { estimate: [1, 2, 3], se: [1, 1, 1], label: ["a", "b", "a"] };
    expect(() => pool(twice)).toThrow(/label of its own/);
  });
});
