import { itemAt, realAt, wholeAt } from "../../entry.js";
import { publishedMedian } from "../norms.js";
import { plausible } from "../package/dictionary.js";
import { medianOver, type Scratch, scratchFor } from "../tables/visit-medians.js";
import { counted, rowsOfPerson, runsBy, type Visits } from "../tables/visits.js";
import type { IssueLog } from "./issue-log.js";
import { outlyingLimits, outlyingRule } from "./outlying-rule.js";
import type { People } from "./people.js";
import { rowPlace } from "./rows.js";
import type { Trials } from "./trials.js";

/** Ratios that a mistaken unit leaves behind, and what they would mean. */
interface Signature {
  readonly ratios: readonly number[];
  readonly meaning: string;
}

const either = (ratio: number, high: string, low: string): Signature[] => [
  { ratios: [ratio], meaning: high },
  { ratios: [1 / ratio], meaning: low },
];

const signatures: Readonly<Record<"force" | "speed", readonly Signature[]>> = {
  force: [
    ...either(9.80665, "it were in N", "it were in kgf and called N"),
    // A pound and two hands cannot be distinguished by one trial: 2.2 and 2.0 are within its error.
    { ratios: [2.20462, 2], meaning: "it were in lbf, or the sum of both hands" },
    { ratios: [1 / 2.20462], meaning: "it were in kgf and called lbf" },
  ],
  speed: [
    ...either(2.23694, "it were in mph and called m/s", "it were in m/s and called mph"),
    ...either(1.60934, "it were in km/h and called mph", "it were in mph and called km/h"),
    ...either(3.6, "it were in km/h and called m/s", "it were in m/s and called km/h"),
  ],
};

/** How far from a signature, on the logarithm, still counts: grip varies more than speed. */
const closeness = { force: 0.15, speed: 0.08 } as const;

/** What the checks of one person need at hand. */
interface Person {
  readonly trials: Trials;
  readonly rows: Int32Array;
  readonly median: number;
  /** Rows asked about already; they are not asked about again as outlying. */
  readonly doubted: Set<number>;
  readonly scratch: Scratch;
}

/** Asks about values that no person reaches, look like another unit, or lie far from the others. */
export function checkValues(visits: Visits, people: People, log: IssueLog): void {
  const { trials } = visits;
  const scratch = scratchFor(visits);
  const cells = new Cells(trials, scratch.length);
  for (let person = 0; person < people.ids.length; person++) {
    const rows = counted(trials, rowsOfPerson(visits, person));
    if (rows.length === 0) continue;
    const median = medianOver(trials.canonical, rows, scratch);
    const checked = { trials, rows, median, doubted: new Set<number>(), scratch };
    checkPlausible(checked, log);
    if (trials.kind.valueName === "force") againstNorm(checked, people, person, log);
    againstMedian(checked, log);
    checkOutlying(checked, cells, log);
  }
}

function at({ rows, kind }: Trials, row: number) {
  return { ...rowPlace(rows, row), column: kind.valueName };
}

function shownValue({ canonical, kind }: Trials, row: number): string {
  return `${Number(realAt(canonical, row).toFixed(1))} ${kind.unit}`;
}

function checkPlausible({ trials, rows, doubted }: Person, log: IssueLog): void {
  const { kind, canonical } = trials;
  const { least, most } = kind.valueName === "force" ? plausible.force_kgf : plausible.speed_mps;
  for (const row of rows) {
    const value = realAt(canonical, row);
    if (value >= least && value <= most) continue;
    doubted.add(row);
    const expected = `${least} to ${most} ${kind.unit}`;
    log.add({ ...at(trials, row), code: "implausible", value: shownValue(trials, row), expected });
  }
}

function closest(ratio: number, quantity: "force" | "speed"): Signature | null {
  let best: Signature | null = null;
  let distance: number = closeness[quantity];
  for (const signature of signatures[quantity]) {
    const away = Math.min(...signature.ratios.map((one) => Math.abs(Math.log(ratio / one))));
    if (away >= distance) continue;
    best = signature;
    distance = away;
  }
  return best;
}

/** All of a person's trials in a mistaken unit: their median against the norm for age and sex. */
function againstNorm(one: Person, people: People, person: number, log: IssueLog): void {
  const { trials, rows, median, doubted } = one;
  const sex = people.sexes[person];
  const age = itemAt(people.ages, person);
  if (!sex || Number.isNaN(age)) return;
  const norm = publishedMedian({ sex, ageYears: Math.max(20, age) });
  const signature = closest(median / norm, "force");
  if (!signature) return;
  for (const row of rows) doubted.add(row);
  const value = `The median of all ${rows.length} trials, ${median.toFixed(1)} kgf,`;
  const expected = `${signature.meaning}; the norm for age and sex is ${norm.toFixed(1)} kgf`;
  log.add({ ...at(trials, wholeAt(rows, 0)), code: "unit-mix-up", value, expected });
}

/** Ratio to a person's median within which no unit is doubted: below the smallest signature. */
const undoubtedRange = 1.42;

/** Some of a person's trials in a mistaken unit: each against the person's own median. */
function againstMedian(one: Person, log: IssueLog): void {
  const { trials, rows, median, scratch } = one;
  const { kind, place, occasion, canonical } = trials;
  const sets = kind.valueName === "speed" ? byPlace(rows, place) : [rows];
  for (const set of sets) {
    const middle = sets.length === 1 ? median : medianOver(canonical, set, scratch);
    if (!(middle > 0) || !strays(canonical, set, middle)) continue;
    for (const visit of runsBy(set, (row) => wholeAt(occasion, row)))
      askOfVisit(one, visit, middle, log);
  }
}

function strays(canonical: Float64Array, rows: Int32Array, median: number): boolean {
  for (const row of rows) {
    const ratio = realAt(canonical, row) / median;
    if (ratio > undoubtedRange || ratio < 1 / undoubtedRange) return true;
  }
  return false;
}

function byPlace(rows: Int32Array, place: Int32Array): Int32Array[] {
  const places = new Set<number>();
  for (const row of rows) places.add(wholeAt(place, row));
  if (places.size === 1) return [rows];
  return [...places].map((one) => rows.filter((row) => place[row] === one));
}

function askOfVisit(one: Person, visit: Int32Array, median: number, log: IssueLog): void {
  const { trials, doubted } = one;
  const { canonical, kind } = trials;
  const found = new Map<Signature, number[]>();
  for (const row of visit) {
    const signature = closest(realAt(canonical, row) / median, kind.valueName);
    if (!signature) continue;
    const rows = found.get(signature);
    if (rows) rows.push(row);
    else found.set(signature, [row]);
  }
  for (const [{ meaning }, rows] of found) {
    for (const row of rows) doubted.add(row);
    const many = rows.length > 1 ? ` (and ${rows.length - 1} more of this visit)` : "";
    const value = `${shownValue(trials, itemAt(rows, 0))}${many}`;
    const expected = `${meaning}; the person's median is ${median.toFixed(1)} ${kind.unit}`;
    log.add({ ...at(trials, itemAt(rows, 0)), code: "unit-mix-up", value, expected });
  }
}

/** Sorts a person's rows by hand and place, in room that is used again for the next person. */
class Cells {
  private readonly trials: Trials;
  readonly count: number;
  readonly starts: Int32Array;
  readonly rows: Int32Array;

  constructor(trials: Trials, mostRows: number) {
    this.trials = trials;
    this.count = 2 * Math.max(1, trials.places.length);
    this.starts = new Int32Array(this.count + 2);
    this.rows = new Int32Array(mostRows);
  }

  take(rows: Int32Array): void {
    const { starts, trials } = this;
    starts.fill(0);
    for (const row of rows)
      starts[2 * wholeAt(trials.place, row) + wholeAt(trials.hand, row) + 2] =
        wholeAt(starts, 2 * wholeAt(trials.place, row) + wholeAt(trials.hand, row) + 2) + 1;
    for (let c = 2; c < starts.length; c++) starts[c] = wholeAt(starts, c) + wholeAt(starts, c - 1);
    for (const row of rows) {
      const cell = 2 * wholeAt(trials.place, row) + wholeAt(trials.hand, row) + 1;
      this.rows[wholeAt(starts, cell)] = row;
      starts[cell] = wholeAt(starts, cell) + 1;
    }
  }
}

function checkOutlying(person: Person, cells: Cells, log: IssueLog): void {
  cells.take(person.rows);
  for (let c = 0; c < cells.count; c++) {
    const rows = cells.rows.subarray(wholeAt(cells.starts, c), wholeAt(cells.starts, c + 1));
    if (rows.length >= outlyingRule.trials) checkCell(person, rows, log);
  }
}

function checkCell({ trials, doubted, scratch }: Person, rows: Int32Array, log: IssueLog): void {
  const { canonical, kind } = trials;
  for (let i = 0; i < rows.length; i++) scratch[i] = realAt(canonical, wholeAt(rows, i));
  const limits = outlyingLimits(scratch, rows.length, { quantity: kind.valueName });
  if (!limits) return;
  const { median, reach } = limits;
  const expected = `median ${median.toFixed(1)}, more than ${outlyingRule.deviations} scaled median absolute deviations away`;
  for (const row of rows) {
    if (doubted.has(row) || Math.abs(realAt(canonical, row) - median) <= reach) continue;
    const value = shownValue(trials, row);
    log.add({ ...at(trials, row), code: "trial-outlying", value, expected });
  }
}
