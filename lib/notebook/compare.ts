import {
  type CellName,
  type RecordedNotebook,
  type Result,
  type ResultKind,
  resultsOf,
} from "./results.js";

export type Verdict = "same" | "within tolerance" | "different" | "missing" | "new";

/** The judgement of one result of a re-run against the record. */
export interface Judgement {
  readonly kind: ResultKind;
  readonly id: string;
  readonly cell: CellName;
  readonly verdict: Verdict;
  /** What is different, in a clause; left out when nothing is. */
  readonly difference?: string;
  /** Largest difference of two numbers, in the unit of the finding or as they stand in the figure. */
  readonly largest?: number;
  /** A finding whose interval lies on another side of zero than it did. */
  readonly crossing?: "now includes zero" | "no longer includes zero" | "changed sides of zero";
  readonly recorded?: unknown;
  readonly rerun?: unknown;
}

export interface Comparison {
  readonly judgements: readonly Judgement[];
  readonly counts: Readonly<Record<Verdict, number>>;
  /** Every result of the record came again, the same or within tolerance, and nothing is new. */
  readonly agrees: boolean;
}

type Json = Record<string, unknown>;

/** Numbers that differ by less than this share of their neighbours' size are rounding. */
const relativeTolerance = 1e-9;
/** A sum over a list is rounded like its largest member, so a member near zero may move this much. */
const listTolerance = 1e-13;

/** Compares what two recordings of a notebook show, result by result. */
export function compareNotebooks(record: RecordedNotebook, rerun: RecordedNotebook): Comparison {
  const before = keyed(resultsOf(record));
  const after = keyed(resultsOf(rerun));
  const judgements: Judgement[] = [];
  for (const [key, result] of before) {
    const again = after.get(key);
    judgements.push(again ? judge(result, again) : absent(result, "missing"));
  }
  for (const [key, result] of after) {
    if (!before.has(key)) judgements.push(absent(result, "new"));
  }
  const counts = { same: 0, "within tolerance": 0, different: 0, missing: 0, new: 0 };
  for (const { verdict } of judgements) counts[verdict]++;
  const agrees = counts.different + counts.missing + counts.new === 0;
  return { judgements, counts, agrees };
}

/** A repeated id is matched in order, so that no repetition goes unseen. */
function keyed(results: readonly Result[]): Map<string, Result> {
  const map = new Map<string, Result>();
  for (const result of results) {
    let key = `${result.kind} ${result.id}`;
    while (map.has(key)) key += "'";
    map.set(key, result);
  }
  return map;
}

function absent(result: Result, verdict: "missing" | "new"): Judgement {
  const { kind, id, cell, content } = result;
  return { kind, id, cell, verdict, [verdict === "new" ? "rerun" : "recorded"]: content };
}

function judge(before: Result, after: Result): Judgement {
  const { kind, id } = before;
  const both = { kind, id, cell: after.cell, recorded: before.content, rerun: after.content };
  if (kind === "finding") {
    return { ...both, ...judgeFinding(before.content as Json, after.content as Json) };
  }
  if (kind === "text")
    return { ...both, ...judgeText(String(before.content), String(after.content)) };
  return { ...both, ...judgeTree(before.content, after.content) };
}

/** Whole numbers may be codes of people and are words. */
const printedNumber = /[-+]?\d+\.\d+(?:[eE][-+]?\d+)?/g;

/** Printed numbers are rounding apart as others are; every other letter has to be the same. */
function judgeText(before: string, after: string): Judged {
  const words = (text: string) => text.split(printedNumber);
  const numbers = (text: string) => (text.match(printedNumber) ?? []).map(Number);
  const judged = judgeTree(
    { words: words(before), numbers: numbers(before).map((value) => [value]) },
    { words: words(after), numbers: numbers(after).map((value) => [value]) },
  );
  return judged.verdict === "within tolerance" ? judged : judgeTree(before, after);
}

/** The numbers of a finding that its own tolerance is for. */
const estimateKeys = ["value", "low", "high"] as const;

interface Allowance {
  readonly tolerance: number;
  /** Size of the estimate and its limits together: a value near zero is rounded like its limits. */
  readonly scale: number;
}

interface Judged {
  readonly verdict: "same" | "within tolerance" | "different";
  readonly difference?: string;
  readonly largest?: number;
  readonly crossing?: NonNullable<Judgement["crossing"]>;
}

/**
 * A finding agrees when its value and limits lie within its own tolerance and everything else is
 * equal. Its sentence is made from the rest and is not judged.
 */
function judgeFinding(before: Json, after: Json): Judged {
  const { sentence: _, ...then } = before;
  const { sentence: __, ...now } = after;
  const own = typeof before.tolerance === "number" ? before.tolerance : 0;
  const scale = size(estimateKeys.flatMap((key) => [before[key], after[key]]));
  const judged = judgeTree(then, now, { tolerance: own, scale });
  const crossing = crossed(before, after);
  return judged.verdict !== "same" && crossing
    ? { ...judged, verdict: "different", crossing }
    : judged;
}

function side(finding: Json): -1 | 0 | 1 | undefined {
  const { low, high } = finding;
  if (typeof low !== "number" || typeof high !== "number") return undefined;
  return low > 0 ? 1 : high < 0 ? -1 : 0;
}

function crossed(before: Json, after: Json): Judgement["crossing"] {
  const [then, now] = [side(before), side(after)];
  if (then === undefined || now === undefined || then === now) return undefined;
  if (now === 0) return "now includes zero";
  return then === 0 ? "no longer includes zero" : "changed sides of zero";
}

/** Walks two JSON trees side by side; the order of an object's keys does not matter. */
function judgeTree(before: unknown, after: unknown, estimate?: Allowance): Judged {
  const walk = new Walk(estimate);
  walk.compare(before, after, "", 0);
  if (walk.first !== undefined) {
    return { verdict: "different", difference: walk.first, largest: walk.largest };
  }
  if (walk.largest === 0) return { verdict: "same" };
  return { verdict: "within tolerance", largest: walk.largest };
}

class Walk {
  first: string | undefined;
  largest = 0;
  private readonly estimate: Allowance | undefined;

  constructor(estimate: Allowance | undefined) {
    this.estimate = estimate;
  }

  /** @param scale size of the numbers around, against which rounding is measured */
  compare(before: unknown, after: unknown, path: string, scale: number): void {
    if (before === after) return;
    if (typeof before === "number" && typeof after === "number") {
      this.numbers(before, after, path, scale);
    } else if (Array.isArray(before) && Array.isArray(after)) {
      this.lists(before, after, path);
    } else if (isRecord(before) && isRecord(after)) {
      this.records(before, after, path);
    } else {
      this.differ(path, `${shown(before)} → ${shown(after)}`);
    }
  }

  private numbers(before: number, after: number, path: string, scale: number): void {
    const difference = Math.abs(before - after);
    if (difference > this.largest) this.largest = difference;
    const own = (estimateKeys as readonly string[]).includes(path) ? this.estimate : undefined;
    const sizes = [before, after, own?.scale ?? 0].map(Math.abs);
    const rounding = relativeTolerance * Math.max(...sizes) + listTolerance * scale;
    // a decimal tolerance such as 0.1 is met by 2.6 and 2.7, whose difference is a little more
    if (difference > (own?.tolerance ?? 0) * (1 + relativeTolerance) + rounding) {
      this.differ(path, `${before} → ${after}`);
    }
  }

  private lists(before: unknown[], after: unknown[], path: string): void {
    if (before.length !== after.length) {
      this.differ(path, `${before.length} → ${after.length} entries`);
      return;
    }
    const scale = size(before);
    before.forEach((part, i) => {
      this.compare(part, after[i], `${path}[${i}]`, scale);
    });
  }

  private records(before: Json, after: Json, path: string): void {
    const at = (key: string) => (path ? `${path}.${key}` : key);
    for (const key of Object.keys(before)) {
      if (!Object.hasOwn(after, key)) this.differ(at(key), "no longer there");
      else this.compare(before[key], after[key], at(key), 0);
    }
    for (const key of Object.keys(after)) {
      if (!Object.hasOwn(before, key)) this.differ(at(key), "new");
    }
  }

  private differ(path: string, what: string): void {
    this.first ??= path ? `${path}: ${what}` : what;
  }
}

function size(list: readonly unknown[]): number {
  let most = 0;
  for (const part of list) {
    if (typeof part === "number" && Math.abs(part) > most) most = Math.abs(part);
  }
  return most;
}

function isRecord(value: unknown): value is Json {
  return value !== null && typeof value === "object" && !Array.isArray(value);
}

function shown(value: unknown): string {
  const text =
    typeof value === "string" ? JSON.stringify(value) : (JSON.stringify(value) ?? "nothing");
  return text.length > 60 ? `${text.slice(0, 57)}…` : text;
}
