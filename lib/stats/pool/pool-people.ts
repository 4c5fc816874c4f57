import { itemAt, realAt } from "../../entry.js";
import { InputError } from "../../errors.js";
import { studentT } from "../../num/distributions.js";
import { leastSquares } from "../../num/linear.js";
import { mean } from "../../num/sums.js";
import { binaryUnit } from "../../num/vector.js";
import { knownOptions } from "../../options.js";
import { type Estimate, frozen, type Interval, type Labels, type Numbers } from "../estimate.js";
import {
  confidenceLevel,
  labels,
  namedColumns,
  numbers,
  oneOf,
  sameLength,
  shown,
} from "../input.js";
import { groupRows } from "../people.js";
import { tEstimate } from "../t-estimate.js";
import {
  type GroupRows,
  greatestLikelihood,
  groupedFit,
  satterthwaiteDf,
} from "./grouped-likelihood.js";

/** The people of several studies with two arms. */
export interface PoolPeopleColumns {
  /** Study of each person. */
  readonly study: Labels;
  /** Second occasion, one value per person, any unit. */
  readonly after: Numbers;
  /** First occasion, same people and order; leave it out to compare the arms unadjusted. */
  readonly before?: Numbers;
  /** Arm of each person; two arms. */
  readonly group: Labels;
  /** The arm that the other one is compared with. */
  readonly reference: string;
}

/** Options of `poolPeople`. */
export interface PoolPeopleOptions {
  /**
   * "fixed" (default): an intercept and a baseline slope of its own for each study. "random":
   * intercepts drawn from a distribution, one baseline slope for all.
   */
  readonly studies?: "fixed" | "random";
  /** "random" (default): the arm difference varies between studies. "common": it is one. */
  readonly effect?: "random" | "common";
  /** Confidence level of the intervals as a fraction, 0.95 unless given. */
  readonly level?: number;
}

/** Several studies' people in one model. */
export interface PoolPeople {
  /** Name of the function that made this record. */
  readonly kind: "poolPeople";
  /** People. */
  readonly n: number;
  /** Each study with its people, and how many of them were in the group of interest. */
  readonly studies: readonly {
    readonly study: string;
    readonly n: number;
    readonly treated: number;
  }[];
  /** Group − reference, in the unit of the columns, Satterthwaite degrees of freedom. */
  readonly difference: Estimate;
  /** SD of the true difference between studies; left out for a common effect. */
  readonly effectSd?: number;
  /** SD of the studies' intercepts; left out where each study has one of its own. */
  readonly interceptSd?: number;
  /** Standard deviation of the residuals within studies, in the unit of the columns. */
  readonly residualSd: number;
  /** Where the true difference of a new study may lie; left out for a common effect or 2 studies. */
  readonly prediction?: Interval;
  /** Restricted log-likelihood with all constants but ½ ln |XᵀX|. */
  readonly logLikelihood: number;
  /** How the numbers were computed, in a phrase that a report can print. */
  readonly method: string;
  /** What to know before the result is used, one sentence each; empty when nothing is doubtful. */
  readonly warnings: readonly string[];
}

/**
 * One-stage pooling: the people of several studies in one mixed model, by REML.
 *
 *   after = aₛ + bₛ·before + (δ + dₛ)·arm + e,  dₛ ~ N(0, effectSd²)
 *
 * with aₛ, bₛ fixed for each study ("fixed", the default), or aₛ drawn from a distribution and one
 * slope b ("random"). It uses small studies better than pooling their estimates does, and can only
 * be done where the people's own data are at hand. `before` is centred within each study.
 * Prediction: δ ± t √(effectSd² + se²), t on studies − 2 degrees of freedom.
 *
 * What it does not do: arms correlated with the study's intercept, errors of a different size in
 * each study, more than two arms.
 *
 * @param columns study, after, before, group and reference, one row per person
 * @returns difference and SDs in the unit of the columns
 * @throws InputError when lengths differ, there are not two arms or fewer than two studies, no study
 *   has people in both arms, or people are too few for the model
 * @see Riley et al. (2020) Stat Med 39:2115–2137; Debray et al. (2013) PLoS One 8:e60650
 * @example poolPeople({ study: ["a", "a", "a", "a", "b", "b", "b", "b"], after: [1, 2, 4, 5, 2, 3, 5, 6], group: ["c", "c", "t", "t", "c", "c", "t", "t"], reference: "c" }).difference.value // 3
 */
export function poolPeople(
  columns: PoolPeopleColumns,
  options: PoolPeopleOptions = {},
): PoolPeople {
  const where = "poolPeople";
  namedColumns(columns, ["study", "after", "before", "group", "reference"], where);
  knownOptions(options, ["studies", "effect", "level"], where);
  const { studies: intercepts = "fixed", effect = "random", level = 0.95 } = options;
  confidenceLevel(level, where);
  oneOf(intercepts, ["fixed", "random"], `${where}, studies`);
  oneOf(effect, ["random", "common"], `${where}, effect`);
  const people = peopleOf(columns, where);
  const model = modelOf(people, intercepts, effect);
  const n = people.y.length;
  const coefficients = itemAt(model.groups, 0).design.length;
  if (n <= coefficients + 1) {
    const expected = `more than ${coefficients + 1} people for this model`;
    throw new InputError({ expected, got: `${n}`, where });
  }
  const baselines = coefficients - 1 - (intercepts === "fixed" ? people.rows.size : 1);
  const start = startOf(people, model, where);
  const variances = greatestLikelihood(model.groups, start);
  const fit = groupedFit(model.groups, variances);
  const se = people.unit * Math.sqrt(realAt(fit.covariance, 0));
  const df = satterthwaiteDf(model.groups, variances, 0);
  if (!(df > 0)) {
    const expected = "people whose outcomes tell the variances apart";
    throw new InputError({ expected, got: "a flat likelihood", where });
  }
  const method = `one-stage, ${intercepts} studies, ${effect} effect, REML, Satterthwaite t`;
  const difference = tEstimate(people.unit * realAt(fit.coefficients, 0), se, df, level, method);
  const found = namedVariances(variances, people.unit, intercepts, effect);
  return frozen({
    kind: "poolPeople" as const,
    n,
    studies: Array.from(people.rows, ([study, rows]) => ({
      study,
      n: rows.length,
      treated: rows.filter((i) => realAt(people.arm, i) === 1).length,
    })),
    difference,
    ...found.sds,
    ...predictionOf(difference, found.sds.effectSd, se, people.rows.size, level),
    logLikelihood:
      -fit.criterion / 2 -
      (n - coefficients) * Math.log(people.unit) -
      baselines * Math.log(people.unitOfX),
    method,
    warnings: found.warnings,
  });
}

interface People {
  /** What y and x were divided by, so that no unit can upset the search. */
  readonly unit: number;
  readonly unitOfX: number;
  readonly rows: ReadonlyMap<string, readonly number[]>;
  readonly y: Float64Array;
  readonly x?: Float64Array;
  /** 1 in the arm compared with the reference, 0 in the reference. */
  readonly arm: Float64Array;
}

function peopleOf(columns: PoolPeopleColumns, where: string): People {
  const y = numbers(columns.after, `${where}, after`, 4);
  const rows = groupRows(labels(columns.study, `${where}, study`, y.length));
  const group = labels(columns.group, `${where}, group`, y.length);
  const arms = [...new Set(group)];
  if (arms.length !== 2 || !arms.includes(columns.reference)) {
    throw new InputError({
      expected: `two arms, one of them the reference ${shown(columns.reference)}`,
      got: arms.map(shown).join(", "),
      where: `${where}, group`,
    });
  }
  if (rows.size < 2) {
    throw new InputError({ expected: "2 or more studies", got: `${rows.size}`, where });
  }
  const arm = Float64Array.from(group, (name) => (name === columns.reference ? 0 : 1));
  const both = [...rows.values()].some(
    (studyRows) => new Set(studyRows.map((i) => realAt(arm, i))).size === 2,
  );
  if (!both) {
    throw new InputError({ expected: "a study with people in both arms", got: "none", where });
  }
  const unit = binaryUnit(y);
  const people = { unit, unitOfX: 1, rows, y: y.map((value) => value / unit), arm };
  if (columns.before === undefined) return people;
  const x = numbers(columns.before, `${where}, before`, 4);
  sameLength(x.length, y.length, `${where}, before`);
  const unitOfX = binaryUnit(x);
  return { ...people, unitOfX, x: x.map((value) => value / unitOfX) };
}

/** Rows by study with the columns of the fixed and the random effects; the arm comes first. */
function modelOf(people: People, intercepts: "fixed" | "random", effect: "random" | "common") {
  const studies = [...people.rows.values()];
  const centred = people.x && centredWithin(people.x, studies);
  const varies = studies.map(
    (rows) => centred !== undefined && rows.some((i) => realAt(centred, i) !== 0),
  );
  const groups = studies.map((rows, s): GroupRows => {
    const pick = (column: Float64Array) => Float64Array.from(rows, (i) => realAt(column, i));
    const arm = pick(people.arm);
    const ones = new Float64Array(rows.length).fill(1);
    const zeros = new Float64Array(rows.length);
    const whole = people.x && pick(people.x);
    const deviations = centred && pick(centred);
    const design =
      intercepts === "fixed"
        ? [
            arm,
            ...studies.map((_, t) => (t === s ? ones : zeros)),
            ...studies.flatMap((_, t) =>
              varies[t] && deviations ? [t === s ? deviations : zeros] : [],
            ),
          ]
        : [arm, ones, ...(whole && varies.some(Boolean) ? [whole] : [])];
    const shared = [
      ...(intercepts === "random" ? [ones] : []),
      ...(effect === "random" ? [arm] : []),
    ];
    return { y: pick(people.y), design, known: zeros, shared };
  });
  return { groups };
}

function centredWithin(x: Float64Array, studies: readonly (readonly number[])[]): Float64Array {
  const centred = new Float64Array(x.length);
  for (const rows of studies) {
    const centre = mean(Float64Array.from(rows, (i) => realAt(x, i)));
    const flat = rows.every((i) => realAt(x, i) === realAt(x, itemAt(rows, 0)));
    for (const i of rows) centred[i] = flat ? 0 : realAt(x, i) - centre;
  }
  return centred;
}

/** Starts from the residual variance of the fixed effects alone. */
function startOf(people: People, { groups }: { groups: readonly GroupRows[] }, where: string) {
  const first = itemAt(groups, 0);
  const columns = first.design.map((_, j) =>
    Float64Array.from(groups.flatMap(({ design }) => [...itemAt(design, j)])),
  );
  const y = Float64Array.from(groups.flatMap((group) => [...group.y]));
  const names = columns.map((_, j) => (j === 0 ? "group" : `column ${j}`));
  const fit = leastSquares(columns, y, names, where);
  const variance = fit.residualSum / fit.df;
  const size = Math.max(...people.y.map(Math.abs));
  if (!(variance > 1e-24 * size * size)) {
    const expected = "outcomes that vary beyond the model";
    throw new InputError({ expected, got: "a perfect fit", where });
  }
  const shared = first.shared.map(() => 0.3 * variance);
  return Float64Array.of(variance, ...shared);
}

function namedVariances(
  variances: Float64Array,
  unit: number,
  intercepts: "fixed" | "random",
  effect: "random" | "common",
) {
  const sd = (k: number) => unit * Math.sqrt(realAt(variances, k));
  const sds: { residualSd: number; interceptSd?: number; effectSd?: number } = {
    residualSd: sd(0),
  };
  const warnings: string[] = [];
  if (intercepts === "random") {
    sds.interceptSd = sd(1);
    if (sds.interceptSd === 0)
      warnings.push("The SD of the studies' intercepts is estimated as 0.");
  }
  if (effect === "random") {
    sds.effectSd = sd(variances.length - 1);
    if (sds.effectSd === 0) {
      warnings.push("The SD of the difference between studies is estimated as 0.");
    }
  }
  return { sds, warnings };
}

function predictionOf(
  { value }: Estimate,
  effectSd: number | undefined,
  se: number,
  studies: number,
  level: number,
): { prediction?: Interval } {
  if (effectSd === undefined || studies < 3) return {};
  const half = studentT(studies - 2).quantile((1 + level) / 2) * Math.hypot(effectSd, se);
  const method = `prediction, t(${studies - 2})`;
  return { prediction: { low: value - half, high: value + half, level, method } };
}
