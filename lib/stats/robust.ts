import { realAt } from "../entry.js";
import { InputError } from "../errors.js";
import { shown } from "./input.js";

/** Ordinary errors trust one residual variance; HC0–HC3 let it differ from row to row. */
const standardErrorKinds = ["ordinary", "HC0", "HC1", "HC2", "HC3"] as const;
/** Kinds of standard errors for rows that do not depend on each other. */
export type StandardErrors = (typeof standardErrorKinds)[number];

/** CR0–CR2 let the rows of a cluster, such as a person, depend on each other in any way. */
export const clusterErrorKinds = ["CR0", "CR1", "CR2"] as const;
/** Kinds of standard errors for rows that belong to clusters. */
export type ClusterErrors = (typeof clusterErrorKinds)[number];

/** Below this many rows HC0 is too small to be trusted; HC3 is not. */
const ENOUGH_FOR_HC0 = 250;

/**
 * Says when a kind of standard errors is not to be trusted with so few rows.
 * @see Long & Ervin (2000) Am Stat 54:217–224
 */
export function fewRowsWarnings(kind: string, rows: number): string[] {
  if (kind !== "HC0" || rows >= ENOUGH_FOR_HC0) return [];
  return [
    `HC0 standard errors from ${rows} rows (below ${ENOUGH_FOR_HC0}) are too small, so intervals ` +
      "are too narrow; HC3 is safer",
  ];
}

/** Residual and leverage of each row, and the degrees of freedom left. */
interface RowFits {
  readonly residuals: Float64Array;
  readonly leverage: Float64Array;
  readonly df: number;
}

/** A row's own pull on its fitted value counts as complete when so little is left. */
const fullLeverage = 1e-12;

/** True where the fit passes through the row whatever its y: nothing is known of its error. */
export function fullyFitted(leverage: number): boolean {
  return 1 - leverage < fullLeverage;
}

/**
 * Checks a kind of standard errors that takes rows as independent.
 * @param others further kinds that the caller knows, named in the refusal
 */
export function standardErrorKind(
  kind: string,
  where: string,
  others: readonly string[] = [],
): StandardErrors {
  const known = standardErrorKinds.find((name) => name === kind);
  if (known) return known;
  throw new InputError({
    expected: `one of ${[...standardErrorKinds, ...others].join(", ")}`,
    got: shown(kind),
    where: `${where}, standardErrors`,
  });
}

/**
 * Error variance of each row as the heteroscedasticity-consistent estimators take it, from its
 * residual e and leverage h: HC0 e², HC1 e² n/(n − p), HC2 e²/(1 − h), HC3 e²/(1 − h)².
 * @throws InputError for HC2 and HC3 when a row has leverage 1; the message names it
 * @see MacKinnon & White (1985) J Econometrics 29:305–325; Long & Ervin (2000) Am Stat 54:217–224
 */
export function rowVariances(
  { residuals, leverage, df }: RowFits,
  kind: Exclude<StandardErrors, "ordinary">,
  where: string,
): Float64Array {
  const power = { HC0: 0, HC1: 0, HC2: 1, HC3: 2 }[kind];
  const factor = kind === "HC1" ? residuals.length / df : 1;
  return residuals.map((residual, i) => {
    if (power > 0 && fullyFitted(realAt(leverage, i))) {
      throw new InputError({
        expected: `every leverage below 1 for ${kind}`,
        got: "leverage 1, a row that no other row can check",
        where: `${where}, index ${i}`,
      });
    }
    return (factor * residual ** 2) / (1 - realAt(leverage, i)) ** power;
  });
}

/**
 * Cook's distance of each row, e² h / (p s² (1 − h)²): how far leaving it out moves all fitted
 * values. Null where the leverage is 1 or the fit is perfect: there it is undefined.
 * @see Cook (1977) Technometrics 19:15–18
 */
export function cooksDistances(
  { residuals, leverage, df }: RowFits,
  residualVariance: number,
): (number | null)[] {
  const scale = (residuals.length - df) * residualVariance;
  const distances = new Array<number | null>(residuals.length);
  for (let i = 0; i < distances.length; i++) {
    distances[i] = cooksDistance(realAt(residuals, i), realAt(leverage, i), scale);
  }
  return distances;
}

/** Cook's distance of one row; `scale` is p s². */
export function cooksDistance(residual: number, leverage: number, scale: number): number | null {
  if (fullyFitted(leverage) || scale === 0) return null;
  return ((residual / (1 - leverage)) ** 2 * leverage) / scale;
}
