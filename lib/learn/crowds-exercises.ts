import { itemAt, present } from "../entry.js";
import { mean } from "../num/sums.js";
import type { Practice } from "../show/lesson-outputs.js";
import { fitLine } from "../stats/regression.js";
import { subjectSlopes } from "../stats/slopes.js";
import { type ExerciseKey, type Solution, slip } from "./solution.js";

const lesson = "5 People and crowds";

interface Rows {
  readonly grip: readonly number[];
  readonly speed: readonly number[];
}

/** Rows of the student's own golfer. */
function picked({ golfer, columns, given }: Practice): Rows {
  const name = [...new Set(golfer)][present(given.pick) - 1];
  const kept = golfer.flatMap((one, i) => (one === name ? [i] : []));
  return {
    grip: kept.map((i) => itemAt(present(columns.grip), i)),
    speed: kept.map((i) => itemAt(present(columns.speed), i)),
  };
}

function means({ golfer, columns }: Practice): Rows {
  const people = [...new Set(golfer)];
  const of = (column: readonly number[]) =>
    people.map((name) => mean(column.filter((_, i) => golfer[i] === name)));
  return { grip: of(present(columns.grip)), speed: of(present(columns.speed)) };
}

function ownSlope(golfers: Practice): Solution {
  const { grip, speed } = picked(golfers);
  const { value } = fitLine({ x: grip, y: speed }).slope;
  const all = fitLine({ x: present(golfers.columns.grip), y: present(golfers.columns.speed) }).slope
    .value;
  return {
    value,
    unit: "mph per kgf",
    digits: 2,
    slips: [
      slip(
        "sign",
        -value,
        "The size is right, the sign is not: look at this golfer's four visits only.",
      ),
      slip("crowd, not golfer", all, "That is the slope over the rows of all golfers."),
      slip(
        "x and y",
        fitLine({ x: speed, y: grip }).slope.value,
        "That is kgf per mph: grip on speed.",
      ),
    ],
    hint: "Only the four rows of your golfer: sum of (grip − own mean) × (speed − own mean), over the sum of (grip − own mean)².",
  };
}

function meanOwnSlope(golfers: Practice): Solution {
  const { golfer, columns } = golfers;
  const own = subjectSlopes(golfer, present(columns.grip), present(columns.speed));
  const { value } = own.slope;
  const between = means(golfers);
  return {
    value,
    unit: "mph per kgf",
    digits: 2,
    slips: [
      slip(
        "crowd, not golfers",
        fitLine({ x: present(columns.grip), y: present(columns.speed) }).slope.value,
        "That is one line through all twenty rows: it mixes people and visits.",
      ),
      slip(
        "crowd, not golfers",
        fitLine({ x: between.grip, y: between.speed }).slope.value,
        "That is the line through the five golfers' means: the crowd's slope.",
      ),
      slip("sign", -value, "The size is right, the sign is not."),
      slip(
        "added",
        value * own.n,
        "That is the sum of the slopes. Divide by the number of golfers.",
      ),
    ],
    hint: "A slope for each golfer from their own four rows; then the mean of the five slopes.",
  };
}

function shrunken(golfers: Practice): Solution {
  const own = mean(picked(golfers).speed);
  const crowd = mean(means(golfers).speed);
  const between = present(golfers.given.between) ** 2;
  const within = present(golfers.given.within) ** 2;
  const visits = present(golfers.given.visits);
  const at = (weight: number) => crowd + weight * (own - crowd);
  const weight = between / (between + within / visits);
  return {
    value: at(weight),
    unit: "mph",
    digits: 1,
    slips: [
      slip(
        "four visits",
        at(between / (between + within)),
        "You shrank as if there were one visit. The mean of four has a quarter of the variance.",
      ),
      slip(
        "wrong way round",
        at(1 - weight),
        "The weight is the wrong way round: the surer the golfer's own mean, the more it counts.",
      ),
      slip("not shrunken", own, "That is the golfer's own mean as it stands."),
      slip(
        "shrunken away",
        crowd,
        "That is the mean of all golfers: nothing of the golfer is left.",
      ),
      slip(
        "squares",
        at(
          present(golfers.given.between) /
            (present(golfers.given.between) + present(golfers.given.within) / visits),
        ),
        "Variances are weighed against one another: square the SDs.",
      ),
    ],
    hint: "Mean of all + B × (own mean − mean of all), with B = between² / (between² + within²/4).",
  };
}

export const crowdsExercises: readonly ExerciseKey[] = [
  {
    id: "crowd-own-slope",
    lesson,
    set: "visits",
    asks: "own slope of the student's golfer",
    solve: ownSlope,
  },
  {
    id: "crowd-mean-slope",
    lesson,
    set: "visits",
    asks: "mean of the golfers' own slopes",
    solve: meanOwnSlope,
  },
  {
    id: "crowd-shrunken",
    lesson,
    set: "visits",
    asks: "shrunken mean speed of the student's golfer",
    solve: shrunken,
  },
];
