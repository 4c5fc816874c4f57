/** Bootstrap intervals against scipy and the boot package of R. */
import { bootstrap } from "tautline/stats";
import { python, r } from "../peers.js";

// Invented club speeds (mph) of twenty golfers
const speeds = [
  88.4, 92.1, 95.7, 101.3, 84.9, 90.2, 97.8, 103.6, 99.1, 86.5, 93.3, 94.8, 91.7, 105.2, 89.9, 96.4,
  87.2, 98.5, 100.6, 92.9,
];

// Efron & Tibshirani (1993) An introduction to the bootstrap, table 3.1: fifteen law schools
const lsat = [576, 635, 558, 578, 666, 580, 555, 661, 651, 605, 653, 575, 545, 572, 594];
const gpa = [
  3.39, 3.3, 2.81, 3.03, 3.44, 3.07, 3.0, 3.43, 3.36, 3.13, 3.12, 2.74, 2.76, 2.88, 2.96,
];

// Invented grip forces of 24 people in weeks 0, 3 and 6, by a rule that every peer can repeat
const people = Array.from({ length: 24 }, (_, i) => i);
const subject = people.flatMap((i) => [0, 1, 2].map(() => `p${i}`));
const week = people.flatMap(() => [0, 3, 6]);
const force = people.flatMap((i) =>
  [0, 1, 2].map(
    (k) => 30 + ((i * 7) % 13) + k * (0.8 + ((i * 5) % 11) / 10) + ((i * k * 3) % 7) / 5,
  ),
);

const list = (values) => values.join(", ");

function meanOf([x]) {
  let total = 0;
  for (let i = 0; i < x.length; i++) total += x[i];
  return total / x.length;
}

function correlationOf([x, y]) {
  const n = x.length;
  let sx = 0;
  let sy = 0;
  for (let i = 0; i < n; i++) {
    sx += x[i];
    sy += y[i];
  }
  let xx = 0;
  let yy = 0;
  let xy = 0;
  for (let i = 0; i < n; i++) {
    const dx = x[i] - sx / n;
    const dy = y[i] - sy / n;
    xx += dx * dx;
    yy += dy * dy;
    xy += dx * dy;
  }
  return xy / Math.sqrt(xx * yy);
}

/** Mean over the people drawn of each one's least-squares slope; rows of a person are together. */
function meanSlopeOf([x, y], unit) {
  let slopes = 0;
  let count = 0;
  for (let from = 0; from < x.length; ) {
    let to = from;
    let sx = 0;
    let sy = 0;
    for (; to < x.length && unit[to] === unit[from]; to++) {
      sx += x[to];
      sy += y[to];
    }
    const n = to - from;
    let xx = 0;
    let xy = 0;
    for (let i = from; i < to; i++) {
      xx += (x[i] - sx / n) ** 2;
      xy += (x[i] - sx / n) * (y[i] - sy / n);
    }
    slopes += xy / xx;
    count++;
    from = to;
  }
  return slopes / count;
}

const upper = (columns, statistic, options) =>
  bootstrap(columns, statistic, { method: "bca", seed: 1, ...options }).estimate.interval.high;

const row = (length) => Float64Array.from({ length }, (_, i) => speeds[i % 20] + (i % 7));

export default [
  {
    name: "BCa of a mean, n = 20, 10 000 resamples",
    ours: () => upper([speeds], meanOf, { resamples: 10000 }),
    peers: [
      {
        name: "scipy",
        atMost: 1 / 3,
        agree: 0.005,
        by: python({
          needs: ["scipy"],
          code: `
import numpy as np
from scipy import stats
x = np.array([${list(speeds)}])
def run():
    made = stats.bootstrap((x,), np.mean, n_resamples=10000, method="BCa", vectorized=True, random_state=1)
    return made.confidence_interval.high
`,
        }),
      },
      {
        name: "R boot",
        atMost: 1 / 30,
        agree: 0.005,
        by: r({
          needs: ["boot"],
          code: `
library(boot)
x <- c(${list(speeds)})
run <- function() boot.ci(boot(x, function(d, i) mean(d[i]), R = 10000), type = "bca")$bca[5]
`,
        }),
      },
    ],
  },
  {
    name: "BCa of a statistic of one's own on two columns (law schools)",
    ours: () => upper([lsat, gpa], correlationOf, { resamples: 10000 }),
    peers: [
      {
        name: "R boot",
        atMost: 1 / 10,
        agree: 0.02,
        by: r({
          needs: ["boot"],
          code: `
library(boot)
d <- cbind(c(${list(lsat)}), c(${list(gpa)}))
run <- function() boot.ci(boot(d, function(d, i) cor(d[i, 1], d[i, 2]), R = 10000), type = "bca")$bca[5]
`,
        }),
      },
    ],
  },
  {
    name: "BCa of mean per-subject slope, whole people drawn, 24 × 3, 10 000",
    ours: () => upper([week, force], meanSlopeOf, { resamples: 10000, clusters: subject }),
    peers: [
      {
        name: "R boot + lm",
        atMost: 1 / 50,
        share: 0.01,
        agree: 0.1,
        by: r({
          needs: ["boot"],
          repeats: 3,
          code: `
library(boot)
d <- data.frame(s = rep(1:24, each = 3), x = c(${list(week)}), y = c(${list(force)}))
people <- split(d, d$s)
slopes <- function(p, i) mean(sapply(p[i], function(one) coef(lm(y ~ x, data = one))[2]))
set.seed(1)
run <- function() {
  made <- boot(people, slopes, R = 100)
  quantile(made$t, 0.975)
}
`,
        }),
      },
    ],
  },
  {
    name: "BCa of a mean, n = 20, by resamples",
    sizes: [2000, 20000, 200000],
    job: (resamples) => () => upper([speeds], meanOf, { resamples }),
  },
  {
    // the jackknife adds one evaluation a row, so rows are kept below resamples here
    name: "BCa of a mean, 10 000 resamples, by rows",
    sizes: [30, 300, 3000],
    job: (rows) => {
      const x = row(rows);
      return () => upper([x], meanOf, { resamples: 10000 });
    },
  },
];
