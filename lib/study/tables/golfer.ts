import type { ColumnTable } from "arquero";
import { itemAt } from "../../entry.js";
import { InputError } from "../../errors.js";
import { frozen } from "../../stats/estimate.js";
import { normPercentile } from "../norms.js";
import type { Study } from "../study.js";
import { type Measure, measuresOf } from "./measures.js";
import {
  changeAgainst,
  type GolferChange,
  type MeasuringError,
  measuringError,
} from "./measuring-error.js";
import { isNumber } from "./training.js";

/** One quantity of a golfer over the visits: a hand in a position, or a club. */
export interface GolferSeries {
  /** What is measured, in words. */
  readonly name: string;
  /** Which hand it is, or club speed. */
  readonly role: Measure["role"];
  /** Unit of the values. */
  readonly unit: string;
  /** How trials became one value, in words. */
  readonly rule: string;
  /** Trials and their summary, visit by visit; no value where nothing was measured. */
  readonly visits: readonly { readonly trials: readonly number[]; readonly value: number | null }[];
  /** Change from the first to the last visit; left out where one of them is missing. */
  readonly change?: GolferChange;
}

/** The highest squeeze of the last visit, kgf, beside people of the same sex and age. */
export interface GolferNorm {
  /** The highest squeeze, kgf. */
  readonly best: number;
  /** Hand and position of that squeeze, in words. */
  readonly hand: string;
  /** The group that it is compared with, in words. */
  readonly group: string;
  /** Median or mean of the group, kgf. */
  readonly median: number;
  /** Fifth of the group that the value lies in, in words. */
  readonly band: string;
  /** Lower end of the range to expect in one person, kgf. */
  readonly low: number;
  /** Upper end of that range, kgf. */
  readonly high: number;
  /** Citation of the published table. */
  readonly source: string;
  /** Sentences about safety and limits that are shown with the data. */
  readonly cautions: readonly string[];
}

/** What a study says about one golfer. */
export interface GolferResults {
  /** Name of this record. */
  readonly kind: "golferResults";
  /** Code of the golfer. */
  readonly code: string;
  /** Title of the golfer's arm. */
  readonly arm: string;
  /** Each quantity over the visits. */
  readonly series: readonly GolferSeries[];
  /** The highest squeeze beside people of the same sex and age. */
  readonly norm?: GolferNorm;
  /** Why there is no norm, when there is none. */
  readonly noNorm?: string;
}

type Row = Readonly<Record<string, string | number | null>>;

/** Rows of one measure, sorted once for all golfers. */
interface Prepared {
  readonly measure: Measure;
  readonly trials: readonly Row[];
  readonly values: readonly Row[];
  readonly error: MeasuringError | undefined;
}

/**
 * Every participant's own results, in the order of the participants file: trials, values, the
 * change from the first to the last visit against measuring error, and the place among people of
 * the same sex and age.
 */
export function golferResults(study: Study): GolferResults[] {
  const occasions = [...study.design.occasions].sort((a, b) => a.week - b.week);
  const ids = occasions.map(({ id }) => id);
  const prepared = measuresOf(study).map((measure) => ({
    measure,
    trials: rowsOf(measure.trials === "grip" ? study.gripTrials : study.swingTrials, measure.where),
    values: rowsOf(measure.summary, measure.where),
    error: measuringError(study, measure),
  }));
  return (study.participants.objects() as Row[]).map((person) => {
    const code = String(person.participant);
    const series = prepared.map((one) => seriesOf(code, ids, one));
    const norm = normOf(person, series);
    return frozen({
      kind: "golferResults",
      code,
      arm: study.design.arms.find(({ id }) => id === person.arm)?.title ?? String(person.arm),
      series: series.filter(({ visits }) => visits.some(({ trials }) => trials.length > 0)),
      ...(typeof norm === "string" ? { noNorm: norm } : { norm }),
    });
  });
}

function rowsOf(table: ColumnTable, where: Readonly<Record<string, string>>): Row[] {
  const rows = table.objects() as Row[];
  return rows.filter((row) => Object.entries(where).every(([key, value]) => row[key] === value));
}

function seriesOf(
  code: string,
  occasions: readonly string[],
  { measure, trials, values, error }: Prepared,
): GolferSeries {
  const visits = occasions.map((occasion) => {
    const at = (row: Row) => row.participant === code && row.occasion === occasion;
    const value = values.find(at)?.[measure.value];
    return {
      trials: trials.filter(at).map((row) => Number(row[measure.trial])),
      value: isNumber(value) ? value : null,
    };
  });
  const { name, role, unit, rule } = measure;
  const inOrder = visits.map(({ value }) => value);
  const change = changeAgainst(error, inOrder);
  return { name, role, unit, rule, visits, ...(change ? { change } : {}) };
}

/** The highest squeeze of the last visit with any, and whose hand in which position. */
function bestSqueeze(series: readonly GolferSeries[]): { force: number; hand: string } | undefined {
  const grips = series.filter(({ role }) => role !== "speed");
  const last = grips[0]
    ? grips[0].visits.findLastIndex((_, i) =>
        grips.some((one) => itemAt(one.visits, i).trials.length),
      )
    : -1;
  const tried = grips.flatMap((one) =>
    (one.visits[last]?.trials ?? []).map((force) => ({ force, hand: one.name })),
  );
  return tried.sort((a, b) => b.force - a.force)[0];
}

/** The norm, or why there is none. */
function normOf(person: Row, series: readonly GolferSeries[]): GolferNorm | string {
  const best = bestSqueeze(series);
  if (!best) return "no squeeze was recorded";
  const { sex, age_years: ageYears } = person;
  if (typeof sex !== "string" || !isNumber(ageYears)) return "sex or age is not recorded";
  try {
    const place = normPercentile(
      { sex, ageYears, gripKgf: best.force },
      { table: "tomkinson2025" },
    );
    const { group, centreKgf, band, individual, source, cautions } = place;
    const about = { group, median: centreKgf, band, ...individual, source, cautions };
    return { best: best.force, hand: best.hand, ...about };
  } catch (error) {
    if (error instanceof InputError)
      return `the published table has no group for this golfer (${error.expected})`;
    throw error;
  }
}
