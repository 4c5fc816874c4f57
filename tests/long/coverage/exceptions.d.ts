import type { CoverageRow } from "./table.js";

/** A planned analysis that does not hold 94 to 97 % under a condition, at all sizes or some. */
export interface CoverageException {
  readonly function: string;
  readonly what?: string;
  readonly condition: string;
  readonly n?: readonly number[];
  readonly why: string;
}

export const exceptions: readonly CoverageException[];
export function isListed(row: CoverageRow): boolean;
export function names(one: CoverageException, row: CoverageRow): boolean;
