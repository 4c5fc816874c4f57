import { present } from "../entry.js";
import { InputError } from "../errors.js";
import { knownOptions } from "../options.js";
import { pairedChange } from "../stats/change.js";
import { reviewGains } from "../stats/consistency.js";
import { type Estimate, frozen, type Interval } from "../stats/estimate.js";
import { pool } from "../stats/pool/pool.js";
import { publishedTable } from "../study/package/published.js";
import { leaveOneOutOf } from "./leave-one-out.js";
import type { Change } from "./outcome.js";
import { type PooledRow, pooledRows } from "./pooled-row.js";
import { column, limitColumns, type ResultTable, resultTable } from "./result-table.js";
import { type Answer, type AnswerFields, answer } from "./study-answer.js";

/** The pool of published gains in club speed. */
export interface PublishedGains extends Answer {
  /** Name of the function that was asked. */
  readonly kind: "poolGains";
  /** How many of the published gains are so large that device and units ask for a second look. */
  readonly marked: Answer;
  /** Every published gain that is one number, and the rows that print none. */
  readonly gains: ResultTable;
  /** The pool with the marked gain too, and that pool without each study. */
  readonly withoutEach: ResultTable;
  /** The studies of the pool with their weights. */
  readonly rows: readonly PooledRow[];
  /** Where the true gain of a new study may lie. */
  readonly prediction?: Interval;
  /** Names and unit of the axis. */
  readonly axis: { readonly quantity: string; readonly unit: string };
}

/** A published gain of a trained group. */
interface Gain {
  readonly label: string;
  /** Golfers trained. */
  readonly n: number;
  /** In percent. */
  readonly percent: number;
  readonly weeks: string;
  readonly control: string;
  readonly marked: boolean;
}

/**
 * Pools the published gains in club speed of trained groups, most of them without a control arm:
 * random effects (REML), modified Hartung–Knapp interval. None of the studies prints a standard
 * error; the spread of golfers' changes is assumed to be the largest of the trained arms of some
 * studies at hand. A gain above 8 % is marked and left out of the pool; `withoutEach` has it.
 *
 * @param options spreadOf: changes of club speed on logarithms, `outcome("speed").logged().change()`
 * @returns the pooled gain in percent; why there is none in `unanswered`
 * @throws InputError when a change is not on logarithms, or the published table cannot be read
 */
export function poolGains(options: { readonly spreadOf: readonly Change[] }): PublishedGains {
  knownOptions(options, ["spreadOf"], "poolGains");
  const sd = largestSpread(options.spreadOf);
  const { gains, others } = publishedGains();
  const believed = gains.filter(({ marked }) => !marked);
  const whole = poolOf(believed, sd);
  const left = believed.map((one) => poolOf(without(believed, one), sd).estimate);
  const fields = fieldsOf(believed, gains, whole.method);
  return frozen({
    ...answer({
      ...fields,
      estimate: whole.estimate,
      leaveOneOut: leftOut(whole.estimate, believed, left),
      warnings: [
        `No study prints a standard error; a standard deviation of changes of ${sd.toFixed(1)} % is assumed for each.`,
        "Most of the groups had no control arm; a gain includes any change that would have happened without training.",
      ],
    }),
    kind: "poolGains" as const,
    marked: markedAnswer(fields, gains),
    gains: gainsTable(gains, others),
    withoutEach: withoutTable(gains, sd),
    rows: pooledRows(whole.studies, believed),
    ...(whole.prediction && { prediction: whole.prediction }),
    axis: { quantity: "Gain in club speed of trained groups", unit: "%" },
  });
}

/** The largest standard deviation of changes, in percent, of the trained arms. */
function largestSpread(changes: readonly Change[]): number {
  const where = "poolGains, spreadOf";
  const logged = changes.filter(({ outcome }) => outcome.isLogged && outcome.quantity === "speed");
  if (logged.length === 0 || logged.length < changes.length) {
    const expected = "changes of club speed on logarithms";
    throw new InputError({ expected, got: "others, or none", where });
  }
  return Math.max(
    ...logged.map((change) => {
      const { arms } = change.outcome.study.design;
      const trained = arms.filter((arm) => arm.control !== true).map(({ id }) => id);
      const rows = change.rows.filter(({ arm }) => trained.includes(arm));
      const paired = pairedChange(
        rows.map(({ before }) => before),
        rows.map(({ after }) => after),
      );
      return 100 * paired.sdChange;
    }),
  );
}

function publishedGains(): { gains: readonly Gain[]; others: readonly string[] } {
  const { rows } = publishedTable("training-effects");
  const isNumber = (value: unknown) => value !== null && Number.isFinite(Number(value));
  const printed = rows.filter((row) => isNumber(row.chs_pct));
  const { rows: reviewed } = reviewGains({ percent: printed.map((row) => Number(row.chs_pct)) });
  const gains = printed.map((row, i) => ({
    label: `${String(row.study).split(" ")[0]} ${row.year}`,
    n: Number(row.n_trained),
    percent: Number(row.chs_pct),
    weeks: String(row.weeks),
    control: String(row.control),
    marked: present(reviewed[i]).review,
  }));
  const others = rows
    .filter((row) => !isNumber(row.chs_pct))
    .map((row) => {
      const text = row.chs_pct === null ? "no percentage reported" : row.chs_pct;
      return `${String(row.study).split(" J ")[0]} (${text})`;
    });
  return { gains, others };
}

function poolOf(gains: readonly Gain[], sd: number) {
  return pool(
    {
      estimate: gains.map(({ percent }) => percent),
      se: gains.map(({ n }) => sd / Math.sqrt(n)),
      label: gains.map(({ label }) => label),
    },
    { method: "REML" },
  );
}

function without(gains: readonly Gain[], out: Gain): Gain[] {
  return gains.filter((one) => one !== out);
}

function leftOut(whole: Estimate, gains: readonly Gain[], left: readonly Estimate[]) {
  const labels = gains.map(({ label }) => label);
  return leaveOneOutOf(whole, labels, left, "study");
}

function fieldsOf(believed: readonly Gain[], gains: readonly Gain[], method: string): AnswerFields {
  return {
    kind: "poolGains",
    quantity: "change",
    aspect: "trained groups of published studies pooled",
    measure: { outcome: "speed", name: "Club-head speed" },
    unit: "%",
    count: { n: believed.reduce((sum, { n }) => sum + n, 0), of: "golfers" },
    rule: "as published",
    method: `${method}, ${believed.length} studies, spread of changes assumed`,
    source: {
      files: ["published/training-effects.csv"],
      rowsUsed: believed.length,
      setAside: [{ reason: "gain above 8 %", rows: gains.length - believed.length }],
      participants: [],
    },
  };
}

function markedAnswer(fields: AnswerFields, gains: readonly Gain[]): Answer {
  const value = gains.filter(({ marked }) => marked).length;
  const left = gains.map((out) => without(gains, out).filter(({ marked }) => marked).length);
  return answer({
    ...fields,
    quantity: "share",
    aspect: "published gains above 8 %, to be looked at again",
    unit: `of ${gains.length}`,
    count: { n: gains.length, of: "studies" },
    method: "counting",
    source: { ...fields.source, rowsUsed: gains.length, setAside: [] },
    estimate: { value },
    leaveOneOut: leftOut(
      { value },
      gains,
      left.map((count) => ({ value: count })),
    ),
  });
}

function gainsTable(gains: readonly Gain[], others: readonly string[]): ResultTable {
  return resultTable(
    `Published gains in club speed, one number per trained group; ${others.length} further rows print none: ${others.join("; ")}.`,
    [
      column("label", "Study"),
      column("weeks", "Weeks"),
      column("n", "Golfers trained", "", 0),
      column("control", "Control arm"),
      column("percent", "Gain", "%", 1),
      column("marked", "Second look"),
    ],
    gains.map((one) => ({ ...one, marked: one.marked ? "yes" : "no" })),
  );
}

function withoutTable(gains: readonly Gain[], sd: number): ResultTable {
  const row = (label: string, of: readonly Gain[]) => {
    const { estimate, i2 } = poolOf(of, sd);
    const { low, high } = present(estimate.interval);
    return { label, value: estimate.value, low, high, i2 };
  };
  return resultTable(
    "The pooled gain of all studies, the marked one included, and without each study.",
    [
      column("label", "Studies"),
      column("value", "Pooled gain", "%", 1),
      ...limitColumns("%", 1),
      column("i2", "I²", "%", 0),
    ],
    [row("all", gains), ...gains.map((out) => row(`without ${out.label}`, without(gains, out)))],
  );
}
