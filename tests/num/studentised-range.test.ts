import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { studentT } from "../../lib/num/distributions.js";
import { studentisedRange } from "../../lib/num/studentised-range.js";
import { agrees } from "../reference/agree.js";

interface Reference {
  upper: { groups: number; df: number | null; q: number; upper: number }[];
  table: { rows: { groups: number; df: number; p: number; q: number }[] };
}
const reference: Reference = JSON.parse(
  readFileSync(new URL("../reference/studentised-range.json", import.meta.url), "utf8"),
);

describe("studentisedRange", () => {
  it("has the upper tails of two adaptive quadratures", () => {
    for (const { groups, df, q, upper } of reference.upper) {
      const law = studentisedRange(groups, df ?? Number.POSITIVE_INFINITY);
      const quantity = `upper tail, ${groups} groups, df ${df}, q ${q}`;
      agrees(law.upper(q), upper, { quantity, rel: 1e-8, why: "the quadrature's own error" });
      agrees(law.cdf(q), 1 - upper, { quantity, rel: 1e-8, why: "the quadrature's own error" });
    }
  });

  it("has the printed upper points", () => {
    for (const { groups, df, p, q } of reference.table.rows) {
      agrees(studentisedRange(groups, df).quantile(p), q, {
        quantity: `${p} point, ${groups} groups, df ${df}`,
        rel: 0.00051 / q,
        why: "printed with three decimals",
      });
    }
  });

  it("is √2·|t| with two groups, far into the tail", () => {
    for (const df of [1, 2, 3.3, 10, 50, 1000, 1e6]) {
      for (const q of [0.01, 0.5, 3, 8, 20]) {
        agrees(studentisedRange(2, df).upper(q), 2 * studentT(df).upper(q / Math.SQRT2), {
          quantity: `df ${df}, q ${q}`,
          rel: 1e-11,
          why: "a sum of a few hundred terms",
        });
      }
    }
  });

  it("finds the quantile that its tail has", () => {
    for (const p of [1e-6, 0.05, 0.5, 0.95, 1 - 1e-7]) {
      const law = studentisedRange(4, 12.5);
      agrees(law.upper(law.quantile(p)), 1 - p, {
        quantity: `tail at the ${p} quantile`,
        rel: 1e-8,
        why: "the tolerance of the root",
      });
    }
  });

  it("refuses one group and part of a group", () => {
    expect(() => studentisedRange(1, 10)).toThrow(/groups/);
    expect(() => studentisedRange(2.5, 10)).toThrow(/groups/);
    expect(() => studentisedRange(3, 0)).toThrow(/df/);
  });
});
