import { readFileSync } from "node:fs";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { expect } from "vitest";
import type { Finding } from "../../lib/show/finding-record.js";
import { agrees } from "../reference/agree.js";

const root = fileURLToPath(new URL("../..", import.meta.url));

interface Recorded {
  readonly cells: readonly { readonly outputs?: readonly { data?: Record<string, unknown> }[] }[];
}

/** Every finding with a number that stands in the record of a notebook. */
export function recordedFindings(name: string): Finding[] {
  const file = join(root, "notebooks", `${name}.ipynb`);
  const { cells } = JSON.parse(readFileSync(file, "utf8")) as Recorded;
  return cells
    .flatMap(({ outputs = [] }) => outputs)
    .map(({ data }) => data?.["application/vnd.tautline.finding+json"] as Finding | undefined)
    .filter((found) => found !== undefined)
    .filter((found) => !("unanswered" in found));
}

/** Holds a notebook to its ledger: all findings but these say what leaving one out does. */
export function expectLedger(name: string, withoutPeople: readonly string[]): Finding[] {
  const findings = recordedFindings(name);
  expect(findings.length).toBeGreaterThan(1);
  const bare = findings.filter(({ leaveOneOut }) => leaveOneOut === undefined);
  expect(bare.map(({ id }) => id)).toEqual(withoutPeople);
  return findings;
}

/** Holds the recorded range of a finding to values made by hand, one for each that is left out. */
export function expectRange(found: Finding, whole: number, leftOut: readonly number[]): void {
  const rounding = { rel: 1e-9, why: "the same arithmetic in another order" };
  agrees(found.value, whole, { quantity: `${found.id}, value`, ...rounding });
  const { low, high } = found.leaveOneOut!;
  agrees(low, Math.min(whole, ...leftOut), { quantity: `${found.id}, low`, ...rounding });
  agrees(high, Math.max(whole, ...leftOut), { quantity: `${found.id}, high`, ...rounding });
}

/** A statistic without each value in turn. */
export function withoutEachValue<T>(values: readonly T[], of: (rest: T[]) => number): number[] {
  return values.map((_, out) => of(values.filter((_, i) => i !== out)));
}

export const meanOf = (values: readonly number[]) =>
  values.reduce((total, value) => total + value, 0) / values.length;

/** Rows of a file in data/ as they are written, by the names of its first line. */
export function rawRows(path: string): Record<string, string>[] {
  const [head = "", ...lines] = readFileSync(join(root, "data", path), "utf8")
    .trim()
    .split(/\r?\n/);
  const names = head.split(",");
  return lines.map((line) => {
    const fields = line.split(",");
    return Object.fromEntries(names.map((name, i) => [name, fields[i] ?? ""]));
  });
}
