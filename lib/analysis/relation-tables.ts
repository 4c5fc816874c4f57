import { itemAt, present } from "../entry.js";
import type { Estimate } from "../stats/estimate.js";
import { influence } from "../stats/influence.js";
import { predictLine } from "../stats/prediction.js";
import type { LineFit } from "../stats/regression.js";
import { covariateName } from "./covariates.js";
import type { RelatedPoint } from "./related-rows.js";
import { column, limitColumns, limitsOf, type ResultTable, resultTable } from "./result-table.js";

/** Names and units of the two outcomes, as axes and tables give them. */
export interface RelationUnits {
  /** What is predicted, and its unit. */
  readonly y: { readonly quantity: string; readonly unit: string };
  /** What it is predicted from, and its unit. */
  readonly x: { readonly quantity: string; readonly unit: string };
  /** Unit of the slope. */
  readonly slope: string;
}

/** The five golfers who move the line most, by Cook's distance. */
export function influenceTable(
  points: readonly RelatedPoint[],
  { slope }: RelationUnits,
): ResultTable {
  const columns = [
    column("label", "Golfer"),
    column("leverage", "Leverage", "", 2),
    column("cooksDistance", "Cook's distance", "", 2),
    column("studentisedResidual", "Studentised residual", "", 1),
    column("slopeWithout", "Slope without", slope, 2),
    column("marked", "Above the usual limit"),
  ];
  const caption =
    "The five golfers with the largest influence on the line. Usual limits: leverage and Cook's distance 4/n, residual ±3. A mark is a reason to check the data, not to leave a golfer out.";
  if (points.length < 4) return resultTable(caption, columns, []);
  const { rows } = influence(
    points.map(({ x }) => x),
    points.map(({ y }) => y),
    { label: points.map(({ participant }) => participant) },
  );
  const largest = [...rows]
    .sort((a, b) => (b.cooksDistance ?? 0) - (a.cooksDistance ?? 0))
    .slice(0, 5);
  return resultTable(
    caption,
    columns,
    largest.map(({ marks, ...row }) => ({ ...row, marked: marks.join(", ") || null })),
  );
}

/** The line at about five round values, one on each side outside the range that was seen. */
export function readingsTable(fit: LineFit, { x, y }: RelationUnits, level: number): ResultTable {
  const readings = predictLine(fit, roundValues(fit.centre.from, fit.centre.to), { level });
  const rows = readings.map(({ x: at, y: value, single, extrapolated }) =>
    extrapolated
      ? { x: at, y: null, low: null, high: null, use: "outside the sampled range; do not use" }
      : { x: at, y: value, low: single.low, high: single.high, use: "inside the range" },
  );
  const caption = `${y.quantity} that the line gives, with the ${Math.round(100 * level)} % prediction interval of a single golfer.`;
  const columns = [
    column("x", x.quantity, x.unit, 0),
    column("y", y.quantity, y.unit, 0),
    column("low", "One golfer, lower limit", y.unit, 0),
    column("high", "One golfer, upper limit", y.unit, 0),
    column("use", "Use"),
  ];
  return resultTable(caption, columns, rows);
}

/** Round numbers from just below a range to just above it, about five. */
function roundValues(from: number, to: number): number[] {
  const rough = (to - from) / 3 || 1;
  const power = 10 ** Math.floor(Math.log10(rough));
  const step = present([1, 2, 5, 10].find((factor) => factor * power >= rough)) * power;
  const first = Math.ceil(from / step) - 1;
  const last = Math.floor(to / step) + 1;
  return Array.from({ length: last - first + 1 }, (_, i) => (first + i) * step);
}

/** The line and its bands over the range that was seen, for a figure. */
export interface RelationBand {
  /** Where on the x axis, in the unit of x. */
  readonly x: number;
  /** Height of the line, in the unit of y. */
  readonly y: number;
  /** Confidence limits of the mean. */
  readonly mean: { readonly low: number; readonly high: number };
  /** Prediction limits of a single golfer. */
  readonly single: { readonly low: number; readonly high: number };
}

/** The line with its bands at 41 places over the range that was seen. */
export function bandOf(fit: LineFit, level: number): RelationBand[] {
  const { from, to } = fit.centre;
  const places = Array.from({ length: 41 }, (_, i) => from + (i / 40) * (to - from));
  return predictLine(fit, places, { level }).map(({ x, y, mean, single }) => ({
    x,
    y,
    mean: { low: mean.low, high: mean.high },
    single: { low: single.low, high: single.high },
  }));
}

const unitOf: Readonly<Record<string, string>> = {
  age_years: "year",
  mass_kg: "kg",
  height_cm: "cm",
};

/** Every coefficient of an adjusted relation. */
export function coefficientTable(
  coefficients: Readonly<Record<string, Estimate>>,
  { x, y, slope }: RelationUnits,
  adjustFor: readonly string[],
): ResultTable {
  const rows = Object.entries(coefficients)
    .filter(([name]) => name !== "intercept")
    .map(([name, { value, interval, p }]) => {
      const [base = name, label] = name.split(":");
      const per = unitOf[base];
      const term = name === "x" ? x.quantity : covariateName(base);
      return {
        term: label === undefined ? term : `${term}: ${label}`,
        unit: name === "x" ? slope : per === undefined ? y.unit : `${y.unit} per ${per}`,
        value,
        ...limitsOf(interval),
        p: p ?? null,
      };
    });
  const caption = `${y.quantity} on ${[x.quantity, ...adjustFor.map(covariateName)].join(", ")} together, least squares.`;
  const columns = [
    column("term", "Term"),
    column("unit", "Unit"),
    column("value", "Estimate", "", 2),
    ...limitColumns("", 2),
    column("p", "p", "", 3),
  ];
  return resultTable(caption, columns, rows);
}

/** Points of one group of golfers, in their order. */
export function pointsAt<T>(points: readonly T[], places: readonly number[]): T[] {
  return places.map((place) => itemAt(points, place));
}
