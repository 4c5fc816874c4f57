import { describe, expect, it } from "vitest";
import { randomStream } from "../../../lib/num/random.js";
import { compareFits } from "../../../lib/stats/compare-fits.js";
import type { Estimate } from "../../../lib/stats/estimate.js";
import { fitMixed, type MixedOptions } from "../../../lib/stats/mixed/mixed.js";
import { profileMixed } from "../../../lib/stats/mixed/profile-likelihood.js";
import { agrees } from "../../reference/agree.js";
import { referenceCase } from "../../reference/cases.js";

const why = "a root on top of a numerical optimum";
const cases = {
  ergoStool: ["effort", "Type", "Subject", false],
  ergoStool_gaps: ["effort", "Type", "Subject", false],
  sleepstudy_contrasts: ["Reaction", "Days", "Subject", true],
  Machines_random_intercept: ["score", "Machine", "Worker", false],
} as const;

function fitOf(id: keyof typeof cases, options: MixedOptions = {}, withTerm = true) {
  const { data } = referenceCase("contrasts", id);
  const [y, term, subject, sloped] = cases[id];
  const terms = withTerm ? { [term]: data[term] } : {};
  const columns = { subject: data[subject], y: data[y], terms };
  return fitMixed(columns, { ...options, ...(sloped && { slope: term }) });
}

describe.each(Object.keys(cases) as (keyof typeof cases)[])("profileMixed of %s", (id) => {
  it("has the limits of a direct search", () => {
    const profile = profileMixed(JSON.parse(JSON.stringify(fitOf(id))));
    const { rownames, rows } = referenceCase("contrasts", id).computed.profile_intervals!.value;
    const found: Record<string, Estimate | undefined> = {
      ...Object.fromEntries(
        Object.entries(profile.fixed).map(([name, value]) => [name.replace(":", ""), value]),
      ),
      "(Intercept)": profile.fixed.intercept,
      sd_intercept: profile.random.interceptSd,
      sd_slope: profile.random.slopeSd,
      correlation: profile.random.correlation,
      sd_residual: profile.residualSd,
    };
    rownames.forEach((name: string, i: number) => {
      const { low, high } = found[name]!.interval!;
      agrees(low, rows[i][0], { quantity: `${name}, lower`, rel: 1e-7, why });
      agrees(high, rows[i][1], { quantity: `${name}, upper`, rel: 1e-7, why });
    });
    const { logLik } = referenceCase("contrasts", id).computed.fit_ML!.value;
    agrees(fitOf(id, { method: "ML" }).logLikelihood, logLik, {
      quantity: "log-likelihood",
      rel: 1e-12,
      why,
    });
  });
});

describe("values beside the limits", () => {
  it.each(Object.keys(cases) as (keyof typeof cases)[])("are those of the ML fit: %s", (id) => {
    const fit = fitOf(id, { method: "ML" });
    const { fixed, random, residualSd, warnings } = profileMixed(fit);
    const same = (found: number | undefined, expected: number, quantity: string) =>
      agrees(found!, expected, { quantity, rel: 1e-5, why: "two numerical optima" });
    same(residualSd.value, fit.residualSd, "SD of the errors");
    same(random.interceptSd.value, fit.random.interceptSd, "SD of the intercepts");
    expect(random.slopeSd === undefined).toBe(fit.random.slopeSd === undefined);
    if (random.slopeSd) same(random.slopeSd.value, fit.random.slopeSd!, "SD of the slopes");
    expect(random.correlation === undefined).toBe(random.slopeSd === undefined);
    if (random.correlation) same(random.correlation.value, fit.random.correlation!, "correlation");
    for (const [name, { value }] of Object.entries(fit.fixed))
      same(fixed[name]!.value, value, name);
    expect(warnings).toEqual([]);
    expect(profileMixed(fitOf(id)).warnings).toEqual([
      "the fit is by REML; values and limits here are by ML",
    ]);
  });

  it("have no correlation where none is fitted, or an SD is 0", () => {
    const { data } = referenceCase("contrasts", "sleepstudy_contrasts");
    const columns = { subject: data.Subject, y: data.Reaction, terms: { Days: data.Days } };
    const fit = fitMixed(columns, { slope: "Days", correlated: false });
    expect(profileMixed(fit).random.correlation).toBeUndefined();
    expect(profileMixed(fit).random.slopeSd!.value).toBeGreaterThan(1);
  });
});

describe("profileMixed", () => {
  const stream = randomStream(20, "test");
  const subject = Array.from({ length: 24 }, (_, i) => `p${Math.floor(i / 4)}`);
  const x = subject.map((_, i) => i % 4);
  const noise = subject.map(() => stream.normal());

  it("gives an edge as the edge", () => {
    // No person differs from another in level or slope.
    const y = x.map((value, i) => (Math.floor(i / 4) + 1) * [1, -1, -1, 1][value]!);
    const fit = fitMixed({ subject, y, terms: { x } }, { slope: "x" });
    expect(fit.singular).toBe(true);
    const { random } = profileMixed(fit);
    expect(random.interceptSd.interval!.low).toBe(0);
    expect(random.slopeSd!.interval!.low).toBe(0);
    expect(random.correlation).toBeUndefined();
    expect(random.interceptSd.interval!.high).toBeGreaterThan(0.1);
  });

  it("moves with the unit of y and a shift of y", () => {
    const y = noise.map((e, i) => e + x[i]! + Math.floor(i / 4));
    const plain = profileMixed(fitMixed({ subject, y, terms: { x } }));
    const turned = profileMixed(
      fitMixed({ subject, y: y.map((value) => 1000 * value + 5e4), terms: { x } }),
    );
    const pairs = [
      [turned.random.interceptSd, plain.random.interceptSd],
      [turned.residualSd, plain.residualSd],
      [turned.fixed.x!, plain.fixed.x!],
    ] as const;
    for (const [many, one] of pairs) {
      for (const side of ["low", "high"] as const) {
        agrees(many.interval![side] / 1000, one.interval![side], {
          quantity: side,
          rel: 1e-6,
          why,
        });
      }
    }
  });

  it("widens with the level and refuses what is no fit", () => {
    const fit = fitOf("ergoStool");
    const { residualSd } = profileMixed(fit, { level: 0.99 });
    expect(residualSd.interval!.high).toBeGreaterThan(profileMixed(fit).residualSd.interval!.high);
    for (const none of [{}, undefined, { ...fit, kind: "fitLinear" }, { ...fit, model: undefined }])
      expect(() => profileMixed(none as never)).toThrow(/a fit by fitMixed/);
    expect(() => profileMixed(fit, { levels: 0.9 } as never)).toThrow(/an option called level/);
  });
});

describe("compareFits", () => {
  it.each(["ergoStool", "ergoStool_gaps", "Machines_random_intercept"] as const)(
    "has R's likelihood ratio of %s",
    (id) => {
      const found = compareFits(fitOf(id, { method: "ML" }, false), fitOf(id, { method: "ML" }));
      const { chisq, df, p } = referenceCase("contrasts", id).computed.likelihood_ratio_ML!.value;
      agrees(found.statistic, chisq, { quantity: "χ²", rel: 1e-10, why });
      expect(found.df).toBe(df);
      agrees(found.p, p, { quantity: "p", rel: 1e-9, why });
      expect(found.warnings).toEqual([]);
    },
  );

  it("compares random parts by REML, and says that p is too large", () => {
    const { data } = referenceCase("contrasts", "sleepstudy_contrasts");
    const columns = { subject: data.Subject, y: data.Reaction, terms: { Days: data.Days } };
    const found = compareFits(fitMixed(columns), fitMixed(columns, { slope: "Days" }));
    expect(found.df).toBe(2);
    // lme4: REML criteria 1786.465 and 1743.628, printed with three decimals.
    agrees(found.statistic, 1786.465 - 1743.628, { quantity: "χ²", rel: 3e-5, why: "printed" });
    expect(found.warnings[0]).toMatch(/2 more variance parameters/);
  });

  it("refuses fits that cannot be compared", () => {
    const [small, large] = [fitOf("ergoStool", {}, false), fitOf("ergoStool")];
    expect(() => compareFits(small, large)).toThrow(/fits by "ML" where fixed effects differ/);
    const ml = { method: "ML" } as const;
    expect(() => compareFits(small, fitOf("ergoStool", ml))).toThrow(/two fits by one method/);
    expect(() => compareFits(fitOf("ergoStool", ml), fitOf("ergoStool", ml, false))).toThrow(
      /every fixed effect of the smaller/,
    );
    expect(() => compareFits(fitOf("ergoStool", ml), fitOf("ergoStool", ml))).toThrow(
      /more parameters/,
    );
    const { data } = referenceCase("contrasts", "ergoStool");
    const other = fitMixed(
      { subject: data.Subject, y: data.effort.map((e: number, i: number) => e + (i % 2)) },
      ml,
    );
    expect(() => compareFits(other, fitOf("ergoStool", ml))).toThrow(/two that differ/);
    expect(() => compareFits(fitOf("ergoStool_gaps", ml, false), fitOf("ergoStool", ml))).toThrow(
      /30 and 36 rows/,
    );
  });
});
