import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { InputError } from "../../lib/errors.js";
import { pairedChange } from "../../lib/stats/change.js";
import { chanceAbove, equivalence } from "../../lib/stats/equivalence.js";
import { compareGroups } from "../../lib/stats/groups.js";
import { agrees } from "../reference/agree.js";
import { referenceCase, rowsOf } from "../reference/cases.js";

const closed = { rel: 1e-8, why: "closed form, then one distribution function" };

describe("equivalence", () => {
  const tables = [
    ["sleep_paired", "tost"],
    ["ToothGrowth_dose2", "tost_welch"],
    ["ToothGrowth_dose2", "tost_equal_variances"],
    ["ChickWeight_ancova", "tost"],
    ["ChickWeight_ancova", "tost_HC3"],
  ] as const;

  it.each(tables)("gives R's two one-sided tests for %s, %s", (id, name) => {
    for (const row of rowsOf(referenceCase("equivalence", id).computed[name]!.value)) {
      const estimate = { value: row.estimate!, se: row.se!, df: row.df! };
      const result = equivalence(estimate, { low: row.low!, high: row.high! });
      agrees(result.pLow, row.p_above_low!, { quantity: "pLow", ...closed });
      agrees(result.pHigh, row.p_below_high!, { quantity: "pHigh", ...closed });
      agrees(result.p, row.p_tost!, { quantity: "p", ...closed });
      agrees(result.interval.low, row.ci90_low!, { quantity: "lower limit", ...closed });
      agrees(result.interval.high, row.ci90_high!, { quantity: "upper limit", ...closed });
      expect(result.verdict).toBe(row.equivalent === 1 ? "equivalent" : "not shown");
      agrees(chanceAbove(estimate, row.high!).probability, row.chance_above_high!, {
        quantity: "chance above the upper limit",
        ...closed,
      });
    }
  });

  it("takes the estimates of the library as they are", () => {
    const sleep = referenceCase("equivalence", "sleep_paired");
    const { change } = pairedChange(sleep.data.before, sleep.data.after);
    const [row] = rowsOf(sleep.computed.tost!.value);
    agrees(equivalence(change, { low: row!.low!, high: row!.high! }).p, row!.p_tost!, {
      quantity: "p of a paired change",
      ...closed,
    });
    const tooth = referenceCase("equivalence", "ToothGrowth_dose2");
    const groups = compareGroups(tooth.data.orange_juice, tooth.data.ascorbic_acid);
    const [welch] = rowsOf(tooth.computed.tost_welch!.value);
    const limits = { low: welch!.low!, high: welch!.high! };
    agrees(equivalence(groups.difference, limits).p, welch!.p_tost!, {
      quantity: "p of a difference of groups",
      ...closed,
    });
  });

  it("gives the posterior chance of a change above each threshold", () => {
    const sleep = referenceCase("equivalence", "sleep_paired");
    const { change } = pairedChange(sleep.data.before, sleep.data.after);
    const rows = rowsOf(sleep.computed.chance_true_change_above!.value);
    for (const { threshold, chance } of rows) {
      agrees(chanceAbove(change, threshold!).probability, chance!, {
        quantity: "chance",
        ...closed,
      });
    }
    expect(chanceAbove(change, 0)).toMatchObject({ prior: "flat" });
  });

  it("is equivalent exactly when the interval lies within the limits", () => {
    const finite = fc.double({ min: -10, max: 10, noNaN: true });
    fc.assert(
      fc.property(finite, fc.double({ min: 0.01, max: 5, noNaN: true }), (value, se) => {
        const result = equivalence({ value, se, df: 12 }, { low: -3, high: 2 });
        const within = result.interval.low > -3 && result.interval.high < 2;
        expect(result.verdict === "equivalent").toBe(within);
      }),
    );
  });

  it("refuses what it cannot test", () => {
    const estimate = { value: 1, se: 1, df: 3 };
    expect(() => equivalence(estimate, { low: 2, high: 1 })).toThrow(InputError);
    expect(() => equivalence({ value: 1 }, { low: 0, high: 1 })).toThrow(/standard error/);
    expect(() => equivalence(estimate, { low: 0, high: 1, alpha: 0.6 })).toThrow(/one-sided/);
    expect(() => equivalence(estimate, { low: 0, higth: 1 } as never)).toThrow(/high/);
    expect(() => chanceAbove(estimate, Number.NaN)).toThrow(InputError);
  });
});
