import { describe, expect, it } from "vitest";
import { expectLedger } from "./recorded.js";

/** Findings beside which no ledger can stand, for each notebook; DEVELOPERS.md says why. */
const bare: Readonly<Record<string, readonly string[]>> = {
  "winter-block/3-change": [
    "primary-everybody",
    "exact-grip",
    "exact-swing",
    "worthwhile-equivalence",
    "worthwhile-superiority",
    "visit-w3",
    "visit-w6",
    "specification-joint",
  ],
  "winter-block/4-responders": [
    "responders-typical-error",
    "responders-mdc",
    "response-variance-sd",
  ],
  "winter-block/5-dose": [],
  "winter-block/6-grip-and-speed": [],
  "winter-block/9-more": ["apparent-by-mdc", "apparent-by-worthwhile", "apparent-again"],
  "coach-nine/2-measurements": [],
  "coach-nine/3-change": [
    "exact",

    "worthwhile-equivalence",
    "worthwhile-superiority",
  ],
  "coach-nine/5-dose": [],
  "coach-nine/6-grip-and-speed": [],
  "coach-nine/9-more": ["pilot-fifth-of-spread", "trail-exact", "speed-exact", "rise-by-picking"],
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
