import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { type Adjustment, adjustP } from "../../lib/stats/multiplicity.js";
import { agrees } from "../reference/agree.js";
import { referenceCase } from "../reference/cases.js";

const methods = ["holm", "hochberg", "bonferroni", "benjamini-hochberg"] as const;
const inR: Record<Adjustment, string> = {
  holm: "holm",
  hochberg: "hochberg",
  bonferroni: "bonferroni",
  "benjamini-hochberg": "BH",
};

describe("adjustP on the 15 p values of Benjamini and Hochberg (1995)", () => {
  const { data, computed, published } = referenceCase("effects", "bh1995");
  for (const method of methods) {
    it(`gives R's p.adjust: ${method}`, () => {
      const adjusted = adjustP(data.p, method);
      computed[`adjusted_${inR[method]}`]!.value.forEach((value: number, i: number) => {
        agrees(adjusted[i]!, value, { quantity: `p ${i}`, rel: 1e-15, why: "one multiplication" });
      });
    });
  }

  it("rejects four at 5 % by the false discovery rate and three by Bonferroni, as published", () => {
    const rejected = (method: Adjustment) =>
      adjustP(data.p, method).filter((p) => p <= 0.05).length;
    const printed = (quantity: string) =>
      Number(published.find((entry) => entry.quantity === quantity)!.printed);
    expect(rejected("benjamini-hochberg")).toBe(printed("BH rejections at .05"));
    expect(rejected("bonferroni")).toBe(printed("Bonferroni rejections"));
    expect(rejected("holm")).toBe(computed["n_rejected_0.05"]!.value.holm);
  });
});

describe("adjustP", () => {
  it("keeps the order given, lets equal p stay equal, and takes Holm unasked", () => {
    expect(adjustP([0.04, 0.01, 0.03])).toEqual([0.06, 0.03, 0.06]);
    expect(new Set(adjustP([0.02, 0.02, 0.02], "benjamini-hochberg")).size).toBe(1);
    expect(() => adjustP([])).toThrow(/at least 1/);
  });

  it("refuses what is no p value and a method it does not know", () => {
    expect(() => adjustP([0.2, 1.2])).toThrow("adjustP, index 1: expected a p value from 0 to 1");
    expect(() => adjustP([0.2], "bh" as never)).toThrow("adjustP, method");
  });

  it("never lowers a p, never turns the order round, and Bonferroni ≥ Holm ≥ Hochberg ≥ BH", () => {
    const family = fc.array(fc.double({ min: 0, max: 1, noNaN: true }), {
      minLength: 1,
      maxLength: 20,
    });
    fc.assert(
      fc.property(family, (p) => {
        const by = methods.map((method) => adjustP(p, method));
        const [holm, hochberg, bonferroni, discovery] = by as [
          number[],
          number[],
          number[],
          number[],
        ];
        for (let i = 0; i < p.length; i++) {
          for (const adjusted of by) {
            expect(adjusted[i]!).toBeGreaterThanOrEqual(p[i]! * (1 - 1e-15));
            expect(adjusted[i]!).toBeLessThanOrEqual(1);
            for (let j = 0; j < p.length; j++) {
              if (p[i]! < p[j]!) expect(adjusted[i]!).toBeLessThanOrEqual(adjusted[j]!);
            }
          }
          expect(bonferroni[i]!).toBeGreaterThanOrEqual(holm[i]!);
          expect(holm[i]!).toBeGreaterThanOrEqual(hochberg[i]!);
          expect(hochberg[i]! * (1 + 1e-15)).toBeGreaterThanOrEqual(discovery[i]!);
        }
      }),
      { seed: 20260113 },
    );
  });
});
