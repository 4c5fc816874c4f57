import type { Estimate, Interval } from "../stats/estimate.js";
import {
  decimalsFor,
  fixedText,
  percentLevel,
  probabilityText,
  significantText,
} from "./wording.js";

/** What is read of a fit; fields that a fit lacks are left out of its summary. */
export interface SummarisedFit {
  /** Name of the function that made it. */
  readonly kind: string;
  /** Number of rows. */
  readonly n: number;
  /** Number of people. */
  readonly subjects?: number;
  /** How it was fitted, in a phrase. */
  readonly method?: string;
  /** Fixed effects by name. */
  readonly fixed?: Readonly<Record<string, Estimate>>;
  /** Coefficients by name. */
  readonly coefficients?: Readonly<Record<string, Estimate>>;
  /** Height of a line at x = 0, in units of y. */
  readonly intercept?: Estimate;
  /** Rise of a line, in units of y per unit of x. */
  readonly slope?: Estimate;
  /** Standard deviations of the random effects and their correlation. */
  readonly random?: {
    readonly interceptSd?: number;
    readonly slopeSd?: number;
    readonly correlation?: number;
  };
  /** Standard deviation of the residuals, in units of y. */
  readonly residualSd?: number;
  /** Proportion of the sum of squares of y that the fit explains, 0 to 1. */
  readonly rSquared?: number;
  /** Natural logarithm of the likelihood at the estimates. */
  readonly logLikelihood?: number;
  /** Each arm minus the reference, by arm. */
  readonly differences?: Readonly<Record<string, Estimate>>;
  /** The arm that is subtracted in `differences`. */
  readonly reference?: string;
  /** Covariates of an adjustment, by name. */
  readonly covariates?: Readonly<Record<string, Estimate>>;
  /** Exponent of an allometric line. */
  readonly exponent?: Estimate;
  /** Factor of an allometric line: y at mass 1. */
  readonly factor?: Estimate;
  /** The exponent compared with the one expected. */
  readonly comparedWith?: { readonly exponent: number; readonly p: number };
  /** The mean effect of a pool of studies. */
  readonly estimate?: Estimate;
  /** Between-study variance of a pool. */
  readonly tau2?: number;
  /** I² of a pool, in percent. */
  readonly i2?: number;
  /** Where the true effect of a new study may lie. */
  readonly prediction?: Interval;
  /** What to know before the fit is used. */
  readonly warnings?: readonly string[];
}

/** Nothing to say of a cell. */
const EMPTY = "";
const HEADS = ["", "estimate", "SE", "df", "t", "p"];

/**
 * A fit as text: its coefficients as a table with aligned columns (estimate, standard error, degrees
 * of freedom, t, p, confidence limits), then spread and fit, then its warnings.
 *
 * Estimates are written to one digit more than their standard error justifies, so that they can be
 * carried into another calculation; p by the one rule for p values.
 *
 * @param fit a result of fitLine, fitLinear, fitDeming, fitMixed, fitVisits, of a robust line, or of
 *   adjustForBaseline, allometricExponent or pool
 * @returns lines of text, in the units of the fit
 * @see Particle Data Group, Review of Particle Physics, Introduction, section 5.3 (the rounding rule)
 * @example summaryText(fitLine({ x: [1, 2, 3, 4], y: [2, 4, 5, 9] })).split("\n").length // 6
 */
export function summaryText(fit: SummarisedFit): string {
  const { title, heads, rows, notes } = fitTable(fit);
  return [title, "", ...aligned(heads, rows), ...notes].join("\n");
}

/** A table with a line above it and lines below it. */
export interface ShownTable {
  /** The line above the table. */
  readonly title: string;
  /** Headings of the columns. */
  readonly heads: readonly string[];
  /** Cells of each row; the first is a name. */
  readonly rows: readonly (readonly string[])[];
  /** Lines below the table. */
  readonly notes: readonly string[];
}

/** The parts of a fit's summary. */
export function fitTable(fit: SummarisedFit): ShownTable {
  const estimates = Object.entries(estimatesOf(fit));
  const level = estimates.find(([, { interval }]) => interval)?.[1].interval?.level;
  const limits = level === undefined ? ["", ""] : [`${percentLevel(level)} CI from`, "to"];
  const warnings = (fit.warnings ?? []).map((warning) => `Note: ${warning}`);
  return {
    title: titleOf(fit),
    heads: [...HEADS, ...limits],
    rows: estimates.map(([name, estimate]) => rowOf(name, estimate)),
    notes: [...spreadOf(fit), ...warnings],
  };
}

/**
 * True for a record that `summaryText` can write: a fit with coefficients and their covariance, or
 * a line by another rule than least squares, which has an intercept and a slope alone, or an
 * adjustment for baseline, an allometric exponent or a pool.
 */
export function isFit(value: unknown): value is SummarisedFit {
  if (value === null || typeof value !== "object") return false;
  if (!("kind" in value && typeof value.kind === "string")) return false;
  if (!("n" in value && typeof value.n === "number")) return false;
  if (value.kind === "pool") return isEstimate(value, "estimate");
  if (value.kind === "allometricExponent") {
    return isEstimate(value, "exponent") && isEstimate(value, "factor");
  }
  if (value.kind === "adjustForBaseline") {
    return "differences" in value && isEstimate(value, "slope");
  }
  if ("covariance" in value)
    return ["fixed", "coefficients", "slope"].some((name) => name in value);
  return isEstimate(value, "intercept") && isEstimate(value, "slope");
}

function isEstimate(record: object, name: string): boolean {
  const part: unknown = Object.getOwnPropertyDescriptor(record, name)?.value;
  return part !== null && typeof part === "object" && "value" in part;
}

function estimatesOf(fit: SummarisedFit): Readonly<Record<string, Estimate>> {
  if (fit.kind === "pool") return { ...(fit.estimate && { "mean effect": fit.estimate }) };
  if (fit.kind === "allometricExponent") {
    const { exponent, factor } = fit;
    return { ...(exponent && { exponent }), ...(factor && { factor }) };
  }
  if (fit.kind === "adjustForBaseline") return adjustedOf(fit);
  const { fixed, coefficients, intercept, slope } = fit;
  return fixed ?? coefficients ?? { ...(intercept && { intercept }), ...(slope && { slope }) };
}

/** Each difference with the arms that it is of, then what it is adjusted for. */
function adjustedOf({
  differences = {},
  reference = "",
  slope,
  covariates,
}: SummarisedFit): Readonly<Record<string, Estimate>> {
  const between = Object.entries(differences).map(([arm, difference]) => [
    `${arm} − ${reference}`,
    difference,
  ]);
  return {
    ...Object.fromEntries(between),
    ...(slope && { "slope on before": slope }),
    ...covariates,
  };
}

/** What n counts where it is not rows. */
const counted: Readonly<Record<string, string>> = {
  pool: "studies",
  adjustForBaseline: "people",
  allometricExponent: "people",
};

function titleOf({ kind, n, subjects, method }: SummarisedFit): string {
  const people = subjects === undefined ? "" : `, ${subjects} subjects`;
  return `${kind}: ${n} ${counted[kind] ?? "rows"}${people}${method ? `, ${method}` : ""}`;
}

function rowOf(name: string, { value, se, df, statistic, p, interval }: Estimate): string[] {
  const decimals = se ? decimalsFor(se) + 1 : undefined;
  const number = (x: number | undefined) => {
    if (x === undefined) return EMPTY;
    const plain = decimals !== undefined && decimals <= 8 && Math.abs(x) < 1e9;
    return plain ? fixedText(x, Math.max(0, decimals)) : significantText(x, 5);
  };
  return [
    name,
    number(value),
    number(se),
    df === undefined ? EMPTY : fixedText(df, Number.isInteger(df) ? 0 : 1),
    statistic === undefined ? EMPTY : fixedText(statistic, 2),
    p === undefined ? EMPTY : probabilityText(p).replace(/^p (= )?/, ""),
    number(interval?.low),
    number(interval?.high),
  ];
}

/** Names to the left, numbers to the right. */
export function aligned(heads: readonly string[], rows: readonly (readonly string[])[]): string[] {
  const lines = [heads, ...rows];
  const widths = heads.map((_, i) => Math.max(...lines.map((cells) => cells[i]?.length ?? 0)));
  return lines.map((cells) =>
    widths
      .map((width, i) =>
        i === 0 ? (cells[i] ?? EMPTY).padEnd(width) : (cells[i] ?? EMPTY).padStart(width),
      )
      .join("  ")
      .trimEnd(),
  );
}

function spreadOf(fit: SummarisedFit): string[] {
  const { random, residualSd, rSquared, logLikelihood, tau2, i2, prediction, comparedWith } = fit;
  const parts: [string, number | undefined][] = [
    ["SD of intercepts", random?.interceptSd],
    ["SD of slopes", random?.slopeSd],
    ["their correlation", random?.correlation],
    ["residual SD", residualSd],
    ["R²", rSquared],
    ["log-likelihood", logLikelihood],
    ["τ²", tau2],
  ];
  const told = parts.flatMap(([name, value]) =>
    value === undefined ? [] : [`${name} ${significantText(value, 4)}`],
  );
  if (i2 !== undefined) told.push(`I² ${significantText(i2)} %`);
  if (prediction)
    told.push(
      `${percentLevel(prediction.level)} prediction interval ${significantText(prediction.low, 4)} to ${significantText(prediction.high, 4)}`,
    );
  if (comparedWith) {
    const { exponent, p } = comparedWith;
    told.push(`compared with an exponent of ${significantText(exponent)}: ${probabilityText(p)}`);
  }
  return told.length > 0 ? [told.join("; ")] : [];
}
