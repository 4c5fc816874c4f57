import { InputError } from "../errors.js";

/** The hook that a kernel sets. */
const progressHook = Symbol.for("tautline.progress");

/**
 * Says how far a long cell is. A Jupyter front end shows it under the cell, `rebuild` in the terminal,
 * and `watch` in the page of the notebook; it is one line that changes in place and goes when the
 * cell ends. It is no part of the record. Outside of a kernel nothing happens.
 *
 * @param done what is done, from 0 to `of`
 * @param of how many there are
 * @throws InputError when `of` is not above 0, or `done` is not between 0 and `of`
 * @example typeof progress(250, 1000) // "undefined"
 */
export function progress(done: number, of: number): void {
  if (!(Number.isFinite(of) && of > 0 && done >= 0 && done <= of)) {
    const got = `${String(done)} of ${String(of)}`;
    throw new InputError({
      expected: "a count from 0 to a number above 0",
      got,
      where: "progress",
    });
  }
  const show = (globalThis as Record<symbol, unknown>)[progressHook];
  if (typeof show === "function") show(done, of);
}
