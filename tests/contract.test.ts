import { describe, expect, it } from "vitest";
import * as tautline from "./public-names.js";

const before = [41.2, 38.4, 29.5, 52.1, 33.3, 47.8, 36.9, 44.4, 30.2, 39.7];
const after = [43.0, 39.9, 30.1, 55.0, 34.8, 48.1, 38.8, 45.2, 32.9, 41.5];
const arm = ["t", "c", "t", "c", "t", "c", "t", "c", "t", "c"];
const person = [...before.keys()].flatMap((i) => [`G${i}`, `G${i}`, `G${i}`]);
const x = person.map((_, i) => i % 3);
const y = person.map(
  (_, i) => before[Math.floor(i / 3)]! + (i % 3) * (1 + (i % 7) / 10) + (i % 5) / 5,
);
const table = before.map((value, i) => [value, after[i]!, (value + after[i]!) / 2 + (i % 3) / 4]);

const line = tautline.fitLine({ x: before, y: after });
const fit = tautline.fitMixed({ subject: person, y, terms: { x } }, { slope: "x" });
const components = tautline.fitVarianceComponents({ y, groups: { person } });
const byArm = tautline.fitLinear({ y: after, terms: { before, arm } });
const effects = { estimate: [2.1, 1.2, 3.0, 0.4], se: [0.8, 0.6, 1.1, 0.5] };

/** Every public name of the contract, called once, and the fields its result must have. */
const results: Record<string, [value: unknown, fields: string[]]> = {
  describe: [
    tautline.describe(before),
    ["n", "mean", "sd", "se", "median", "q1", "q3", "min", "max", "mad", "cvPercent"],
  ],
  normality: [tautline.normality(before), ["w", "p", "n"]],
  pairedChange: [
    tautline.pairedChange(before, after),
    [
      "n",
      "before",
      "after",
      "change",
      "percent",
      "sdChange",
      "dz",
      "dAv",
      "hedgesGAv",
      "correlation",
    ],
  ],
  signedRank: [tautline.signedRank(before, after), ["statistic", "p", "exact", "pseudoMedian"]],
  signFlip: [tautline.signFlip(before, after), ["statistic", "p", "exact"]],
  compareGroups: [tautline.compareGroups(before, after), ["difference", "hedgesG"]],
  adjustForBaseline: [
    tautline.adjustForBaseline({ before, after, group: arm, reference: "c" }),
    ["difference", "differences", "slope"],
  ],
  bootstrap: [
    tautline.bootstrap([before], ([v]) => v!.reduce((a, b) => a + b) / v!.length, {
      resamples: 200,
      seed: 1,
    }),
    ["estimate", "bias", "z0", "acceleration", "replicates"],
  ],
  fitLine: [
    line,
    [
      "n",
      "df",
      "intercept",
      "slope",
      "residualSd",
      "rSquared",
      "residuals",
      "leverage",
      "cooksDistance",
      "covariance",
      "fitted",
    ],
  ],
  predictLine: [tautline.predictLine(line, [35])[0], ["x", "y", "mean", "single"]],
  fitLinear: [
    tautline.fitLinear({ y: after, terms: { before } }),
    ["n", "df", "coefficients", "residualSd", "rSquared", "f", "covariance", "fitted", "residuals"],
  ],
  fitDeming: [
    tautline.fitDeming({ x: before, y: after }),
    ["intercept", "slope", "covariance", "fitted", "residuals"],
  ],
  contrast: [
    tautline.contrast(fit, { x: 1 }, { df: "kenward-roger" }),
    ["value", "se", "df", "statistic", "p", "interval"],
  ],
  jointTest: [tautline.jointTest(fit, ["x"]), ["f", "df1", "df2", "p", "method"]],
  adjustedMeans: [tautline.adjustedMeans(byArm, "arm"), ["c", "t"]],
  pairwise: [tautline.pairwise(byArm, "arm")[0], ["first", "second", "difference"]],
  compareFits: [
    tautline.compareFits(tautline.fitMixed({ subject: person, y, terms: { x } }), fit),
    ["statistic", "df", "p"],
  ],
  profileMixed: [tautline.profileMixed(fit), ["fixed", "random", "residualSd"]],
  correlation: [tautline.correlation(before, after), ["value", "interval", "p"]],
  repeatedMeasuresCorrelation: [
    tautline.repeatedMeasuresCorrelation(person, x, y),
    ["value", "df", "interval", "p"],
  ],
  subjectSlopes: [
    tautline.subjectSlopes(person, x, y),
    ["subjects", "slope", "intercept", "setAside"],
  ],
  fitMixed: [
    fit,
    [
      "n",
      "subjects",
      "fixed",
      "random",
      "residualSd",
      "logLikelihood",
      "criterion",
      "perSubject",
      "singular",
      "converged",
    ],
  ],
  fitVisits: [
    tautline.fitVisits({ subject: person, visit: x, y }),
    [
      "n",
      "subjects",
      "visits",
      "fixed",
      "covariance",
      "differences",
      "means",
      "errors",
      "logLikelihood",
      "criterion",
      "fitted",
      "residuals",
    ],
  ],
  shiftDropouts: [
    tautline.shiftDropouts(tautline.fitVisits({ subject: person, visit: x, y }), { shift: -1 }),
    ["visit", "shift", "missing", "means", "differences", "tippingShift"],
  ],
  fitVarianceComponents: [
    components,
    ["fixed", "components", "covariance", "logLikelihood", "criterion", "fitted", "residuals"],
  ],
  generalisability: [
    tautline.generalisability(components, { person: "person", trials: { trial: 2 } }),
    ["g", "phi", "typicalErrorRelative", "typicalErrorAbsolute"],
  ],
  icc: [
    tautline.icc(table),
    ["ICC(1,1)", "ICC(2,1)", "ICC(3,1)", "ICC(1,k)", "ICC(2,k)", "ICC(3,k)"],
  ],
  reliability: [
    tautline.reliability(table),
    [
      "n",
      "trials",
      "typicalError",
      "semAgreement",
      "mdc90",
      "mdc95",
      "cvPercent",
      "meanShift",
      "icc",
    ],
  ],
  agreement: [
    tautline.agreement(before, after),
    ["bias", "lower", "upper", "sdDifference", "proportional"],
  ],
  individualResponse: [
    tautline.individualResponse([2, 4, 1, 6], [0, 1, -1, 1]),
    ["variance", "sd"],
  ],
  pool: [
    tautline.pool(effects, { method: "REML", hartungKnapp: true }),
    ["estimate", "tau2", "i2", "q", "prediction", "weights"],
  ],
  poolCorrelations: [
    tautline.poolCorrelations({ r: [0.54, 0.65, 0.4], n: [16, 15, 30] }, { method: "REML" }),
    ["estimate", "tau2", "i2", "q", "weights"],
  ],
  planPaired: [tautline.planPaired({ difference: 2, sdChange: 2, power: 0.8 }), ["n", "power"]],
  planTwoGroups: [
    tautline.planTwoGroups({ difference: 2, sd: 2, power: 0.8 }),
    ["n1", "n2", "power"],
  ],
  planPrecision: [tautline.planPrecision({ halfWidth: 1, sdChange: 2 }), ["n"]],
  clubPull: [tautline.clubPull({ speedMps: 44.704 }), ["forceN", "headN", "radiusM", "working"]],
  holdDemand: [tautline.holdDemand({ pullN: 343, friction: [0.5, 1.7] }), ["low", "high"]],
  normPercentile: [
    tautline.normPercentile({ sex: "male", ageYears: 32, gripKgf: 48 }, { table: "tomkinson2025" }),
    ["percentile", "band", "source"],
  ],
  openStudy: [
    tautline.openStudy("winter-block"),
    [
      "name",
      "plan",
      "participants",
      "gripTrials",
      "swingTrials",
      "trainingLog",
      "issues",
      "setAside",
    ],
  ],
};

function frozenThrough(value: unknown): boolean {
  if (value === null || typeof value !== "object" || ArrayBuffer.isView(value)) return true;
  return Object.isFrozen(value) && Object.values(value).every(frozenThrough);
}

describe("the contract of public names", () => {
  for (const [name, [value, fields]] of Object.entries(results)) {
    it(`${name} returns its fields`, () => {
      for (const field of fields) expect(value, `${name}: ${field}`).toHaveProperty([field]);
    });
    // A study holds tables, which are not JSON.
    if (name !== "openStudy") {
      it(`${name} returns a frozen record that survives JSON`, () => {
        expect(frozenThrough(value)).toBe(true);
        expect(JSON.parse(JSON.stringify(value))).toEqual(value);
      });
    }
  }

  it("every record has a kind", () => {
    const plain = ["correlation", "repeatedMeasuresCorrelation", "predictLine"];
    plain.push("contrast", "adjustedMeans", "pairwise");
    const without = Object.entries(results)
      .filter(([name]) => !plain.includes(name))
      .filter(([, [value]]) => typeof (value as { kind?: unknown }).kind !== "string");
    expect(without.map(([name]) => name)).toEqual([]);
  });

  it("numbers, lists and rates come back as the contract says", () => {
    expect(tautline.quantile(before, 0.25, { definition: 6 })).toBeTypeOf("number");
    expect(tautline.adjustP([0.01, 0.04, 0.03], "holm")).toEqual([0.03, 0.06, 0.06]);
    expect(tautline.powerPaired({ n: 16, difference: 1, sdChange: 1.3 })).toBeGreaterThan(0.5);
    expect(tautline.convert(45, "kgf", "N")).toBe(441.29925);
    expect(
      tautline.responders([3, -4, 0.2], { typicalError: 1 }).map((one) => one.verdict),
    ).toEqual(["up", "down", "within error"]);
    for (const distribution of [
      tautline.normal(),
      tautline.studentT(7),
      tautline.fisherF(2, 9),
      tautline.chiSquared(3),
      tautline.noncentralT(9, 1),
    ]) {
      expect(distribution.cdf(0.7) + distribution.upper(0.7)).toBeCloseTo(1, 12);
      expect(distribution.cdf(distribution.quantile(0.3))).toBeCloseTo(0.3, 10);
    }
  });

  it("smallestWorthwhile and bootstrapMixed show their working", () => {
    expect(tautline.smallestWorthwhile(before)).toMatchObject({ kind: expect.any(String) });
    const drawn = tautline.bootstrapMixed(fit, { resamples: 20, seed: 1 });
    expect(JSON.parse(JSON.stringify(drawn))).toEqual(drawn);
  });
});
