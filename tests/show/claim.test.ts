import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { type ClaimInput, claim } from "../../lib/show/claim.js";
import type { Claim } from "../../lib/show/claim-record.js";
import { finding } from "../../lib/show/finding.js";

const common = { unit: "kgf", count: { n: 24, of: "golfers" }, method: "paired t" } as const;
const change = finding({
  ...common,
  id: "lead",
  title: "Change of lead-hand grip",
  value: 2.6,
  low: 1.9,
  high: 3.4,
  references: [
    { name: "typical error", value: 1.4 },
    { name: "minimal detectable change", value: 3.9 },
    { name: "smallest worthwhile change", value: 2.2 },
  ],
});

function said(relation: Claim["relation"], bound: ClaimInput["bound"], of = change): Claim {
  return claim({ statement: "A statement.", finding: of, relation, bound });
}

describe("claim", () => {
  it("supports a statement only when the whole interval agrees with it", () => {
    expect(said("is above", 1.5).support).toBe("supported");
    expect(said("is above", 2.5).support).toBe("not settled");
    expect(said("is above", 4).support).toBe("contradicted");
    expect(said("is below", 4).support).toBe("supported");
    expect(said("is below", 1).support).toBe("contradicted");
    expect(said("differs from", 0).support).toBe("supported");
    expect(said("is within", 4).support).toBe("supported");
    expect(said("is within", 3).support).toBe("not settled");
    expect(said("is within", 1).support).toBe("contradicted");
  });

  it("takes a bound from the finding's reference values by name", () => {
    expect(said("is above", "typical error").support).toBe("supported");
    expect(said("is above", "smallest worthwhile change").support).toBe("not settled");
    expect(said("is above", "minimal detectable change").support).toBe("contradicted");
  });

  it("does not call an interval that ends at zero different from zero", () => {
    const touching = finding({ ...common, id: "t", title: "Change", value: 1, low: 0, high: 2 });
    const made = said("differs from", 0, touching);
    expect(made.support).toBe("not settled");
    expect(made.strongest).toContain("the direction is not shown");
  });

  it("states a bound as the limit is printed, once rounded", () => {
    expect(said("is above", 3).strongest).toBe(
      "Change of lead-hand grip: above 0 by at least 1.9 kgf (95 % CI 1.9 to 3.4).",
    );
    const near = finding({ ...common, id: "r", title: "Change", value: 2.6, low: 1.88, high: 3.4 });
    expect(said("is above", 3, near).strongest).toContain("at least 1.9 kgf (95 % CI 1.9 to 3.4)");
  });

  it("carries whether the result was planned", () => {
    const input = { ...common, id: "q", title: "Change", value: 2, low: 1, high: 3 };
    expect(said("is above", 0, finding({ ...input, planned: false })).planned).toBe(false);
    expect(said("is above", 0, finding(input))).not.toHaveProperty("planned");
  });

  it("refuses a finding without interval, a reference value that is not there, and other relations", () => {
    const bare = finding({ ...common, id: "b", title: "Count", value: 3 });
    expect(() => said("is above", 1, bare)).toThrow(/a finding with an interval/);
    const without = finding({ ...common, id: "c", title: "Change", value: 1, low: 0, high: 2 });
    expect(() => said("is above", "typical error", without)).toThrow(/a reference value/);
    expect(() => said("exceeds" as Claim["relation"], 1)).toThrow(/one of is above/);
  });

  it("never supports a claim that its own interval contradicts", () => {
    fc.assert(
      fc.property(
        fc.double({ min: -50, max: 50, noNaN: true }),
        fc.double({ min: 0.01, max: 20, noNaN: true }),
        fc.double({ min: -80, max: 80, noNaN: true }),
        (value, half, bound) => {
          const [low, high] = [value - half, value + half];
          const made = finding({ ...common, id: "p", title: "V", value, low, high });
          const { support } = said("is above", bound, made);
          expect(support === "supported").toBe(low > bound);
          expect(support === "contradicted").toBe(high <= bound);
        },
      ),
      { seed: 11, numRuns: 200 },
    );
  });
});
