import { itemAt, present } from "../../entry.js";
import { unlessRefused } from "../../errors.js";
import { reliability } from "../../stats/reliability.js";
import { responders } from "../../stats/responders.js";
import { conversionFactor } from "../../units/convert.js";
import type { Study } from "../study.js";
import { beforeAfter } from "./before-after.js";
import type { Measure } from "./measures.js";
import { trialsByPerson } from "./trials-by-person.js";

/** What two values of an unchanged person differ by. */
export interface MeasuringError {
  /** Typical error of one value, in the unit of the measure. */
  readonly typical: number;
  /** Its degrees of freedom. */
  readonly df: number;
  /** Golfers that it was estimated from. */
  readonly people: number;
  /** Whether it holds what visits differ by; without that it is too small. */
  readonly betweenVisits: boolean;
  /** Where it is from, in words. */
  readonly from: string;
}

/** The change of one golfer from the first to the last visit, compared with measurement error. */
export interface GolferChange {
  /** Last visit − first visit, in the unit of the series. */
  readonly value: number;
  /** t √2 typical errors: what an unchanged golfer's change stays within 95 times in 100. */
  readonly detectable: number;
  /** Whether the change exceeds what an unchanged golfer shows. */
  readonly verdict: "up" | "down" | "within error";
  /** Golfers that the error was estimated from. */
  readonly people: number;
  /** The error holds what visits differ by; without that it is too small, and the sheet says so. */
  readonly betweenVisits: boolean;
  /** Where the error is from. */
  readonly from: string;
}

/**
 * The typical error of one value of a measure: from visit to visit in the control arm where there
 * is one, else from the trials of one visit, which is too little and said to be. Nothing where too
 * few people were measured for an error.
 */
export function measuringError(study: Study, measure: Measure): MeasuringError | undefined {
  const order = [...study.design.occasions].sort((a, b) => a.week - b.week);
  const [before, after] = [itemAt(order, 0).id, present(order.at(-1)).id];
  const control = study.design.arms.find((arm) => arm.control);
  return unlessRefused(() =>
    control && before !== after
      ? betweenVisits(study, measure, { before, after, control })
      : withinVisit(study, measure, before),
  );
}

interface Retest {
  readonly before: string;
  readonly after: string;
  readonly control: { readonly id: string; readonly title: string };
}

function betweenVisits(
  study: Study,
  { summary, where, value }: Measure,
  { before, after, control }: Retest,
): MeasuringError {
  const pairs = beforeAfter(study, summary, { before, after, where, value });
  const rows = pairs.before
    .map((first, i) => [first, itemAt(pairs.after, i)])
    .filter((_, i) => pairs.arm[i] === control.id);
  const { value: typical, df } = reliability(rows).typicalError;
  return {
    typical,
    df: present(df),
    people: rows.length,
    betweenVisits: true,
    from: `from visit to visit in the group “${control.title}”`,
  };
}

/** The error of a mean of the visit's trials. */
function withinVisit(study: Study, measure: Measure, occasion: string): MeasuringError {
  const where = { ...measure.where, occasion };
  const { table, unit } = trialsByPerson(study, { trials: measure.trials, where });
  const factor = conversionFactor(unit, measure.unit);
  const trials = table[0]?.length ?? 1;
  const { value: typical, df } = reliability(table).typicalError;
  return {
    typical: (typical * factor) / Math.sqrt(trials),
    df: present(df),
    people: table.length,
    betweenVisits: false,
    from: "between the tries of one visit; from visit to visit it is larger",
  };
}

/** A golfer's first and last value against the error; nothing where one of them is missing. */
export function changeAgainst(
  error: MeasuringError | undefined,
  values: readonly (number | null)[],
): GolferChange | undefined {
  const [first, last] = [values[0], values.at(-1)];
  if (!error || values.length < 2 || first == null || last == null) return undefined;
  const [result] = responders([last - first], {
    typicalError: error.typical,
    typicalErrorDf: error.df,
  });
  return {
    value: last - first,
    detectable: (present(result).high - present(result).low) / 2,
    verdict: present(result).verdict,
    people: error.people,
    betweenVisits: error.betweenVisits,
    from: error.from,
  };
}
