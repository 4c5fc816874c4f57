/** Mixed models on the sleepstudy data against lme4 and statsmodels. */
import { readFileSync } from "node:fs";
import { bootstrapMixed, fitMixed } from "tautline/stats";
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
];
