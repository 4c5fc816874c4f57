/** Growth of tests by ranks, of an analysis of variance and of lines by other rules than least squares. */
import {
  compareRanks,
  fitPassingBablok,
  fitRobust,
  fitSpline,
  oneWayAnova,
  quantileLine,
  signedRank,
  theilSen,
} from "tautline/stats";

/** Values of a column by a rule: without a pattern in the small, the same in each run. */
const spread = (length, step) =>
  Float64Array.from({ length }, (_, i) => (Math.sin(i * step) * 43758.5453) % 10);

/** A line with errors; no two rows at one x. */
function lineOf(rows) {
  const x = spread(rows, 78.233).map((value) => 30 + value);
  const noise = spread(rows, 12.9898);
  return { x, y: x.map((value, i) => 60 + 1.1 * value + noise[i]) };
}

/** The lines that look at every pair of rows grow with the pairs: 4 950 pairs are 100 rows. */
const pairsOf = (rows) => (rows * (rows - 1)) / 2;
const rowsOf = (pairs) => Math.round((1 + Math.sqrt(1 + 8 * pairs)) / 2);

export default [
  {
    name: "signedRank by pairs",
    sizes: [1000, 10000, 100000],
    job: (pairs) => {
      const before = spread(pairs, 12.9898);
      const after = before.map((value, i) => value + 0.2 + ((i * 37) % 101) / 500 - 0.1);
      return () => signedRank(before, after).pseudoMedian.value;
    },
  },
  {
    name: "compareRanks by people per group",
    sizes: [1000, 10000, 100000],
    job: (people) => {
      const [a, b] = [spread(people, 12.9898), spread(people, 78.233)];
      return () => compareRanks(a, b).shift.value;
    },
  },
  {
    name: "oneWayAnova by groups of 50",
    sizes: [100, 1000, 10000],
    job: (groups) => {
      const values = spread(groups * 50, 12.9898);
      const labels = Array.from(values, (_, i) => `g${i % groups}`);
      return () => oneWayAnova(values, labels).statistic;
    },
  },
  {
    name: "fitRobust by rows",
    sizes: [1000, 10000, 100000],
    job: (rows) => {
      const x = Float64Array.from({ length: rows }, (_, i) => 20 + (i % 97) / 3);
      const noise = spread(rows, 12.9898);
      const y = x.map((value, i) => 60 + 1.1 * value + noise[i]);
      return () => fitRobust({ x, y }).slope.value;
    },
  },
  {
    name: "theilSen by pairs of rows",
    sizes: [100, 320, 1000].map(pairsOf),
    job: (pairs) => {
      const columns = lineOf(rowsOf(pairs));
      return () => theilSen(columns).slope.value;
    },
  },
  {
    name: "fitPassingBablok by pairs of rows",
    sizes: [100, 320, 1000].map(pairsOf),
    job: (pairs) => {
      const columns = lineOf(rowsOf(pairs));
      return () => fitPassingBablok(columns).slope.value;
    },
  },
  {
    name: "quantileLine by rows",
    sizes: [100, 1000, 10000],
    job: (rows) => {
      const columns = lineOf(rows);
      return () => quantileLine(columns, { q: 0.75 }).slope.value;
    },
  },
  {
    name: "fitSpline by rows",
    sizes: [1000, 10000, 100000],
    job: (rows) => {
      const x = Float64Array.from({ length: rows }, (_, i) => 20 + (i % 97) / 3);
      const noise = spread(rows, 12.9898);
      const y = x.map((value, i) => value ** 1.5 + noise[i]);
      return () => fitSpline({ x, y }, { knots: 4 }).residualSd;
    },
  },
];
