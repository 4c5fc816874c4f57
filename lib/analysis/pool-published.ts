import { itemAt, present } from "../entry.js";
import { knownOptions } from "../options.js";
import { type Estimate, frozen, type Interval } from "../stats/estimate.js";
import { poolCorrelations } from "../stats/pool/pool-correlations.js";
import { decimalText } from "./decimal-text.js";
import { leaveOneOutOf } from "./leave-one-out.js";
import { type PooledRow, pooledEstimate, pooledRows } from "./pooled-row.js";
import {
  consistencyTable,
  type PublishedCorrelation,
  publishedCorrelations,
} from "./published-correlations.js";
import { column, limitColumns, limitsOf, type ResultTable, resultTable } from "./result-table.js";
import { type Answer, type AnswerFields, answer } from "./study-answer.js";

/** The pool of published correlations of grip with speed. */
export interface PublishedPool extends Answer {
  /** Name of the function that was asked. */
  readonly kind: "poolPublished";
  /**
   * The pool with the study whose correlation was not printed put in at the value least favourable to
   * a relation; a conclusion rests on this one.
   */
  readonly leastFavourable: Answer;
  /** The pool without each study, and with each value put in for the unknown one. */
  readonly sensitivity: ResultTable;
  /** Who the golfers were. */
  readonly golfers: ResultTable;
  /** Studies that print no correlation, and what their significance says of it. */
  readonly notPrinted: ResultTable;
  /** Printed correlations of all measures, with the p value computed again from r and n. */
  readonly consistency: ResultTable;
  /** The studies with their weights. */
  readonly rows: readonly PooledRow[];
  /** Where the true correlation of a new study may lie. */
  readonly prediction?: Interval;
  /** Names and unit of the axis. */
  readonly axis: { readonly quantity: string; readonly unit: string };
}

interface Entry {
  readonly label: string;
  readonly n: number;
  readonly r: number;
}

/**
 * Pools the published correlations of grip with the speed of club or ball, or with carry, by one
 * method: Fisher z, random effects (REML), modified Hartung–Knapp interval. Beside the pool stands
 * the pool without each study, and with −bound, 0 and +bound put in for the study that printed no
 * correlation because it was not significant: leaving it out favours a relation.
 *
 * @returns the pooled correlation between golfers; `leastFavourable` is what a conclusion rests on
 * @throws InputError when the published table cannot be read
 */
export function poolPublished(options: Record<string, never> = {}): PublishedPool {
  knownOptions(options, [], "poolPublished");
  const { known, unknown, significant, rows } = publishedCorrelations();
  const entries = known.map(({ label, n, r }): Entry => ({ label, n, r: present(r) }));
  const whole = poolOf(entries);
  const without = entries.map((_, i) => poolOf(entries.filter((_one, j) => j !== i)));
  const put = unknown.flatMap((one) => putIn(entries, one));
  const fields = fieldsOf(entries, rows);
  const lowest = [...put].sort((a, b) => low(a.estimate) - low(b.estimate))[0];
  return frozen({
    ...answer({
      ...fields,
      estimate: pooledEstimate(whole.estimate),
      leaveOneOut: leaveOneOutOf(
        whole.estimate,
        entries.map(({ label }) => label),
        without.map(({ estimate }) => estimate),
        "study",
      ),
      warnings: [...ageWarning(known), ...unknownWarning(put)],
    }),
    kind: "poolPublished" as const,
    leastFavourable: leastFavourable(fields, lowest),
    sensitivity: sensitivityTable(entries, whole.estimate, without, put),
    golfers: golfersTable(known),
    notPrinted: notPrintedTable([...unknown, ...significant]),
    consistency: consistencyTable(),
    rows: pooledRows(whole.studies, entries),
    ...(whole.prediction && { prediction: whole.prediction }),
    axis: { quantity: "Correlation of grip and speed between golfers", unit: "r" },
  });
}

function poolOf(entries: readonly Entry[]) {
  return poolCorrelations({
    r: entries.map(({ r }) => r),
    n: entries.map(({ n }) => n),
    label: entries.map(({ label }) => label),
  });
}

function low({ interval }: Estimate): number {
  return interval?.low ?? Number.NEGATIVE_INFINITY;
}

/** The pool with a value put in for an unknown correlation. */
interface PutIn {
  readonly label: string;
  readonly r: number;
  readonly n: number;
  readonly estimate: Estimate;
}

function putIn(entries: readonly Entry[], { label, n, bound = 0 }: PublishedCorrelation): PutIn[] {
  return [-bound, 0, bound].map((r) => {
    const { estimate } = poolOf([...entries, { label, n, r }]);
    return { label, r, n, estimate };
  });
}

function fieldsOf(entries: readonly Entry[], rows: number): AnswerFields {
  return {
    kind: "poolPublished",
    quantity: "relation",
    aspect: "pooled correlation of published studies",
    measure: { outcome: "speed", name: "Shot speed or distance" },
    on: { outcome: "grip", name: "Grip strength" },
    unit: "",
    count: { n: entries.reduce((sum, { n }) => sum + n, 0), of: "golfers" },
    rule: "as published",
    method: `${poolOf(entries).method}, ${entries.length} studies`,
    source: {
      files: ["published/correlations.csv"],
      rowsUsed: entries.length,
      setAside: [
        {
          reason: "no grip dynamometer, or no correlation reported",
          rows: rows - entries.length,
        },
      ],
      participants: [],
    },
  };
}

function leastFavourable(fields: AnswerFields, lowest: PutIn | undefined): Answer {
  if (!lowest) {
    return answer({ ...fields, unanswered: "Every study reports its correlation." });
  }
  return answer({
    ...fields,
    aspect: `${fields.aspect}, with ${decimalText(lowest.r, 3)} for ${lowest.label}`,
    count: { n: fields.count.n + lowest.n, of: "golfers" },
    method: fields.method
      .replace(/\d+ studies/, (words) => `${Number.parseInt(words, 10) + 1} studies`)
      .replace(/t\(\d+\)/, (t) => `t(${Number.parseInt(t.slice(2), 10) + 1})`),
    estimate: pooledEstimate(lowest.estimate),
  });
}

function ageWarning(known: readonly PublishedCorrelation[]): string[] {
  const total = known.reduce((sum, { n }) => sum + n, 0);
  const young = known.filter(({ age }) => /^\d+-\d+$/.test(age) && Number(age.split("-")[1]) <= 18);
  if (young.length === 0) return [];
  const golfers = young.reduce((sum, { n }) => sum + n, 0);
  const ages = [...new Set(young.map(({ age }) => age.replace("-", " to ")))].join(", ");
  return [`${golfers} of the ${total} golfers are ${ages} years old.`];
}

function unknownWarning(put: readonly PutIn[]): string[] {
  const open = put.filter(({ estimate }) => low(estimate) <= 0);
  if (open.length === 0) return [];
  const values = open.map(({ r }) => decimalText(r, 3).replace(/^0\.000$/, "0"));
  return [
    `${itemAt(open, 0).label} reported no correlation because it was not significant; with ${values.join(" or ")} put in for it the interval includes zero.`,
  ];
}

function sensitivityTable(
  entries: readonly Entry[],
  whole: Estimate,
  without: readonly { readonly estimate: Estimate }[],
  put: readonly PutIn[],
): ResultTable {
  const row = (what: string, studies: number, { value, interval }: Estimate) => ({
    what,
    studies,
    value,
    ...limitsOf(interval),
  });
  const count = entries.length;
  return resultTable(
    "The pooled correlation of all studies, without each study, and with each value assumed for a correlation that was not reported; one method throughout.",
    [
      column("what", "Studies"),
      column("studies", "Number", "", 0),
      column("value", "Pooled r", "", 2),
      ...limitColumns("", 2),
    ],
    [
      row("all with a reported correlation", count, whole),
      ...without.map(({ estimate }, i) =>
        row(`without ${itemAt(entries, i).label}`, count - 1, estimate),
      ),
      ...put.map(({ label, r, estimate }) =>
        row(`with ${decimalText(r, 3)} for ${label}`, count + 1, estimate),
      ),
    ],
  );
}

function golfersTable(known: readonly PublishedCorrelation[]): ResultTable {
  return resultTable(
    "The golfers of the pooled studies.",
    [
      column("label", "Study"),
      column("n", "Golfers", "", 0),
      column("age", "Age (years)"),
      column("predictor", "Grip measure"),
      column("r", "Published r", "", 2),
    ],
    known.map(({ label, n, age, predictor, r }) => ({ label, n, age, predictor, r: r ?? null })),
  );
}

function notPrintedTable(bounded: readonly PublishedCorrelation[]): ResultTable {
  return resultTable(
    "Studies of grip that report no correlation: what the reported significance implies.",
    [
      column("label", "Study"),
      column("predictor", "Grip measure"),
      column("n", "Golfers", "", 0),
      column("printed", "Published p"),
      column("critical", "Critical |r|", "", 3),
    ],
    bounded.map(({ label, predictor, n, printed, bound }) => ({
      label,
      predictor,
      n,
      printed,
      critical: bound ?? null,
    })),
  );
}
