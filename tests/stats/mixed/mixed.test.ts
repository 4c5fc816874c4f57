import { readFileSync } from "node:fs";
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { fitMixed, type MixedFit, type MixedOptions } from "../../../lib/stats/mixed/mixed.js";
import { agrees } from "../../reference/agree.js";
import { agreesAsPrinted, referenceCase } from "../../reference/cases.js";

/** A fit of a public data set by other software, one of several of a case. */
interface ReferenceFit {
  readonly call: string;
  readonly terms: readonly string[];
  readonly slope?: string;
  readonly correlated: boolean;
  readonly method: "REML" | "ML";
  readonly singular: boolean;
  readonly fixed: readonly number[];
  readonly se: readonly number[];
  readonly df: readonly number[];
  /** Intercept, slope, correlation, residual, as far as the model has them. */
  readonly sds: readonly (number | null)[];
  readonly criterion: number;
  readonly subject: readonly string[];
  readonly lines: readonly (readonly number[])[];
}

interface FittedCase {
  readonly id: string;
  readonly y: string;
  readonly subject: string;
  readonly data: Readonly<Record<string, never>>;
  readonly fits?: readonly ReferenceFit[];
}

const cases: FittedCase[] = JSON.parse(
  readFileSync(new URL("../../reference/mixed.json", import.meta.url), "utf8"),
).cases;

const optimum = "R's optimum after Newton steps on finite differences of its deviance";

function refit({ data, y, subject }: FittedCase, fit: ReferenceFit): MixedFit {
  const terms = Object.fromEntries(fit.terms.map((name) => [name, data[name]!]));
  const { slope, correlated, method } = fit;
  const options = { correlated, method, ...(slope === undefined ? {} : { slope }) };
  return fitMixed({ subject: data[subject]!, y: data[y]!, terms }, options);
}

function checkLines(ours: MixedFit, fit: ReferenceFit): void {
  const bySubject = new Map(ours.perSubject.map((line) => [line.subject, line]));
  fit.subject.forEach((subject, i) => {
    const { intercept, slope } = bySubject.get(subject)!;
    const [theirs, theirSlope] = fit.lines[i]!;
    agrees(intercept, theirs!, { quantity: `intercept of ${subject}`, rel: 1e-7, why: optimum });
    if (theirSlope === undefined) return;
    agrees(slope!, theirSlope, { quantity: `slope of ${subject}`, rel: 1e-7, why: optimum });
  });
}

describe("fitMixed on public data sets, against R's lme4", () => {
  for (const one of cases.filter(({ fits }) => fits)) {
    for (const fit of one.fits!) {
      const ours = refit(one, fit);

      it(`${one.id}: ${fit.call}`, () => {
        const estimates = Object.values(ours.fixed);
        estimates.forEach((estimate, j) => {
          const of = `of coefficient ${j}`;
          const [value, se, df] = [fit.fixed[j]!, fit.se[j]!, fit.df[j]!];
          agrees(estimate.value, value, { quantity: `value ${of}`, rel: 1e-8, why: optimum });
          agrees(estimate.se!, se, { quantity: `se ${of}`, rel: 1e-7, why: optimum });
          agrees(estimate.df!, df, {
            quantity: `df ${of}`,
            rel: 1e-5,
            why: "R Hessian by differences",
          });
        });
        const { interceptSd, slopeSd, correlation } = ours.random;
        const spread = [interceptSd, slopeSd, correlation].filter((sd, i) => {
          return i === 0 || (fit.slope && (i === 1 || fit.correlated)) || sd !== undefined;
        });
        [...spread, ours.residualSd].forEach((sd, i) => {
          const theirs = fit.sds[i];
          if (theirs === null) expect(sd).toBeUndefined();
          else if (theirs! < 1e-12 && theirs! > -1e-12) expect(sd).toBe(0);
          else agrees(sd!, theirs!, { quantity: `spread ${i}`, rel: 1e-7, why: optimum });
        });
        agrees(ours.criterion, fit.criterion, {
          quantity: "criterion",
          rel: 1e-10,
          why: "flat at its least: errors of the optimum enter squared",
        });
        expect(ours.converged).toBe(true);
        expect(ours.singular).toBe(fit.singular);
        checkLines(ours, fit);
      });
    }
  }
});

interface Exact {
  minus2logLik: number;
  sigma: number;
  beta: number[];
  beta_se: number[];
  sd: number[];
  corr?: number;
  ranef: Record<string, number | number[]>;
}

describe("fitMixed against 40-digit arithmetic", () => {
  const sleep = referenceCase("mixed", "sleepstudy");
  const dyestuff = referenceCase("mixed", "Dyestuff");
  const rail = referenceCase("mixed", "Rail");
  const { Subject, Reaction, Days } = sleep.data;
  const days = (options: MixedOptions) =>
    fitMixed({ subject: Subject, y: Reaction, terms: { Days } }, options);
  const batches = (method: "REML" | "ML") =>
    fitMixed({ subject: dyestuff.data.Batch, y: dyestuff.data.Yield }, { method });
  const rails = (method: "REML" | "ML") =>
    fitMixed({ subject: rail.data.Rail, y: rail.data.travel }, { method });

  const fits: [string, MixedFit, Exact][] = [
    [
      "sleepstudy, slope, REML",
      days({ slope: "Days" }),
      sleep.computed.random_slope_REML_EXACT_mpmath!.value,
    ],
    [
      "sleepstudy, slope, ML",
      days({ slope: "Days", method: "ML" }),
      sleep.computed.random_slope_ML_EXACT_mpmath!.value,
    ],
    [
      "sleepstudy, intercept, REML",
      days({}),
      sleep.computed.random_intercept_REML_EXACT_mpmath!.value,
    ],
    [
      "sleepstudy, intercept, ML",
      days({ method: "ML" }),
      sleep.computed.random_intercept_ML_EXACT_mpmath!.value,
    ],
    [
      "sleepstudy, uncorrelated, REML",
      days({ slope: "Days", correlated: false }),
      sleep.computed.uncorrelated_REML_EXACT_mpmath!.value,
    ],
    ["Dyestuff, REML", batches("REML"), dyestuff.computed.REML_EXACT_mpmath!.value],
    ["Dyestuff, ML", batches("ML"), dyestuff.computed.ML_EXACT_mpmath!.value],
    ["Rail, REML", rails("REML"), rail.computed.REML_EXACT_mpmath!.value],
    ["Rail, ML", rails("ML"), rail.computed.ML_EXACT_mpmath!.value],
  ];
  const why = "double arithmetic against 40 digits; the issue asks 1e-5";
  for (const [title, fit, exact] of fits) {
    it(title, () => {
      Object.values(fit.fixed).forEach(({ value, se }, j) => {
        agrees(value, exact.beta[j]!, { quantity: "coefficient", rel: 1e-12, why });
        agrees(se!, exact.beta_se[j]!, { quantity: "standard error", rel: 1e-10, why });
      });
      const { interceptSd, slopeSd, correlation } = fit.random;
      agrees(interceptSd, exact.sd[0]!, { quantity: "intercept SD", rel: 1e-10, why });
      if (exact.sd[1] !== undefined)
        agrees(slopeSd!, exact.sd[1], { quantity: "slope SD", rel: 1e-10, why });
      if (exact.corr !== undefined && correlation !== undefined) {
        agrees(correlation, exact.corr, { quantity: "correlation", rel: 1e-9, why });
      }
      agrees(fit.residualSd, exact.sigma, { quantity: "residual SD", rel: 1e-11, why });
      agrees(fit.criterion, exact.minus2logLik, { quantity: "criterion", rel: 1e-13, why });
      expect(fit.logLikelihood).toBe(-fit.criterion / 2);
      for (const { subject, interceptDeviation, slopeDeviation } of fit.perSubject) {
        const modes = [exact.ranef[subject]!].flat();
        agrees(interceptDeviation, modes[0]!, { quantity: `mode of ${subject}`, rel: 1e-8, why });
        if (slopeDeviation === undefined) continue;
        agrees(slopeDeviation, modes[1]!, { quantity: `slope mode of ${subject}`, rel: 1e-8, why });
      }
    });
  }

  it("Satterthwaite df and p as lmerTest gives them", () => {
    const difference = { rel: 1e-6, why: "lmerTest's Hessian is by finite differences" };
    const table: [MixedFit, string][] = [
      [days({ slope: "Days" }), "random_slope_REML"],
      [days({}), "random_intercept_REML"],
      [days({ slope: "Days", correlated: false }), "uncorrelated_REML"],
    ];
    for (const [fit, name] of table) {
      const df = sleep.computed[`${name}_satterthwaite_df`]!.value;
      agrees(fit.fixed.intercept!.df!, df["(Intercept)"], {
        quantity: `df, ${name}`,
        ...difference,
      });
      agrees(fit.fixed.Days!.df!, df.Days, { quantity: `df of Days, ${name}`, ...difference });
    }
    const p = sleep.computed.random_slope_REML_satterthwaite_p!.value;
    agrees(days({ slope: "Days" }).fixed.Days!.p!, p.Days, { quantity: "p", ...difference });
    agrees(batches("REML").fixed.intercept!.df!, dyestuff.computed.REML_satterthwaite_df!.value, {
      quantity: "df of Dyestuff",
      ...difference,
    });
    agrees(rails("REML").fixed.intercept!.df!, rail.computed.REML_satterthwaite_df!.value, {
      quantity: "df of Rail",
      ...difference,
    });
  });

  it("rounds to the digits printed by Bates et al. (2015) and Pinheiro & Bates (2000)", () => {
    const fit = days({ slope: "Days" });
    const { intercept, Days: slope } = fit.fixed;
    agreesAsPrinted(intercept!.value, sleep, "intercept");
    agreesAsPrinted(slope!.value, sleep, "Days");
    agreesAsPrinted(intercept!.se!, sleep, "SE intercept");
    agreesAsPrinted(slope!.se!, sleep, "SE Days");
    agreesAsPrinted(intercept!.statistic!, sleep, "t intercept");
    agreesAsPrinted(slope!.statistic!, sleep, "t Days");
    agreesAsPrinted(fit.criterion, sleep, "REML criterion");
    agreesAsPrinted(fit.random.correlation!, sleep, "corr");
    agreesAsPrinted(days({ slope: "Days", method: "ML" }).criterion, sleep, "ML deviance");
    const train = rails("REML");
    agreesAsPrinted(train.random.interceptSd, rail, "SD rail");
    agreesAsPrinted(train.residualSd, rail, "SD residual");
    agreesAsPrinted(train.fixed.intercept!.se!, rail, "SE");
    agreesAsPrinted(train.logLikelihood, rail, "logLik");
    agreesAsPrinted(rails("ML").random.interceptSd, rail, "ML SD rail");
    const loose = { rel: 2e-5, why: "printed digits carry the tolerance of that optimiser" };
    for (const [quantity, ours] of [
      ["SD intercept", fit.random.interceptSd],
      ["SD slope", fit.random.slopeSd!],
      ["residual SD", fit.residualSd],
    ] as const) {
      const printed = sleep.published.find((entry) => entry.quantity === quantity)!.printed;
      agrees(ours, Number(printed), { quantity, ...loose });
    }
  });
});

describe("fitMixed at the edges", () => {
  const { data } = referenceCase("mixed", "sleepstudy");
  const sleep = { subject: data.Subject as string[], y: data.Reaction as number[] };
  const days = data.Days as number[];
  const base = fitMixed({ ...sleep, terms: { days } }, { slope: "days" });

  it("names the boundary of a singular fit and calls it a result", () => {
    const dyestuff2 = cases.find(({ id }) => id === "dyestuff2")!;
    const fit = refit(dyestuff2, dyestuff2.fits![0]!);
    expect([fit.singular, fit.converged, fit.random.interceptSd]).toEqual([true, true, 0]);
    expect(fit.warnings[0]).toContain("SD of the intercept is 0");
    const loblolly = cases.find(({ id }) => id === "loblolly")!;
    const tilted = refit(loblolly, loblolly.fits![0]!);
    expect(tilted.random.correlation).toBe(1);
    expect(tilted.warnings[0]).toContain("correlation of intercept and slope is 1");
  });

  it("survives JSON unchanged and is frozen", () => {
    const flat = cases.find(({ id }) => id === "dyestuff2")!;
    for (const fit of [base, refit(flat, flat.fits![0]!)]) {
      expect(JSON.parse(JSON.stringify(fit))).toEqual(fit);
    }
    expect(Object.isFrozen(base.model.terms)).toBe(true);
  });

  it("keeps its digits whatever the units of x and y", () => {
    const why = "scaling is done inside";
    // The variance of the slope is in the fourth power of this unit.
    for (const unit of [1e-75, 1e-9, 1e9, 1e75]) {
      const y = sleep.y.map((value) => value * unit);
      const x = days.map((value) => value / unit);
      const fit = fitMixed({ ...sleep, y, terms: { x } }, { slope: "x" });
      const { value, se, df } = fit.fixed.x!;
      agrees(value / unit / unit, base.fixed.days!.value, { quantity: "slope", rel: 1e-12, why });
      agrees(se! / unit / unit, base.fixed.days!.se!, { quantity: "se", rel: 1e-10, why });
      agrees(df!, base.fixed.days!.df!, { quantity: "df", rel: 1e-9, why });
      agrees(fit.random.slopeSd! / unit / unit, base.random.slopeSd!, {
        quantity: "SD",
        rel: 1e-9,
        why,
      });
      agrees(fit.random.correlation!, base.random.correlation!, { quantity: "r", rel: 1e-8, why });
    }
  });

  it("refuses units whose covariance a double cannot hold", () => {
    for (const unit of [1e-150, 1e150]) {
      const y = sleep.y.map((value) => value * unit);
      const x = days.map((value) => value / unit);
      expect(() => fitMixed({ ...sleep, y, terms: { x } }, { slope: "x" })).toThrow(
        /a double can hold/,
      );
    }
  });

  it("finds the same slopes when days are counted from far away", () => {
    const far = fitMixed(
      { ...sleep, terms: { days: days.map((d) => d + 2e6) } },
      { slope: "days" },
    );
    const why = "2e6 costs six digits of the days' own";
    agrees(far.fixed.days!.value, base.fixed.days!.value, { quantity: "slope", rel: 1e-9, why });
    agrees(far.fixed.days!.se!, base.fixed.days!.se!, { quantity: "se", rel: 1e-8, why });
    agrees(far.random.slopeSd!, base.random.slopeSd!, { quantity: "slope SD", rel: 1e-8, why });
    agrees(far.criterion, base.criterion, { quantity: "criterion", rel: 1e-9, why });
  });

  it("keeps its digits when people differ a million times more than they vary", () => {
    // Two-stage analysis of balanced data gives the same slope and standard error exactly.
    const y = sleep.y.map((value, i) => value * 1e-6 + (Number(sleep.subject[i]) % 7) * 1e3);
    const slopes = [...new Set(sleep.subject)].map((person) => {
      const rows = sleep.subject.flatMap((s, i) => (s === person ? [i] : []));
      const centred = rows.map((i) => days[i]! - 4.5);
      return rows.reduce((sum, i, k) => sum + (centred[k]! * y[i]!) / 82.5, 0);
    });
    const mean = slopes.reduce((sum, b) => sum + b / 18, 0);
    const variance = slopes.reduce((sum, b) => sum + (b - mean) ** 2 / 17, 0);
    const { value, se } = fitMixed({ ...sleep, y, terms: { days } }, { slope: "days" }).fixed.days!;
    const why = "y carries 1e-13 of noise, its within-person part 1e-7 of itself";
    agrees(value, mean, { quantity: "slope", rel: 1e-6, why });
    agrees(se!, Math.sqrt(variance / 18), { quantity: "se", rel: 1e-6, why });
  });

  it("says what is wrong with what it cannot fit", () => {
    const { subject, y } = sleep;
    const refusals: [() => unknown, RegExp][] = [
      [
        () => fitMixed({ subject, y, terms: { twice: days, again: days } }),
        /terms\.again.*adds nothing/,
      ],
      [
        () => fitMixed({ subject, y, terms: { one: days.map(() => 7) } }),
        /terms\.one.*adds nothing/,
      ],
      [() => fitMixed({ subject, y, terms: { intercept: days } }), /another name/],
      [
        () => fitMixed({ subject, y, terms: { days } }, { slope: "weeks" }),
        /name of a term \(days\)/,
      ],
      [() => fitMixed({ subject, y: days.map((d) => 3 + d), terms: { days } }), /some residual/],
      [() => fitMixed({ subject, y: y.slice(1) }), /expected 179 values, got 180/],
      [() => fitMixed({ subject: subject.map(() => "a"), y }), /at least 2 subjects/],
      [() => fitMixed({ subject: ["a", "b", "c"], y: [1, 2, 4] }), /at least 4 rows/],
      [() => fitMixed({ subject, y: y.map((v, i) => (i === 3 ? Number.NaN : v)) }), /index 3/],
      // biome-ignore lint/suspicious/noExplicitAny: a caller without types
      [() => fitMixed({ subject, y }, { method: "EM" as any }), /"REML" or "ML"/],
      [
        () =>
          fitMixed({
            subject: ["a", "a", "b", "b"],
            y: [1, 2, 5, 3],
            terms: { arm: [0, 0, 1, 1] },
          }),
        /more subjects than the 2 fixed effects/,
      ],
    ];
    for (const [attempt, message] of refusals) expect(attempt).toThrow(message);
  });
});

describe("fitMixed, whatever the data", () => {
  const study = fc.record({
    people: fc.array(fc.array(fc.integer({ min: -50, max: 50 }), { minLength: 1, maxLength: 6 }), {
      minLength: 4,
      maxLength: 9,
    }),
    slope: fc.boolean(),
  });

  function columns(people: number[][]) {
    const subject = people.flatMap((rows, i) => rows.map(() => `p${i}`));
    const y = people.flatMap((rows, i) =>
      rows.map((value, j) => value + 0.37 * ((i * 7 + j * 3) % 5)),
    );
    const x = people.flatMap((rows, i) => rows.map((_, j) => j + 0.1 * (i % 3)));
    return { subject, y, x };
  }

  /** A fit, or nothing where the rows cannot carry the model. */
  function attempt(data: ReturnType<typeof columns>, slope: boolean): MixedFit | undefined {
    const { subject, y, x } = data;
    try {
      return fitMixed({ subject, y, terms: { x } }, slope ? { slope: "x" } : {});
    } catch (error) {
      expect((error as Error).name).toBe("InputError");
      return undefined;
    }
  }

  const close = (a: number, b: number, scale: number) =>
    expect(Math.abs(a - b)).toBeLessThanOrEqual(1e-5 * scale);

  it("does not depend on the order of rows", () => {
    fc.assert(
      fc.property(study, ({ people, slope }) => {
        const data = columns(people);
        const order = data.y
          .map((_, i) => i)
          .sort((a, b) => ((a * 7919) % 101) - ((b * 7919) % 101));
        const moved = {
          subject: order.map((i) => data.subject[i]!),
          y: order.map((i) => data.y[i]!),
          x: order.map((i) => data.x[i]!),
        };
        const [one, two] = [attempt(data, slope), attempt(moved, slope)];
        expect(two === undefined).toBe(one === undefined);
        if (!one || !two) return;
        close(two.criterion, one.criterion, 1 + Math.abs(one.criterion));
        close(two.fixed.x!.value, one.fixed.x!.value, one.fixed.x!.se!);
      }),
      { seed: 20, numRuns: 150 },
    );
  });

  it("scales with y and shifts with it", () => {
    fc.assert(
      fc.property(
        study,
        fc.double({ min: 0.001, max: 1000, noNaN: true }),
        ({ people, slope }, by) => {
          const data = columns(people);
          const moved = { ...data, y: data.y.map((value) => by * (value + 11)) };
          const [one, two] = [attempt(data, slope), attempt(moved, slope)];
          expect(two === undefined).toBe(one === undefined);
          if (!one || !two) return;
          const free = one.n - 2;
          close(
            two.criterion,
            one.criterion + 2 * free * Math.log(by),
            1 + Math.abs(one.criterion),
          );
          close(two.fixed.x!.value, by * one.fixed.x!.value, by * one.fixed.x!.se!);
          close(
            two.fixed.intercept!.value,
            by * (one.fixed.intercept!.value + 11),
            by * one.fixed.intercept!.se!,
          );
          close(two.residualSd, by * one.residualSd, by * one.residualSd);
        },
      ),
      { seed: 21, numRuns: 150 },
    );
  });
});
