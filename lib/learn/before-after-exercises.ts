import { itemAt, present } from "../entry.js";
import { mean, sumOfSquaredDeviations } from "../num/sums.js";
import type { Practice } from "../show/lesson-outputs.js";
import { describe } from "../stats/describe.js";
import { task } from "./solution.js";

function arm({ columns }: Practice, trained: number) {
  const kept = present(columns.trained).flatMap((value, i) => (value === trained ? [i] : []));
  const before = kept.map((i) => itemAt(present(columns.before), i));
  const after = kept.map((i) => itemAt(present(columns.after), i));
  return { before, after, changes: after.map((value, i) => value - itemAt(before, i)) };
}

function percent(golfers: Practice) {
  const { before, after, changes } = arm(golfers, 1);
  const gain = mean(changes);
  const value = (100 * gain) / mean(before);
  return {
    value,
    unit: "%",
    digits: 1,
    slips: {
      ofAfter: (100 * gain) / mean(after),
      ofBoth: (100 * gain) / ((mean(before) + mean(after)) / 2),
      ofEach: mean(changes.map((change, i) => (100 * change) / itemAt(before, i))),
      wholeAfter: (100 * mean(after)) / mean(before),
      fraction: value / 100,
      inKgf: gain,
      sign: -value,
    },
    facts: { before: mean(before), after: mean(after), gain },
  };
}

function standardError(golfers: Practice) {
  const { before, after, changes } = arm(golfers, 1);
  const { sd, se, n } = describe(changes);
  return {
    value: se,
    unit: "kgf",
    digits: 2,
    slips: {
      divisorN: Math.sqrt(sumOfSquaredDeviations(changes) / n / n),
      sd,
      dividedByN: sd / n,
      unpaired: Math.hypot(describe(before).se, describe(after).se),
      squared: se ** 2,
    },
    facts: { changes, mean: mean(changes), sd, n },
  };
}

function beyondControl(golfers: Practice) {
  const trained = arm(golfers, 1);
  const control = arm(golfers, 0);
  const [gain, others] = [mean(trained.changes), mean(control.changes)];
  const value = gain - others;
  return {
    value,
    unit: "kgf",
    digits: 2,
    slips: {
      sign: -value,
      noControl: gain,
      afterOnly: mean(trained.after) - mean(control.after),
      added: gain + others,
      controlOnly: others,
    },
    facts: { gain, others },
  };
}

export const beforeAfterTasks = {
  "change-percent": task(3, "block", percent),
  "change-error": task(3, "block", standardError),
  "change-beyond-control": task(3, "block", beyondControl),
};
