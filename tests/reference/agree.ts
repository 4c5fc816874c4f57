import { expect } from "vitest";

/** How close a number must come to its reference, and why no closer. */
export interface Tolerance {
  /** What is compared, as a reader would call it: "slope", "upper BCa limit". */
  readonly quantity: string;
  /** Relative tolerance; for a reference value of 0 it is absolute. */
  readonly rel: number;
  /** Why this tolerance: printed digits, attainable digits, Monte-Carlo error. */
  readonly why: string;
}

/** Distance of a number from its reference, relative unless the reference is 0. */
export function relativeError(actual: number, expected: number): number {
  if (actual === expected) return 0;
  const scale = expected === 0 ? 1 : Math.abs(expected);
  return Math.abs(actual - expected) / scale;
}

function misses(actual: number, expected: number, rel: number): boolean {
  return !(relativeError(actual, expected) <= rel);
}

/**
 * Checks a number against its reference, and checks the check: the same comparison must fail when
 * the reference is moved by ten tolerances either way.
 */
export function agrees(actual: number, expected: number, tolerance: Tolerance): void {
  const { quantity, rel, why } = tolerance;
  const off = relativeError(actual, expected);
  if (misses(actual, expected, rel)) {
    expect.fail(
      `${quantity}: expected ${expected}, got ${actual}; off by ${off.toExponential(2)}, tolerance ${rel} (${why})`,
    );
  }
  const step = 10 * rel * (expected === 0 ? 1 : Math.abs(expected));
  for (const moved of [expected - step, expected + step]) {
    expect(misses(actual, moved, rel), `${quantity}: a reference moved to ${moved} still passes`).toBe(true);
  }
}

/** Number of agreeing significant digits, NIST's log relative error, at most 16. */
export function agreeingDigits(actual: number, expected: number): number {
  const off = relativeError(actual, expected);
  return off === 0 ? 16 : Math.min(16, -Math.log10(off));
}
