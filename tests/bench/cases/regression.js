/** Growth of fits by rows and of their inference by people; they have no peer that is asked to be beaten. */
import { contrast, fitLine, fitLinear, fitMixed, influence, profileMixed } from "tautline/stats";

function columns(rows) {
  const x = Float64Array.from({ length: rows }, (_, i) => 20 + (i % 97) / 3);
  const y = x.map((value, i) => 60 + 1.1 * value + ((i * 31) % 53) / 7);
  return { x, y };
}

/** Five rows per person; levels and slopes differ between people. */
function people(count) {
  const rows = Array.from({ length: 5 * count }, (_, i) => i);
  const who = rows.map((i) => Math.floor(i / 5));
  const x = rows.map((i) => i % 5);
  const y = rows.map(
    (i) =>
      40 + ((who[i] * 37) % 17) + (i % 5) * (1 + ((who[i] * 13) % 7) / 9) + ((i * 31) % 11) / 4,
  );
  return { subject: who.map(String), y, terms: { x } };
}

export default [
  {
    name: "fitLine by rows",
    sizes: [1000, 10000, 100000],
    job: (rows) => {
      const data = columns(rows);
      return () => fitLine(data).slope.value;
    },
  },
  {
    name: "influence by rows",
    sizes: [1000, 10000, 100000],
    job: (rows) => {
      const { x, y } = columns(rows);
      return () => influence(x, y).slope;
    },
  },
  {
    name: "CR2 errors by clusters of 5",
    sizes: [100, 1000, 10000],
    job: (count) => {
      const { subject, ...data } = people(count);
      const options = { standardErrors: "CR2", clusters: subject };
      return () => fitLinear(data, options).coefficients.x.df;
    },
  },
  {
    name: "Kenward-Roger contrast by people",
    sizes: [20, 200, 2000],
    job: (count) => {
      const fit = fitMixed(people(count), { slope: "x" });
      return () => contrast(fit, { x: 1 }, { df: "kenward-roger" }).df;
    },
  },
  {
    name: "profileMixed by people",
    sizes: [20, 60, 200],
    job: (count) => {
      const fit = fitMixed(people(count), { slope: "x" });
      return () => profileMixed(fit).residualSd.interval.low;
    },
  },
];
