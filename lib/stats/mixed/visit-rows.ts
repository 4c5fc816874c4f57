import { itemAt, wholeAt } from "../../entry.js";
import { InputError } from "../../errors.js";
import type { Numbers } from "../estimate.js";
import { numbers, sameLength, shown } from "../input.js";
import { inOrder } from "./model-matrix.js";

/** Labels of one column: text, or whole numbers such as participant or visit numbers. */
export type LabelColumn = ArrayLike<string | number>;

/** Repeated measurements: one row per subject and visit that was measured. */
export interface VisitColumns {
  /** Whose row each is. */
  readonly subject: LabelColumn;
  /** Label of the visit of each row. */
  readonly visit: LabelColumn;
  /** The outcome, in its own unit. */
  readonly y: Numbers;
  /** The arm of the subject, the same in each row of a subject; left out with one arm. */
  readonly arm?: LabelColumn;
  /** Covariates by name: a column of numbers, or of labels, which are coded 0 and 1. */
  readonly terms?: Readonly<Record<string, Numbers | LabelColumn>>;
}

/** A covariate in sorted order: its numbers, or for labels their codes in `levels`. */
export interface Covariate {
  /** Name of the covariate. */
  readonly name: string;
  /** One number per sorted row. */
  readonly values: Float64Array;
  /** Labels that the codes stand for; left out for a column of numbers. */
  readonly levels?: readonly string[];
}

/** The checked rows, sorted by subject and within a subject by visit. */
export interface VisitRows {
  /** Labels of the subjects, in sorted order. */
  readonly subjects: readonly string[];
  /** In the order of the study: numbers by size, texts by the numbers in them ("w0", "w6", "w12"). */
  readonly visits: readonly string[];
  /** In the same order; one arm named "all" when no arm was given. */
  readonly arms: readonly string[];
  /** Row of the caller's columns that stands at each sorted place. */
  readonly order: Int32Array;
  /** Sorted place of each subject's first row, and the number of rows at the end. */
  readonly starts: Int32Array;
  /** Visit and arm of each sorted row, as indexes. */
  readonly visit: Int32Array;
  /** Arm of each sorted row, as an index. */
  readonly arm: Int32Array;
  /** Outcome of each sorted row, in its own unit. */
  readonly y: Float64Array;
  /** Covariates in sorted order. */
  readonly covariates: readonly Covariate[];
}

/** The name of the only arm of a study without arms. */
const ONLY_ARM = "all";

/**
 * Checks the columns of repeated measurements.
 * @throws InputError for unequal lengths, values that are not finite, a subject in two arms, or two
 *   rows of one subject at one visit
 */
export function visitRows(columns: VisitColumns, where: string): VisitRows {
  const y = numbers(columns.y, `${where}, y`);
  const subject = coded(labelTexts(columns.subject, `${where}, subject`, y.length), firstSeen);
  const visit = coded(labelTexts(columns.visit, `${where}, visit`, y.length), naturalOrder);
  const armTexts = columns.arm
    ? labelTexts(columns.arm, `${where}, arm`, y.length)
    : Array.from(y, () => ONLY_ARM);
  const arm = coded(armTexts, naturalOrder);
  const order = Int32Array.from(y.keys()).sort(
    (a, b) =>
      wholeAt(subject.codes, a) - wholeAt(subject.codes, b) ||
      wholeAt(visit.codes, a) - wholeAt(visit.codes, b) ||
      a - b,
  );
  const rows = {
    subjects: subject.labels,
    visits: visit.labels,
    arms: arm.labels,
    order,
    starts: startsOf(subject, order),
    visit: order.map((row) => wholeAt(visit.codes, row)),
    arm: order.map((row) => wholeAt(arm.codes, row)),
    y: inOrder(y, order),
    covariates: covariatesOf(columns.terms ?? {}, order, where),
  };
  checkSubjects(rows, where);
  return rows;
}

/** A column of labels as text; whole numbers are labels too. */
export function labelTexts(column: LabelColumn, where: string, count: number): string[] {
  if (column === null || typeof column !== "object" || typeof column.length !== "number") {
    throw new InputError({ expected: "a column of labels", got: shown(column), where });
  }
  sameLength(column.length, count, where);
  return Array.from(column, (value, i) => {
    if (typeof value === "string") return value;
    if (Number.isInteger(value)) return String(value);
    const expected = "a label: text or a whole number";
    throw new InputError({ expected, got: shown(value), where: `${where}, index ${i}` });
  });
}

/** Distinct labels in an order, and the place of each row's label among them. */
export interface Coded {
  /** Distinct labels, in their order. */
  readonly labels: readonly string[];
  /** Place of each row's label among them. */
  readonly codes: Int32Array;
}

export function coded(texts: readonly string[], order: (labels: string[]) => string[]): Coded {
  const labels = order([...new Set(texts)]);
  const place = new Map(labels.map((label, i) => [label, i]));
  return { labels, codes: Int32Array.from(texts, (text) => place.get(text) ?? 0) };
}

export function firstSeen(labels: string[]): string[] {
  return labels;
}

/** Labels by size when all are numbers, else by their texts with runs of digits taken as numbers. */
function naturalOrder(labels: string[]): string[] {
  const sizes = labels.map((label) => (label.trim() === "" ? Number.NaN : Number(label)));
  if (sizes.every((size) => Number.isFinite(size))) {
    return labels
      .map((label, i) => ({ label, size: itemAt(sizes, i) }))
      .sort((a, b) => a.size - b.size || byText(a.label, b.label))
      .map(({ label }) => label);
  }
  const parts = new Map(labels.map((label) => [label, label.split(/(\d+)/)]));
  return [...labels].sort((a, b) => {
    const [one, other] = [parts.get(a) ?? [], parts.get(b) ?? []];
    for (const [i, part] of one.entries()) {
      const against = other[i] ?? "";
      const step = i % 2 === 1 ? Number(part) - Number(against) : byText(part, against);
      if (step !== 0) return step;
    }
    return one.length - other.length || byText(a, b);
  });
}

/** By code units: the same on every machine, whatever its language. */
function byText(a: string, b: string): number {
  if (a === b) return 0;
  return a < b ? -1 : 1;
}

function startsOf({ labels, codes }: Coded, order: Int32Array): Int32Array {
  const starts = new Int32Array(labels.length + 1).fill(order.length);
  for (let place = order.length - 1; place >= 0; place--) {
    starts[wholeAt(codes, wholeAt(order, place))] = place;
  }
  return starts;
}

function covariatesOf(
  terms: Readonly<Record<string, Numbers | LabelColumn>>,
  order: Int32Array,
  where: string,
): Covariate[] {
  return Object.entries(terms).map(([name, column]) => {
    const place = `${where}, terms.${name}`;
    if (column === null || typeof column !== "object" || typeof column.length !== "number") {
      throw new InputError({ expected: "a column", got: shown(column), where: place });
    }
    if (typeof column[0] !== "string") {
      const values = numbers(Array.from(column, Number), place);
      sameLength(values.length, order.length, place);
      return { name, values: inOrder(values, order) };
    }
    const { labels, codes } = coded(labelTexts(column, place, order.length), naturalOrder);
    return { name, values: inOrder(codes, order), levels: labels };
  });
}

function checkSubjects(rows: Omit<VisitRows, "order" | "y">, where: string): void {
  for (const [i, subject] of rows.subjects.entries()) {
    const from = wholeAt(rows.starts, i);
    for (let place = from + 1; place < wholeAt(rows.starts, i + 1); place++) {
      if (wholeAt(rows.visit, place) === wholeAt(rows.visit, place - 1)) {
        const visit = itemAt(rows.visits, wholeAt(rows.visit, place));
        throw new InputError({
          expected: "one row per subject and visit (summarise the trials of a visit first)",
          got: `two rows of subject "${subject}" at visit "${visit}"`,
          where: `${where}, visit`,
        });
      }
      if (wholeAt(rows.arm, place) !== wholeAt(rows.arm, from)) {
        const [one, other] = [from, place].map((at) => itemAt(rows.arms, wholeAt(rows.arm, at)));
        throw new InputError({
          expected: "one arm per subject",
          got: `subject "${subject}" in "${one}" and in "${other}"`,
          where: `${where}, arm`,
        });
      }
    }
  }
}
