import fc from "fast-check";
import { describe, it } from "vitest";
import { holds, mangledStudy } from "../study/mangle.js";

describe("mangled studies, many of them", () => {
  it("never throw, lose no row, name rows that exist, and end in time (10 000 of them)", () => {
    fc.assert(fc.property(mangledStudy, holds), { seed: 7, numRuns: 10_000 });
  }, 1_800_000);
});
