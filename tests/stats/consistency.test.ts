import { describe, expect, it } from "vitest";
import { InputError } from "../../lib/errors.js";
import { checkCorrelation, criticalCorrelation, reviewGains } from "../../lib/stats/consistency.js";
import { correlation } from "../../lib/stats/correlation.js";
import { correlationOfZ, fisherZ } from "../../lib/stats/fisher.js";
import { readPublishedLine } from "../../lib/stats/published-line.js";
import { publishedTable } from "../../lib/study/package/published.js";
import { agrees } from "../reference/agree.js";
import { referenceCase } from "../reference/cases.js";

describe("printed r, n and p held against each other", () => {
  const { data, computed } = referenceCase("printed-correlations", "recomputed");
  interface Printed {
    readonly r: string;
    readonly n: number;
    readonly p: string;
    readonly verdict: string;
  }
  const cases = (data.rows as Printed[]).map((row, i) => ({
    ...row,
    two: computed.two_sided!.value[i] as number,
  }));

  it.each(cases)("r = $r, n = $n, p $p: $verdict", ({ r, n, p, verdict, two }) => {
    const found = checkCorrelation({ r, n, p });
    expect(found.verdict).toBe(verdict);
    agrees(found.pTwoSided.value, two, {
      quantity: "two-sided p",
      rel: 1e-9,
      why: "R prints 15 digits",
    });
    expect(found.pOneSided.value).toBeCloseTo(two / 2, 12);
    expect(found.pTwoSided.low).toBeLessThan(two);
    expect(found.pTwoSided.high).toBeGreaterThan(two);
  });

  it("r = 0.38 with p = 0.04 would need 29 or 30 people two-sided, not 24", () => {
    const { nThatAgree } = checkCorrelation({ r: "0.38", n: 24, p: "0.04" });
    // From R: the widest n at which [0.375, 0.385] and [0.035, 0.045] still meet
    const wide = Array.from({ length: 40 }, (_, i) => i + 5).filter(
      (n) => checkCorrelation({ r: "0.38", n, p: "0.04" }).verdict === "agrees",
    );
    expect(nThatAgree).toEqual({ from: wide[0], to: wide.at(-1) });
    expect(wide).toContain(29);
    expect(wide).not.toContain(24);
  });

  it("does not agree when even one side will not do", () => {
    const found = checkCorrelation({ r: "0.20", n: 10, p: "0.01" });
    expect(found.verdict).toBe("does not agree");
    expect(checkCorrelation({ r: "0.90", n: 40, p: "0.29" }).nThatAgree).toEqual({
      from: 3,
      to: 3,
    });
  });

  it("a text keeps its zeros, a number does not: 0.50 is narrower than 0.5", () => {
    const text = checkCorrelation({ r: "0.50", n: 15, p: "<0.05" });
    const number = checkCorrelation({ r: 0.5, n: 15, p: "<0.05" });
    expect(text.verdict).toBe("agrees one-sided only");
    expect(number.verdict).toBe("agrees");
  });

  it("reads a printed minus, a leading point and the relation before p", () => {
    const one = checkCorrelation({ r: "−.36", n: 24, p: "p = .04" });
    expect(one.r).toBe(-0.36);
    expect(one.pPrinted).toBe("p = .04");
    expect(checkCorrelation({ r: "-.36", n: 24, p: "≤ 0.05" }).verdict).toBe(
      "agrees one-sided only",
    );
    expect(checkCorrelation({ r: ".1", n: 24, p: "> 0.05" }).verdict).toBe("agrees");
  });

  it("a correlation computed here agrees with its own p", () => {
    const { value, p, n } = correlation([1, 2, 3, 4, 5, 6, 7], [2, 1, 4, 3, 7, 5, 6]);
    const found = checkCorrelation({ r: value.toFixed(3), n, p: p.toFixed(3) });
    expect(found.verdict).toBe("agrees");
  });

  it("refuses what is no correlation, count or probability", () => {
    for (const bad of [
      { r: "1.2", n: 10, p: "0.05" },
      { r: "0.2", n: 2, p: "0.05" },
      { r: "0.2", n: 10, p: "1.5" },
      { r: "sig", n: 10, p: "0.05" },
      { r: "0.2", n: 10, p: "sig" },
      { r: Number.NaN, n: 10, p: 0.05 },
    ]) {
      expect(() => checkCorrelation(bad)).toThrow(InputError);
    }
  });
});

describe("critical correlation", () => {
  const { data, computed } = referenceCase("printed-correlations", "critical");

  it("is 0.576, 0.514, 0.497, 0.344 and 0.285 for 12, 15, 16, 33 and 48 people", () => {
    for (const [i, n] of data.n.entries()) {
      const found = criticalCorrelation(n);
      agrees(found, computed.critical!.value[i], {
        quantity: `n = ${n}`,
        rel: 1e-8,
        why: "scipy and R quantiles differ in the ninth digit",
      });
      expect(found.toFixed(3)).toBe(data.threeDigits[i].toFixed(3));
    }
  });

  it("is where the two-sided p is 0.05", () => {
    agrees(checkCorrelation({ r: criticalCorrelation(20), n: 20, p: 0.05 }).pTwoSided.value, 0.05, {
      quantity: "p",
      rel: 1e-9,
      why: "inverse of each other",
    });
  });
});

describe("gains to review", () => {
  it("marks the 24 percent of the published gains and no other", () => {
    const rows = publishedTable("training-effects").rows.filter(
      ({ chs_pct }) => chs_pct !== null && Number.isFinite(Number(chs_pct)),
    );
    const found = reviewGains({
      percent: rows.map(({ chs_pct }) => Number(chs_pct)),
      label: rows.map(({ study }) => String(study)),
    });
    expect(found.n).toBe(5);
    expect(found.marked).toHaveLength(1);
    expect(found.marked[0]).toMatch(/^Fradkin/);
  });

  it("a gain of 8 is not above 8; another limit may be asked for", () => {
    expect(reviewGains({ percent: [8, 8.01] }).marked).toEqual(["gain 2"]);
    expect(reviewGains({ percent: [6] }, { above: 5 }).marked).toEqual(["gain 1"]);
    expect(() => reviewGains({ percent: [Number.NaN] })).toThrow(InputError);
  });
});

describe("a published line", () => {
  const line = {
    intercept: 4.065,
    slope: -0.0214,
    from: 2,
    to: 27,
    scale: "log",
    r: 0.95,
  } as const;

  it("gives 47.04 m/s at handicap 10, and marks 0 as beyond its people", () => {
    const { rows, warnings } = readPublishedLine(line, [10, 0]);
    agrees(rows[0]!.y, 47.04, { quantity: "m/s at 10", rel: 2e-4, why: "two printed decimals" });
    agrees(rows[1]!.y, 58.26, { quantity: "m/s at 0", rel: 2e-4, why: "two printed decimals" });
    expect(rows.map(({ extrapolated }) => extrapolated)).toEqual([false, true]);
    expect(warnings[0]).toMatch(/outside the range 2 to 27/);
  });

  it("says that a falling line cannot have r = +0.95", () => {
    expect(readPublishedLine(line, [10]).warnings).toEqual([
      "slope -0.0214 and printed correlation 0.95 have opposite signs",
    ]);
    expect(readPublishedLine({ ...line, r: -0.95 }, [10]).warnings).toEqual([]);
  });

  it("refuses an empty range", () => {
    expect(() => readPublishedLine({ ...line, from: 27, to: 2 }, [10])).toThrow(InputError);
  });
});

describe("Fisher's z", () => {
  it("a printed z of 0.48 (0.28 to 0.68) is r = 0.446 (0.273 to 0.592), not 0.48", () => {
    for (const [z, r] of [
      [0.48, 0.446],
      [0.28, 0.273],
      [0.68, 0.592],
    ] as const) {
      agrees(correlationOfZ(z), r, {
        quantity: `z ${z}`,
        rel: 1.9e-3,
        why: "three printed decimals",
      });
    }
  });

  it("goes and comes back", () => {
    agrees(correlationOfZ(fisherZ(-0.7)), -0.7, {
      quantity: "r",
      rel: 1e-14,
      why: "inverse functions",
    });
    expect(() => fisherZ(1)).toThrow(InputError);
    expect(() => correlationOfZ(Number.POSITIVE_INFINITY)).toThrow(InputError);
  });
});
