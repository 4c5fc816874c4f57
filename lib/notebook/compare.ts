import { itemAt, present } from "../entry.js";
import {
  type Allowance,
  compareData,
  type DataVerdict,
  estimateKeys,
  sizeOf,
} from "./compare-data.js";
import { type CompareOptions, readsText, withForms } from "./compare-forms.js";
import { compareTexts } from "./compare-text.js";
import type { Judged, Judgement, Verdict } from "./judgement.js";
import { type RecordedNotebook, type Result, resultsOf } from "./results.js";

/** How the results of a re-run compare with those of the record. */
export interface Comparison {
  /** One judgement per result: those of the record in its order, then the new ones. */
  readonly judgements: readonly Judgement[];
  /** Number of results with each verdict. */
  readonly counts: Readonly<Record<Verdict, number>>;
  /** Every result of the record came again, in its place, the same or within tolerance; nothing is new. */
  readonly agrees: boolean;
}

type Json = Record<string, unknown>;

/** Compares what two recordings of a notebook show, result by result and form by form. */
export function compareNotebooks(
  record: RecordedNotebook,
  rerun: RecordedNotebook,
  options: CompareOptions = {},
): Comparison {
  const { dataOnly = false } = options;
  const before = keyed(resultsOf(record));
  const after = keyed(resultsOf(rerun));
  const elsewhere = dataOnly ? new Map<string, string>() : misplaced(before, after);
  const judgements: Judgement[] = [];
  for (const [key, result] of before) {
    const again = after.get(key);
    if (!again) judgements.push(absent(result, "missing"));
    else if (dataOnly) judgements.push(judgeData(result, again));
    else judgements.push(judge(result, again, elsewhere.get(key), options));
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

/** Results that stand in another cell, or in another order within their cell, by key. */
function misplaced(before: Map<string, Result>, after: Map<string, Result>): Map<string, string> {
  const found = new Map<string, string>();
  const orders = { before: new Map<string, string[]>(), after: new Map<string, string[]>() };
  const inOrder = (order: Map<string, string[]>, cell: string, key: string) => {
    const keys = order.get(cell);
    if (keys) keys.push(key);
    else order.set(cell, [key]);
  };
  for (const [key, { cell, kind }] of before) {
    const again = after.get(key);
    if (!again || kind === "text" || kind === "image") continue;
    if (again.cell.id === cell.id) inOrder(orders.before, cell.id, key);
    else found.set(key, `recorded in cell ${cell.id}, shown by cell ${again.cell.id}`);
  }
  for (const [key, { cell }] of after) inOrder(orders.after, cell.id, key);
  for (const [cell, order] of orders.before) {
    const now = present(orders.after.get(cell)).filter((key) => order.includes(key));
    const first = order.findIndex((key, i) => now[i] !== key);
    if (first >= 0)
      found.set(itemAt(order, first), `recorded before ${now[first]}, shown after it`);
  }
  return found;
}

function absent(result: Result, verdict: "missing" | "new"): Judgement {
  const { kind, id, cell, content } = result;
  return { kind, id, cell, verdict, [verdict === "new" ? "rerun" : "recorded"]: content };
}

function judgeData(before: Result, after: Result): Judgement {
  const { kind, id } = before;
  const both = { kind, id, cell: after.cell, recorded: before.content, rerun: after.content };
  if (kind === "text") return { ...both, ...judgeText(before.content, after.content) };
  return { ...both, ...judgeContent(before, after) };
}

function judge(
  before: Result,
  after: Result,
  elsewhere: string | undefined,
  options: CompareOptions,
): Judgement {
  const judged = judgeData(before, after);
  if (judged.verdict === "different") return judged;
  if (elsewhere !== undefined) {
    return { ...judged, verdict: "different", form: "place", difference: elsewhere };
  }
  return { ...judged, ...withForms(judged, before, after, options) };
}

function judgeText(before: unknown, after: unknown): Judged {
  const { verdict, largest, reads } = compareTexts(String(before), String(after));
  if (reads) return { verdict, difference: readsText("it", reads, "the re-run"), largest };
  return verdict === "same" ? { verdict } : { verdict, largest };
}

function judgeContent(before: Result, after: Result): Judged {
  if (before.kind !== "finding") return compareData(before.content, after.content);
  return judgeFinding(before.content as Json, after.content as Json);
}

/**
 * The data of a finding agree when its value and limits lie within its own tolerance and everything
 * else is equal. Its sentence is made from the rest and is judged as a form.
 */
function judgeFinding(before: Json, after: Json): Judged {
  const { sentence: _, ...then } = before;
  const { sentence: __, ...now } = after;
  const tolerance = typeof before.tolerance === "number" ? before.tolerance : 0;
  const scale = sizeOf(estimateKeys.flatMap((key) => [before[key], after[key]]));
  const allowance: Allowance = { tolerance, scale };
  const judged: DataVerdict = compareData(then, now, allowance);
  const crossing = crossed(before, after);
  const allowed = tolerance > 0 ? { tolerance } : {};
  return crossing
    ? { ...judged, ...allowed, verdict: "different", crossing }
    : { ...judged, ...allowed };
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
