import { present } from "../entry.js";
import { sumOfSquaredDeviations } from "../num/sums.js";
import type { Practice } from "../show/lesson-outputs.js";
import { describe } from "../stats/describe.js";
import { type ExerciseKey, type Solution, slip } from "./solution.js";

const lesson = "4 Resampling";

function leftOut({ golfer }: Practice): Solution {
  const n = golfer.length;
  const chance = (1 - 1 / n) ** n;
  return {
    value: 100 * chance,
    unit: "%",
    digits: 1,
    slips: [
      slip("fraction", chance, "That is a fraction: times 100 it is a percentage."),
      slip(
        "drawn, not left out",
        100 * (1 - chance),
        "That is the chance to be drawn at least once.",
      ),
      slip("one draw", 100 / n, "That is the chance to be drawn by one draw."),
      slip(
        "one draw",
        100 * (1 - 1 / n),
        "That is the chance to be passed over by one draw. There are n draws.",
      ),
      slip(
        "many golfers",
        100 * Math.exp(-1),
        "That is the value for very many golfers. Yours are few: count them.",
      ),
    ],
    hint: "One draw passes a golfer over with chance 1 − 1/n. All n draws must do so, one after another.",
  };
}

function standardError({ columns }: Practice): Solution {
  const change = present(columns.change);
  const { se, sd, n } = describe(change);
  const value = Math.sqrt(sumOfSquaredDeviations(change) / n / n);
  return {
    value,
    unit: "kgf",
    digits: 2,
    slips: [
      slip(
        "n − 1",
        se,
        "That is the usual standard error, with n − 1. Draws from these cards know the cards' own mean: their spread has n below the line.",
      ),
      slip("SD, not error", sd, "That is the SD of the changes, not of means of n cards."),
      slip(
        "square root of n",
        value * Math.sqrt(n),
        "That is the spread of single cards. A mean of n cards spreads √n times less.",
      ),
      slip("square", value ** 2, "That is a variance, in kgf². Take its root."),
    ],
    hint: "√(sum of (change − mean)² / n), then divided by √n: the cards are the whole world that is drawn from.",
  };
}

function lowerLimit({ given, columns }: Practice): Solution {
  const at = (place: number) => present(given[`mean${place}`]);
  const { mean, se } = describe(present(columns.change));
  return {
    value: at(2),
    unit: "kgf",
    digits: 2,
    slips: [
      slip("level", at(1), "The lowest of 39 is the limit of a 95 % interval: 1/40 lies below it."),
      slip(
        "one tail",
        at(4),
        "The fourth leaves 10 % below it. An interval of 90 % leaves 5 % on each side.",
      ),
      slip("upper limit", at(38), "That is the upper limit."),
      slip("counting", at(3), "One too far: 5 % of 39 + 1 cards."),
      slip(
        "formula, not cards",
        mean - 1.645 * se,
        "That comes from a formula with the normal curve. The percentile interval reads the cards.",
      ),
    ],
    hint: "With 39 means in order, each step from one to the next is 1/40. Go 5 % of the way: which place is that?",
  };
}

export const resamplingExercises: readonly ExerciseKey[] = [
  {
    id: "cards-left-out",
    lesson,
    set: "cards",
    asks: "chance that a golfer is left out of a resample",
    solve: leftOut,
  },
  {
    id: "cards-error",
    lesson,
    set: "cards",
    asks: "bootstrap standard error of the mean, drawn for ever",
    solve: standardError,
  },
  {
    id: "cards-limit",
    lesson,
    set: "cards",
    asks: "lower limit of the 90 % percentile interval",
    solve: lowerLimit,
  },
];
