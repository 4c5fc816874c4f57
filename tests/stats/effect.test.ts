import { describe, expect, it } from "vitest";
import { hedgesFactor, shiftLimits } from "../../lib/stats/effect.js";
import { agrees } from "../reference/agree.js";
import { agreesAsPrinted, referenceCase } from "../reference/cases.js";

describe("hedgesFactor", () => {
  const one = referenceCase("effects", "hedges_J");

  it("is the exact gamma factor at every df of the table, to 14 digits", () => {
    for (const [df, value] of Object.entries<number>(
      one.computed.exact_gamma_J_df_2_to_50!.value,
    )) {
      agrees(hedgesFactor(Number(df)), value, {
        quantity: `J(${df})`,
        rel: Number(df) > 50 ? 3e-13 : 2e-14,
        why: "R takes a difference of lgamma, which loses digits as df grows",
      });
    }
  });

  it("rounds to Hedges' Table 1 (1981), but for two entries remembered a unit too high", () => {
    for (const { quantity, why_different } of one.published) {
      if (why_different) continue;
      agreesAsPrinted(hedgesFactor(Number(quantity.slice(2, -1))), one, quantity);
    }
  });

  it("is not the usual approximation, and tends to 1", () => {
    const approximate = one.computed.approx_1_minus_3_over_4m_minus_1!.value["9"];
    expect(Math.abs(hedgesFactor(9) - approximate)).toBeGreaterThan(4e-4);
    // J = 1 − 3/(4m) + O(m⁻²)
    agrees(1 - hedgesFactor(1e6), 0.75e-6, { quantity: "1 − J", rel: 1e-6, why: "1/m expansion" });
  });

  it("refuses one degree of freedom, where it is 0", () => {
    expect(() => hedgesFactor(1)).toThrow("hedgesFactor: expected degrees of freedom above 1");
    expect(() => hedgesFactor(Number.NaN)).toThrow(/above 1/);
  });
});

describe("shiftLimits", () => {
  for (const [id, levels] of [
    ["sleep_effect", ["0.9", "0.95"]],
    ["sleep_as_independent", ["0.9", "0.95"]],
  ] as const) {
    it(`inverts the non-central t distribution as 52-digit arithmetic does: ${id}`, () => {
      const exact = referenceCase("effects", id).computed.nct_ci_EXACT_mpmath!.value;
      for (const level of levels) {
        const { t, df, ncp } = exact[level];
        const { low, high } = shiftLimits(t, df, Number(level));
        const why = "root of a distribution function good to about 1e-13";
        agrees(low, ncp[0], { quantity: "lower shift", rel: 2e-11, why });
        agrees(high, ncp[1], { quantity: "upper shift", rel: 2e-11, why });
      }
    });
  }

  it("joins its far form to its near form without a step", () => {
    for (const df of [1, 5, 100]) {
      const edge = 1000 * Math.sqrt(df);
      const [near, far] = [0.999999, 1.000001].map((share) => shiftLimits(edge * share, df, 0.95));
      agrees(far!.low / near!.low, 1.000001 / 0.999999, {
        quantity: "lower shift across the edge",
        rel: 1e-10,
        why: "the shift is nearly proportional to t there",
      });
      agrees(far!.high / near!.high, 1.000001 / 0.999999, {
        quantity: "upper shift across the edge",
        rel: 1e-10,
        why: "the shift is nearly proportional to t there",
      });
    }
  });

  it("mirrors with the sign of t", () => {
    for (const t of [0.3, 4, 90, 1e7]) {
      const [plus, minus] = [shiftLimits(t, 7, 0.9), shiftLimits(-t, 7, 0.9)];
      agrees(minus.low, -plus.high, { quantity: "mirrored limit", rel: 1e-10, why: "symmetry" });
    }
  });
});
