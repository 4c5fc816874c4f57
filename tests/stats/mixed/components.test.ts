import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { InputError } from "../../../lib/errors.js";
import { randomStream } from "../../../lib/num/random.js";
import {
  type ComponentColumns,
  type ComponentOptions,
  fitVarianceComponents,
  type VarianceComponentsFit,
} from "../../../lib/stats/mixed/components.js";
import {
  type GeneralisabilityDesign,
  generalisability,
} from "../../../lib/stats/mixed/generalisability.js";
import {
  kenwardRogerTest,
  satterthwaiteDf,
  satterthwaiteTest,
  type VarianceFit,
} from "../../../lib/stats/mixed/inference.js";
import { oneWayAnova } from "../../../lib/stats/variance.js";
import { agrees } from "../../reference/agree.js";
import { type ReferenceCase, referenceCase } from "../../reference/cases.js";

const optimum = "R's values by Newton steps on the likelihood; lmer agrees";

/** Values beside each other, matrices and lists judged by their largest entry. */
function agreesAll(
  ours: readonly number[],
  theirs: readonly number[],
  quantity: string,
  rel: number,
) {
  const largest = Math.max(...theirs.map(Math.abs));
  expect(ours.length).toBe(theirs.length);
  ours.forEach((value, i) => {
    const moved = [value + largest, theirs[i]! + largest] as const;
    agrees(...moved, { quantity: `${quantity} ${i}`, rel, why: optimum });
  });
}

/** The reference's columns as ours. */
function columnsOf({ id, data }: ReferenceCase): ComponentColumns {
  if (id === "Penicillin") {
    return { y: data.diameter, groups: { plate: data.plate, sample: data.sample } };
  }
  const plot = data.Variety.map((variety: string, i: number) => `${variety}:${data.Block[i]}`);
  const terms = { nitro: data.nitro, variety: data.Variety };
  return { y: data.yield, terms, groups: { block: data.Block, plot } };
}

const ourName: Record<string, string> = {
  "(Intercept)": "intercept",
  nitro: "nitro",
  VarietyMarvellous: "variety:Marvellous",
  VarietyVictory: "variety:Victory",
};
const groupOf: Record<string, string> = { variety_in_block: "plot" };

for (const id of ["Oats", "Oats_gaps", "Penicillin"]) {
  const one = referenceCase("components", id);
  const value = (name: string) => one.computed[name]!.value;
  const fits = {
    REML: fitVarianceComponents(columnsOf(one)),
    ML: fitVarianceComponents(columnsOf(one), { method: "ML" }),
  };

  describe(`${id} against R`, () => {
    for (const method of ["REML", "ML"] as const) {
      it(`${method}: variances, likelihood and fixed effects`, () => {
        const fit = fits[method];
        const variances: Record<string, number> = value(`variance_components_${method}`);
        for (const [name, expected] of Object.entries(variances)) {
          const ours = fit.components[groupOf[name] ?? name]!;
          agrees(ours.variance, expected, { quantity: name, rel: 1e-8, why: optimum });
          agrees(ours.sd, Math.sqrt(expected), { quantity: `sd ${name}`, rel: 1e-8, why: optimum });
        }
        const likelihood = { quantity: "logLik", rel: 1e-9, why: optimum };
        agrees(fit.logLikelihood, value(`logLik_${method}`), likelihood);
        const fixed: Record<string, number> = value(
          method === "ML" ? "fixed_effects_ML" : "fixed_effects",
        );
        for (const [name, expected] of Object.entries(fixed)) {
          const ours = fit.fixed[ourName[name]!]!;
          agrees(ours.value, expected, { quantity: name, rel: 1e-8, why: optimum });
        }
      });
    }

    it("AIC from the criterion and the number of parameters", () => {
      const aic = fits.ML.criterion + 2 * fits.ML.parameters;
      agrees(aic, value("AIC_ML"), { quantity: "AIC", rel: 1e-9, why: optimum });
    });

    it("precision of the variances, fitted values and conditional modes", () => {
      const fit = fits.REML;
      const { rownames, rows } = value("covariance_of_variance_components");
      expect(fit.componentCovariance!.names).toEqual(
        rownames.map((name: string) => groupOf[name] ?? name),
      );
      agreesAll(fit.componentCovariance!.matrix.flat(), rows.flat(), "covariance", 1e-7);
      agreesAll(
        fit.covariance.matrix.flat(),
        value("covariance_of_fixed_effects").rows.flat(),
        "C",
        1e-8,
      );
      agreesAll(fit.fitted, value("fitted"), "fitted", 1e-8);
      const groups = id === "Penicillin" ? ["plate", "sample"] : ["Block", "Variety_in_Block"];
      for (const name of groups) {
        const theirs = value(`conditional_modes_${name}`);
        const ours = fit.modes[{ Block: "block", Variety_in_Block: "plot" }[name] ?? name]!;
        const modes = theirs.rownames.map((label: string) => ours[label]!);
        agreesAll(modes, theirs.rows.flat(), name, 1e-7);
      }
    });

    it("contrasts and the joint test by Satterthwaite and by Kenward and Roger", () => {
      const fit: VarianceFit = fits.REML;
      const { names, matrix } = fit.covariance;
      const { satterthwaite, kenwardRoger } = fit.inference;
      const effects = Object.values(fit.fixed).map((effect) => effect.value);
      const weightsOf = (asked: { colnames: string[]; rows: number[][] }) =>
        asked.rows.map((row) =>
          Float64Array.from(
            names,
            (own) => row[asked.colnames.findIndex((c) => ourName[c] === own)]!,
          ),
        );
      const asked = value("contrasts");
      weightsOf(asked.L).forEach((weights, i) => {
        const [, se, df] = asked.satterthwaite.rows[i];
        const row = { rows: [weights], values: Float64Array.of(1) };
        const ours = satterthwaiteTest(matrix, satterthwaite!, row);
        agrees(1 / Math.sqrt(ours.f), se, { quantity: "se", rel: 1e-7, why: optimum });
        agrees(satterthwaiteDf(matrix, satterthwaite!, weights), df, {
          ...{ quantity: "df", rel: 1e-6, why: optimum },
        });
        const [, enlarged, krDf] = value("contrasts_kenward_roger").rows[i];
        const kr = kenwardRogerTest(matrix, kenwardRoger!, row);
        agrees(1 / Math.sqrt(kr.f), enlarged, { quantity: "KR se", rel: 1e-7, why: optimum });
        agrees(kr.df2, krDf, { quantity: "KR df", rel: 1e-6, why: optimum });
      });
      if (id === "Penicillin") return;
      const joint = value("joint");
      const rows = weightsOf(joint.L);
      const values = Float64Array.from(rows, (row) =>
        row.reduce((s, w, j) => s + w * effects[j]!, 0),
      );
      const one1 = satterthwaiteTest(matrix, satterthwaite!, { rows, values });
      const kr = kenwardRogerTest(matrix, kenwardRoger!, { rows, values });
      agrees(one1.f, joint.satterthwaite.F, { quantity: "F", rel: 1e-7, why: optimum });
      agrees(one1.df2, joint.satterthwaite.df2, { quantity: "df2", rel: 1e-6, why: optimum });
      agrees(kr.f, joint.kenward_roger.F_scaled, { quantity: "KR F", rel: 1e-7, why: optimum });
      agrees(kr.df2, joint.kenward_roger.df2, { quantity: "KR df2", rel: 1e-6, why: optimum });
    });
  });
}

describe("variance components", () => {
  it("complete rows: the analysis of variance of one grouping", () => {
    const person = [..."aaabbbcccdddeee"];
    const y = person.map((label, i) => 30 + 4 * (label.charCodeAt(0) % 5) + ((i * 7) % 4));
    const { between, within } = oneWayAnova(y, person);
    const { components } = fitVarianceComponents({ y, groups: { person } });
    const why = "closed form of balanced rows";
    agrees(components.residual!.variance, within.meanSquare, {
      quantity: "residual",
      rel: 1e-9,
      why,
    });
    const people = (between.meanSquare - within.meanSquare) / 3;
    agrees(components.person!.variance, people, { quantity: "people", rel: 1e-9, why });
    // The residual's variance has n − people degrees of freedom, and its exact χ² interval.
    agrees(components.residual!.df!, 10, { quantity: "df", rel: 1e-7, why });
  });

  /** Golfers, two hands each, visits; a tenth of the rows lost. */
  function rowsOf(seed: number) {
    const stream = randomStream(seed, "components");
    const rows = {
      y: [] as number[],
      person: [] as string[],
      hand: [] as string[],
      day: [] as string[],
    };
    const days = [0, 1, 2, 3].map(() => stream.normal());
    for (let i = 0; i < 9; i++) {
      const level = 6 * stream.normal();
      for (const side of ["lead", "trail"]) {
        const own = 2 * stream.normal();
        days.forEach((shift, d) => {
          const noise = stream.normal();
          if (stream.uniform() < 0.1) return;
          rows.y.push(40 + level + own + shift + noise);
          rows.person.push(`G${i}`);
          rows.hand.push(`G${i}/${side}`);
          rows.day.push(`d${d}`);
        });
      }
    }
    return rows;
  }
  const groupsOf = ({ person, hand, day }: ReturnType<typeof rowsOf>) => ({ person, hand, day });
  const close = (rel: number) => ({ rel, why: "the same model in other words" });
  const numbersOf = (fit: VarianceComponentsFit) => [
    fit.fixed.intercept!.value,
    fit.fixed.intercept!.se!,
    ...Object.values(fit.components).map(({ sd }) => sd),
  ];

  it("move with the unit and the origin of the outcome", () => {
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 99 }), (seed) => {
        const rows = rowsOf(seed);
        const one = fitVarianceComponents({ y: rows.y, groups: groupsOf(rows) });
        const y = rows.y.map((v) => 9.80665 * (v + 100));
        const other = fitVarianceComponents({ y, groups: groupsOf(rows) });
        const [mean, ...sizes] = numbersOf(one);
        const [mean2, ...sizes2] = numbersOf(other);
        agrees(mean2!, 9.80665 * (mean! + 100), { quantity: "mean", ...close(1e-8) });
        sizes.forEach((size, i) => {
          expect(sizes2[i]).toBeCloseTo(9.80665 * size, 4);
        });
      }),
      { seed: 2, numRuns: 10 },
    );
  });

  it("depend neither on the order of the rows nor on that of the groups", () => {
    const rows = rowsOf(4);
    const one = fitVarianceComponents({ y: rows.y, groups: groupsOf(rows) });
    const back = <T>(column: readonly T[]) => [...column].reverse();
    const other = fitVarianceComponents({
      y: back(rows.y),
      groups: { day: back(rows.day), person: back(rows.person), hand: back(rows.hand) },
    });
    agrees(other.logLikelihood, one.logLikelihood, { quantity: "logLik", ...close(1e-11) });
    for (const name of ["person", "hand", "day", "residual"]) {
      const expected = one.components[name]!.variance;
      agrees(other.components[name]!.variance, expected, { quantity: name, ...close(1e-7) });
    }
    expect(other.components.hand!.within).toEqual(["person"]);
    one.residuals.forEach((residual, i) => {
      expect(other.residuals[one.n - 1 - i]).toBeCloseTo(residual, 6);
    });
  });

  it("of pure noise are 0 about half the time, and said to be so", () => {
    let zero = 0;
    for (let seed = 1; seed <= 20; seed++) {
      const stream = randomStream(seed, "noise");
      const y = Array.from({ length: 24 }, () => stream.normal());
      const person = y.map((_, i) => i % 8);
      const fit = fitVarianceComponents({ y, groups: { person } });
      expect(fit.singular).toBe(fit.components.person!.variance === 0);
      if (!fit.singular) continue;
      zero++;
      expect(fit.warnings.join(" ")).toMatch(/variance of person is 0/);
      expect(fit.components.person!.interval).toBeUndefined();
      // Without people the rows are one sample.
      const mean = y.reduce((sum, v) => sum + v / y.length, 0);
      const ms = y.reduce((sum, v) => sum + (v - mean) ** 2, 0) / (y.length - 1);
      agrees(fit.components.residual!.variance, ms, { quantity: "variance", ...close(1e-8) });
      agrees(fit.fixed.intercept!.df!, 23, { quantity: "df", ...close(1e-6) });
    }
    expect(zero).toBeGreaterThan(4);
    expect(zero).toBeLessThan(18);
  });

  it("refuse what they cannot use", () => {
    const rows = rowsOf(5);
    const groups = groupsOf(rows);
    const wrong = (change: Partial<ComponentColumns>, options: ComponentOptions = {}) =>
      expect(() => fitVarianceComponents({ y: rows.y, groups, ...change }, options));
    wrong({ groups: {} }).toThrow(InputError);
    wrong({ groups: { one: rows.y.map(() => "a") } }).toThrow(/one label throughout/);
    wrong({ groups: { each: rows.y.map((_, i) => i) } }).toThrow(/the residual/);
    wrong({ groups: { residual: rows.person } }).toThrow(/another name/);
    wrong({ groups: { a: rows.person, b: rows.person.map((p) => `${p}!`) } }).toThrow(/alike/);
    wrong({ y: [1, 2, 3] }).toThrow(InputError);
    wrong({ terms: { one: rows.y.map(() => 1) } }).toThrow(/adds nothing/);
    wrong({}, { method: "REM" as "ML" }).toThrow(/"REML" or "ML"/);
    wrong({}, { levels: 0.9 } as ComponentOptions).toThrow(/level/);
    wrong({ y: rows.y.map(() => 3) }).toThrow(/without error/);
  });
});

describe("generalisability against R", () => {
  const cases: [id: string, facets: Record<string, string>][] = [
    ["ergoStool_one_facet", { n_t: "condition" }],
    ["Machines_person_day_trial", { n_d: "day", n_t: "trial" }],
    ["Machines_person_day_trial_complete", { n_d: "day", n_t: "trial" }],
  ];
  for (const [id, facets] of cases) {
    const { data, computed } = referenceCase("generalisability", id);
    const pairs = data.day?.map((day: string, i: number) => `${data.person[i]}/${day}`);
    const groups = data.day
      ? { person: data.person, day: data.day, "person:day": pairs }
      : { person: data.person, condition: data.condition };
    const fit = fitVarianceComponents({ y: data.y, groups });

    it(`${id}: components and mean`, () => {
      for (const [name, expected] of Object.entries<number>(computed.components!.value)) {
        const ours = fit.components[name.replace("_", ":")]!;
        agrees(ours.variance, expected, { quantity: name, rel: 1e-8, why: optimum });
        const share = computed.share_of_total!.value[name];
        agrees(ours.share, share, { quantity: `share of ${name}`, rel: 1e-8, why: optimum });
      }
      const { value, se } = computed.mean!.value;
      agrees(fit.fixed.intercept!.value, value, { quantity: "mean", rel: 1e-9, why: optimum });
      agrees(fit.fixed.intercept!.se!, se, { quantity: "se", rel: 1e-8, why: optimum });
      const precision = computed.covariance_of_components!.value.rows.flat();
      agreesAll(fit.componentCovariance!.matrix.flat(), precision, "covariance", 1e-7);
    });

    it(`${id}: other numbers of levels`, () => {
      const { colnames, rows } = computed.d_study!.value;
      for (const row of rows) {
        const entry = Object.fromEntries(colnames.map((name: string, i: number) => [name, row[i]]));
        const trials = Object.fromEntries(
          Object.entries(facets).map(([theirs, ours]) => [ours, entry[theirs]]),
        );
        const ours = generalisability(fit, { person: "person", trials });
        const all = {
          g: entry.G,
          phi: entry.Phi,
          typicalErrorRelative: entry.sem_relative,
          typicalErrorAbsolute: entry.sem_absolute,
        };
        for (const [quantity, expected] of Object.entries(all)) {
          agrees(ours[quantity as "g"], expected, { quantity, rel: 1e-8, why: optimum });
        }
        expect(generalisability(fit.components, { person: "person", trials })).toEqual(ours);
      }
    });
  }
});

describe("generalisability", () => {
  const sizes = {
    person: { variance: 20 },
    hand: { variance: 4, within: ["person"] },
    day: { variance: 2 },
    residual: { variance: 3 },
  };

  it("knows what is nested in a person, and divides by all levels that are averaged", () => {
    const asked = { person: "person", trials: { hand: 2, day: 2, trial: 3 } };
    const { parts, relativeVariance, absoluteVariance } = generalisability(sizes, asked);
    expect(parts).toEqual([
      { name: "hand", dividedBy: 2, relative: true },
      { name: "day", dividedBy: 2, relative: false },
      { name: "residual", dividedBy: 12, relative: true },
    ]);
    expect(relativeVariance).toBeCloseTo(4 / 2 + 3 / 12, 12);
    expect(absoluteVariance).toBeCloseTo(4 / 2 + 3 / 12 + 2 / 2, 12);
  });

  it("grows with every added level, and Φ never passes G", () => {
    const count = fc.integer({ min: 1, max: 20 });
    fc.assert(
      fc.property(count, count, count, (hand, day, trial) => {
        const at = (trials: Record<string, number>) =>
          generalisability(sizes, { person: "person", trials });
        const one = at({ hand, day, trial });
        expect(one.phi).toBeLessThanOrEqual(one.g);
        expect(at({ hand, day: day + 1, trial }).phi).toBeGreaterThan(one.phi);
        expect(at({ hand, day, trial: trial + 1 }).g).toBeGreaterThan(one.g);
      }),
      { seed: 3, numRuns: 50 },
    );
  });

  it("does not lose a golfer with one trial, where a table of complete rows does", () => {
    const y = [52, 53, 61, 60, 47, 49, 55];
    const person = ["a", "a", "b", "b", "c", "c", "d"];
    const fit = fitVarianceComponents({ y, groups: { person } });
    expect(fit.components.person!.levels).toBe(4);
    expect(fit.n).toBe(7);
  });

  it("refuses a person, a facet or a number that is not there", () => {
    const wrong = (design: GeneralisabilityDesign) => expect(() => generalisability(sizes, design));
    wrong({ person: "golfer", trials: { trial: 2 } }).toThrow(/"golfer"/);
    wrong({ person: "person", trials: { trial: 2 } }).toThrow(/levels for hand/);
    wrong({ person: "person", trials: { hand: 1.5, day: 1 } }).toThrow(/whole number/);
    wrong({ person: "person", trials: {} }).toThrow(InputError);
    const flat = { person: { variance: 0 }, residual: { variance: 1 } };
    const none = generalisability(flat, { person: "person", trials: { trial: 3 } });
    expect([none.g, none.warnings.length]).toEqual([0, 1]);
  });
});

it("variances whose covariance no double can hold are given without it", () => {
  const y = [52, 53, 61, 60, 47, 49];
  const groups = { person: ["a", "a", "b", "b", "c", "c"] };
  const plain = fitVarianceComponents({ y, groups });
  const huge = fitVarianceComponents({ y: y.map((value) => value * 2 ** 300), groups });
  expect(plain.componentCovariance).toBeDefined();
  expect(huge.componentCovariance).toBeUndefined();
  const { variance, df } = huge.components.residual!;
  expect(variance / 2 ** 600).toBeCloseTo(1, 12);
  expect(df).toBeCloseTo(plain.components.residual!.df!, 12);
});
