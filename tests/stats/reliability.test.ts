import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { icc } from "../../lib/stats/icc.js";
import { reliability } from "../../lib/stats/reliability.js";
import { agrees } from "../reference/agree.js";
import { referenceCase } from "../reference/cases.js";

const full = { rel: 1e-13, why: "mean squares of small tables, R gives 15 to 17 digits" };

describe("reliability of Bland and Altman's repeated PEFR readings (1986)", () => {
  for (const id of ["wright_pair", "mini_pair"]) {
    const { data, computed } = referenceCase("reliability", id);
    const result = reliability(data.rows);
    const error = computed.typical_error!.value;

    it(`typical error is SD of differences / √2, its interval from χ²: ${id}`, () => {
      const { value, df, interval } = result.typicalError;
      agrees(value, error.typical_error, { quantity: "typical error", ...full });
      agrees(interval!.low, error.te_ci95_lo, { quantity: "lower limit", ...full });
      agrees(interval!.high, error.te_ci95_hi, { quantity: "upper limit", ...full });
      expect(df).toBe(16);
    });

    it(`minimal detectable change takes the normal quantile, not 1.96: ${id}`, () => {
      const detectable = computed["minimal_difference_1.96"]!.value.from_sqrt_EMS;
      agrees(result.mdc95.value, detectable, { quantity: "MDC95", rel: 1e-12, why: full.why });
      const ratio = 1.6448536269514722 / 1.959963984540054; // normal quantiles, as tabled
      agrees(result.mdc90.value, detectable * ratio, {
        quantity: "MDC90",
        rel: 1e-12,
        why: full.why,
      });
    });

    it(`agreement error counts the shift: root of the mean square within people: ${id}`, () => {
      agrees(result.semAgreement, computed.sem_variants!.value.sqrt_WMS, {
        quantity: "SEM agreement",
        ...full,
      });
    });

    it(`coefficient of variation by logarithms, 100(e^s − 1): ${id}`, () => {
      const cv = computed.typical_error_log_cv_percent!.value;
      agrees(result.cvPercent!.value, cv, { quantity: "CV %", rel: 1e-12, why: full.why });
    });

    it(`shift is last − first by paired t: ${id}`, () => {
      agrees(result.meanShift.value, error.mean_change, { quantity: "shift", ...full });
      agrees(result.meanShift.statistic!, computed.paired_t!.value, { quantity: "t", ...full });
      agrees(result.meanShift.p!, computed.paired_p!.value, { quantity: "p", ...full });
    });

    it(`icc is ICC(3,1): ${id}`, () => {
      agrees(result.icc!.value, computed.icc!.value.ICC3_1, { quantity: "ICC(3,1)", ...full });
    });

    it(`says that the variance between trials is negative, and gives it: ${id}`, () => {
      const { JMS, EMS } = computed.anova!.value;
      agrees(result.variances.trials, (JMS - EMS) / 17, {
        quantity: "variance of trials",
        rel: 1e-10,
        why: "difference of two mean squares",
      });
      expect(result.warnings).toEqual([expect.stringContaining("not clipped")]);
    });
  }
});

describe("reliability of three trials", () => {
  const { data, computed } = referenceCase("reliability", "three_trials");
  const result = reliability(data.rows);

  it("gives what R's two-way analysis of variance gives", () => {
    const value = (name: string) => computed[name]!.value;
    const near = { rel: 3e-13, why: "R keeps 15 digits of an error that is a small remainder" };
    agrees(result.meanSquares.people, value("mean_squares")[0], { quantity: "people", ...near });
    agrees(result.meanSquares.trials, value("mean_squares")[1], { quantity: "trials", ...near });
    agrees(result.meanSquares.error, value("mean_squares")[2], {
      quantity: "error",
      rel: 1e-11,
      why: "R subtracts large sums",
    });
    const loose = { rel: 1e-11, why: "R's error mean square" };
    agrees(result.typicalError.value, value("typical_error"), { quantity: "error", ...loose });
    for (const [part, name] of [
      [result.typicalError, "typical_error_ci95"],
      [result.cvPercent!, "cv_percent_ci95"],
      [result.meanShift, "shift_ci95"],
    ] as const) {
      agrees(part.interval!.low, value(name)[0], { quantity: `${name}, low`, ...loose });
      agrees(part.interval!.high, value(name)[1], { quantity: `${name}, high`, ...loose });
    }
    agrees(result.semAgreement, value("sem_agreement"), { quantity: "SEM agreement", ...loose });
    agrees(result.semAgreement, value("sem_agreement_components"), {
      quantity: "SEM agreement by components",
      ...loose,
    });
    agrees(result.mdc90.value, value("mdc90"), { quantity: "MDC90", ...loose });
    agrees(result.mdc95.value, value("mdc95"), { quantity: "MDC95", ...loose });
    agrees(result.cvPercent!.value, value("cv_percent"), { quantity: "CV %", ...loose });
    agrees(result.meanShift.value, value("shift"), { quantity: "shift", ...near });
    agrees(result.meanShift.p!, value("shift_p"), { quantity: "p", ...loose });
    expect(result.warnings).toEqual([]);
  });

  it("the published SEM 1.8 kgf gives the MDC95 printed as 4.9 to 5.1 (Bai, Shu & Niu 2019)", () => {
    // doi:10.1186/s12891-019-2623-z: two people whose differences have SD 1.8 √2 by construction
    const step = 1.8 * Math.SQRT2;
    const { mdc95, typicalError } = reliability([
      [20, 20 + step / Math.SQRT2],
      [30, 30 - step / Math.SQRT2],
    ]);
    agrees(typicalError.value, 1.8, { quantity: "SEM", rel: 1e-14, why: "by construction" });
    agrees(mdc95.value, 4.989, {
      quantity: "1.96 √2 · 1.8",
      rel: 1.1e-4,
      why: "four printed digits",
    });
  });
});

describe("reliability at the edges", () => {
  it("gives typical error 0, and says so, when trials differ by one shift alone", () => {
    const result = reliability([
      [50.1, 50.2],
      [40.3, 40.4],
      [44.7, 44.8],
    ]);
    expect(result.typicalError.value).toBe(0);
    expect(result.icc!.value).toBe(1);
    expect(result.meanShift).not.toHaveProperty("p");
    expect(result.warnings).toContainEqual(expect.stringContaining("typical error 0"));
  });

  it("leaves out what a table without any variation cannot give", () => {
    const result = reliability([
      [7, 7],
      [7, 7],
    ]);
    expect(result).not.toHaveProperty("icc");
    expect(JSON.parse(JSON.stringify(result))).toEqual(result);
  });

  it("leaves the coefficient of variation out where a value is not positive", () => {
    const result = reliability([
      [1, 2],
      [0, 1],
      [4, 3],
    ]);
    expect(result).not.toHaveProperty("cvPercent");
    expect(result.warnings).toContainEqual(expect.stringContaining("coefficient of variation"));
  });

  it("refuses ragged and small tables, naming the row", () => {
    expect(() => reliability([[1, 2], [3]])).toThrow("reliability, row 1: expected at least 2");
    expect(() =>
      reliability([
        [1, 2, 3],
        [4, 5],
      ]),
    ).toThrow("reliability, row 1: expected 3 trials for every person");
    expect(() => reliability([[1, 2]])).toThrow("at least 2 people");
    expect(() => reliability(undefined as never)).toThrow("a table with one row per person");
  });
});

describe("icc", () => {
  it("has limits in order, around the value, or none", () => {
    const row = fc.integer({ min: 20, max: 60 });
    const tables = fc
      .tuple(fc.integer({ min: 3, max: 8 }), fc.integer({ min: 2, max: 3 }))
      .chain(([n, k]) =>
        fc.array(fc.array(row, { minLength: k, maxLength: k }), { minLength: n, maxLength: n }),
      );
    let without = 0;
    fc.assert(
      fc.property(tables, (rows) => {
        fc.pre(new Set(rows.flat()).size > 1);
        const result = icc(rows);
        for (const form of ["ICC(1,1)", "ICC(2,1)", "ICC(3,1)", "ICC(2,k)"] as const) {
          const { value, interval } = result[form] ?? {};
          if (form === "ICC(2,k)" && value !== undefined && !interval) without++;
          if (!interval || value === undefined) continue;
          expect(interval.low).toBeLessThanOrEqual(interval.high);
          expect(value).toBeGreaterThanOrEqual(interval.low - 1e-9);
          expect(value).toBeLessThanOrEqual(interval.high + 1e-9);
        }
        if (result["ICC(2,k)"] && !result["ICC(2,k)"].interval)
          expect(result.warnings.join()).toContain("ICC(2,k)");
      }),
      { seed: 5, numRuns: 2000 },
    );
    expect(without).toBeGreaterThan(10);
  });

  const forms = {
    "ICC(1,1)": "ICC1_1",
    "ICC(2,1)": "ICC2_1",
    "ICC(3,1)": "ICC3_1",
    "ICC(1,k)": "ICC1_k",
    "ICC(2,k)": "ICC2_k",
    "ICC(3,k)": "ICC3_k",
  } as const;

  it("gives the six values of Shrout and Fleiss (1979), Table 4, as printed", () => {
    const one = referenceCase("reliability", "shrout_fleiss");
    const result = icc(one.data.rows);
    for (const [form, name] of Object.entries(forms)) {
      const printed = one.published.find((entry) => entry.quantity === name)!.printed;
      const value = result[form as keyof typeof forms]!.value;
      agrees(value, Number(printed), {
        quantity: form,
        rel: 0.0051 / Number(printed),
        why: "two printed decimals",
      });
    }
    const { people, within, trials, error } = result.meanSquares;
    for (const [actual, printed] of [
      [people, 11.24],
      [within, 6.26],
      [trials, 32.49],
      [error, 1.02],
    ] as const) {
      agrees(actual, printed, {
        quantity: `mean square printed ${printed}`,
        rel: 0.0051 / printed,
        why: "two printed decimals of Table 3",
      });
    }
  });

  for (const id of ["shrout_fleiss", "wright_pair", "mini_pair"]) {
    const { data, computed } = referenceCase("reliability", id);
    for (const level of [0.9, 0.95]) {
      it(`gives full digits and F intervals at ${level}, form 2 by Satterthwaite: ${id}`, () => {
        const result = icc(data.rows, { level });
        for (const [form, name] of Object.entries(forms)) {
          const { value, interval } = result[form as keyof typeof forms]!;
          const [low, high] = computed[`icc_ci_${level}`]!.value[name];
          agrees(value, computed.icc!.value[name], { quantity: form, ...full });
          agrees(interval!.low, low, { quantity: `${form}, low`, rel: 1e-12, why: full.why });
          agrees(interval!.high, high, { quantity: `${form}, high`, ...full });
        }
        const df = computed[`icc_ci_${level}`]!.value.satterthwaite_v_for_ICC2;
        expect(result["ICC(2,1)"]!.interval!.method).toContain(df.toFixed(2));
      });
    }
  }

  it("reports a negative ICC with its interval and says so", () => {
    const { data, computed } = referenceCase("reliability", "negative_icc");
    const result = icc(data.rows);
    const three = result["ICC(3,1)"]!;
    agrees(three.value, computed.icc31!.value, { quantity: "ICC(3,1)", ...full });
    agrees(three.interval!.low, computed.icc31_ci95!.value[0], { quantity: "low", ...full });
    agrees(three.interval!.high, computed.icc31_ci95!.value[1], { quantity: "high", ...full });
    expect(result.warnings).toContainEqual(expect.stringContaining("negative"));
    const people = reliability(data.rows).variances.people;
    agrees(people, computed.variance_people!.value, { quantity: "variance of people", ...full });
  });

  it("names the forms that do not exist when people have one mean", () => {
    const result = icc([
      [1, 2],
      [2, 1],
      [1.5, 1.5],
    ]);
    expect(result["ICC(1,1)"]!.value).toBe(-1);
    expect(result).not.toHaveProperty("ICC(3,k)");
    expect(result.warnings[0]).toContain("ICC(3,k)");
    expect(JSON.stringify(result)).not.toContain("null");
  });

  it("does not care for unit, offset or order of people; the mean of k beats one trial", () => {
    const row = fc.array(fc.integer({ min: 200, max: 700 }), { minLength: 3, maxLength: 3 });
    const table = fc.array(row, { minLength: 3, maxLength: 12 });
    fc.assert(
      fc.property(table, fc.constantFrom(0.1, 2.2, 9.80665), (rows, unit) => {
        const plain = icc(rows);
        const moved = icc([...rows].reverse().map((trials) => trials.map((x) => 40 + unit * x)));
        for (const form of ["ICC(1,1)", "ICC(2,1)", "ICC(3,1)"] as const) {
          if (plain[form] === undefined) continue;
          expect(moved[form]!.value).toBeCloseTo(plain[form].value, 8);
          const { low, high } = plain[form].interval!;
          expect(low).toBeLessThanOrEqual(plain[form].value + 1e-12);
          expect(high).toBeGreaterThanOrEqual(plain[form].value - 1e-12);
        }
        const one = plain["ICC(3,1)"]?.value ?? 0;
        if (one > 0) expect(plain["ICC(3,k)"]!.value).toBeGreaterThanOrEqual(one);
      }),
      { seed: 20260107, numRuns: 80 },
    );
  });
});
