import { itemAt, present } from "../entry.js";
import { normal } from "../num/distributions.js";
import { mean, sumOfSquaredDeviations } from "../num/sums.js";
import type { Practice } from "../show/lesson-outputs.js";
import { describe } from "../stats/describe.js";
import { reliability } from "../stats/reliability.js";
import { type ExerciseKey, type Solution, slip } from "./solution.js";

const lesson = "1 What one squeeze tells";

function trials({ columns: { first, second, third } }: Practice) {
  return { first: present(first), second: present(second), third: present(third) };
}

function rows(golfers: Practice): number[][] {
  const { first, second, third } = trials(golfers);
  return first.map((value, i) => [value, itemAt(second, i), itemAt(third, i)]);
}

function typicalError(golfers: Practice): Solution {
  const { first, second } = trials(golfers);
  const differences = second.map((value, i) => value - itemAt(first, i));
  const { value } = reliability(first.map((one, i) => [one, itemAt(second, i)])).typicalError;
  const { sd, n } = describe(differences);
  const divisorN = Math.sqrt(sumOfSquaredDeviations(differences) / n) / Math.SQRT2;
  return {
    value,
    unit: "kgf",
    digits: 2,
    slips: [
      slip(
        "square root of 2",
        sd,
        "That is the SD of the differences. A difference holds the error of two squeezes.",
      ),
      slip(
        "n − 1",
        divisorN,
        "That is the SD with n below the line. With the mean taken from the same golfers it is n − 1.",
      ),
      slip(
        "square root of 2",
        sd / 2,
        "You halved the SD of the differences. Two errors add as squares.",
      ),
      slip("square", sd ** 2 / 2, "That is a variance, in kgf². The error is its square root."),
      slip(
        "people, not error",
        describe(first).sd,
        "That is how much golfers differ from one another, not how much one golfer's squeezes do.",
      ),
      slip(
        "mean, not spread",
        mean(differences),
        "That is the mean difference: a shift all golfers share. The error is in the spread of the differences.",
      ),
    ],
    hint: "Second less first for each golfer; the SD of these differences with n − 1; divided by √2.",
  };
}

function detectable(golfers: Practice): Solution {
  const error = reliability(rows(golfers)).typicalError.value;
  const z = (level: number) => normal().quantile((1 + level) / 2);
  const value = (z(0.95) * Math.SQRT2 * error) / Math.sqrt(3);
  return {
    value,
    unit: "kgf",
    digits: 2,
    slips: [
      slip(
        "one squeeze",
        value * Math.sqrt(3),
        "That is for one squeeze each time. The mean of three has a smaller error.",
      ),
      slip(
        "square root of 3",
        value / Math.sqrt(3),
        "Three squeezes make the error √3 times smaller, not 3 times.",
      ),
      slip(
        "level",
        (value * z(0.9)) / z(0.95),
        "That is the 90 % detectable change: the factor was 1.645.",
      ),
      slip(
        "square root of 2",
        value / Math.SQRT2,
        "Both tests have an error: the error of a change is √2 times that of one test.",
      ),
      slip("error, not change", error, "That is the typical error of one squeeze itself."),
      slip(
        "level",
        value / z(0.95),
        "The error of the change is right; the factor 1.96 for 95 % is missing.",
      ),
    ],
    hint: "1.96 × √2 × (typical error of one squeeze) / √3, with the typical error of all three squeezes, √ of the mean square of error.",
  };
}

function switched(golfers: Practice): Solution {
  const table = rows(golfers);
  const gains = table.map((row) => Math.max(...row) - mean(row));
  const value = mean(gains);
  return {
    value,
    unit: "kgf",
    digits: 2,
    slips: [
      slip("sign", -value, "The best is never below the mean: the gain has the other sign."),
      slip(
        "one golfer",
        itemAt(gains, 0),
        "That is golfer A alone. Take the mean over all golfers.",
      ),
      slip(
        "percent, not kgf",
        (100 * value) / mean(table.map((row) => mean(row))),
        "That is a percentage of the mean.",
      ),
      slip(
        "best and worst",
        mean(table.map((row) => Math.max(...row) - Math.min(...row))),
        "That is best less worst. The test before was read as the mean.",
      ),
    ],
    hint: "For each golfer the highest of the three less their mean; then the mean over the golfers.",
  };
}

export const squeezeExercises: readonly ExerciseKey[] = [
  {
    id: "squeeze-typical-error",
    lesson,
    set: "squeezes",
    asks: "typical error from first and second squeeze",
    solve: typicalError,
  },
  {
    id: "squeeze-detectable-change",
    lesson,
    set: "squeezes",
    asks: "MDC95 of the mean of three squeezes",
    solve: detectable,
  },
  {
    id: "squeeze-best-or-mean",
    lesson,
    set: "squeezes",
    asks: "gain made up by a switch from mean to best",
    solve: switched,
  },
];
