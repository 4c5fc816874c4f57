import { realAt } from "../../entry.js";
import type { VariancePath, VariancePoint } from "./profile-criterion.js";

/** What a model has: whether slopes vary, and whether they may go with intercepts. */
export interface RandomShape {
  /** Whether slopes vary between subjects. */
  readonly hasSlope: boolean;
  /** Whether intercepts and slopes may be correlated. */
  readonly correlated: boolean;
}

/**
 * Paths on which one variance parameter is held at a value and the others are free. Each has its
 * free coordinates in units of a point, so that all are of order 1.
 */
export interface HeldPaths {
  /** Every parameter free. */
  readonly none: VariancePath;
  /** The SD of the errors held, in units of y. */
  readonly residualSd: (sd: number) => VariancePath;
  /** The SD of the intercepts held, in units of y. */
  readonly interceptSd: (sd: number) => VariancePath;
  /** The SD of the slopes held, in units of y per unit of the term. */
  readonly slopeSd: (sd: number) => VariancePath;
  /** The correlation of intercepts and slopes held. */
  readonly correlation: (r: number) => VariancePath;
}

/** Coordinates in their order; a name that a model lacks is left out. */
type Coordinate = "l11" | "l21" | "l22" | "logSd" | "angle" | "length";

/** Builds a path from its coordinates, a point made from them, and the gradient's way back. */
function pathOf(
  coordinates: readonly Coordinate[],
  units: Readonly<Record<Coordinate, number>>,
  at: (of: (name: Coordinate) => number) => VariancePoint,
  back: (
    of: (name: Coordinate) => number,
    gradient: VariancePoint,
  ) => Partial<Record<Coordinate, number>>,
): VariancePath {
  const reader = (free: Float64Array) => (name: Coordinate) => {
    const place = coordinates.indexOf(name);
    return place < 0 ? 0 : units[name] * realAt(free, place);
  };
  return {
    at: (free) => at(reader(free)),
    pulled: (free, gradient) => {
      const slopes = back(reader(free), gradient);
      return coordinates.map((name) => units[name] * (slopes[name] ?? 0));
    },
  };
}

/** Paths and the coordinates of a start on each of them. */
export function heldPaths(
  { hasSlope, correlated }: RandomShape,
  centre: VariancePoint,
): { paths: HeldPaths; starts: Readonly<Record<keyof HeldPaths, Float64Array>> } {
  const units = {
    l11: centre.l11 || Math.hypot(centre.l21, centre.l22) || 1,
    l21: Math.hypot(centre.l21, centre.l22) || centre.l11 || 1,
    l22: Math.hypot(centre.l21, centre.l22) || centre.l11 || 1,
    length: Math.hypot(centre.l21, centre.l22) || centre.l11 || 1,
    logSd: 1,
    angle: 1,
  };
  const both = hasSlope && correlated;
  const slopes: Coordinate[] = both ? ["l21", "l22"] : hasSlope ? ["l22"] : [];
  const whole = (of: (name: Coordinate) => number, logSd: number): VariancePoint => ({
    l11: of("l11"),
    l21: of("l21"),
    l22: of("l22"),
    logSd,
  });
  const paths: HeldPaths = {
    none: pathOf(
      ["l11", ...slopes, "logSd"],
      units,
      (of) => whole(of, of("logSd")),
      (_, g) => g,
    ),
    residualSd: (sd) =>
      pathOf(
        ["l11", ...slopes],
        units,
        (of) => whole(of, Math.log(sd)),
        (_, g) => g,
      ),
    interceptSd: (sd) => {
      const l11 = (logSd: number) => sd * Math.exp(-logSd);
      return pathOf(
        [...slopes, "logSd"],
        units,
        (of) => ({ ...whole(of, of("logSd")), l11: l11(of("logSd")) }),
        (of, g) => ({ l21: g.l21, l22: g.l22, logSd: g.logSd - g.l11 * l11(of("logSd")) }),
      );
    },
    slopeSd: (sd) => {
      const row = (of: (name: Coordinate) => number) => {
        const length = sd * Math.exp(-of("logSd"));
        const angle = both ? of("angle") : Math.PI / 2;
        const l21 = both ? length * Math.cos(angle) : 0;
        return { l21, l22: both ? length * Math.sin(angle) : length };
      };
      return pathOf(
        both ? ["l11", "angle", "logSd"] : ["l11", "logSd"],
        units,
        (of) => ({ l11: of("l11"), ...row(of), logSd: of("logSd") }),
        (of, g) => {
          const { l21, l22 } = row(of);
          return {
            l11: g.l11,
            angle: g.l22 * l21 - g.l21 * l22,
            logSd: g.logSd - g.l21 * l21 - g.l22 * l22,
          };
        },
      );
    },
    correlation: (r) => {
      const rest = Math.sqrt(Math.max(0, 1 - r * r));
      return pathOf(
        ["l11", "length", "logSd"],
        units,
        (of) => ({
          l11: of("l11"),
          l21: r * of("length"),
          l22: rest * of("length"),
          logSd: of("logSd"),
        }),
        (_, g) => ({ l11: g.l11, length: r * g.l21 + rest * g.l22, logSd: g.logSd }),
      );
    },
  };
  return { paths, starts: startsOf(centre, units, both, hasSlope) };
}

/** Off an edge: at 0 itself the criterion has no slope, whatever lies beside it. */
function offEdge(x: number): number {
  return Math.abs(x) < 0.1 ? 0.1 : x;
}

function startsOf(
  { l11, l21, l22, logSd }: VariancePoint,
  units: Readonly<Record<Coordinate, number>>,
  both: boolean,
  hasSlope: boolean,
): Readonly<Record<keyof HeldPaths, Float64Array>> {
  const first = offEdge(l11 / units.l11);
  const last = offEdge(l22 / units.l22);
  const slopes = both ? [l21 / units.l21, last] : hasSlope ? [last] : [];
  const angle = Math.atan2(last, l21 / units.l21);
  return {
    none: Float64Array.of(first, ...slopes, logSd),
    residualSd: Float64Array.of(first, ...slopes),
    interceptSd: Float64Array.of(...slopes, logSd),
    slopeSd: Float64Array.of(first, ...(both ? [angle] : []), logSd),
    correlation: Float64Array.of(first, 1, logSd),
  };
}
