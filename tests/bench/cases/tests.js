/** Growth of tests by ranks, of an analysis of variance and of lines by other rules than least squares. */
import { compareRanks, fitRobust, fitSpline, oneWayAnova, signedRank } from "tautline/stats";

/** Values of a column by a rule: without a pattern in the small, the same in each run. */
const spread = (length, step) =>
  Float64Array.from({ length }, (_, i) => (Math.sin(i * step) * 43758.5453) % 10);

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
