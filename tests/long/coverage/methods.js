/**
 * Every interval and test of the table. `run` draws one study and says whether the interval holds
 * the truth (coverage) or the test rejects a true null hypothesis (type I error); it may throw an
 * InputError where the function refuses such data, which is counted.
 *
 * `planned` marks the analyses that a study's plan may name as primary: they must hold 94 to 97 % at
 * n = 9 to 24 but for the exceptions listed in exceptions.js. `share` is the part of the replicates
 * that a dear method gets.
 */
import {
  adjustForBaseline,
  agreement,
  allometricExponent,
  bootstrap,
  bootstrapMixed,
  compareGroups,
  compareRanks,
  contrast,
  correlation,
  equivalence,
  fitDeming,
  fitLine,
  fitLinear,
  fitMixed,
  fitPassingBablok,
  fitRobust,
  fitSpline,
  fitVarianceComponents,
  fitVisits,
  icc,
  individualResponse,
  pairedChange,
  permuteAdjusted,
  permuteDifference,
  pool,
  poolBayes,
  poolNested,
  poolRegression,
  predictLine,
  predictSpline,
  quantileLine,
  reliability,
  repeatedMeasuresCorrelation,
  responders,
  signedRank,
  signFlip,
  subjectSlopes,
  theilSen,
} from "tautline/stats";
import {
  arms,
  line,
  nestedStudies,
  noise,
  pairs,
  related,
  repeated,
  studies,
  trialTable,
  twoGroups,
  visits,
} from "./draws.js";

/** Nothing where a function gives no interval or p, which is counted as a refusal. */
const holds = (interval, truth) => interval && interval.low <= truth && truth <= interval.high;
const rejects = (p) => (p === undefined ? undefined : p <= 0.05);
const mean = ([x]) => {
  let sum = 0;
  for (let i = 0; i < x.length; i++) sum += x[i];
  return sum / x.length;
};
/** Changes under a null hypothesis, or with a true mean of 2. */
const changesOf = ({ before, after }) => after.map((value, i) => value - before[i]);

const independent = ["normal", "t5", "skewed", "unequal spread"];
const withLoss = [...independent, "missing at random"];
const withOrder = [...independent, "serial"];
const all = [...independent, "serial", "missing at random"];

const coverage = (name, what, settings, run) => ({
  name,
  what,
  kind: "coverage",
  ...settings,
  run,
});
const size = (name, what, settings, run) => ({
  name,
  what,
  kind: "type I error",
  ...settings,
  run,
});

const paired = [
  coverage("pairedChange", "mean change, t", { on: withLoss, planned: true }, (s, n, c) => {
    const { before, after } = pairs(s, n, c);
    return holds(pairedChange(before, after).change.interval, 2);
  }),
  coverage("pairedChange", "change in SDs, dz", { on: ["normal", "t5"] }, (s, n, c) => {
    const { before, after } = pairs(s, n, c);
    return holds(pairedChange(before, after).dzInterval, 2 / Math.sqrt(8));
  }),
  coverage("signedRank", "pseudo-median", { on: ["normal", "t5", "unequal spread"] }, (s, n, c) => {
    const { before, after } = pairs(s, n, c);
    return holds(signedRank(before, after).pseudoMedian.interval, 2);
  }),
  size("signedRank", "test", { on: ["normal", "t5", "unequal spread"] }, (s, n, c) => {
    const { before, after } = pairs(s, n, c, { change: 0 });
    return rejects(signedRank(before, after).p);
  }),
  size("signFlip", "test", { on: independent, share: 0.5 }, (s, n, c) => {
    const { before, after } = pairs(s, n, c, { change: 0 });
    return rejects(signFlip(before, after, { resamples: 1999, seed: s.uint32() }).p);
  }),
  ...["bca", "percentile", "studentized"].map((method) =>
    coverage("bootstrap", `mean, ${method}`, { on: independent, share: 0.5 }, (s, n, c) => {
      const changes = changesOf(pairs(s, n, c));
      const options = { method, resamples: 1000, seed: s.uint32() };
      if (method === "studentized") options.se = ([x]) => standardError(x);
      return holds(bootstrap([changes], mean, options).estimate.interval, 2);
    }),
  ),
];

function standardError(x) {
  const middle = mean([x]);
  let squares = 0;
  for (let i = 0; i < x.length; i++) squares += (x[i] - middle) ** 2;
  return Math.sqrt(squares / (x.length - 1) / x.length);
}

const groups = [
  ...["unequal", "equal"].map((variances) =>
    coverage(
      "compareGroups",
      `difference, ${variances} variances`,
      { on: independent, planned: variances === "unequal" },
      (s, n, c) => {
        const { a, b } = twoGroups(s, n, c);
        return holds(compareGroups(a, b, { variances }).difference.interval, 3);
      },
    ),
  ),
  coverage("compareRanks", "shift", { on: ["normal", "t5", "skewed"], share: 0.25 }, (s, n, c) => {
    const { a, b } = twoGroups(s, n, c);
    return holds(compareRanks(a, b).shift.interval, 3);
  }),
  size("compareRanks", "test", { on: independent, share: 0.25 }, (s, n, c) => {
    const { a, b } = twoGroups(s, n, c, { difference: 0 });
    return rejects(compareRanks(a, b).p);
  }),
  size("permuteDifference", "test", { on: independent, share: 0.25 }, (s, n, c) => {
    const { a, b } = twoGroups(s, n, c, { difference: 0 });
    return rejects(permuteDifference(a, b, { resamples: 999, seed: s.uint32() }).p);
  }),
  coverage("adjustForBaseline", "difference", { on: withLoss, planned: true }, (s, n, c) =>
    holds(adjustForBaseline(arms(s, n, c)).difference.interval, 2),
  ),
  size("permuteAdjusted", "test", { on: withLoss, share: 0.25 }, (s, n, c) =>
    rejects(permuteAdjusted(arms(s, n, c, { effect: 0 }), { resamples: 999, seed: s.uint32() }).p),
  ),
];

const repeatedVisits = [
  ...["satterthwaite", "kenward-roger"].map((df) =>
    coverage(
      "fitVisits",
      `difference at the last visit, unstructured, ${df}`,
      df === "kenward-roger" ? { on: all, planned: true, share: 0.5 } : { on: all, share: 0.25 },
      (s, n, c) => holds(fitVisits(visits(s, n, c), { df }).differences["2"].grip.interval, 2),
    ),
  ),
  coverage(
    "fitVisits",
    "difference at the last visit, compound, kenward-roger",
    { on: all, share: 0.25 },
    (s, n, c) => {
      const options = { df: "kenward-roger", covariance: "compound" };
      return holds(fitVisits(visits(s, n, c), options).differences["2"].grip.interval, 2);
    },
  ),
  coverage(
    "compareGroups",
    "change to the last visit, complete cases of fitVisits' studies",
    { on: all, share: 0.5 },
    (s, n, c) => {
      const { a, b } = completeChanges(visits(s, n, c));
      return holds(compareGroups(a, b).difference.interval, 2);
    },
  ),
];

function completeChanges({ subject, visit, arm, y }) {
  const first = new Map();
  const changes = { a: [], b: [] };
  subject.forEach((label, row) => {
    if (visit[row] === 0) first.set(label, y[row]);
    if (visit[row] === 2) changes[arm[row] === "grip" ? "a" : "b"].push(y[row] - first.get(label));
  });
  return changes;
}

const lines = [
  ...["ordinary", "HC3"].map((standardErrors) =>
    coverage(
      "fitLine",
      `slope, ${standardErrors}`,
      { on: withOrder, planned: standardErrors === "ordinary" },
      (s, n, c) => holds(fitLine(line(s, n, c), { standardErrors }).slope.interval, 0.5),
    ),
  ),
  coverage(
    "predictLine",
    "one new value at x = 5",
    { on: ["normal", "t5", "skewed"] },
    (s, n, c) => {
      const [at] = predictLine(fitLine(line(s, n, c)), [5]);
      return holds(at.single, 3.5 + 2 * noise(s, c));
    },
  ),
  coverage("fitDeming", "slope", { on: ["normal", "t5", "skewed"] }, (s, n, c) => {
    const truth = Array.from({ length: n }, () => 45 + 8 * s.normal());
    const x = truth.map((value) => value + 2 * noise(s, c));
    const y = truth.map((value) => value + 2 * noise(s, c));
    return holds(fitDeming({ x, y }).slope.interval, 1);
  }),
  ...[
    ["fitRobust", (columns) => fitRobust(columns).slope],
    ["theilSen", (columns) => theilSen(columns).slope],
    ["quantileLine", (columns) => quantileLine(columns, { q: 0.5 }).slope],
  ].map(([name, lineOf]) =>
    coverage(name, "slope", { on: ["normal", "t5", "skewed"], share: 0.5 }, (s, n, c) =>
      holds(lineOf(line(s, n, c)).interval, 0.5),
    ),
  ),
  coverage("fitPassingBablok", "slope", { on: ["normal", "t5"], share: 0.5 }, (s, n, c) => {
    const truth = Array.from({ length: n }, () => 45 + 8 * s.normal());
    const x = truth.map((value) => value + 2 * noise(s, c));
    const y = truth.map((value) => value + 2 * noise(s, c));
    return holds(fitPassingBablok({ x, y }).slope.interval, 1);
  }),
  coverage("allometricExponent", "exponent", { on: ["normal", "t5", "skewed"] }, (s, n, c) => {
    const mass = Array.from({ length: n }, () => 60 + 40 * s.uniform());
    const y = mass.map((m) => 2 * m ** 0.67 * Math.exp(0.1 * noise(s, c)));
    return holds(allometricExponent({ mass, y }).exponent.interval, 0.67);
  }),
];

const dependence = [
  ...["CR1", "CR2"].map((standardErrors) =>
    coverage(
      "fitLinear",
      `slope of repeated rows, ${standardErrors} by golfer`,
      { on: all, share: 0.5 },
      (s, n, c) => {
        const { subject, x, y } = repeated(s, n, c);
        const options = { standardErrors, clusters: subject };
        return holds(fitLinear({ y, terms: { x } }, options).coefficients.x.interval, 0.5);
      },
    ),
  ),
  coverage(
    "fitLine",
    "slope of repeated rows, taken as independent",
    { on: ["normal", "serial"] },
    (s, n, c) => {
      const { x, y } = repeated(s, n, c);
      return holds(fitLine({ x, y }).slope.interval, 0.5);
    },
  ),
  coverage("subjectSlopes", "mean slope", { on: all, planned: true }, (s, n, c) => {
    const { subject, x, y } = repeated(s, n, c);
    return holds(subjectSlopes(subject, x, y).slope.interval, 0.5);
  }),
  coverage(
    "fitMixed",
    "slope, random slope, satterthwaite",
    { on: all, share: 0.25 },
    (s, n, c) => {
      const { subject, x, y } = repeated(s, n, c);
      return holds(fitMixed({ subject, y, terms: { x } }, { slope: "x" }).fixed.x.interval, 0.5);
    },
  ),
  coverage(
    "contrast",
    "slope of fitMixed, random slope, kenward-roger",
    { on: ["normal", "unequal spread", "missing at random"], share: 0.25 },
    (s, n, c) => {
      const { subject, x, y } = repeated(s, n, c);
      const fit = fitMixed({ subject, y, terms: { x } }, { slope: "x" });
      return holds(contrast(fit, { x: 1 }, { df: "kenward-roger" }).interval, 0.5);
    },
  ),
  coverage("fitMixed", "slope, random intercept only", { on: all, share: 0.25 }, (s, n, c) => {
    const { subject, x, y } = repeated(s, n, c);
    return holds(fitMixed({ subject, y, terms: { x } }).fixed.x.interval, 0.5);
  }),
  size("repeatedMeasuresCorrelation", "test", { on: all }, (s, n, c) => {
    const { subject, x, y } = repeated(s, n, c, { slope: 0, slopeSd: 0 });
    return rejects(repeatedMeasuresCorrelation(subject, x, y).p);
  }),
];

const association = [
  coverage("correlation", "Pearson, ρ = 0.5", { on: ["normal"] }, (s, n, c) => {
    const { x, y } = related(s, n, c, 0.5);
    return holds(correlation(x, y).interval, 0.5);
  }),
  ...["pearson", "spearman"].map((kind) =>
    size("correlation", `test, ${kind}`, { on: independent, share: 0.5 }, (s, n, c) => {
      const { x, y } = related(s, n, c, 0);
      return rejects(correlation(x, y, { kind }).p);
    }),
  ),
];

const measurement = [
  coverage("reliability", "typical error, χ²", { on: [...independent, "serial"] }, (s, n, c) => {
    const truth = c === "serial" ? 2 * Math.sqrt(serialShare) : 2;
    return holds(reliability(trialTable(s, n, c)).typicalError.interval, truth);
  }),
  coverage("icc", "ICC(3,1)", { on: independent }, (s, n, c) =>
    holds(icc(trialTable(s, n, c))["ICC(3,1)"].interval, 64 / 68),
  ),
  coverage("agreement", "upper limit, exact", { on: ["normal", "t5", "skewed"] }, (s, n, c) => {
    const a = Array.from({ length: n }, () => 1 + 2.5 * noise(s, c));
    const b = Array.from({ length: n }, () => 0);
    return holds(agreement(a, b).upper.interval, 1 + 1.959963984540054 * 2.5);
  }),
  coverage(
    "individualResponse",
    "variance, MOVER",
    { on: ["normal", "t5", "skewed"] },
    (s, n, c) => {
      const { a, b } = twoGroups(s, n, c);
      return holds(individualResponse(a, b).variance.interval, 0);
    },
  ),
  coverage(
    "fitVarianceComponents",
    "variance between people",
    { on: independent, share: 0.25 },
    (s, n, c) => {
      const table = trialTable(s, n, c);
      const person = table.flatMap((row, i) => row.map(() => i));
      const trial = table.flatMap((row) => row.map((_, t) => `t${t}`));
      const fit = fitVarianceComponents({ y: table.flat(), terms: { trial }, groups: { person } });
      return holds(fit.components.person.interval, 64);
    },
  ),
  coverage(
    "fitVarianceComponents",
    "residual variance",
    { on: independent, share: 0.25 },
    (s, n, c) => {
      const table = trialTable(s, n, c);
      const person = table.flatMap((row, i) => row.map(() => i));
      const trial = table.flatMap((row) => row.map((_, t) => `t${t}`));
      const fit = fitVarianceComponents({ y: table.flat(), terms: { trial }, groups: { person } });
      return holds(fit.components.residual.interval, 4);
    },
  ),
];

/** Variance within people of three serial errors, as a part of their variance: 1 − mean ρ. */
const serialShare = 1 - (2 * 0.6 + 0.36) / 3;

const pooling = [
  ["modified Hartung–Knapp", { hartungKnapp: "modified" }],
  ["Hartung–Knapp", { hartungKnapp: true }],
  ["normal", { hartungKnapp: false }],
].map(([what, options]) =>
  coverage(
    "pool",
    `mean of n studies, REML, ${what}`,
    { on: ["normal", "t5", "skewed"], share: 0.5 },
    (s, n, c) => holds(pool(studies(s, n, c), { method: "REML", ...options }).estimate.interval, 1),
  ),
);

const baselineSpread = [
  coverage("adjustForBaseline", "difference, HC3", { on: withLoss, planned: true }, (s, n, c) => {
    const { difference } = adjustForBaseline(arms(s, n, c), { standardErrors: "HC3" });
    return holds(difference.interval, 2);
  }),
];

const errorSize = [
  coverage("reliability", "MDC at 95 %, χ²", { on: independent }, (s, n, c) =>
    holds(reliability(trialTable(s, n, c)).mdc95.interval, 1.959963984540054 * Math.SQRT2 * 2),
  ),
  ...[true, false].map((estimated) =>
    size(
      "responders",
      estimated ? "unchanged person, t" : "unchanged person, typical error taken as known",
      { on: independent },
      (s, n, c) => {
        const twice = trialTable(s, n, c).map((row) => row.slice(0, 2));
        const { value, df } = reliability(twice).typicalError;
        const change = 2 * (noise(s, c) - noise(s, c));
        const options = { typicalError: value, ...(estimated && { typicalErrorDf: df }) };
        return responders([change], options)[0].verdict !== "within error";
      },
    ),
  ),
  size(
    "equivalence",
    "true change at the upper bound",
    { on: independent, share: 0.5 },
    (s, n, c) => {
      const { before, after } = pairs(s, n, c);
      return rejects(equivalence(pairedChange(before, after).change, { low: -2, high: 2 }).p);
    },
  ),
];

const deeperPooling = [
  ...[
    ["modified Hartung–Knapp", "modified"],
    ["normal", false],
  ].map(([what, hartungKnapp]) =>
    coverage(
      "poolRegression",
      `slope over n studies, ${what}`,
      { on: ["normal", "t5", "skewed"], share: 0.125 },
      (s, n, c) => {
        const columns = { ...studies(s, n, c), moderators: { weeks: [] } };
        for (let i = 0; i < n; i++) columns.moderators.weeks.push(4 + 12 * s.uniform());
        return holds(poolRegression(columns, { hartungKnapp }).coefficients.weeks.interval, 0);
      },
    ),
  ),
];

const curves = [
  coverage("predictSpline", "mean at x = 5, 3 knots", { on: withOrder, share: 0.1 }, (s, n, c) => {
    const [at] = predictSpline(fitSpline(line(s, n, c), { knots: 3 }), [5]);
    return holds(at.mean, 3.5);
  }),
  size("fitSpline", "test of curvature, 3 knots", { on: withOrder, share: 0.1 }, (s, n, c) =>
    rejects(fitSpline(line(s, n, c), { knots: 3 }).nonlinear.p),
  ),
];

const refits = [
  coverage(
    "bootstrapMixed",
    "slope, random slope, 199 refits",
    { on: ["normal"], share: 0.025 },
    (s, n, c) => {
      const { subject, x, y } = repeated(s, n, c);
      const fit = fitMixed({ subject, y, terms: { x } }, { slope: "x" });
      const drawn = bootstrapMixed(fit, { resamples: 199, seed: s.uint32() });
      return holds(drawn.fixed.x.interval, 0.5);
    },
  ),
];

const otherPools = [
  coverage(
    "poolNested",
    "mean of n studies of 2 or 3 results, three levels, t",
    { on: ["normal", "t5", "skewed"], share: 0.25 },
    (s, n, c) => holds(poolNested(nestedStudies(s, n, c)).estimate.interval, 1),
  ),
  coverage(
    "poolBayes",
    "mean of n studies, flat prior; τ half-normal, scale 1",
    { on: ["normal", "skewed"], share: 0.125 },
    (s, n, c) => {
      const tau = { distribution: "half-normal", scale: 1 };
      return holds(poolBayes(studies(s, n, c), { tau }).mu.interval, 1);
    },
  ),
];

export const methods = [
  ...paired,
  ...groups,
  ...repeatedVisits,
  ...lines,
  ...dependence,
  ...association,
  ...measurement,
  ...pooling,
  ...baselineSpread,
  ...errorSize,
  ...deeperPooling,
  ...curves,
  ...refits,
  ...otherPools,
];
