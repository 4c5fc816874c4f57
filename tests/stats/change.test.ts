import fc from "fast-check";
import * as simple from "simple-statistics";
import { describe, expect, it } from "vitest";
import { pairedChange } from "../../lib/stats/change.js";
import { agrees } from "../reference/agree.js";
import { agreesAsPrinted, referenceCase } from "../reference/cases.js";

const full = { rel: 2e-14, why: "R gives 15 to 17 digits; a t quantile costs a few of the last" };
const shifts = { rel: 1e-10, why: "non-central t inverted, itself good to about 1e-12" };

describe("pairedChange on Student's sleep data (1908)", () => {
  const sleep = referenceCase("paired", "sleep");
  const effects = referenceCase("effects", "sleep_effect").computed;
  const { drug1, drug2 } = sleep.data;
  const forth = pairedChange(drug1, drug2);
  const back = pairedChange(drug2, drug1);

  it("gives the t, df, p, mean and interval printed in R's example (first − second)", () => {
    agreesAsPrinted(back.change.statistic!, sleep, "t");
    agreesAsPrinted(back.change.df!, sleep, "df");
    agreesAsPrinted(back.change.p!, sleep, "p");
    agreesAsPrinted(back.change.value, sleep, "mean of differences");
    agreesAsPrinted(back.change.interval!.low, sleep, "95% CI lower");
    agreesAsPrinted(back.change.interval!.high, sleep, "95% CI upper");
  });

  it("gives R's full digits at three confidence levels", () => {
    const { change } = back;
    agrees(change.statistic!, sleep.computed.paired_t!.value, { quantity: "t", ...full });
    agrees(change.p!, sleep.computed.paired_p_two_sided!.value, { quantity: "p", ...full });
    agrees(change.se!, sleep.computed.se_difference!.value, { quantity: "se", ...full });
    for (const percent of [90, 95, 99]) {
      const { low, high } = pairedChange(drug2, drug1, { level: percent / 100 }).change.interval!;
      const [lower, upper] = sleep.computed[`paired_ci${percent}`]!.value;
      agrees(low, lower, { quantity: `lower ${percent} % limit`, ...full });
      agrees(high, upper, { quantity: `upper ${percent} % limit`, ...full });
    }
  });

  it("takes the SD of the changes with divisor n − 1, where Student took n", () => {
    const { sd_difference_n_minus_1: modern, sd_difference_divisor_n_as_Student_1908: student } =
      sleep.computed;
    agrees(forth.sdChange, modern!.value, { quantity: "SD of changes", ...full });
    agrees(forth.sdChange * Math.sqrt(9 / 10), student!.value, { quantity: "Student's", ...full });
  });

  it("gives dz, dAv (root of the mean variance) and J(n − 1) dAv, each with its interval", () => {
    agrees(forth.dz!, effects.d_z!.value, { quantity: "dz", ...full });
    agrees(forth.dAv!, effects.d_av_mean_of_variances!.value, { quantity: "dAv", ...full });
    agrees(forth.hedgesGAv!, effects.g_av_J_df_n_minus_1!.value, { quantity: "g", ...full });
    agrees(forth.correlation!, effects.r_pre_post!.value, { quantity: "r", ...full });
    const exact = effects.nct_ci_EXACT_mpmath!.value;
    for (const level of [0.9, 0.95]) {
      const { dzInterval, dAvInterval, hedgesGAvInterval } = pairedChange(drug1, drug2, { level });
      for (const interval of [dzInterval, dAvInterval, hedgesGAvInterval]) {
        expect(interval!.level).toBe(level);
      }
      const [low, high] = exact[String(level)].d;
      agrees(dzInterval!.low, low, { quantity: "lower limit of dz", ...shifts });
      agrees(dzInterval!.high, high, { quantity: "upper limit of dz", ...shifts });
      // dAv = dz · sdChange / average SD, so its limits stand in the same ratio
      const ratio = effects.d_av_mean_of_variances!.value / effects.d_z!.value;
      agrees(dAvInterval!.low, low * ratio, { quantity: "lower limit of dAv", ...shifts });
      agrees(dAvInterval!.high, high * ratio, { quantity: "upper limit of dAv", ...shifts });
    }
  });

  it("leaves percent out, with a warning, because changes of sleep are not all positive", () => {
    expect(forth).not.toHaveProperty("percent");
    expect(forth.warnings).toEqual([expect.stringContaining("percent")]);
  });
});

describe("pairedChange on 30 barley plots (Immer 1934)", () => {
  const one = referenceCase("paired", "immer");
  const result = pairedChange(one.data.before, one.data.after);

  it("gives the published t and p", () => {
    agreesAsPrinted(result.change.statistic!, one, "t");
    agreesAsPrinted(result.change.p!, one, "p");
  });

  it("takes percent as a ratio of geometric means, in %, with its own t interval", () => {
    const { value, statistic, p, interval } = result.percent!;
    agrees(value, one.computed.percent!.value, { quantity: "percent", ...full });
    agrees(statistic!, one.computed.percent_t!.value, { quantity: "t of logs", ...full });
    agrees(p!, one.computed.percent_p!.value, { quantity: "p of logs", rel: 1e-13, why: full.why });
    const [low, high] = one.computed.percent_ci95!.value;
    agrees(interval!.low, low, { quantity: "lower limit of percent", ...full });
    agrees(interval!.high, high, { quantity: "upper limit of percent", ...full });
    agrees(result.correlation!, one.computed.correlation!.value, { quantity: "r", ...full });
  });
});

describe("pairedChange beside simple-statistics", () => {
  it("agrees on the correlation", () => {
    const [before, after] = [
      [48.2, 51.7, 39.9, 44.1, 46.3],
      [49.0, 55.2, 40.1, 47.7, 45.2],
    ];
    agrees(pairedChange(before!, after!).correlation!, simple.sampleCorrelation(before!, after!), {
      quantity: "correlation",
      ...full,
    });
  });

  it("disagrees on t, on purpose: its tTest divides by the population SD", () => {
    // R: t.test(1:6, mu = 3.385)$statistic is 0.15057; simple-statistics gives 0.16494
    const x = [1, 2, 3, 4, 5, 6];
    const t = pairedChange(
      x.map(() => 3.385),
      x,
    ).change.statistic!;
    agrees(t, 0.15057, { quantity: "t", rel: 4e-5, why: "five digits printed by R" });
    agrees(simple.tTest(x, 3.385), t * Math.sqrt(6 / 5), { quantity: "theirs", ...full });
  });
});

describe("pairedChange at the edges", () => {
  it("gives se 0 and no t for a constant change, decimals that binary cannot hold included", () => {
    expect(1.9 - 0.7).not.toBe(2.2 - 1);
    const result = pairedChange([1.9, 2.2, 3.7], [0.7, 1, 2.5]);
    const { value, se, interval } = result.change;
    expect(value).toBeCloseTo(-1.2, 15);
    expect(se).toBe(0);
    expect([interval!.low, interval!.high]).toEqual([value, value]);
    expect(result.change).not.toHaveProperty("p");
    expect(result).not.toHaveProperty("dz");
    expect(result.sdChange).toBe(0);
    expect(result.warnings[0]).toMatch(/Every change is the same/);
  });

  it("gives percent without t when everyone gained the same share", () => {
    const before = [31.7, 44.2, 52.9];
    const { percent } = pairedChange(
      before,
      before.map((kgf) => kgf * 1.087),
    );
    expect(percent!.value).toBeCloseTo(8.7, 12);
    expect(percent!.interval!.low).toBe(percent!.value);
    expect(percent).not.toHaveProperty("statistic");
  });

  it("says that two people have no Hedges factor and a flat occasion no correlation", () => {
    const two = pairedChange([40, 44], [43, 45]);
    expect(two).not.toHaveProperty("hedgesGAv");
    expect(two.warnings).toContainEqual(expect.stringContaining("Hedges' factor is 0"));
    const flat = pairedChange([5, 5, 5], [6, 7, 9]);
    expect(flat).not.toHaveProperty("correlation");
    expect(pairedChange([5, 5], [6, 6]).warnings).toHaveLength(3);
  });

  it("keeps a tiny spread on a huge change finite", () => {
    const result = pairedChange([0, 0, 0, 0], [1000, 1000.1, 1000.2, 999.9]);
    expect(result.dzInterval!.low).toBeLessThan(result.dz!);
    expect(result.dzInterval!.high).toBeGreaterThan(result.dz!);
    expect(JSON.parse(JSON.stringify(result))).toEqual(result);
  });

  it("refuses columns that do not pair", () => {
    expect(() => pairedChange([1, 2], [1, 2, 3])).toThrow(
      "pairedChange, after: expected 2 values, got 3",
    );
    expect(() => pairedChange([1], [2])).toThrow(/at least 2/);
    expect(() => pairedChange([1, 2], [1, 2], { level: 95 })).toThrow(/between 0 and 1/);
  });

  it("is frozen to the bottom", () => {
    const result = pairedChange([1, 2, 3], [2, 4, 7]);
    expect(Object.isFrozen(result.change.interval)).toBe(true);
  });
});

describe("pairedChange as people, units and time move", () => {
  const reading = fc.integer({ min: 100, max: 900 }).map((tenths) => tenths / 10);
  const people = fc.array(fc.tuple(reading, reading), { minLength: 3, maxLength: 25 });

  it("scales with the unit, ignores order, turns its sign with time, holds its estimate", () => {
    fc.assert(
      fc.property(people, fc.constantFrom(0.5, 9.80665, 2.2), (pairs, unit) => {
        const [before, after] = [pairs.map(([x]) => x), pairs.map(([, y]) => y)];
        const plain = pairedChange(before, after);
        if (plain.sdChange === 0) return;
        const scaled = pairedChange(
          before.map((x) => x * unit).reverse(),
          after.map((y) => y * unit).reverse(),
        );
        expect(scaled.change.value).toBeCloseTo(unit * plain.change.value, 8);
        expect(scaled.change.statistic!).toBeCloseTo(plain.change.statistic!, 8);
        expect(scaled.percent!.value).toBeCloseTo(plain.percent!.value, 8);
        const back = pairedChange(after, before);
        expect(back.change.value).toBeCloseTo(-plain.change.value, 10);
        const there = 1 + plain.percent!.value / 100;
        expect(1 + back.percent!.value / 100).toBeCloseTo(1 / there, 10);
        for (const part of [plain.change, plain.percent!]) {
          expect(part.interval!.low).toBeLessThanOrEqual(part.value);
          expect(part.interval!.high).toBeGreaterThanOrEqual(part.value);
        }
      }),
      { seed: 20260105, numRuns: 60 },
    );
  });

  it("leaves change alone when every reading shifts by the same amount", () => {
    fc.assert(
      fc.property(people, fc.integer({ min: 1, max: 40 }), (pairs, offset) => {
        const [before, after] = [pairs.map(([x]) => x), pairs.map(([, y]) => y)];
        const plain = pairedChange(before, after);
        const moved = pairedChange(
          before.map((x) => x + offset),
          after.map((y) => y + offset),
        );
        expect(moved.change.value).toBeCloseTo(plain.change.value, 9);
        expect(moved.sdChange).toBeCloseTo(plain.sdChange, 9);
      }),
      { seed: 20260106, numRuns: 60 },
    );
  });
});
