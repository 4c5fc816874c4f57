import { afterEach, describe, expect, it } from "vitest";
import { InputError } from "../../lib/errors.js";
import { progress } from "../../lib/show/cell-progress.js";

const hooks = globalThis as Record<symbol, unknown>;
const hook = Symbol.for("tautline.progress");

describe("progress", () => {
  afterEach(() => {
    delete hooks[hook];
  });

  it("hands the counts to the kernel, and does nothing outside of one", () => {
    expect(progress(1, 2)).toBeUndefined();
    const told: unknown[] = [];
    hooks[hook] = (...counts: number[]) => told.push(counts);
    progress(0, 10);
    progress(10, 10);
    expect(told).toEqual([
      [0, 10],
      [10, 10],
    ]);
  });

  it.each([
    [1, 0],
    [-1, 10],
    [11, 10],
    [Number.NaN, 10],
    [1, Number.POSITIVE_INFINITY],
  ])("refuses %d of %d", (done, of) => {
    expect(() => progress(done, of)).toThrow(InputError);
  });
});
