import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { InputError } from "../../../lib/errors.js";
import { randomStream } from "../../../lib/num/random.js";
import { pairedChange } from "../../../lib/stats/change.js";
import { contrast, jointTest } from "../../../lib/stats/contrast.js";
import type { Estimate } from "../../../lib/stats/estimate.js";
import { compareGroups } from "../../../lib/stats/groups.js";
import {
  kenwardRogerTest,
  satterthwaiteTest,
  type VarianceFit,
} from "../../../lib/stats/mixed/inference.js";
import type { VisitColumns } from "../../../lib/stats/mixed/visit-rows.js";
import { fitVisits, type VisitOptions, type VisitsFit } from "../../../lib/stats/mixed/visits.js";
import { agrees } from "../../reference/agree.js";
import { referenceCase } from "../../reference/cases.js";

const optimum = "R's values by Newton steps on the likelihood with dense matrices";
const cases = [
  { id: "ChickWeight_two_diets", reference: "diet1", other: "diet3" },
  { id: "Sitka_gaps", reference: "control", other: "ozone" },
];

/** The reference's models: their name there and our options. */
const models: [name: string, options: VisitOptions][] = [
  ["unstructured", { constrainBaseline: false }],
  ["constrained", {}],
  ["random_intercept", { covariance: "compound" }],
];

/** The names of the reference, in its order, from ours. */
const names = (other: string) => ({
  intercept: "intercept",
  visit2: "visit:2",
  visit3: "visit:3",
  arm: `arm:${other}`,
  arm_visit2: `arm:${other} × visit:2`,
  arm_visit3: `arm:${other} × visit:3`,
});

function agreesAll(
  ours: readonly number[],
  theirs: readonly number[],
  quantity: string,
  rel: number,
) {
  const largest = Math.max(...theirs.map(Math.abs));
  expect(ours.length).toBe(theirs.length);
  ours.forEach((value, i) => {
    // Entries of a matrix are judged by its largest: those that are 0 carry rounding.
    agrees(value + largest, theirs[i]! + largest, {
      quantity: `${quantity} ${i}`,
      rel,
      why: optimum,
    });
  });
}

for (const { id, reference, other } of cases) {
  const { data, computed } = referenceCase("visits", id);
  const columns: VisitColumns = { subject: data.id, visit: data.visit, arm: data.arm, y: data.y };
  const fitted = (options: VisitOptions) =>
    fitVisits(columns, { baseline: 1, reference, ...options });

  describe(`${id} against R`, () => {
    for (const [name, options] of models) {
      const fit = fitted(options);
      const value = (quantity: string) => computed[`${name}_${quantity}`]?.value;

      it(`${name}: likelihood, fixed effects and their covariance`, () => {
        agrees(fit.logLikelihood, value("logLik_REML"), {
          quantity: "logLik",
          rel: 1e-9,
          why: optimum,
        });
        for (const [theirs, expected] of Object.entries<number>(value("fixed"))) {
          const ours = fit.fixed[names(other)[theirs as "arm"]]!.value;
          agrees(ours, expected, { quantity: theirs, rel: 1e-8, why: optimum });
        }
        const matrix: number[][] = value("covariance_of_fixed").rows;
        expect(fit.covariance.names).toEqual(
          value("covariance_of_fixed").rownames.map((row: "arm") => names(other)[row]),
        );
        agreesAll(fit.covariance.matrix.flat(), matrix.flat(), "covariance", 1e-8);
      });

      it(`${name}: spread of the errors`, () => {
        if (name === "random_intercept") {
          const { sd_intercept, sd_residual } = value("components");
          const covariance = fit.errors.correlation[0]![1]! * fit.errors.sd[0]! ** 2;
          const why = optimum;
          agrees(Math.sqrt(covariance), sd_intercept, { quantity: "sd of people", rel: 1e-6, why });
          agrees(fit.errors.sd[1]! ** 2 - covariance, sd_residual ** 2, {
            ...{ quantity: "error variance", rel: 1e-6, why },
          });
          return;
        }
        agreesAll(fit.errors.sd, value("covariance").sd, "sd", 1e-8);
        agreesAll(
          fit.errors.correlation.flat(),
          value("covariance").correlation.rows.flat(),
          "r",
          1e-7,
        );
      });

      it(`${name}: differences of the arms by Satterthwaite and by Kenward and Roger`, () => {
        const kr = fitted({ ...options, df: "kenward-roger" });
        const satterthwaite = value("arm_difference").satterthwaite;
        const roger = value("arm_difference_kenward_roger");
        let compared = 0;
        satterthwaite.rownames.forEach((row: string, i: number) => {
          const visit = /^visit (\d)$/.exec(row)?.[1];
          if (!visit) return;
          compared++;
          const [v, se, df, t, low, high, p] = satterthwaite.rows[i];
          agreesEstimate(fit.differences[visit]![other]!, { value: v, se, df, statistic: t, p });
          const { interval } = fit.differences[visit]![other]!;
          agrees(interval!.low, low, { quantity: "low", rel: 1e-6, why: optimum });
          agrees(interval!.high, high, { quantity: "high", rel: 1e-6, why: optimum });
          const [v2, se2, df2, t2, p2] = roger.rows[i];
          const enlarged = { value: v2, se: se2, df: df2, statistic: t2, p: p2 };
          agreesEstimate(kr.differences[visit]![other]!, enlarged);
        });
        expect(compared).toBe(options.constrainBaseline === false ? 3 : 2);
      });

      it(`${name}: joint test of the arm`, () => {
        const asked = value("joint_arm");
        const order: "arm"[] = asked.L.colnames;
        const rows = asked.L.rows.map((row: number[]) =>
          Float64Array.from(fit.covariance.names, (own) => {
            const at = order.findIndex((column) => names(other)[column] === own);
            return row[at]!;
          }),
        );
        const effects = Object.values(fit.fixed).map((one) => one.value);
        const values = Float64Array.from(rows, (row: Float64Array) =>
          row.reduce((sum, weight, j) => sum + weight * effects[j]!, 0),
        );
        const { matrix } = fit.covariance;
        const { satterthwaite, kenwardRoger } = fit.inference;
        const one = satterthwaiteTest(matrix, satterthwaite!, { rows, values });
        const two = kenwardRogerTest(matrix, kenwardRoger!, { rows, values });
        agrees(one.f, asked.satterthwaite.F, { quantity: "F", rel: 1e-7, why: optimum });
        agrees(one.df2, asked.satterthwaite.df2, { quantity: "df2", rel: 1e-6, why: optimum });
        agrees(two.f, asked.kenward_roger.F_scaled, { quantity: "KR F", rel: 1e-7, why: optimum });
        agrees(two.df2, asked.kenward_roger.df2, { quantity: "KR df2", rel: 1e-6, why: optimum });
      });
    }

    it("first-order autocorrelation, as nlme's gls has it", () => {
      const fit = fitted({ covariance: "ar1" });
      const { rho, sigma, logLik_REML, fixed, se } = computed.ar1!.value;
      const why = "nlme's optimiser stops at a relative change of 1e-6 of its parameters";
      agrees(fit.errors.correlation[0]![1]!, rho, { quantity: "rho", rel: 1e-8, why });
      agrees(fit.errors.correlation[0]![2]!, rho ** 2, {
        quantity: "two visits apart",
        rel: 1e-8,
        why,
      });
      agrees(fit.errors.sd[0]!, sigma, { quantity: "sigma", rel: 1e-8, why });
      agrees(fit.logLikelihood, logLik_REML, { quantity: "logLik", rel: 1e-9, why });
      for (const name of Object.keys(fixed)) {
        const ours = fit.fixed[names(other)[name as "arm"]]!;
        agrees(ours.value, fixed[name], { quantity: name, rel: 1e-8, why });
        agrees(ours.se!, se[name], { quantity: `se ${name}`, rel: 1e-8, why });
      }
    });

    it("maximum likelihood, with and without the arms", () => {
      const { logLik_full, logLik_null } = computed.constrained_likelihood_ratio_ML!.value;
      const { arm: _, ...withoutArm } = columns;
      const full = fitted({ method: "ML" });
      const none = fitVisits(withoutArm, { baseline: 1, method: "ML" });
      agrees(full.logLikelihood, logLik_full, { quantity: "with arms", rel: 1e-9, why: optimum });
      agrees(none.logLikelihood, logLik_null, {
        quantity: "without arms",
        rel: 1e-9,
        why: optimum,
      });
    });
  });
}

function agreesEstimate(
  ours: Estimate,
  theirs: Record<"value" | "se" | "df" | "statistic" | "p", number>,
) {
  for (const [quantity, expected] of Object.entries(theirs)) {
    const rel = quantity === "p" ? 1e-5 : 1e-7;
    agrees(ours[quantity as "value"]!, expected, { quantity, rel, why: optimum });
  }
}

/** Invented rows: people with a level of their own, visits 0, 6 and 12, some missing. */
function study(people: number, seed: number) {
  const stream = randomStream(seed, "visits");
  const rows = {
    subject: [] as string[],
    visit: [] as number[],
    arm: [] as string[],
    y: [] as number[],
  };
  const age: number[] = [];
  for (let i = 0; i < people; i++) {
    const level = 40 + 6 * stream.normal();
    const years = 20 + Math.floor(50 * stream.uniform());
    for (const visit of [0, 6, 12]) {
      const noise = 2 * stream.normal();
      if (stream.uniform() < 0.15) continue;
      rows.subject.push(`G${i}`);
      rows.visit.push(visit);
      rows.arm.push(i % 2 ? "grip" : "control");
      rows.y.push(level + (i % 2) * visit * 0.2 - years / 10 + noise);
      age.push(years);
    }
  }
  return { ...rows, age };
}

const close = (rel: number) => ({ rel, why: "the same model in other words" });

describe("a fit by visits is what simpler analyses say where they apply", () => {
  const before = [41, 38, 29, 52, 33, 47, 36, 44];
  const after = [43, 39.5, 30, 55, 34, 48, 39, 45.5];
  const ids = before.map((_, i) => i + 1);
  const rows = {
    subject: [...ids, ...ids],
    visit: [...before.map(() => "w0"), ...after.map(() => "w6")],
    y: [...before, ...after],
  };

  it("one arm, two visits, all seen: the paired t test", () => {
    const { change } = pairedChange(before, after);
    for (const df of ["satterthwaite", "kenward-roger"] as const) {
      const ours = fitVisits(rows, { df }).changes.w6!.all!;
      agrees(ours.value, change.value, { quantity: "change", ...close(1e-10) });
      agrees(ours.se!, change.se!, { quantity: "se", ...close(1e-9) });
      agrees(ours.df!, change.df!, { quantity: "df", ...close(1e-8) });
      agrees(ours.interval!.low, change.interval!.low, { quantity: "low", ...close(1e-8) });
    }
  });

  it("two arms, two visits, free baselines: the t test of the changes", () => {
    const arm = ids.map((i) => (i % 2 ? "grip" : "control"));
    const changes = (name: string) =>
      after.map((x, i) => x - before[i]!).filter((_, i) => arm[i] === name);
    const { difference } = compareGroups(changes("grip"), changes("control"), {
      variances: "equal",
    });
    const fit = fitVisits({ ...rows, arm: [...arm, ...arm] }, { constrainBaseline: false });
    const ours = fit.fixed["arm:grip × visit:w6"]!;
    agrees(ours.value, difference.value, { quantity: "difference", ...close(1e-9) });
    agrees(ours.se!, difference.se!, { quantity: "se", ...close(1e-9) });
    agrees(ours.df!, difference.df!, { quantity: "df", ...close(1e-8) });
    expect(fit.seen).toEqual({ w0: { control: 4, grip: 4 }, w6: { control: 4, grip: 4 } });
  });
});

describe("a fit by visits", () => {
  const flat = (fit: VisitsFit) => [
    ...Object.values(fit.fixed).flatMap(({ value, se, df }) => [value, se!, df!]),
    ...Object.values(fit.differences).flatMap((one) => Object.values(one).map(({ p }) => p!)),
    ...fit.errors.sd,
    ...fit.errors.correlation.flat(),
    fit.logLikelihood,
  ];

  it("does not depend on the order of the rows", () => {
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 50 }), (seed) => {
        const { age, ...rows } = study(20, seed);
        const order = rows.y.map((_, i) => (i * 7919) % rows.y.length);
        fc.pre(new Set(order).size === order.length);
        const turned = <T>(column: ArrayLike<T>) => order.map((i) => column[i]!);
        const moved = {
          ...{ subject: turned(rows.subject), visit: turned(rows.visit), arm: turned(rows.arm) },
          ...{ y: turned(rows.y), terms: { age: turned(age) } },
        };
        const [one, other] = [fitVisits({ ...rows, terms: { age } }), fitVisits(moved)];
        flat(one).forEach((value, i) => {
          expect(flat(other)[i]).toBeCloseTo(value, 6);
        });
        const [fitted, residuals] = [turned(one.fitted), turned(one.residuals)];
        fitted.forEach((value, i) => {
          expect(other.fitted[i]).toBeCloseTo(value, 6);
          expect(other.residuals[i]).toBeCloseTo(residuals[i]!, 6);
          expect(fitted[i]! + residuals[i]!).toBeCloseTo(moved.y[i]!, 9);
        });
      }),
      { seed: 5, numRuns: 8 },
    );
  });

  it("moves with the unit of the outcome", () => {
    for (const covariance of ["unstructured", "ar1", "compound"] as const) {
      const { age: _, ...rows } = study(24, 3);
      const one = fitVisits(rows, { covariance });
      const other = fitVisits(
        { ...rows, y: Array.from(rows.y, (y) => 500 + 9.80665 * y) },
        { covariance },
      );
      const [a, b] = [one.differences["12"]!.grip!, other.differences["12"]!.grip!];
      agrees(b.value, 9.80665 * a.value, { quantity: "value", ...close(1e-7) });
      agrees(b.se!, 9.80665 * a.se!, { quantity: "se", ...close(1e-7) });
      agrees(b.df!, a.df!, { quantity: "df", ...close(1e-6) });
      agrees(b.p!, a.p!, { quantity: "p", ...close(1e-5) });
    }
  });

  it("adjusts for covariates: whole groups and single people give one likelihood", () => {
    const { age, ...rows } = study(30, 4);
    const sex = Array.from(rows.subject, (label) => (Number(label.slice(1)) % 3 ? "m" : "f"));
    const numeric = fitVisits({
      ...rows,
      terms: { man: sex.map((s) => (s === "m" ? 1 : 0)), age },
    });
    const labelled = fitVisits({ ...rows, terms: { sex, age } });
    agrees(labelled.logLikelihood, numeric.logLikelihood, { quantity: "logLik", ...close(1e-10) });
    agrees(labelled.fixed["sex:m"]!.value, numeric.fixed.man!.value, {
      quantity: "sex",
      ...close(1e-7),
    });
    agrees(labelled.differences["12"]!.grip!.se!, numeric.differences["12"]!.grip!.se!, {
      ...{ quantity: "se", ...close(1e-8) },
    });
    expect(labelled.fixed.age!.value).toBeLessThan(0);
  });

  it("uses people who came only once, and people who left", () => {
    const { age: _, ...rows } = study(26, 6);
    const fit = fitVisits(rows);
    expect(fit.n).toBe(rows.y.length);
    expect(fit.subjects).toBe(new Set(rows.subject).size);
    const complete = new Set(
      rows.subject.filter((s) => rows.subject.filter((other) => other === s).length === 3),
    );
    expect(fit.subjects).toBeGreaterThan(complete.size);
    const fitShape: VarianceFit = fit;
    expect(fitShape.covariance.names).toEqual(Object.keys(fit.fixed));
  });

  it("is taken by contrast and jointTest", () => {
    const { age: _, ...rows } = study(26, 9);
    const fit = fitVisits(rows, { df: "kenward-roger" });
    const name = "arm:grip × visit:12";
    const one = contrast(fit, { [name]: 1 }, { df: "kenward-roger" });
    const { value, se, df } = fit.differences["12"]!.grip!;
    agrees(one.value, value, { quantity: "value", ...close(1e-12) });
    agrees(one.se!, se!, { quantity: "se", ...close(1e-12) });
    agrees(one.df!, df!, { quantity: "df", ...close(1e-9) });
    const both = jointTest(fit, ["arm × visit"], { df: "kenward-roger" });
    expect(both.tested).toEqual(["arm:grip × visit:6", name]);
    expect(both.df1).toBe(2);
  });

  it("says when the errors lie on an edge", () => {
    // Nobody has all three visits, and the three correlations that pairs show cannot be together.
    const pairs = [
      { visits: [1, 2], r: 1 },
      { visits: [1, 3], r: 1 },
      { visits: [2, 3], r: -1 },
    ];
    const rows = { subject: [] as string[], visit: [] as number[], y: [] as number[] };
    const stream = randomStream(1, "edge");
    for (const { visits, r } of pairs) {
      for (let i = 0; i < 12; i++) {
        const u = stream.normal();
        visits.forEach((visit, k) => {
          rows.subject.push(`${visits}/${i}`);
          rows.visit.push(visit);
          rows.y.push(30 + (k === 1 ? r : 1) * 5 * u + stream.normal());
        });
      }
    }
    const fit = fitVisits(rows);
    expect(fit.singular).toBe(true);
    expect(fit.warnings.join(" ")).toMatch(/singular fit/);
    expect(fitVisits(rows, { covariance: "compound" }).singular).toBe(false);
  });

  it("refuses what it cannot use, and says what to do", () => {
    const { age, ...rows } = study(20, 7);
    const wrong = (change: Partial<VisitColumns>, options: VisitOptions = {}) =>
      expect(() => fitVisits({ ...rows, ...change }, options));
    wrong({ y: [1, 2] }).toThrow(InputError);
    wrong({}, { baseline: "w0" }).toThrow(/baseline: expected one of "0", "6", "12"/);
    wrong({}, { reference: "none" }).toThrow(/"control", "grip"/);
    wrong({}, { covariance: "toeplitz" as "ar1" }).toThrow(/"compound"/);
    wrong({}, { structure: "ar1" } as VisitOptions).toThrow(/options/);
    wrong({}, { method: "ML", df: "kenward-roger" }).toThrow(/REML/);
    wrong({ visit: rows.y.map(() => 1) }).toThrow(/one row per subject and visit/);
    wrong({ arm: Array.from(rows.y, (_, i) => `arm ${i % 2}`) }).toThrow(/one arm per subject/);
    wrong({ terms: { one: Array.from(rows.y, () => 1) } }).toThrow(/adds nothing/);
    wrong({ y: Array.from(rows.visit, Number) }).toThrow(/without error/);
    const few = study(4, 8);
    expect(() => fitVisits(few)).toThrow(/"compound"|"ar1"/);
    expect(age.length).toBe(rows.y.length);
  });
});
