/** Growth of pools by studies; they have no peer that is asked to be beaten. */
import {
  pool,
  poolBayes,
  poolCorrelations,
  poolNested,
  poolRegression,
  smallStudyTest,
} from "tautline/stats";

/** Invented studies by a rule: effects about 0.3 with standard errors from 0.2 to 0.7. */
function studies(count) {
  const estimate = Float64Array.from({ length: count }, (_, i) => 0.3 + ((i * 7919) % 101) / 100);
  const se = estimate.map((_, i) => 0.2 + ((i * 37) % 11) / 20);
  return { estimate, se };
}

const sizes = [10, 100, 1000];
const jobs = {
  "pool by studies": (count) => pool(studies(count)).estimate.value,
  "poolCorrelations by studies": (count) => {
    const r = Float64Array.from({ length: count }, (_, i) => ((i * 7919) % 80) / 100);
    const n = r.map((_, i) => 10 + ((i * 37) % 60));
    return poolCorrelations({ r, n }).estimate.value;
  },
  "poolRegression by studies": (count) => {
    const year = Array.from({ length: count }, (_, i) => i % 20);
    return poolRegression({ ...studies(count), moderators: { year } }).tau2;
  },
  "smallStudyTest by studies": (count) => smallStudyTest(studies(count)).n,
  "poolNested by results, 5 of each study": (count) => {
    const study = Array.from({ length: count }, (_, i) => `s${Math.floor(i / 5)}`);
    return poolNested({ ...studies(count), study }).estimate.value;
  },
  "poolBayes by studies": (count) =>
    poolBayes(studies(count), { mu: "flat", tau: { distribution: "half-normal", scale: 0.5 } }).mu
      .mean,
};

export default Object.entries(jobs).map(([name, ask]) => ({
  name,
  sizes,
  job: (count) => () => ask(count),
}));
