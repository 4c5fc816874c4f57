import { practice } from "../../lib/learn/practice.js";

/** Plain sums, so that no expected value comes from the library's statistics. */
export function average(values: readonly number[]): number {
  return values.reduce((a, b) => a + b, 0) / values.length;
}

/** Standard deviation with n − `less` below the line. */
export function spread(values: readonly number[], less: 0 | 1): number {
  const middle = average(values);
  const squares = values.reduce((total, value) => total + (value - middle) ** 2, 0);
  return Math.sqrt(squares / (values.length - less));
}

/** Least-squares slope of y on x. */
export function slopeOf(x: readonly number[], y: readonly number[]): number {
  const [atX, atY] = [average(x), average(y)];
  const both = x.reduce((total, value, i) => total + (value - atX) * (y[i]! - atY), 0);
  return both / x.reduce((total, value) => total + (value - atX) ** 2, 0);
}

function squeezeRows(code: string): number[][] {
  const { first, second, third } = practice("squeezes", code).columns;
  return first!.map((value, i) => [value, second![i]!, third![i]!]);
}

/** Error mean square of a two-way table, golfers by squeezes. */
function errorMeanSquare(rows: readonly number[][]): number {
  const all = average(rows.flat());
  const tries = rows[0]!.map((_, j) => average(rows.map((row) => row[j]!)));
  const left = rows.flatMap((row) =>
    row.map((value, j) => (value - average(row) - tries[j]! + all) ** 2),
  );
  return left.reduce((a, b) => a + b, 0) / ((rows.length - 1) * (tries.length - 1));
}

interface BlockArm {
  readonly before: number[];
  readonly after: number[];
  readonly changes: number[];
}

/** The trained (1) or the others (0) of a student's block. */
export function blockArm(code: string, trained: number): BlockArm {
  const { columns } = practice("block", code);
  const kept = [...columns.trained!.keys()].filter((i) => columns.trained![i] === trained);
  const before = kept.map((i) => columns.before![i]!);
  const after = kept.map((i) => columns.after![i]!);
  return { before, after, changes: after.map((value, i) => value - before[i]!) };
}

interface Visitor {
  readonly grip: number[];
  readonly speed: number[];
}

function visitors(code: string): Visitor[] {
  const { golfer, columns } = practice("visits", code);
  return [...new Set(golfer)].map((name) => {
    const kept = [...golfer.keys()].filter((i) => golfer[i] === name);
    return {
      grip: kept.map((i) => columns.grip![i]!),
      speed: kept.map((i) => columns.speed![i]!),
    };
  });
}

/** Weight that a golfer's own mean keeps: between² / (between² + within² / visits). */
function shrunkenSpeed(code: string): number {
  const { between, within, pick } = practice("visits", code).given;
  const people = visitors(code).map(({ speed }) => average(speed));
  const weight = between! ** 2 / (between! ** 2 + within! ** 2 / 4);
  return average(people) + weight * (people[pick! - 1]! - average(people));
}

/** 97.5 % point of Student's t with 8 degrees of freedom, from printed tables. */
const t8 = 2.306004135;

function oneGolferHalf(code: string): number {
  const { grip, speed } = practice("golfers", code).columns;
  const slope = slopeOf(grip!, speed!);
  const off = speed!.map((y, i) => y - average(speed!) - slope * (grip![i]! - average(grip!)));
  const residual = Math.sqrt(off.reduce((total, value) => total + value ** 2, 0) / 8);
  return t8 * residual * Math.sqrt(1 + 1 / 10);
}

/** The textbook answer of every exercise on one student's golfers. */
export const byHand: Readonly<Record<string, (code: string) => number>> = {
  "squeeze-typical-error": (code) => {
    const rows = squeezeRows(code);
    return (
      spread(
        rows.map(([one, two]) => two! - one!),
        1,
      ) / Math.SQRT2
    );
  },
  "squeeze-detectable-change": (code) =>
    1.959963985 * Math.SQRT2 * Math.sqrt(errorMeanSquare(squeezeRows(code)) / 3),
  "squeeze-best-or-mean": (code) =>
    average(squeezeRows(code).map((row) => Math.max(...row) - average(row))),
  "line-slope": (code) => {
    const { grip, speed } = practice("golfers", code).columns;
    return slopeOf(grip!, speed!);
  },
  "line-residual": (code) => {
    const { grip, speed } = practice("golfers", code).columns;
    const height = average(speed!) + slopeOf(grip!, speed!) * (grip![2]! - average(grip!));
    return speed![2]! - height;
  },
  "line-one-golfer": oneGolferHalf,
  "change-percent": (code) => {
    const { before, after } = blockArm(code, 1);
    return (100 * (average(after) - average(before))) / average(before);
  },
  "change-error": (code) => spread(blockArm(code, 1).changes, 1) / 3,
  "change-beyond-control": (code) =>
    average(blockArm(code, 1).changes) - average(blockArm(code, 0).changes),
  "cards-left-out": (code) => {
    const n = practice("cards", code).golfer.length;
    return 100 * ((n - 1) / n) ** n;
  },
  "cards-error": (code) => {
    const change = practice("cards", code).columns.change!;
    return spread(change, 0) / Math.sqrt(change.length);
  },
  "cards-limit": (code) => {
    const { given } = practice("cards", code);
    const inOrder = Object.values(given).sort((a, b) => a - b);
    return inOrder[1]!;
  },
  "within-own-slope": (code) => {
    const { grip, speed } = visitors(code)[practice("visits", code).given.pick! - 1]!;
    return slopeOf(grip, speed);
  },
  "within-mean-slope": (code) =>
    average(visitors(code).map(({ grip, speed }) => slopeOf(grip, speed))),
  "within-shrunken": shrunkenSpeed,
};
