import { describe, expect, it } from "vitest";
import { expectLedger } from "./recorded.js";

/** Findings beside which no ledger can stand, for each notebook; DEVELOPERS.md says why. */
const bare: Readonly<Record<string, readonly string[]>> = {
  "winter-block/3-change": ["specification-joint"],
  "winter-block/4-responders": ["apparent-by-mdc", "apparent-by-worthwhile", "apparent-again"],
  "winter-block/5-dose": [],
  "winter-block/6-grip-and-speed": [],
  "coach-nine/nine-golfers": [],
};

describe("what findings hang on", () => {
  it.each(Object.entries(bare))(
    "%s says it beside every finding made from golfers",
    (name, ids) => {
      for (const { id, value, leaveOneOut } of expectLedger(name, ids)) {
        if (!leaveOneOut) continue;
        expect(leaveOneOut.low, id).toBeLessThanOrEqual(value);
        expect(leaveOneOut.high, id).toBeGreaterThanOrEqual(value);
      }
    },
  );
});
