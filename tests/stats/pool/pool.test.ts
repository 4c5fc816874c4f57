import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { InputError } from "../../../lib/errors.js";
import { type PoolOptions, pool } from "../../../lib/stats/pool/pool.js";
import { poolCorrelations } from "../../../lib/stats/pool/pool-correlations.js";
import { agrees } from "../../reference/agree.js";
import { agreesAsPrinted, referenceCase } from "../../reference/cases.js";

const full = { rel: 1e-12, why: "R's metafor gives 15 to 17 digits" };
const profile = { rel: 1e-9, why: "R's root finder stops at about 1e-10" };
const bcg = referenceCase("pool", "bcg");
const molloy = referenceCase("pool", "molloy2014");

const trials = (scale: string, options: PoolOptions) =>
  pool(
    {
      estimate: bcg.data[`log${scale}_yi`],
      se: bcg.data[`log${scale}_vi`].map(Math.sqrt),
      label: bcg.data.author_year,
    },
    options,
  );

describe("BCG vaccine, 13 trials (Colditz et al. 1994), against R's metafor", () => {
  for (const scale of ["RR", "OR"]) {
    for (const method of ["DL", "REML"] as const) {
      const of = (what: string) => bcg.computed[`log${scale}_RE_${method}${what}`]!.value;
      const prediction = of("_prediction_interval");

      it(`random effects by ${method}, normal interval, prediction t(k − 2): log ${scale}`, () => {
        const { estimate, tau2, i2, ...rest } = trials(scale, { method, hartungKnapp: false });
        const theirs = of("");
        agrees(estimate.value, theirs.est, { quantity: "estimate", ...full });
        agrees(estimate.se!, theirs.se, { quantity: "se", ...full });
        agrees(estimate.statistic!, theirs.z, { quantity: "z", ...full });
        agrees(estimate.p!, theirs.p, { quantity: "p", ...full });
        agrees(estimate.interval!.low, theirs.lo, { quantity: "low", ...full });
        agrees(estimate.interval!.high, theirs.hi, { quantity: "high", ...full });
        agrees(tau2, theirs.tau2, { quantity: "τ²", ...full });
        agrees(i2, theirs.I2_metafor_percent, { quantity: "I²", ...full });
        const [low, high] = prediction.higgins_t_k_minus_2;
        agrees(rest.prediction!.low, low, { quantity: "prediction low", ...full });
        agrees(rest.prediction!.high, high, { quantity: "prediction high", ...full });
      });

      it(`Hartung–Knapp with t(k − 1), and its modified form: ${method}, log ${scale}`, () => {
        const hartung = trials(scale, { method, hartungKnapp: true });
        const theirs = of("_HartungKnapp");
        agrees(hartung.estimate.se!, theirs.se, { quantity: "se", ...full });
        agrees(hartung.estimate.p!, theirs.p, { quantity: "p", rel: 1e-11, why: full.why });
        agrees(hartung.estimate.interval!.low, theirs.lo, { quantity: "low", ...full });
        expect(hartung.estimate.df).toBe(12);
        const [low, high] = prediction.metafor_knha_t_k_minus_1_with_HK_se;
        agrees(hartung.prediction!.low, low, { quantity: "prediction low", ...full });
        agrees(hartung.prediction!.high, high, { quantity: "prediction high", ...full });
        const modified = trials(scale, { method, hartungKnapp: "modified" });
        agrees(modified.estimate.se!, of("_modified_HK_adhoc").se, {
          quantity: "modified",
          ...full,
        });
        agrees(modified.estimate.interval!.high, of("_modified_HK_adhoc").hi, {
          quantity: "modified high",
          ...full,
        });
      });
    }

    it(`common effect, Q, and τ² limits by the Q profile: log ${scale}`, () => {
      const common = trials(scale, { method: "common" });
      const theirs = bcg.computed[`log${scale}_common_effect`]!.value;
      agrees(common.estimate.value, theirs.est, { quantity: "estimate", ...full });
      agrees(common.estimate.interval!.low, theirs.lo, { quantity: "low", ...full });
      agrees(common.i2, bcg.computed[`log${scale}_I2_from_Q_percent`]!.value, {
        quantity: "I²",
        ...full,
      });
      const q = bcg.computed[`log${scale}_Q`]!.value;
      agrees(common.q.statistic, q.Q, { quantity: "Q", ...full });
      agrees(common.q.p, q.p, { quantity: "p of Q", ...full });
      expect([common.q.df, common.tau2, common.prediction]).toEqual([q.df, 0, undefined]);
      const { tau2Interval, weights } = trials(scale, { method: "REML" });
      const [low, high] = bcg.computed[`log${scale}_tau2_Q_profile_ci95_REML`]!.value;
      agrees(tau2Interval!.low, low, { quantity: "τ² low", ...profile });
      agrees(tau2Interval!.high, high, { quantity: "τ² high", ...profile });
      const percent: number[] = bcg.computed[`log${scale}_weights_percent_REML`]!.value;
      percent.forEach((share, i) => {
        agrees(100 * weights[i]!, share, { quantity: `weight ${i}`, ...full });
      });
    });
  }

  it("rounds to the printed digits", () => {
    const { estimate, tau2, i2, q, tau2Interval } = trials("RR", { hartungKnapp: false });
    agreesAsPrinted(estimate.value, bcg, "REML log RR");
    agreesAsPrinted(estimate.se!, bcg, "SE");
    agreesAsPrinted(tau2, bcg, "tau2 REML");
    agreesAsPrinted(i2, bcg, "I2");
    agreesAsPrinted(q.statistic, bcg, "Q");
    agreesAsPrinted(estimate.interval!.low, bcg, "CI lower");
    agreesAsPrinted(estimate.interval!.high, bcg, "CI upper");
    agreesAsPrinted(estimate.statistic!, bcg, "z");
    agreesAsPrinted(tau2Interval!.low, bcg, "tau2 CI lower");
    agreesAsPrinted(tau2Interval!.high, bcg, "tau2 CI upper");
    agreesAsPrinted(trials("RR", { method: "DL" }).tau2, bcg, "DL tau2");
  });
});

describe("poolCorrelations", () => {
  const { ri, ni } = molloy.data;
  const reml = poolCorrelations({ r: ri, n: ni }, { hartungKnapp: false });

  it("pools on the z scale: Molloy et al. (2014), 16 correlations", () => {
    const theirs = molloy.computed.RE_REML!.value;
    agrees(reml.fisherZ.value, theirs.est, { quantity: "z", ...full });
    agrees(reml.fisherZ.se!, theirs.se, { quantity: "se of z", ...full });
    agrees(reml.tau2, theirs.tau2, { quantity: "τ²", rel: 1e-11, why: full.why });
    agreesAsPrinted(reml.fisherZ.value, molloy, "pooled z");
    agreesAsPrinted(reml.fisherZ.se!, molloy, "SE");
    agreesAsPrinted(reml.tau2, molloy, "tau2");
    agreesAsPrinted(reml.i2, molloy, "I2");
    agreesAsPrinted(reml.q.statistic, molloy, "Q");
    const [low, high] = molloy.computed.tau2_Q_profile_ci95_REML!.value;
    agrees(reml.tau2Interval!.low, low, { quantity: "τ² low", ...profile });
    agrees(reml.tau2Interval!.high, high, { quantity: "τ² high", ...profile });
  });

  it("gives estimate and interval back as correlations", () => {
    const pairs = [
      ["REML", { hartungKnapp: false }],
      ["REML_HK", { hartungKnapp: true }],
      ["DL", { method: "DL", hartungKnapp: false }],
      ["DL_HK", { method: "DL", hartungKnapp: true }],
      ["common_effect", { method: "common" }],
    ] as const;
    for (const [name, options] of pairs) {
      const { estimate } = poolCorrelations({ r: ri, n: ni }, options);
      const theirs = molloy.computed[`pooled_r_backtransformed_${name}`]!.value;
      agrees(estimate.value, theirs.r, { quantity: `r, ${name}`, rel: 1e-11, why: full.why });
      agrees(estimate.interval!.low, theirs.lo, {
        quantity: `low, ${name}`,
        rel: 1e-11,
        why: full.why,
      });
      agrees(estimate.interval!.high, theirs.hi, {
        quantity: `high, ${name}`,
        rel: 1e-11,
        why: full.why,
      });
    }
    const [low, high] = molloy.computed.RE_REML_prediction_interval!.value.higgins_t_k_minus_2;
    agrees(reml.prediction!.low, Math.tanh(low), {
      quantity: "prediction",
      rel: 1e-11,
      why: full.why,
    });
    agrees(reml.prediction!.high, Math.tanh(high), {
      quantity: "prediction",
      rel: 1e-11,
      why: full.why,
    });
    agreesAsPrinted(reml.estimate.value, molloy, "pooled r");
    agreesAsPrinted(reml.estimate.interval!.low, molloy, "r CI lo");
    agreesAsPrinted(reml.estimate.interval!.high, molloy, "r CI hi");
  });

  it("pools grip and speed of two samples: r 0.596 (0.286 to 0.793), Q 0.183", () => {
    const { data, computed } = referenceCase("pool", "grip_speed");
    const ours = poolCorrelations(data, { method: "common" });
    const { z, r, low, high, q } = computed.common!.value;
    agrees(ours.fisherZ.value, z, { quantity: "z", ...full });
    agrees(ours.estimate.value, r, { quantity: "r", ...full });
    agrees(ours.estimate.interval!.low, low, { quantity: "low", ...full });
    agrees(ours.estimate.interval!.high, high, { quantity: "high", ...full });
    agrees(ours.q.statistic, q, { quantity: "Q", rel: 1e-11, why: full.why });
    expect(ours.studies.map(({ label }) => label)).toEqual(["Brown 2011", "Wells 2009"]);
  });

  it("refuses an r of 1 and an n of 3", () => {
    expect(() => poolCorrelations({ r: [0.4, 1], n: [20, 20] })).toThrow(
      /index 1.*between −1 and 1/,
    );
    expect(() => poolCorrelations({ r: [0.4, 0.5], n: [20, 3] })).toThrow(/at least 4, got 3/);
  });
});

describe("pool at the edges", () => {
  it("refuses estimates too many standard errors apart for a double, in words", () => {
    const pooled = (size: number) => () =>
      pool({ estimate: [size, 1.0001 * size, size], se: [1, 1, 1] }, { method: "common" });
    // By hand: a mean of equal weights, (1 + 1.0001 + 1)/3
    const why = "equal weights, rounded sums";
    agrees(pooled(1e6)().estimate.value, 3.0001e6 / 3, { quantity: "mean", rel: 1e-12, why });
    const far = { estimate: [1e140, 1.0001e140, 1e140], se: [1e-145, 1e-145, 1e-145] };
    expect(() => pool(far, { method: "common" })).toThrow(InputError);
    expect(() => pool(far, { method: "common" })).toThrow(
      /numbers whose squares a double can hold/,
    );
  });

  const alike = { estimate: [1, 1.01, 1], se: [1, 1, 1] };

  it("reports a negative moment estimate before it uses 0: (Q − df)/(Σw − Σw²/Σw)", () => {
    // By hand: Q = 6.667e-5, df = 2, Σw − Σw²/Σw = 2, so −0.99997.
    const { tau2, warnings } = pool(alike, { method: "DL" });
    expect(tau2).toBe(0);
    expect(warnings[0]).toContain("negative (−1.000)");
    expect(warnings[1]).toContain("both Q-profile limits");
  });

  it("says that REML stands on its boundary", () => {
    expect(pool(alike).warnings[0]).toContain("estimated as 0");
  });

  it("says when Hartung–Knapp shrinks the interval; modified does not", () => {
    const shrunk = pool(alike, { hartungKnapp: true });
    const message = expect.stringContaining("smaller than the ordinary one");
    expect(shrunk.warnings).toContainEqual(message);
    const modified = pool(alike, { hartungKnapp: "modified" });
    agrees(modified.estimate.se!, Math.sqrt(1 / 3), { quantity: "se", ...full });
  });

  it("leaves the prediction out for two studies, t(0), unless Hartung–Knapp has t(1)", () => {
    const two = { estimate: [1, 3], se: [0.5, 0.5] };
    const plain = pool(two, { hartungKnapp: false });
    expect(plain.prediction).toBeUndefined();
    expect(plain.warnings.at(-1)).toContain("no prediction interval");
    expect(pool(two, { hartungKnapp: true }).prediction!.method).toContain("t(1)");
  });

  it("is modified Hartung–Knapp unless another interval is asked for", () => {
    const five = { estimate: [1, 3, 2, 5, 0], se: [1, 1, 1, 1, 1] };
    expect(pool(five).estimate).toEqual(pool(five, { hartungKnapp: "modified" }).estimate);
    expect(pool(five).estimate.df).toBe(4);
    expect(pool(five).warnings.join()).not.toContain("too narrow");
    expect(pool(five, { hartungKnapp: false }).warnings.join()).toContain("too narrow");
    expect(pool(five, { method: "common" }).estimate).not.toHaveProperty("df");
  });

  it("says that a prediction interval without τ² adds nothing", () => {
    const { prediction, estimate, tau2, warnings } = pool(alike);
    expect(tau2).toBe(0);
    expect(prediction!.low).toBeCloseTo(estimate.interval!.low, 12);
    expect(warnings.join()).toContain("prediction interval adds nothing");
  });

  it("refuses what it cannot pool", () => {
    expect(() => pool({ estimate: [1], se: [1] })).toThrow(/at least 2/);
    expect(() => pool({ estimate: [1, 2], se: [1, 0] })).toThrow(
      /index 1.*positive standard error/,
    );
    expect(() => pool({ estimate: [1, 2], se: [1] })).toThrow(/at least 2 values, got 1/);
    expect(() => pool(alike, { method: "common", hartungKnapp: true })).toThrow(/Hartung–Knapp/);
    // biome-ignore lint/suspicious/noExplicitAny: a caller without types
    expect(() => pool(alike, { method: "PM" as any })).toThrow(/"common", "DL" or "REML"/);
  });
});

describe("pool, whatever the studies", () => {
  const studies = fc.array(
    fc.tuple(
      fc.double({ min: -100, max: 100, noNaN: true }),
      fc.double({ min: 0.01, max: 50, noNaN: true }),
    ),
    { minLength: 2, maxLength: 12 },
  );
  const method = fc.constantFrom("common", "DL", "REML" as const) as fc.Arbitrary<
    "common" | "DL" | "REML"
  >;
  const of = (rows: [number, number][], options: PoolOptions) =>
    pool({ estimate: rows.map(([y]) => y), se: rows.map(([, s]) => s) }, options);

  it("stays within the range of the estimates, weights sum to 1, order does not matter", () => {
    fc.assert(
      fc.property(studies, method, (rows, how) => {
        const ours = of(rows, { method: how });
        const values = rows.map(([y]) => y);
        const slack = 1e-12 * Math.max(...values.map(Math.abs), 1);
        expect(ours.estimate.value).toBeGreaterThanOrEqual(Math.min(...values) - slack);
        expect(ours.estimate.value).toBeLessThanOrEqual(Math.max(...values) + slack);
        expect(Math.abs(ours.weights.reduce((sum, w) => sum + w, 0) - 1)).toBeLessThan(1e-12);
        const back = of([...rows].reverse(), { method: how });
        expect(Math.abs(back.estimate.value - ours.estimate.value)).toBeLessThanOrEqual(
          1e-7 * (slack * 1e12),
        );
      }),
      { seed: 31, numRuns: 300 },
    );
  });

  it("puts τ² of REML where the restricted likelihood is greatest", () => {
    fc.assert(
      fc.property(studies, (rows) => {
        const { tau2, tau2Interval } = of(rows, { method: "REML" });
        expect(tau2Interval!.low).toBeLessThanOrEqual(tau2Interval!.high);
        const likelihood = (t: number) => {
          const w = rows.map(([, s]) => 1 / (s * s + t));
          const total = w.reduce((sum, x) => sum + x, 0);
          const mean = rows.reduce((sum, [y], i) => sum + w[i]! * y, 0) / total;
          const squares = rows.reduce((sum, [y], i) => sum + w[i]! * (y - mean) ** 2, 0);
          return w.reduce((sum, x) => sum + Math.log(x), 0) - Math.log(total) - squares;
        };
        for (const other of [0, tau2 / 3, tau2 * 0.9, tau2 * 1.1 + 1e-6, tau2 * 3 + 1, 1, 100]) {
          expect(likelihood(other)).toBeLessThanOrEqual(likelihood(tau2) + 1e-7);
        }
      }),
      { seed: 32, numRuns: 300 },
    );
  });

  it("scales with the estimates", () => {
    fc.assert(
      fc.property(
        studies,
        method,
        fc.double({ min: 0.001, max: 1000, noNaN: true }),
        (rows, how, by) => {
          const one = of(rows, { method: how });
          const two = of(
            rows.map(([y, s]) => [by * y, by * s] as [number, number]),
            { method: how },
          );
          const close = (a: number, b: number, scale: number) =>
            expect(Math.abs(a - b)).toBeLessThanOrEqual(1e-6 * scale + 1e-12);
          close(two.estimate.value, by * one.estimate.value, by * one.estimate.se!);
          close(two.tau2, by * by * one.tau2, by * by * (one.tau2 + 1));
          close(two.i2, one.i2, 100);
        },
      ),
      { seed: 33, numRuns: 300 },
    );
  });
});
