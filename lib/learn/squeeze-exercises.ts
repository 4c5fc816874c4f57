import { itemAt, present } from "../entry.js";
import { normal } from "../num/distributions.js";
import { mean, sumOfSquaredDeviations } from "../num/sums.js";
import type { Practice } from "../show/lesson-outputs.js";
import { describe } from "../stats/describe.js";
import { reliability } from "../stats/reliability.js";
import { task } from "./solution.js";

function trials({ columns: { first, second, third } }: Practice) {
  return { first: present(first), second: present(second), third: present(third) };
}

function rows(golfers: Practice): number[][] {
  const { first, second, third } = trials(golfers);
  return first.map((value, i) => [value, itemAt(second, i), itemAt(third, i)]);
}

function typicalError(golfers: Practice) {
  const { first, second } = trials(golfers);
  const differences = second.map((value, i) => value - itemAt(first, i));
  const { value } = reliability(first.map((one, i) => [one, itemAt(second, i)])).typicalError;
  const { sd, n } = describe(differences);
  const shift = mean(differences);
  const squares = differences.reduce((sum, one) => sum + one ** 2, 0);
  return {
    value,
    unit: "kgf",
    digits: 2,
    slips: {
      notDivided: sd,
      divisorN: Math.sqrt(sumOfSquaredDeviations(differences) / n) / Math.SQRT2,
      halved: sd / 2,
      squared: sd ** 2 / 2,
      people: describe(first).sd,
      shift,
      shiftKept: Math.sqrt(squares / (2 * n)),
    },
    facts: { differences, shift, sd, n },
  };
}

function detectable(golfers: Practice) {
  const table = rows(golfers);
  const error = reliability(table).typicalError.value;
  /** SD of each golfer's own squeezes, pooled: the shift that golfers share is still in it. */
  const pooled = Math.sqrt(mean(table.map((row) => describe(row).sd ** 2)));
  const z = (level: number) => normal().quantile((1 + level) / 2);
  const value = (z(0.95) * Math.SQRT2 * error) / Math.sqrt(3);
  return {
    value,
    unit: "kgf",
    digits: 2,
    slips: {
      oneSqueeze: value * Math.sqrt(3),
      dividedBy3: value / Math.sqrt(3),
      level90: (value * z(0.9)) / z(0.95),
      oneTest: value / Math.SQRT2,
      errorOnly: error,
      noFactor: value / z(0.95),
      shiftKept: (value * pooled) / error,
    },
    facts: { error, ofMean: error / Math.sqrt(3), ofChange: (Math.SQRT2 * error) / Math.sqrt(3) },
  };
}

function switched(golfers: Practice) {
  const table = rows(golfers);
  const gains = table.map((row) => Math.max(...row) - mean(row));
  const value = mean(gains);
  return {
    value,
    unit: "kgf",
    digits: 2,
    slips: {
      sign: -value,
      oneGolfer: itemAt(gains, 0),
      percent: (100 * value) / mean(table.map((row) => mean(row))),
      range: mean(table.map((row) => Math.max(...row) - Math.min(...row))),
    },
    facts: { gains, n: gains.length },
  };
}

export const squeezeTasks = {
  "squeeze-typical-error": task(1, "squeezes", typicalError),
  "squeeze-detectable-change": task(1, "squeezes", detectable),
  "squeeze-best-or-mean": task(1, "squeezes", switched),
};
