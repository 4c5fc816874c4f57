import { readFileSync } from "node:fs";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";
import { agrees } from "./agree.js";

const folder = dirname(fileURLToPath(import.meta.url));

/** A value as its source prints it. */
interface Printed {
  readonly quantity: string;
  readonly printed: string;
  readonly citation: string;
  /** Why the full-digit value rounds to something else, where it does. */
  readonly why_different?: string;
}

/** One data set with what is published about it and what other software computes from it. */
export interface ReferenceCase {
  readonly id: string;
  readonly source: string;
  // biome-ignore lint/suspicious/noExplicitAny: each case has its own columns
  readonly data: any;
  readonly published: readonly Printed[];
  // biome-ignore lint/suspicious/noExplicitAny: numbers, lists or records, as the other software gives them
  readonly computed: { readonly [name: string]: { readonly value: any; readonly call: string } };
}

/** A case of tests/reference/<topic>.json. */
export function referenceCase(topic: string, id: string): ReferenceCase {
  const { cases } = JSON.parse(readFileSync(join(folder, `${topic}.json`), "utf8"));
  const found = cases.find((one: ReferenceCase) => one.id === id);
  if (!found) throw new Error(`tests/reference/${topic}.json has no case ${id}`);
  return found;
}

/** A NIST StRD file of tests/reference/nist. */
// biome-ignore lint/suspicious/noExplicitAny: each kind of set has its own certified quantities
export function nist(name: string): any {
  return JSON.parse(readFileSync(join(folder, "nist", `${name}.json`), "utf8"));
}

/** Checks a number against the digits a source prints: it must round to them. */
export function agreesAsPrinted(actual: number, one: ReferenceCase, quantity: string): void {
  const printed = one.published.find((entry) => entry.quantity === quantity);
  if (!printed) throw new Error(`${one.id} has no published ${quantity}`);
  const value = Number(printed.printed);
  const decimals = printed.printed.split(".")[1]?.length ?? 0;
  const half = 0.5000001 * 10 ** -decimals;
  agrees(actual, value, {
    quantity: `${one.id}, ${quantity}`,
    rel: value === 0 ? half : half / Math.abs(value),
    why: `digits printed in ${printed.citation}`,
  });
}

/** A table of a reference file, { colnames, rows }, as records by column name. */
export function rowsOf(table: {
  readonly colnames: readonly string[];
  readonly rows: readonly (readonly number[])[];
}): Record<string, number | undefined>[] {
  return table.rows.map((row) => Object.fromEntries(table.colnames.map((name, j) => [name, row[j]])));
}
