import { InputError } from "../errors.js";
import { frozen, type Numbers } from "./estimate.js";
import { numbers, oneOf } from "./input.js";

/** A line as a paper prints it. */
export interface PublishedLine {
  /** Height at x = 0, in the unit of y, or of ln y on the log scale. */
  readonly intercept: number;
  /** Rise per unit of x, same scale. */
  readonly slope: number;
  /** Range of x in the people it was fitted to. */
  readonly from: number;
  /** Upper end of that range. */
  readonly to: number;
  /** "log": the line is of ln y. */
  readonly scale?: "linear" | "log";
  /** The correlation printed with it, if any. */
  readonly r?: number;
}

/** A published line read at some x. */
export interface LineReading {
  /** Name of the function that made this record. */
  readonly kind: "readPublishedLine";
  /** Number of x values read. */
  readonly n: number;
  /** In the order asked; `extrapolated` outside the people behind the line. */
  readonly rows: readonly {
    readonly x: number;
    readonly y: number;
    readonly extrapolated: boolean;
  }[];
  /** What to know before the result is used, one sentence each; empty when nothing is doubtful. */
  readonly warnings: readonly string[];
}

type Four = [number, number, number, number];

/**
 * Reads a published line and says where it is asked beyond its people, and whether its slope and its
 * printed correlation have the same sign.
 *
 *   y = a + b x, or y = exp(a + b x) for a line of ln y.
 *
 * @param line intercept, slope, range of x, scale, and the printed r if there is one
 * @param xs where to read it
 * @returns y in the unit of the line, row by row; a warning for each thing that does not fit
 * @throws InputError when a number is not finite or the range is empty
 * @see Fradkin, Sherman, Finch (2004) J Sci Med Sport 7:465–472, for the line in the example
 * @example readPublishedLine({ intercept: 4.065, slope: -0.0214, from: 2, to: 27, scale: "log" }, [10]).rows[0].y // 47.04
 */
export function readPublishedLine(line: PublishedLine, xs: Numbers): LineReading {
  const where = "readPublishedLine";
  const { scale = "linear", r } = line;
  oneOf(scale, ["linear", "log"], `${where}, scale`);
  const parts = [line.intercept, line.slope, line.from, line.to];
  const [a, b, from, to] = Array.from(numbers(parts, `${where}, line`)) as Four;
  if (from >= to) {
    throw new InputError({ expected: "a range, from below to", got: `${from} to ${to}`, where });
  }
  const rows = Array.from(numbers(xs, `${where}, xs`), (x) => {
    const height = a + b * x;
    const y = scale === "log" ? Math.exp(height) : height;
    return { x, y, extrapolated: x < from || x > to };
  });
  const beyond = rows.filter(({ extrapolated }) => extrapolated).map(({ x }) => x);
  const warnings: string[] = [];
  if (beyond.length > 0) {
    warnings.push(
      `outside the range ${from} to ${to} of the people behind it: ${beyond.join(", ")}`,
    );
  }
  if (r !== undefined && r * b < 0) {
    warnings.push(`slope ${b} and printed correlation ${r} have opposite signs`);
  }
  return frozen({ kind: "readPublishedLine" as const, n: rows.length, rows, warnings });
}
