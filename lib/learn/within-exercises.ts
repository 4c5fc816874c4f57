import { itemAt, present } from "../entry.js";
import { mean } from "../num/sums.js";
import type { Practice } from "../show/lesson-outputs.js";
import { fitLine } from "../stats/regression.js";
import { subjectSlopes } from "../stats/slopes.js";
import { task } from "./solution.js";

interface Rows {
  readonly grip: readonly number[];
  readonly speed: readonly number[];
}

/** Name of the student's own golfer. */
function nameOf({ golfer, given }: Practice): string {
  return itemAt([...new Set(golfer)], present(given.pick) - 1);
}

/** Rows of the student's own golfer. */
function picked(golfers: Practice): Rows {
  const { golfer, columns } = golfers;
  const name = nameOf(golfers);
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

function slopeOf({ grip, speed }: Rows): number {
  return fitLine({ x: grip, y: speed }).slope.value;
}

function allRows({ columns }: Practice): Rows {
  return { grip: present(columns.grip), speed: present(columns.speed) };
}

function ownSlope(golfers: Practice) {
  const rows = picked(golfers);
  const { grip, speed } = rows;
  const value = slopeOf(rows);
  const [meanGrip, meanSpeed] = [mean(grip), mean(speed)];
  return {
    value,
    unit: "mph per kgf",
    digits: 2,
    slips: {
      sign: -value,
      allRows: slopeOf(allRows(golfers)),
      turned: slopeOf({ grip: speed, speed: grip }),
    },
    facts: {
      golfer: nameOf(golfers),
      meanGrip,
      meanSpeed,
      products: grip.reduce(
        (sum, one, i) => sum + (one - meanGrip) * (itemAt(speed, i) - meanSpeed),
        0,
      ),
      squares: grip.reduce((sum, one) => sum + (one - meanGrip) ** 2, 0),
    },
  };
}

function meanOwnSlope(golfers: Practice) {
  const { golfer, columns } = golfers;
  const personal = subjectSlopes(golfer, present(columns.grip), present(columns.speed));
  const { value } = personal.slope;
  const between = slopeOf(means(golfers));
  return {
    value,
    unit: "mph per kgf",
    digits: 2,
    slips: {
      allRows: slopeOf(allRows(golfers)),
      between,
      sign: -value,
      added: value * personal.n,
    },
    facts: { slopes: personal.subjects.map(({ slope }) => slope), between },
  };
}

function shrunken(golfers: Practice) {
  const golferMean = mean(picked(golfers).speed);
  const all = mean(means(golfers).speed);
  const [between, within] = [present(golfers.given.between), present(golfers.given.within)];
  const visits = present(golfers.given.visits);
  const at = (weight: number) => all + weight * (golferMean - all);
  const weight = between ** 2 / (between ** 2 + within ** 2 / visits);
  return {
    value: at(weight),
    unit: "mph",
    digits: 1,
    slips: {
      oneVisit: at(between ** 2 / (between ** 2 + within ** 2)),
      turned: at(1 - weight),
      notShrunken: golferMean,
      shrunkenAway: all,
      notSquared: at(between / (between + within / visits)),
    },
    facts: { golfer: nameOf(golfers), own: golferMean, all, between, within, visits, weight },
  };
}

export const withinTasks = {
  "within-own-slope": task(5, "visits", ownSlope),
  "within-mean-slope": task(5, "visits", meanOwnSlope),
  "within-shrunken": task(5, "visits", shrunken),
};
