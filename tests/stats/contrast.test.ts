import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { InputError } from "../../lib/errors.js";
import { adjustedMeans, pairwise } from "../../lib/stats/adjusted-means.js";
import { contrast, jointTest } from "../../lib/stats/contrast.js";
import { fitDeming } from "../../lib/stats/deming.js";
import { fitLinear } from "../../lib/stats/linear-model.js";
import { fitMixed, type MixedFit } from "../../lib/stats/mixed/mixed.js";
import { fitVisits } from "../../lib/stats/mixed/visits.js";
import { fitLine } from "../../lib/stats/regression.js";
import { agrees, relativeError } from "../reference/agree.js";
import { referenceCase } from "../reference/cases.js";

const optimum = "read at a numerical optimum; both searches stop near the last digits they can see";
const closed = "closed form; R's own rounding";

/** The four published data sets: outcome, term, people, and whether the slope varies. */
const mixedCases = {
  ergoStool: ["effort", "Type", "Subject", false],
  ergoStool_gaps: ["effort", "Type", "Subject", false],
  sleepstudy_contrasts: ["Reaction", "Days", "Subject", true],
  Machines_random_intercept: ["score", "Machine", "Worker", false],
} as const;

function mixedFit(id: keyof typeof mixedCases): MixedFit {
  const { data } = referenceCase("contrasts", id);
  const [y, term, subject, sloped] = mixedCases[id];
  const fit = fitMixed(
    { subject: data[subject], y: data[y], terms: { [term]: data[term] } },
    sloped ? { slope: term } : {},
  );
  return JSON.parse(JSON.stringify(fit));
}

const weightsOf = (names: readonly string[], row: number[]) =>
  Object.fromEntries(names.map((name, j) => [name, row[j]!]));

describe.each(Object.keys(mixedCases) as (keyof typeof mixedCases)[])("mixed model of %s", (id) => {
  const { computed } = referenceCase("contrasts", id);
  const fit = mixedFit(id);
  const { names, matrix } = fit.covariance;

  it("carries covariance, fitted values and residuals", () => {
    const rel = 1e-7;
    matrix.forEach((row, i) => {
      row.forEach((value, j) => {
        const expected = computed.covariance_of_fixed_effects!.value.rows[i][j];
        agrees(value, expected, { quantity: `covariance ${i}, ${j}`, rel, why: optimum });
      });
    });
    const largest = Math.max(...computed.residuals!.value.map(Math.abs));
    fit.fitted.forEach((value, i) => {
      agrees(value, computed.fitted!.value[i], { quantity: `fitted ${i}`, rel, why: optimum });
      const off = Math.abs(fit.residuals[i]! - computed.residuals!.value[i]);
      expect(off / largest).toBeLessThan(1e-8);
    });
  });

  it.each([
    ["satterthwaite", "contrasts"],
    ["kenward-roger", "contrasts_kenward_roger"],
  ] as const)("contrasts by %s", (df, field) => {
    const { value } = computed[field]!;
    const { rows } = value.result ?? value;
    computed.contrasts!.value.L.rows.forEach((row: number[], i: number) => {
      const [estimate, se, ddf, t, lower, upper, p] = rows[i];
      const found = contrast(fit, weightsOf(names, row), { df });
      const check = (quantity: string, actual: number, expected: number, rel: number) =>
        agrees(actual, expected, { quantity: `${quantity} of contrast ${i}`, rel, why: optimum });
      check("value", found.value, estimate, 1e-9);
      check("se", found.se!, se, 1e-7);
      check("df", found.df!, ddf, 1e-6);
      check("t", found.statistic!, t, 1e-7);
      check("p", found.p!, p, 1e-5);
      check("lower limit", found.interval!.low, lower, 1e-7);
      check("upper limit", found.interval!.high, upper, 1e-7);
    });
  });

  it("joint tests by both methods", () => {
    for (const [name, { value }] of Object.entries(computed)) {
      if (!name.startsWith("joint")) continue;
      const rows = value.L.rows.map((row: number[]) => weightsOf(names, row));
      const first = jointTest(fit, rows, { df: "satterthwaite" });
      const second = jointTest(fit, rows, { df: "kenward-roger" });
      const check = (quantity: string, actual: number, expected: number, rel: number) =>
        agrees(actual, expected, { quantity: `${quantity} of ${name}`, rel, why: optimum });
      check("F", first.f, value.satterthwaite.F, 1e-7);
      check("df2", first.df2, value.satterthwaite.df2, 1e-6);
      check("p", first.p, value.satterthwaite.p, 1e-5);
      check("scaled F", second.f, value.kenward_roger.F_scaled, 1e-7);
      check("df2, Kenward–Roger", second.df2, value.kenward_roger.df2, 1e-6);
      check("p, Kenward–Roger", second.p, value.kenward_roger.p, 1e-5);
    }
  });

  it("means of labels and all pairs", () => {
    const means = computed.marginal_means?.value;
    if (!means) return;
    const term = mixedCases[id][1];
    const found = adjustedMeans(fit, term);
    means[term].forEach((label: string, i: number) => {
      agrees(found[label]!.value, means.emmean[i], { quantity: label, rel: 1e-9, why: optimum });
      agrees(found[label]!.se!, means.se[i], { quantity: `se, ${label}`, rel: 1e-7, why: optimum });
      agrees(found[label]!.df!, means.df[i], { quantity: `df, ${label}`, rel: 1e-6, why: optimum });
    });
    const pairsBy = [
      ["pairwise_none", { adjust: "none" }, 1e-5],
      ["pairwise_holm", { adjust: "holm" }, 1e-5],
      ["pairwise_tukey", {}, 3e-4],
      ["pairwise_tukey_kenward_roger", { df: "kenward-roger" }, 3e-4],
    ] as const;
    for (const [field, options, rel] of pairsBy) {
      const pairs = pairwise(fit, term, options);
      const { value } = computed[field]!;
      value.contrast.forEach((name: string, i: number) => {
        const [second, first] = name.split(" - ");
        const pair = pairs.find((each) => each.first === first && each.second === second)!;
        const { difference } = pair;
        const quantity = `${field}, ${name}`;
        // R integrates the studentised range to about 1e-9 absolutely, and reports − of ours.
        if (Math.abs(difference.p! - value.p[i]) > 1e-8) {
          agrees(difference.p!, value.p[i], { quantity, rel, why: "R's own integration" });
        }
        agrees(difference.value, -value.estimate[i], { quantity, rel: 1e-9, why: optimum });
        if (!value.lower) {
          expect(difference.interval).toBeUndefined();
          return;
        }
        agrees(difference.interval!.high, -value.lower[i], { quantity, rel: 1e-5, why: optimum });
        agrees(difference.interval!.low, -value.upper[i], { quantity, rel: 1e-5, why: optimum });
      });
    }
  });
});

describe("cluster-robust errors", () => {
  const cases = [
    [
      "sleepstudy_clusters",
      (d: Record<string, number[]>) => ({ y: d.Reaction!, terms: { Days: d.Days! } }),
    ],
    [
      "ChickWeight_clusters",
      (d: Record<string, number[]>) => ({ y: d.weight!, terms: { Time: d.Time!, Diet: d.Diet! } }),
    ],
  ] as const;

  it.each(cases)("%s: covariance, degrees of freedom, contrasts, joint test", (id, columnsOf) => {
    const { data, computed } = referenceCase("clusters", id);
    const columns = columnsOf(data);
    for (const kind of ["CR0", "CR1", "CR2"] as const) {
      const made = fitLinear(columns, { standardErrors: kind, clusters: data.cluster });
      const fit: typeof made = JSON.parse(JSON.stringify(made));
      const { names, matrix } = fit.covariance;
      const check = (quantity: string, actual: number, expected: number, rel = 1e-10) =>
        agrees(actual, expected, { quantity: `${kind}, ${quantity}`, rel, why: closed });
      matrix.forEach((row, i) => {
        row.forEach((value, j) => {
          check(`covariance ${i}, ${j}`, value, computed[`${kind}_covariance`]!.value.rows[i][j]);
        });
      });
      names.forEach((name, i) => {
        const naive = contrast(fit, { [name]: 1 }, { df: "residual" });
        const [, se, , df, p, lower] = computed[`${kind}_t_clusters_less_1`]!.value.rows[i];
        check(`se of ${name}`, naive.se!, se);
        expect(naive.df).toBe(df);
        check(`p of ${name}`, naive.p!, p);
        check(`lower limit of ${name}`, naive.interval!.low, lower);
        const own = computed[`${kind}_satterthwaite`]?.value.rows[i];
        if (!own) return;
        const best = contrast(fit, { [name]: 1 }, { df: "satterthwaite" });
        check(`df of ${name}`, best.df!, own[3]);
        if (kind === "CR2") check(`df of ${name} in the fit`, fit.coefficients[name]!.df!, own[3]);
      });
      if (kind !== "CR2") continue;
      const { L, F, df2, p } = computed.CR2_joint_HTZ!.value;
      const rows = L.rows.map((row: number[]) => weightsOf(names, row));
      const joint = jointTest(fit, rows);
      check("joint F", joint.f, F);
      check("joint df2", joint.df2, df2);
      check("joint p", joint.p, p);
    }
  });

  it("does not depend on the names or the order of the clusters", () => {
    const { data } = referenceCase("clusters", "sleepstudy_clusters");
    const slopeOf = (order: number[], name: (label: string) => string) =>
      fitLinear(
        { y: order.map((i) => data.Reaction[i]), terms: { d: order.map((i) => data.Days[i]) } },
        { standardErrors: "CR2", clusters: order.map((i) => name(data.cluster[i])) },
      ).coefficients.d!;
    const rows = [...data.Days.keys()];
    const plain = slopeOf(rows, (label) => label);
    const turned = slopeOf(rows.toReversed(), (label) => `person ${label}`);
    const why = "the order of summation";
    agrees(turned.se!, plain.se!, { quantity: "se", rel: 1e-11, why });
    agrees(turned.df!, plain.df!, { quantity: "df", rel: 1e-11, why });
    const numbered = fitLinear(
      { y: data.Reaction, terms: { d: data.Days } },
      { standardErrors: "CR2", clusters: data.cluster.map(Number) },
    );
    expect(numbered.coefficients.d).toEqual(plain);
  });

  it("warns when a label repeats and rows are taken as independent", () => {
    const columns = { y: [1, 3, 2, 5, 4, 7], terms: { x: [1, 2, 3, 4, 5, 6] } };
    const clusters = ["a", "a", "b", "b", "c", "c"];
    expect(fitLinear(columns, { clusters }).warnings[0]).toMatch(
      /3 people give 6 rows, up to 2 each/,
    );
    expect(fitLine({ x: columns.terms.x, y: columns.y }, { clusters }).warnings[0]).toMatch(
      /3 people/,
    );
    const once = ["a", "b", "c", "d", "e", "f"];
    expect(fitLinear(columns, { clusters: once }).warnings).toEqual([]);
    expect(() => fitLinear(columns, { standardErrors: "CR2" })).toThrow(
      /clusters: expected labels/,
    );
    const one = { standardErrors: "CR2", clusters: once.map(() => "a") } as const;
    expect(() => fitLinear(columns, one)).toThrow(/at least two clusters/);
  });
});

describe.each(["ChickWeight_three_diets", "iris_three_species"])(
  "analysis of covariance, %s",
  (id) => {
    const { data, computed } = referenceCase("ancova", id);
    const columns = { y: data.post, terms: { pre: data.pre, arm: data.arm } };

    it.each(["ordinary", "HC0", "HC1", "HC2", "HC3"] as const)("%s errors", (standardErrors) => {
      const fit = fitLinear(columns, { standardErrors });
      const { value } = computed[standardErrors]!;
      const check = (quantity: string, actual: number, expected: number) =>
        agrees(actual, expected, { quantity, rel: 1e-9, why: closed });
      fit.covariance.names.forEach((name, i) => {
        check(`se of ${name}`, fit.coefficients[name]!.se!, value.coefficients.rows[i][1]);
        check(`p of ${name}`, fit.coefficients[name]!.p!, value.coefficients.rows[i][4]);
      });
      const means = adjustedMeans(fit, "arm");
      value.adjusted_means.rownames.forEach((label: string, i: number) => {
        check(`mean of ${label}`, means[label]!.value, value.adjusted_means.rows[i][0]);
        check(`se of the mean of ${label}`, means[label]!.se!, value.adjusted_means.rows[i][1]);
      });
      for (const { first, second, difference } of pairwise(fit, "arm", { adjust: "none" })) {
        const at = value.pairwise.rownames.indexOf(`${first} - ${second}`);
        check(`${first} − ${second}`, difference.value, value.pairwise.rows[at][0]);
        check(`se of ${first} − ${second}`, difference.se!, value.pairwise.rows[at][1]);
      }
      const joint = jointTest(fit, ["arm"]);
      check("joint F", joint.f, value.joint.F);
      check("joint p", joint.p, value.joint.p);
    });

    it("slopes of the arms compared by an interaction", () => {
      const fit = fitLinear(columns, { interactions: [["pre", "arm"]] });
      const { F, df2, p } = computed.slopes_differ!.value.ordinary;
      const joint = jointTest(fit, ["pre × arm"]);
      agrees(joint.f, F, { quantity: "F", rel: 1e-9, why: closed });
      expect(joint.df2).toBe(df2);
      agrees(joint.p, p, { quantity: "p", rel: 1e-9, why: closed });
    });
  },
);

describe("terms of labels", () => {
  const arm = ["b", "a", "c", "b", "a", "c", "b", "a", "c", "b"];
  const x = [1, 2, 3, 4, 5, 6, 7, 8, 9, 11];
  const y = [3, 1, 4, 1, 5, 9, 2, 6, 5, 3];

  it("are the 0/1 columns that a person would write", () => {
    const coded = (label: string) => arm.map((each) => Number(each === label));
    const byHand = fitLinear({ y, terms: { x, "arm:b": coded("b"), "arm:c": coded("c") } });
    const byLabel = fitLinear({ y, terms: { x, arm } });
    expect(byLabel.coefficients).toEqual(byHand.coefficients);
    const products = ["b", "c"].map((label) => [
      `x × arm:${label}`,
      x.map((value, i) => value * coded(label)[i]!),
    ]);
    const both = { x, "arm:b": coded("b"), "arm:c": coded("c"), ...Object.fromEntries(products) };
    expect(
      fitLinear({ y, terms: { x, arm } }, { interactions: [["x", "arm"]] }).coefficients,
    ).toEqual(fitLinear({ y, terms: both }).coefficients);
  });

  it("change no mean and no difference when the reference changes", () => {
    const means = (reference: string) =>
      adjustedMeans(fitLinear({ y, terms: { x, arm } }, { reference: { arm: reference } }), "arm");
    for (const label of ["a", "b", "c"]) {
      const why = "rounding of another design";
      agrees(means("c")[label]!.value, means("a")[label]!.value, {
        quantity: label,
        rel: 1e-12,
        why,
      });
      agrees(means("c")[label]!.se!, means("a")[label]!.se!, { quantity: label, rel: 1e-12, why });
    }
  });

  it("hold other terms where `at` says", () => {
    const fit = fitLinear({ y, terms: { x, arm } }, { interactions: [["x", "arm"]] });
    const { coefficients: b } = fit;
    const at = adjustedMeans(fit, "arm", { at: { x: 10 } });
    const expected =
      b.intercept!.value + b["arm:b"]!.value + 10 * (b.x!.value + b["x × arm:b"]!.value);
    agrees(at.b!.value, expected, { quantity: "mean of b at 10", rel: 1e-12, why: "rounding" });
    expect(() => adjustedMeans(fit, "arm", { at: { arm: "a" } })).toThrow(/another term/);
    expect(() => adjustedMeans(fit, "arm", { at: { z: 1 } })).toThrow(/a term|the term/);
    expect(() => adjustedMeans(fit, "x")).toThrow(/a term of labels/);
  });

  // Cells: a, f 10 12 14; a, m 30; b, f 20 22; b, m 40 44 48. With both terms and their product a
  // fitted cell is the mean of its cell, so an adjusted mean is the plain mean of cell means.
  const cells = fitLinear(
    {
      y: [10, 12, 14, 30, 20, 22, 40, 44, 48],
      terms: { arm: [..."aaaabbbbb"], sex: [..."fffmffmmm"] },
    },
    { interactions: [["arm", "sex"]] },
  );

  it("count every cell of the other labels the same, whatever its number of rows", () => {
    const means = adjustedMeans(cells, "arm");
    const why = "rounding";
    agrees(means.a!.value, (12 + 30) / 2, { quantity: "mean of a", rel: 1e-12, why });
    agrees(means.b!.value, (21 + 44) / 2, { quantity: "mean of b", rel: 1e-12, why });
    const men = adjustedMeans(cells, "arm", { at: { sex: "m" } });
    agrees(men.a!.value, 30, { quantity: "mean of a, m", rel: 1e-12, why });
    agrees(men.b!.value, 44, { quantity: "mean of b, m", rel: 1e-12, why });
  });

  it("have neither p nor statistic when the fit leaves no error", () => {
    const exact = fitLinear({ y: [1, 1, 3, 3, 3, 3], terms: { arm: [..."aabbcc"] } });
    const whole = { se: 0, df: 3 };
    const holm = pairwise(exact, "arm", { adjust: "holm" }).map(({ difference }) => difference);
    expect(holm).toEqual([2, 2, 0].map((value) => ({ value, ...whole })));
    const tukey = pairwise(exact, "arm").map(({ difference }) => difference);
    expect(tukey).toEqual(
      [2, 2, 0].map((value) => ({
        ...{ value, ...whole },
        interval: { low: value, high: value, level: 0.95, method: "Student t" },
      })),
    );
  });

  it.each([
    [() => adjustedMeans(cells, "amr"), "the term arm", '"amr"', "adjustedMeans, term"],
    [() => adjustedMeans(cells, 3 as never), "a term (arm, sex)", "3", "adjustedMeans, term"],
    [() => pairwise(cells, "length"), "a term (arm, sex)", '"length"', "pairwise, term"],
    [
      () => adjustedMeans(cells, "arm", { at: { sex: "x" } }),
      "a label of sex (f, m)",
      '"x"',
      "adjustedMeans, at.sex",
    ],
    [
      () => adjustedMeans(cells, "arm", { at: { sex: 1 } }),
      "a label of sex (f, m)",
      "1",
      "adjustedMeans, at.sex",
    ],
    [
      () => adjustedMeans(fitLinear({ y, terms: { x, arm } }), "arm", { at: { x: Number.NaN } }),
      "a finite number",
      "NaN",
      "adjustedMeans, at.x",
    ],
    [
      () => adjustedMeans(fitLinear({ y, terms: { x, arm } }), "arm", { at: { x: "low" } }),
      "a finite number",
      '"low"',
      "adjustedMeans, at.x",
    ],
    [
      () => adjustedMeans(fitLine({ x: [1, 2, 3], y: [1, 2, 4] }) as never, "x"),
      "a fit of fitLinear or fitMixed",
      "a record",
      "adjustedMeans, fit",
    ],
  ])("refuse what is no term, label or number %#", (ask, expected, got, where) => {
    expect(ask).toThrow(expect.objectContaining({ expected, got, where }));
  });

  it("without an intercept have a mean each", () => {
    const { coefficients } = fitLinear({ y, terms: { arm } }, { intercept: false });
    expect(Object.keys(coefficients)).toEqual(["arm:a", "arm:b", "arm:c"]);
    agrees(coefficients["arm:a"]!.value, (1 + 5 + 6) / 3, {
      quantity: "mean",
      rel: 1e-14,
      why: "rounding",
    });
  });

  it.each([
    [{ arm: arm.map(() => "a") }, {}, /terms\.arm: expected at least two labels/],
    [{ arm }, { reference: { arm: "d" } }, /reference: expected a label of arm \(a, b, c\)/],
    [{ arm }, { reference: { arms: "a" } }, /the term arm/],
    [{ x }, { reference: { x: "a" } }, /a column of numbers/],
    [{ arm, x }, { interactions: [["arm", "y"]] }, /interactions/],
    [{ arm }, { interactions: [["arm"]] }, /two or more different terms/],
    [{ arm, again: arm }, {}, /again:b: expected a column that is no combination/],
    [{ arm: [...arm.slice(1), 4.5] }, {}, /terms\.arm, index 9/],
    [
      { arm, half: ["p", "q", "p", "p", "q", "p", "p", "q", "p", "p"] },
      { interactions: [["arm", "half"]] },
      /arm:b × half:q, or a model without/,
    ],
    [{ arm, "arm:b": x }, {}, /one coefficient of this name/],
  ] as const)("%#: refuse what cannot be coded", (terms, options, message) => {
    const call = () => fitLinear({ y, terms: terms as never }, options as never);
    expect(call).toThrow(InputError);
    expect(call).toThrow(message);
  });
});

describe("contrast and jointTest", () => {
  const x = [1, 2, 3, 4, 6];
  const y = [2, 4, 5, 9, 8];

  it("of one coefficient are the coefficient and the square of its t", () => {
    for (const fit of [fitLine({ x, y }), fitDeming({ x, y })]) {
      expect(contrast(fit, { slope: 1 }).value).toBe(fit.slope.value);
      expect(relativeError(contrast(fit, { slope: 1 }).se!, fit.slope.se!)).toBeLessThan(1e-14);
      const { f, p } = jointTest(fit, ["slope"]);
      expect(relativeError(f, fit.slope.statistic! ** 2)).toBeLessThan(1e-13);
      expect(relativeError(p, fit.slope.p!)).toBeLessThan(1e-12);
    }
  });

  it("do not depend on the scale of the weights or on how the hypothesis is written", () => {
    const fit = mixedFit("ergoStool_gaps");
    fc.assert(
      fc.property(fc.double({ min: 0.01, max: 100, noNaN: true }), (scale) => {
        const one = contrast(fit, { "Type:T2": 1, "Type:T3": -1 });
        const many = contrast(fit, { "Type:T2": scale, "Type:T3": -scale });
        expect(relativeError(many.value / scale, one.value)).toBeLessThan(1e-13);
        expect(relativeError(many.df!, one.df!)).toBeLessThan(1e-12);
        const plain = jointTest(fit, ["Type"], { df: "kenward-roger" });
        const turned = jointTest(
          fit,
          [
            { "Type:T2": scale },
            { "Type:T3": 1, "Type:T2": -1 },
            { "Type:T4": 1, "Type:T3": scale },
          ],
          { df: "kenward-roger" },
        );
        expect(relativeError(turned.f, plain.f)).toBeLessThan(1e-9);
        expect(relativeError(turned.df2, plain.df2)).toBeLessThan(1e-9);
      }),
      { seed: 3, numRuns: 30 },
    );
  });

  it("take fits of visits", () => {
    const subject = [1, 1, 2, 2, 3, 3, 4, 4, 5, 5, 6, 6, 7];
    const visit = subject.map((_, i) => (i % 2 === 0 ? "w0" : "w6"));
    const arm = subject.map((who) => (who % 2 === 0 ? "grip" : "swing"));
    const values = [30, 33, 41, 44, 36, 37, 33, 39, 28, 30, 45, 49, 38];
    const fit = fitVisits({ subject, visit, arm, y: values }, { reference: "swing" });
    const name = fit.covariance.names.at(-1)!;
    for (const df of ["satterthwaite", "kenward-roger"] as const) {
      const found = contrast(fit, { [name]: 1 }, { df });
      const joint = jointTest(fit, [name], { df });
      expect(found.value).toBe(fit.fixed[name]!.value);
      expect(relativeError(joint.p, found.p!)).toBeLessThan(1e-10);
    }
  });

  it("refuse Kenward and Roger's joint test where its F would have no mean", () => {
    // four golfers at two visits: the formulas give 0.3 degrees of freedom and a negative F
    const four = {
      subject: [1, 1, 2, 2, 3, 3, 4, 4],
      visit: [0, 6, 0, 6, 0, 6, 0, 6],
      arm: ["a", "a", "b", "b", "a", "a", "b", "b"],
      y: [38.2, 42.4, 53.5, 54.4, 48.2, 49.7, 35.8, 35.1],
    };
    const fit = fitVisits(four, { covariance: "compound", constrainBaseline: false });
    const both = ["visit:6", "arm:b"];
    expect(() => jointTest(fit, both, { df: "kenward-roger" })).toThrow(
      /enough people for Kenward and Roger's test of 2 sums together/,
    );
    expect(jointTest(fit, both).f).toBeGreaterThan(0);
    expect(contrast(fit, { "visit:6": 1 }, { df: "kenward-roger" }).df).toBeCloseTo(2, 6);
  });

  it("refuse what the fit does not have", () => {
    const fit = fitLine({ x, y });
    expect(() => contrast(fit, { slop: 1 })).toThrow(/the coefficient "slope"/);
    expect(() => contrast(fit, { slope: 0 })).toThrow(/a weight that is not 0/);
    expect(() => contrast(fit, { slope: Number.NaN })).toThrow(/a finite number/);
    expect(() => contrast(fit, { slope: 1 }, { df: "kenward-roger" })).toThrow(
      /"residual" for least/,
    );
    expect(() => jointTest(fit, ["slope", "slope"])).toThrow(
      /no combination of the others repeats/,
    );
    expect(() => jointTest(fit, [])).toThrow(/a list of terms/);
    const ml = fitMixed(
      {
        subject: ["a", "a", "b", "b", "c", "c"],
        y: [1, 3, 6, 8, 5, 9],
        terms: { x: [0, 1, 0, 1, 0, 1] },
      },
      { method: "ML" },
    );
    expect(() => contrast(ml, { x: 1 }, { df: "kenward-roger" })).toThrow(/a fit by REML/);
    expect(contrast(ml, { x: 1 }).df).toBeGreaterThan(1);
  });
});
