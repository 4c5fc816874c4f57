import { describe, expect, it } from "vitest";
import { agrees } from "../reference/agree.js";
import { checkRandomStudy } from "./random-designs.js";

describe("studies of random designs", () => {
  it.each(Array.from({ length: 12 }, (_, i) => 1000 + 37 * i))(
    "study %i: every notebook runs, rows balance, the planned estimate is the direct one",
    (seed) => {
      for (const { quantity, found, direct } of checkRandomStudy(seed))
        agrees(found, direct, { quantity, rel: 1e-8, why: "least squares by other arithmetic" });
      expect(seed).toBeGreaterThan(0);
    },
  );
});
