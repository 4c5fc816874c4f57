import { fisherF } from "../num/distributions.js";
import { knownOptions } from "../options.js";
import { type Estimate, frozen, type Interval } from "./estimate.js";
import { confidenceLevel } from "./input.js";
import { type MeanSquares, type TrialTable, trialTable } from "./trials.js";

/** The six forms of Shrout and Fleiss: model (1, 2, 3), then one trial or the mean of k. */
export type IccForm = "ICC(1,1)" | "ICC(2,1)" | "ICC(3,1)" | "ICC(1,k)" | "ICC(2,k)" | "ICC(3,k)";

/** All six intraclass correlations of one table; a form that does not exist is left out. */
export type Icc = { readonly [form in IccForm]?: Estimate } & {
  readonly kind: "icc";
  /** Number of people. */
  readonly n: number;
  /** Number of trials, k. */
  readonly trials: number;
  readonly meanSquares: MeanSquares;
  readonly method: string;
  readonly warnings: readonly string[];
};

/**
 * Intraclass correlations of people × trials, all six forms of Shrout and Fleiss.
 *
 * With mean squares B between people, W within people, T between trials, E error, n people and k
 * trials: ICC(1,1) = (B − W) / (B + (k − 1)W); ICC(2,1) = (B − E) / (B + (k − 1)E + k(T − E)/n);
 * ICC(3,1) = (B − E) / (B + (k − 1)E); and for means of k trials (B − W)/B,
 * (B − E) / (B + (T − E)/n), (B − E)/B. Intervals from F; that of form 2 uses Satterthwaite's
 * degrees of freedom as a real number. `statistic` and `p` are those of F = B/W or B/E against an
 * ICC of 0. A negative estimate is reported as it is.
 *
 * @param table rows are people, columns are trials; at least 2 × 2, any one unit
 * @returns estimates without unit; a form that would divide by 0 is left out and named in `warnings`
 * @throws InputError when the table is not rectangular, too small, or holds a value that is not finite
 * @see Shrout & Fleiss (1979) Psychol Bull 86:420–428; McGraw & Wong (1996) Psychol Methods 1:30–46
 * @example icc([[9, 2, 5, 8], [6, 1, 3, 2], [8, 4, 6, 8], [7, 1, 2, 6], [10, 5, 6, 9], [6, 2, 4, 7]])["ICC(2,1)"].value // 0.2897637795275591
 */
export function icc(table: ArrayLike<ArrayLike<number>>, options: { level?: number } = {}): Icc {
  knownOptions(options, ["level"], "icc");
  const { level = 0.95 } = options;
  const checked = trialTable(table, "icc");
  return iccOf(checked, confidenceLevel(level, "icc"));
}

/** The six forms of a checked table. */
export function iccOf(table: TrialTable, level: number): Icc {
  const { people: n, trials: k, meanSquares } = table;
  const { people, trials, error, within } = meanSquares;
  const warnings: string[] = [];
  const one = consistency(people, within, n, n * (k - 1), k, level);
  const three = consistency(people, error, n, (n - 1) * (k - 1), k, level);
  const twoBelow = people + (k - 1) * error + (k * (trials - error)) / n;
  const twoMeanBelow = people + (trials - error) / n;
  const interval = agreementInterval(table, level);
  const meanInterval = ofMeans(interval, k);
  const test = fTest(people, error, n - 1, (n - 1) * (k - 1));
  const forms: [IccForm, Estimate | undefined][] = [
    ["ICC(1,1)", one.single],
    [
      "ICC(2,1)",
      twoBelow > 0
        ? { value: (people - error) / twoBelow, ...test, ...(interval && { interval }) }
        : undefined,
    ],
    ["ICC(3,1)", three.single],
    ["ICC(1,k)", one.average],
    [
      "ICC(2,k)",
      twoMeanBelow > 0
        ? {
            value: (people - error) / twoMeanBelow,
            ...test,
            ...(meanInterval && { interval: meanInterval }),
          }
        : undefined,
    ],
    ["ICC(3,k)", three.average],
  ];
  // identical people: what is left are shifts between trials, about which an ICC says nothing
  const identical = people === 0 && error === 0;
  const present = identical
    ? []
    : forms.filter((form): form is [IccForm, Estimate] => form[1] !== undefined);
  if (identical)
    warnings.push("Every person has the same trials: people do not differ, so there is no ICC.");
  else warn(meanSquares, forms, warnings);
  if (!identical && interval !== undefined && twoMeanBelow > 0 && meanInterval === undefined) {
    warnings.push(
      "ICC(2,k) has no interval: the lower limit for one trial lies where Spearman–Brown has no meaning.",
    );
  }
  return frozen({
    kind: "icc",
    n,
    trials: k,
    ...Object.fromEntries(present),
    meanSquares,
    method: "Shrout and Fleiss, intervals from F",
    warnings,
  } as Icc);
}

function warn(
  { people, error, within }: MeanSquares,
  forms: readonly [IccForm, Estimate | undefined][],
  warnings: string[],
): void {
  const absent = forms.filter(([, estimate]) => estimate === undefined).map(([form]) => form);
  if (absent.length > 0) {
    warnings.push(`People do not differ enough to define ${absent.join(", ")}; left out.`);
  }
  if (people < error || people < within) {
    warnings.push(
      "People differ less than their own trials do: a variance between people is negative and is reported unclipped.",
    );
  }
}

/** ICC of one trial and of the mean of k, for the forms that are functions of one F. */
function consistency(
  people: number,
  noise: number,
  n: number,
  dfNoise: number,
  k: number,
  level: number,
): { single?: Estimate; average?: Estimate } {
  const below = people + (k - 1) * noise;
  if (below === 0) return {};
  const value = (people - noise) / below;
  const single = (f: number) => (f - 1) / (f + k - 1);
  const average = (f: number) => 1 - 1 / f;
  const method = "F";
  if (noise === 0) {
    const interval = { low: 1, high: 1, level, method };
    return { single: { value, interval }, average: { value: 1, interval } };
  }
  const f = people / noise;
  const tail = (1 + level) / 2;
  const low = f / fisherF(n - 1, dfNoise).quantile(tail);
  const high = f * fisherF(dfNoise, n - 1).quantile(tail);
  const test = fTest(people, noise, n - 1, dfNoise);
  return {
    single: { value, ...test, interval: { low: single(low), high: single(high), level, method } },
    ...(people === 0
      ? {}
      : {
          average: {
            value: average(f),
            ...test,
            interval: { low: average(low), high: average(high), level, method },
          },
        }),
  };
}

function fTest(above: number, below: number, df1: number, df2: number) {
  if (below === 0) return {};
  const statistic = above / below;
  return { statistic, p: fisherF(df1, df2).upper(statistic) };
}

/** Interval of ICC(2,1): Shrout & Fleiss (1979) p. 424, with Satterthwaite's degrees of freedom. */
function agreementInterval(
  { people: n, trials: k, meanSquares }: TrialTable,
  level: number,
): Interval | undefined {
  const { people: b, trials: t, error: e } = meanSquares;
  const below = b + (k - 1) * e + (k * (t - e)) / n;
  if (!(below > 0)) return undefined;
  const df = agreementDf(n, k, b, t, e);
  const method = `F, Satterthwaite df ${df.toFixed(2)}`;
  const rest = k * t + (k * n - k - n) * e;
  if (rest === 0) return { low: 1, high: 1, level, method };
  const tail = (1 + level) / 2;
  const down = fisherF(n - 1, df).quantile(tail);
  const up = fisherF(df, n - 1).quantile(tail);
  const low = (n * (b - down * e)) / (down * rest + n * b);
  const high = (n * (up * b - e)) / (rest + n * up * b);
  // where both limits are one number, rounding may turn them around
  return { low: Math.min(low, high), high: Math.max(low, high), level, method };
}

function agreementDf(n: number, k: number, b: number, t: number, e: number): number {
  const rho = (b - e) / (b + (k - 1) * e + (k * (t - e)) / n);
  // as shares of the larger mean square: the formula is free of units, their squares are not
  const unit = Math.max(t, e) || 1;
  const trialPart = (k * rho * t) / unit;
  const errorPart = ((n * (1 + (k - 1) * rho) - k * rho) * e) / unit;
  const spread = (n - 1) * trialPart ** 2 + errorPart ** 2;
  const df = ((k - 1) * (n - 1) * (trialPart + errorPart) ** 2) / spread;
  // A negative ICC can make the parts cancel and the formula void: then take its value at ICC = 0.
  return df >= 0.5 ? df : (n - 1) * (k - 1);
}

/** Spearman–Brown: limits for one trial turned into limits for the mean of k. */
function ofMeans(interval: Interval | undefined, k: number): Interval | undefined {
  // below −1/(k − 1) the formula has no meaning for limits, and would turn them around
  if (interval === undefined || 1 + (k - 1) * interval.low <= 0) return undefined;
  const step = (r: number) => (k * r) / (1 + (k - 1) * r);
  return { ...interval, low: step(interval.low), high: step(interval.high) };
}
