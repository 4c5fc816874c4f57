import fc from "fast-check";
import { describe, it } from "vitest";
import { holds, mangledStudy } from "../mangle.js";

describe("mangled studies", () => {
  it("never throw, lose no row, name rows that exist, and end (300 of them)", () => {
    fc.assert(fc.property(mangledStudy, holds), { seed: 20_250_106, numRuns: 300 });
  }, 120_000);
});
