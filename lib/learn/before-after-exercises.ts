import { itemAt, present } from "../entry.js";
import { mean, sumOfSquaredDeviations } from "../num/sums.js";
import type { Practice } from "../show/lesson-outputs.js";
import { describe } from "../stats/describe.js";
import { type ExerciseKey, type Solution, slip } from "./solution.js";

const lesson = "3 Before and after";

function arm({ columns }: Practice, trained: number) {
  const kept = present(columns.trained).flatMap((value, i) => (value === trained ? [i] : []));
  const before = kept.map((i) => itemAt(present(columns.before), i));
  const after = kept.map((i) => itemAt(present(columns.after), i));
  return { before, after, changes: after.map((value, i) => value - itemAt(before, i)) };
}

function percent(golfers: Practice): Solution {
  const { before, after, changes } = arm(golfers, 1);
  const gain = mean(changes);
  const value = (100 * gain) / mean(before);
  return {
    value,
    unit: "%",
    digits: 1,
    slips: [
      slip(
        "percent of what",
        (100 * gain) / mean(after),
        "That is percent of the mean after. The question says of the mean before.",
      ),
      slip(
        "percent of what",
        (100 * gain) / ((mean(before) + mean(after)) / 2),
        "That is percent of the middle of before and after.",
      ),
      slip(
        "percent of what",
        mean(changes.map((change, i) => (100 * change) / itemAt(before, i))),
        "That is the mean of the golfers' own percentages, each of a base of its own.",
      ),
      slip(
        "percent of what",
        (100 * mean(after)) / mean(before),
        "That is the mean after as percent of the mean before. The change is what exceeds 100.",
      ),
      slip("fraction", value / 100, "That is a fraction: times 100 it is a percentage."),
      slip("unit", gain, "That is the change in kgf, not in percent."),
      slip("sign", -value, "The sign: a change is after less before."),
    ],
    hint: "100 × (mean after − mean before) / mean before, over the nine golfers with trained 1.",
  };
}

function standardError(golfers: Practice): Solution {
  const { before, after, changes } = arm(golfers, 1);
  const { sd, se, n } = describe(changes);
  const unpaired = Math.hypot(describe(before).se, describe(after).se);
  return {
    value: se,
    unit: "kgf",
    digits: 2,
    slips: [
      slip(
        "n − 1",
        Math.sqrt(sumOfSquaredDeviations(changes) / n / n),
        "That is the SD with n below the line. With the mean taken from the same golfers it is n − 1.",
      ),
      slip(
        "SD, not error",
        sd,
        "That is the SD of the changes: how golfers differ. The mean of nine is surer, by √n.",
      ),
      slip("square root of n", sd / n, "You divided by n. The error of a mean falls with √n."),
      slip(
        "pairs",
        unpaired,
        "That treats before and after as two groups of strangers. They are the same golfers: use the changes.",
      ),
      slip("square", se ** 2, "That is the variance of the mean, in kgf²."),
    ],
    hint: "One change for each golfer; their SD with n − 1; divided by √n.",
  };
}

function beyondControl(golfers: Practice): Solution {
  const trained = arm(golfers, 1);
  const control = arm(golfers, 0);
  const value = mean(trained.changes) - mean(control.changes);
  return {
    value,
    unit: "kgf",
    digits: 2,
    slips: [
      slip("sign", -value, "The sign: trained less control."),
      slip(
        "control left out",
        mean(trained.changes),
        "That is what the trained gained. The others gained something as well, without the block.",
      ),
      slip(
        "start left out",
        mean(trained.after) - mean(control.after),
        "That compares the groups after the block only: they did not start alike.",
      ),
      slip(
        "added",
        mean(trained.changes) + mean(control.changes),
        "You added the two changes: what the control gained has to be taken away.",
      ),
      slip("control alone", mean(control.changes), "That is the control group's own change."),
    ],
    hint: "Mean change of those with trained 1, less mean change of those with trained 0.",
  };
}

export const beforeAfterExercises: readonly ExerciseKey[] = [
  {
    id: "change-percent",
    lesson,
    set: "block",
    asks: "mean change as percent of the mean before",
    solve: percent,
  },
  {
    id: "change-error",
    lesson,
    set: "block",
    asks: "standard error of the mean change",
    solve: standardError,
  },
  {
    id: "change-beyond-control",
    lesson,
    set: "block",
    asks: "change of the trained beyond the control group",
    solve: beyondControl,
  },
];
