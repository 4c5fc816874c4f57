import { InputError } from "../errors.js";
import { mean, sumOfProductDeviations, sumOfSquaredDeviations } from "../num/sums.js";
import { shown } from "./input.js";

/** An arm's columns with their means and sums of squares and products about them. */
export interface Arm {
  /** Label of the arm. */
  readonly name: string;
  /** Values before, one per person of the arm. */
  readonly x: Float64Array;
  /** Values after, the same people in the same order. */
  readonly y: Float64Array;
  /** Mean before. */
  readonly xMean: number;
  /** Mean after. */
  readonly yMean: number;
  /** Sum of squares of x about its mean. */
  readonly xx: number;
  /** Sum of products of x and y about their means. */
  readonly xy: number;
}

/**
 * The columns of each arm.
 * @throws InputError when `reference` is no arm or there are fewer than two
 */
export function armsOf(
  x: Float64Array,
  y: Float64Array,
  group: string[],
  reference: string,
): Arm[] {
  const names = [...new Set(group)];
  const where = "adjustForBaseline, group";
  if (!names.includes(reference)) {
    const expected = `the reference arm ${shown(reference)} among the labels`;
    throw new InputError({ expected, got: names.map(shown).join(", "), where });
  }
  if (names.length < 2) {
    throw new InputError({ expected: "at least two arms", got: shown(reference), where });
  }
  return names.map((name) => {
    const inArm = (_: number, i: number) => group[i] === name;
    return armOf(name, x.filter(inArm), y.filter(inArm));
  });
}

function armOf(name: string, x: Float64Array, y: Float64Array): Arm {
  const xMean = mean(x);
  const yMean = mean(y);
  const flat = x.every((value) => value === x[0]);
  return {
    name,
    x,
    y,
    xMean,
    yMean,
    xx: flat ? 0 : sumOfSquaredDeviations(x, xMean),
    xy: flat ? 0 : sumOfProductDeviations(x, y, xMean, yMean),
  };
}

/** Refuses too few people, and baselines from which no slope can be had. */
export function checkEnough(arms: readonly Arm[], people: number): void {
  const where = "adjustForBaseline";
  if (people < arms.length + 2) {
    const expected = `more than ${arms.length + 1} people for ${arms.length} arms`;
    throw new InputError({ expected, got: `${people}`, where });
  }
  if (arms.some((arm) => arm.xx > 0)) return;
  const expected = "values of before that differ within an arm";
  throw new InputError({ expected, got: "none that differ", where: `${where}, before` });
}
