import { present } from "../entry.js";
import { sumOfSquaredDeviations } from "../num/sums.js";
import type { Practice } from "../show/lesson-outputs.js";
import { describe } from "../stats/describe.js";
import { task } from "./solution.js";

function leftOut({ golfer }: Practice) {
  const n = golfer.length;
  const chance = (1 - 1 / n) ** n;
  return {
    value: 100 * chance,
    unit: "%",
    digits: 1,
    slips: {
      fraction: chance,
      drawn: 100 * (1 - chance),
      oneDraw: 100 / n,
      passedOnce: 100 * (1 - 1 / n),
      manyGolfers: 100 * Math.exp(-1),
    },
    facts: { n },
  };
}

function standardError({ columns }: Practice) {
  const change = present(columns.change);
  const { se, sd, n } = describe(change);
  const value = Math.sqrt(sumOfSquaredDeviations(change) / n / n);
  return {
    value,
    unit: "kgf",
    digits: 2,
    slips: { divisorLess: se, sd, single: value * Math.sqrt(n), squared: value ** 2 },
    facts: { n, spread: value * Math.sqrt(n) },
  };
}

function lowerLimit({ given, columns }: Practice) {
  const at = (place: number) => present(given[`mean${place}`]);
  const { mean, se } = describe(present(columns.change));
  return {
    value: at(2),
    unit: "kgf",
    digits: 2,
    slips: {
      lowest: at(1),
      oneTail: at(4),
      upper: at(38),
      third: at(3),
      formula: mean - 1.645 * se,
    },
    facts: { upper: at(38) },
  };
}

export const resamplingTasks = {
  "cards-left-out": task(4, "cards", leftOut),
  "cards-error": task(4, "cards", standardError),
  "cards-limit": task(4, "cards", lowerLimit),
};
