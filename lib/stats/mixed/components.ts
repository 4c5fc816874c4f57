import { itemAt, realAt, wholeAt } from "../../entry.js";
import { InputError } from "../../errors.js";
import { chiSquared } from "../../num/distributions.js";
import { cholesky, invertCholesky } from "../../num/linear.js";
import { fromRows, rowsOf, sandwich } from "../../num/matrix.js";
import { knownOptions } from "../../options.js";
import { type Estimate, frozen, type Interval, type Numbers } from "../estimate.js";
import { confidenceLevel, numbers, oneOf } from "../input.js";
import { codedTerms, type TermColumn, type TermOptions } from "../terms.js";
import {
  groupName,
  type NamedGroup,
  namedGroups,
  outermostLevels,
  RESIDUAL,
} from "./component-groups.js";
import { type ComponentOptimum, searchComponents } from "./component-search.js";
import {
  type ComponentSystem,
  componentCoefficients,
  componentSystem,
} from "./component-system.js";
import {
  type CentredOutcome,
  centredOutcome,
  type FixedColumns,
  fixedColumns,
  fixedValues,
  jacobian,
  outward,
} from "./fixed-columns.js";
import { type FixedPart, fixedEstimate } from "./fixed-estimate.js";
import { kenwardRogerParts, type NamedMatrix } from "./inference.js";
import type { ModelFit } from "./model-fit.js";
import type { LabelColumn } from "./visit-rows.js";

/** One row per measurement. */
export interface ComponentColumns {
  /** The outcome, in its own unit. */
  readonly y: Numbers;
  /** Fixed effects by name: columns of numbers, or of labels, which are coded 0 and 1. */
  readonly terms?: Readonly<Record<string, TermColumn>>;
  /**
   * Groupings of the rows by name, crossed or nested. A nested group has joined labels that are its
   * own alone ("G01/lead"); an interaction is named after its groups ("person:day").
   */
  readonly groups: Readonly<Record<string, LabelColumn>>;
}

/** Options of `fitVarianceComponents`. */
export interface ComponentOptions extends TermOptions {
  /** Restricted maximum likelihood (default) or maximum likelihood. */
  readonly method?: "REML" | "ML";
  /** Confidence level of the intervals, default 0.95. */
  readonly level?: number;
}

/** The part of the variance that one group makes. */
export interface VarianceComponent {
  /** Square of the unit of y. */
  readonly variance: number;
  /** Unit of y. */
  readonly sd: number;
  /** Number of levels of the group; of the residual, number of rows. */
  readonly levels: number;
  /** Part of the sum of all components. */
  readonly share: number;
  /** Names of the groups that hold each level whole: the group is nested in these. */
  readonly within: readonly string[];
  /** Each level is a combination of levels of `within`, as in "person:day". */
  readonly interaction: boolean;
  /** Degrees of freedom of the variance: 2 variance² ÷ its sampling variance. */
  readonly df?: number;
  /** Of the variance; left out where it is 0 or its precision is unknown. */
  readonly interval?: Interval;
}

/** A model with random intercepts of several groups, and the variance of each. */
export interface VarianceComponentsFit extends ModelFit {
  /** Name of the function that made this record. */
  readonly kind: "fitVarianceComponents";
  /** Number of rows. */
  readonly n: number;
  /** Levels of the largest group that lies within no other: usually the people. */
  readonly subjects: number;
  /** Fixed effects by name, "intercept" first; unit of y. */
  readonly fixed: Readonly<Record<string, Estimate>>;
  /** Of the fixed effects. */
  readonly covariance: NamedMatrix;
  /** By name of the group, and "residual". */
  readonly components: Readonly<Record<string, VarianceComponent>>;
  /**
   * Sampling covariance of the variances that are not 0, from the observed information; left out where
   * its fourth powers of the unit of y are beyond a double.
   */
  readonly componentCovariance?: NamedMatrix;
  /** Conditional modes of the levels of each group, by label; unit of y. */
  readonly modes: Readonly<Record<string, Readonly<Record<string, number>>>>;
}

/**
 * Splits the variance of a measurement among nested or crossed groups, such as golfers, days within
 * golfers, and trials:
 *
 *   y = Xβ + Σ Z_g b_g + e,   b_g ~ normal(0, σ_g²), e ~ normal(0, σ_e²), all independent,
 *
 * fitted by REML or ML to every row there is. Rows may be missing: a golfer who lost one trial
 * counts with the others, where a table of complete rows would lose the golfer. With complete
 * balanced rows and no negative estimate REML gives the components of the analysis of variance; an
 * estimate that would be negative is 0 here, and a warning says so.
 *
 * Intervals of the variances are χ² intervals on Satterthwaite's degrees of freedom,
 * df σ̂²/χ²(df), df = 2σ̂⁴/var(σ̂²) with var from the observed information: good for a residual and
 * for components well above 0, rough for a component of few levels; they assume normal errors and
 * cover far less than 95 % where these are skewed (residual variance 73 % at 24 people, exponential;
 * `publishedTable("coverage")`). A component of 0
 * counts as known to be 0 in the precision of the others and of the fixed effects. Fixed effects come with t
 * intervals on Satterthwaite's degrees of freedom.
 *
 * Units: fixed effects, SDs and modes in the unit of y, variances in its square.
 *
 * @param columns one row per measurement: outcome `y`, label columns in `groups`, and fixed effects
 *   in `terms`
 * @throws InputError for unequal lengths, values that are not finite, a group with one label or
 *   with a label per row, two groups that group the rows alike, a term that repeats others, or an
 *   outcome fitted without error
 * @see Searle, Casella, McCulloch (1992) Variance components, ch. 6; Satterthwaite (1946) Biometrics
 *   Bull 2:110–114; Bates, Mächler, Bolker, Walker (2015) J Stat Softw 67(1)
 * @example fitVarianceComponents({ y: [52, 53, 61, 60, 47, 49], groups: { person: ["a", "a", "b", "b", "c", "c"] } }).components.residual.variance // 1
 */
export function fitVarianceComponents(
  columns: ComponentColumns,
  options: ComponentOptions = {},
): VarianceComponentsFit {
  const where = "fitVarianceComponents";
  knownOptions(options, ["method", "level", "reference", "interactions"], where);
  knownOptions(columns, ["y", "terms", "groups"], where);
  const level = confidenceLevel(options.level ?? 0.95, where);
  const method = oneOf(options.method ?? "REML", ["REML", "ML"], `${where}, method`);
  const y = numbers(columns.y, `${where}, y`);
  const rows = y.length;
  const groups = namedGroups(columns.groups, rows, where);
  const terms = codedTerms(columns.terms ?? {}, rows, options, true, where);
  const design = fixedColumns(
    ["intercept", ...terms.names],
    [new Float64Array(rows).fill(1), ...terms.columns],
    rows,
    where,
  );
  const outcome = centredOutcome(y, design, where);
  const system = systemOf(groups, design, outcome);
  const reml = method === "REML";
  const found = searchComponents({ system, rows, reml }, groups.length);
  if (!found) throw exactFit(where);
  const part = fixedPartOf(found, design, outcome, reml, outermostLevels(groups));
  const { coefficients, modes, ofRows } = levelModes(system, found, groups, outcome);
  const values = fixedValues(design, outcome, coefficients.gamma);
  const fixedPart = { ...part, values };
  const criterion = found.information.value + jacobian(design, outcome, reml);
  const variances = componentsOf(found, groups, { rows, unit: outcome.unit, level });
  const fitted = Array.from(ofRows, (mode, row) => {
    let mean = mode;
    const p = design.names.length;
    for (let j = 0; j < p; j++) {
      const coefficient = realAt(outcome.about, j) + outcome.unit * realAt(coefficients.gamma, j);
      mean += realAt(design.q, row * p + j) * coefficient;
    }
    return mean;
  });
  return frozen({
    kind: "fitVarianceComponents",
    ...{ n: rows, subjects: outermostLevels(groups) },
    fixed: Object.fromEntries(
      design.names.map((name, j) => {
        const weights = Float64Array.from(design.names, (_, k) => (k === j ? 1 : 0));
        return [name, fixedEstimate(fixedPart, weights, "satterthwaite", level)];
      }),
    ),
    covariance: { names: design.names, matrix: part.covariance },
    ...variances,
    modes,
    ...{ logLikelihood: -criterion / 2, criterion },
    parameters: design.names.length + groups.length + 1,
    ...{ fitted, residuals: fitted.map((value, row) => realAt(y, row) - value) },
    inference: part.inference,
    singular: found.information.free.length <= groups.length,
    ...{ converged: found.converged, method, level },
    warnings: warningsOf(found, groups, part),
  } as const);
}

function exactFit(where: string): InputError {
  return new InputError({
    expected: "an outcome that varies within the groups",
    got: "one that fixed effects and groups fit without error",
    where: `${where}, y`,
  });
}

/** The sums over levels that the likelihood needs, from the columns [Q r]. */
function systemOf(
  groups: readonly NamedGroup[],
  { q, rows, names }: FixedColumns,
  { residual }: CentredOutcome,
): ComponentSystem {
  const p = names.length;
  const columns = new Float64Array(rows * (p + 1));
  for (let row = 0; row < rows; row++) {
    columns.set(q.subarray(row * p, row * p + p), row * (p + 1));
    columns[row * (p + 1) + p] = realAt(residual, row);
  }
  const groupings = groups.map(({ labels, codes }) => ({ levels: labels.length, codes }));
  return componentSystem(groupings, columns, p);
}

/** Covariance and precision of the fixed effects in the caller's columns and units. */
function fixedPartOf(
  { information }: ComponentOptimum,
  design: FixedColumns,
  outcome: CentredOutcome,
  reml: boolean,
  subjects: number,
): Omit<FixedPart, "values"> {
  const { covariance, traces, first, second } = information;
  const p = design.names.length;
  const inY = (inQ: Float64Array) => outward(design, outcome, inQ);
  const slopes = first.map((one) => inY(sandwich(covariance, one, p, p)));
  const observed = observedCovariance(information);
  const enlarged = reml ? kenwardRogerParts({ covariance, traces, first, second }) : undefined;
  return {
    covariance: inY(covariance),
    inference: {
      ...(observed && {
        satterthwaite: { slopes, parameters: rowsOf(observed, first.length) },
      }),
      ...(enlarged && {
        kenwardRoger: {
          slopes,
          parameters: enlarged.parameters,
          covariance: inY(fromRows(enlarged.covariance)),
        },
      }),
    },
    spareDf: Math.max(1, subjects - 1),
  };
}

/** Covariance of the variances that are not 0: twice the inverse Hessian of −2 log-likelihood. */
function observedCovariance({ hessian, free }: ComponentOptimum["information"]) {
  const factor = cholesky(hessian, free.length);
  return factor && invertCholesky(factor, free.length).map((value) => 2 * value);
}

/** Conditional modes b̂ = σ_g·M⁻¹ΛZᵀ(r − Qγ) of each level, and their sum in each row. */
function levelModes(
  system: ComponentSystem,
  { variances }: ComponentOptimum,
  groups: readonly NamedGroup[],
  { unit }: CentredOutcome,
) {
  const residual = realAt(variances, groups.length);
  const theta = groups.map((_, g) => Math.sqrt(realAt(variances, g) / residual));
  const coefficients = componentCoefficients(system, theta);
  const ofLevel = (g: number, place: number) =>
    0 + unit * itemAt(theta, g) * realAt(coefficients.ofLevels, place);
  const modes = Object.fromEntries(
    groups.map(({ name, labels, codes }, g) => {
      const places = itemAt(system.place, g);
      const place = new Int32Array(labels.length);
      codes.forEach((code, row) => {
        place[code] = wholeAt(places, row);
      });
      return [
        name,
        Object.fromEntries(labels.map((label, l) => [label, ofLevel(g, wholeAt(place, l))])),
      ];
    }),
  );
  const rows = itemAt(system.place, 0).length;
  const ofRows = Float64Array.from({ length: rows }, (_, row) =>
    groups.reduce((sum, _group, g) => sum + ofLevel(g, wholeAt(itemAt(system.place, g), row)), 0),
  );
  return { coefficients, modes, ofRows };
}

function componentsOf(
  { variances, information }: ComponentOptimum,
  groups: readonly NamedGroup[],
  { rows, unit, level }: { rows: number; unit: number; level: number },
) {
  const observed = observedCovariance(information);
  const total = variances.reduce((sum, variance) => sum + variance, 0);
  const k = information.free.length;
  const covariance = observed?.map((value) => value * unit ** 4);
  const held = covariance?.every(
    (value, at) => Number.isFinite(value) && (at % (k + 1) !== 0 || value > 0),
  );
  const component = (relative: number, a: number): VarianceComponent => {
    const place = information.free.indexOf(a);
    const spread = place < 0 || !observed ? undefined : realAt(observed, place * k + place);
    const variance = relative * unit * unit;
    const df = spread === undefined ? undefined : (2 * relative * relative) / spread;
    const interval = df === undefined ? undefined : varianceInterval(variance, df, level);
    return {
      ...{ variance, sd: unit * Math.sqrt(relative) },
      levels: a < groups.length ? itemAt(groups, a).labels.length : rows,
      share: relative / total,
      within: a < groups.length ? itemAt(groups, a).within : groups.map(({ name }) => name),
      interaction: a < groups.length && itemAt(groups, a).interaction,
      ...(df !== undefined && { df }),
      ...(interval && { interval }),
    };
  };
  const names = [...groups.map(({ name }) => name), RESIDUAL];
  return {
    components: Object.fromEntries(
      names.map((name, a) => [name, component(realAt(variances, a), a)]),
    ),
    ...(covariance &&
      held && {
        componentCovariance: {
          names: information.free.map((a) => groupName(groups, a)),
          matrix: rowsOf(covariance, k),
        },
      }),
  };
}

/** df σ̂²/χ²; nothing where the degrees of freedom are so few that a limit is beyond a double. */
function varianceInterval(variance: number, df: number, level: number): Interval | undefined {
  const distribution = chiSquared(df);
  const low = (df * variance) / distribution.quantile((1 + level) / 2);
  const high = (df * variance) / distribution.quantile((1 - level) / 2);
  if (!Number.isFinite(high)) return undefined;
  return { low, high, level, method: "χ², Satterthwaite df" };
}

function warningsOf(
  { variances, converged, information }: ComponentOptimum,
  groups: readonly NamedGroup[],
  { inference }: Omit<FixedPart, "values">,
): string[] {
  const zero = groups.filter((_, g) => realAt(variances, g) === 0).map(({ name }) => name);
  const warnings: string[] = [];
  if (zero.length > 0) {
    warnings.push(
      `singular fit: the variance of ${zero.join(" and ")} is 0, on the boundary of what it can be; ` +
        "the data show no more spread there than chance would make",
    );
  }
  const few = information.free.filter(
    (a) => a < groups.length && itemAt(groups, a).labels.length < 5,
  );
  if (few.length > 0) {
    const names = few.map((a) => `${itemAt(groups, a).name} (${itemAt(groups, a).labels.length})`);
    warnings.push(
      `fewer than 5 levels: ${names.join(", ")}; a variance from so few is very uncertain`,
    );
  }
  if (!converged) warnings.push("the search stopped before the likelihood reached its maximum");
  if (!inference.satterthwaite) {
    warnings.push(
      "the variances are too poorly determined for Satterthwaite degrees of freedom; people − 1 are used",
    );
  }
  return warnings;
}
