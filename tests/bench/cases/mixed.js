/** Mixed models on the sleepstudy data against lme4 and statsmodels. */
import { readFileSync } from "node:fs";
import {
  bootstrapMixed,
  fitMixed,
  fitVarianceComponents,
  fitVisits,
  randomStream,
} from "tautline/stats";
import { python, r } from "../peers.js";

const { data } = JSON.parse(
  readFileSync(new URL("../../reference/mixed.json", import.meta.url), "utf8"),
).cases.find((one) => one.id === "sleepstudy");
const subject = data.Subject.map(String);
const y = data.Reaction;
const days = data.Days;

const fitSleep = () => fitMixed({ subject, y, terms: { days } }, { slope: "days", method: "REML" });
const frame = `data.frame(y = c(${y}), days = c(${days}), s = factor(c(${subject})))`;

/** The same people over again, each copy moved a little so that the fit stays regular. */
function copies(times) {
  const all = { subject: [], y: [], days: [] };
  for (let copy = 0; copy < times; copy++) {
    for (let i = 0; i < y.length; i++) {
      all.subject.push(`${subject[i]}/${copy}`);
      all.y.push(y[i] + ((copy * 13 + i * 7) % 17) - 8);
      all.days.push(days[i]);
    }
  }
  return all;
}

/** Golfers of two arms at five visits, one in twenty leaving after each. */
function visitsOf(people) {
  const stream = randomStream(1, "bench visits");
  const rows = { subject: [], visit: [], arm: [], y: [] };
  for (let i = 0; i < people; i++) {
    const level = 40 + 6 * stream.normal();
    for (let visit = 0; visit < 5; visit++) {
      rows.subject.push(i);
      rows.visit.push(visit);
      rows.arm.push(i % 2 ? "grip" : "control");
      rows.y.push(level + (i % 2) * visit * 0.4 + 2 * stream.normal());
      if (stream.uniform() < 0.05) break;
    }
  }
  return rows;
}

/** Golfers, two hands each, three postures and three trials, on three days that all share. */
function trialsOf(people) {
  const stream = randomStream(1, "bench trials");
  const rows = { y: [], person: [], hand: [], day: [] };
  for (let i = 0; i < people; i++) {
    const level = 40 + 6 * stream.normal();
    for (const hand of ["lead", "trail"]) {
      const own = level + 2 * stream.normal();
      for (let trial = 0; trial < 9; trial++) {
        if (stream.uniform() < 0.1) continue;
        rows.y.push(own + (trial % 3) / 2 + stream.normal());
        rows.person.push(i);
        rows.hand.push(`${i}/${hand}`);
        rows.day.push(trial % 3);
      }
    }
  }
  return rows;
}

export default [
  {
    name: "random-slope REML, sleepstudy (180 rows, 18 people)",
    ours: () => fitSleep().residualSd,
    peers: [
      {
        name: "lme4",
        atMost: 1 / 10,
        agree: 1e-4,
        by: r({
          needs: ["lme4"],
          code: `
suppressMessages(library(lme4))
d <- ${frame}
run <- function() sigma(lmer(y ~ days + (days | s), d, REML = TRUE))
`,
        }),
      },
      {
        name: "statsmodels",
        atMost: 1 / 50,
        agree: 1e-3,
        by: python({
          needs: ["statsmodels", "pandas"],
          code: `
import warnings
import numpy as np
import statsmodels.api as sm
warnings.simplefilter("ignore")
y = np.array([${y}])
days = np.array([${days}], dtype=float)
s = np.array([${subject}])
x = np.column_stack([np.ones(len(y)), days])
def run():
    return np.sqrt(sm.MixedLM(y, x, groups=s, exog_re=x).fit(reml=True).scale)
`,
        }),
      },
    ],
  },
  {
    name: "parametric bootstrap of that model, 1000 refits",
    ours: (() => {
      let fitted;
      return () => {
        fitted ??= fitSleep();
        return bootstrapMixed(fitted, { resamples: 1000, seed: 1 }).fixed.days.se;
      };
    })(),
    peers: [
      {
        name: "lme4 bootMer",
        atMost: 1 / 20,
        share: 0.1,
        agree: 0.25,
        by: r({
          needs: ["lme4"],
          repeats: 3,
          code: `
suppressMessages(library(lme4))
d <- ${frame}
fit <- lmer(y ~ days + (days | s), d, REML = TRUE)
run <- function() sd(suppressMessages(suppressWarnings(bootMer(fit, fixef, nsim = 100)))$t[, 2])
`,
        }),
      },
    ],
  },
  {
    name: "random-slope REML by rows",
    sizes: [180, 1800, 18000],
    job: (rows) => {
      const all = copies(rows / 180);
      const input = { subject: all.subject, y: all.y, terms: { days: all.days } };
      return () => fitMixed(input, { slope: "days", method: "REML" }).residualSd;
    },
  },
  {
    name: "parametric bootstrap by refits",
    sizes: [100, 1000, 10000],
    job: (resamples) => {
      const fitted = fitSleep();
      return () => bootstrapMixed(fitted, { resamples, seed: 1 }).resamples;
    },
  },
  {
    name: "arm by visit, five visits, unstructured, by subjects",
    sizes: [26, 260, 2600],
    job: (people) => {
      const rows = visitsOf(people);
      return () => fitVisits(rows).logLikelihood;
    },
  },
  {
    name: "variance components of golfer, hand and day, by golfers",
    sizes: [26, 260, 2600],
    job: (people) => {
      const { y, person, hand, day } = trialsOf(people);
      return () => fitVarianceComponents({ y, groups: { person, hand, day } }).logLikelihood;
    },
  },
];
