import { describe, expect, it } from "vitest";
import { adjustForBaseline } from "../../lib/stats/baseline.js";
import { fitLinear } from "../../lib/stats/linear-model.js";
import { agrees } from "../reference/agree.js";
import { referenceCase } from "../reference/cases.js";

const why = "closed form; R's own rounding";
const arms = (...sizes: number[]) =>
  sizes.flatMap((n, i) => Array.from({ length: n }, () => "cgs"[i]!));

describe.each(["ChickWeight_three_diets", "iris_three_species"])("adjustForBaseline, %s", (id) => {
  const { data, computed } = referenceCase("ancova", id);
  const columns = { before: data.pre, after: data.post, group: data.arm, reference: data.arm[0] };

  it.each(["ordinary", "HC0", "HC1", "HC2", "HC3"] as const)("%s errors", (standardErrors) => {
    const { differences, groups, slope, df } = adjustForBaseline(columns, { standardErrors });
    const { coefficients, adjusted_means: means } = computed[standardErrors]!.value;
    const rows = Object.fromEntries(
      coefficients.rownames.map((name: string, i: number) => [name, coefficients.rows[i]]),
    );
    for (const [group, difference] of Object.entries(differences)) {
      const [value, se, , t, p, low, high] = rows[`arm${group}`];
      agrees(difference.value, value, { quantity: group, rel: 1e-9, why });
      agrees(difference.se!, se, { quantity: `se, ${group}`, rel: 1e-9, why });
      agrees(difference.statistic!, t, { quantity: `t, ${group}`, rel: 1e-9, why });
      agrees(difference.p!, p, { quantity: `p, ${group}`, rel: 1e-9, why });
      agrees(difference.interval!.low, low, { quantity: `low, ${group}`, rel: 1e-9, why });
      agrees(difference.interval!.high, high, { quantity: `high, ${group}`, rel: 1e-9, why });
    }
    agrees(slope.se!, rows.pre[1], { quantity: "se of the slope", rel: 1e-9, why });
    expect(df).toBe(rows.pre[2]);
    groups.forEach(({ group, adjustedMean }) => {
      const at = means.rownames.indexOf(group);
      agrees(adjustedMean, means.rows[at][0], { quantity: `mean of ${group}`, rel: 1e-9, why });
    });
  });
});

describe("adjustForBaseline", () => {
  const before = [30, 34, 41, 45, 38, 33, 36, 40, 44, 31, 39, 42];
  const after = [31, 36, 43, 46, 38, 35, 39, 44, 47, 35, 44, 45];
  const age = [25, 61, 43, 38, 52, 29, 47, 33, 58, 41, 36, 64];
  const group = arms(6, 6);

  it("with covariates is the linear model with those columns", () => {
    const sex = [..."fmfmfmfmfmfm"];
    const adjusted = adjustForBaseline({
      before,
      after,
      group,
      reference: "c",
      covariates: { age, sex },
    });
    const { coefficients } = fitLinear({ y: after, terms: { before, group, age, sex } });
    expect(adjusted.difference!.value).toBe(coefficients["group:g"]!.value);
    expect(adjusted.difference!.se).toBe(coefficients["group:g"]!.se);
    expect(adjusted.covariates).toEqual({ age: coefficients.age, "sex:m": coefficients["sex:m"] });
    expect(adjusted.df).toBe(12 - 5);
    expect(adjusted.method).toMatch(/adjusted for age, sex/);
    const covariates = { before: age };
    expect(() => adjustForBaseline({ before, after, group, reference: "c", covariates })).toThrow(
      /covariates: expected another name/,
    );
  });

  it("has nothing to warn of where arms overlap, have one spread and are randomised", () => {
    expect(adjustForBaseline({ before, after, group, reference: "c" }).warnings).toEqual([]);
  });

  it("warns with the measured value, the limit and the consequence", () => {
    const apart = before.map((value, i) => value + (i < 6 ? 0 : 40));
    const gap = adjustForBaseline({ before: apart, after, group, reference: "c" }).warnings;
    expect(gap[0]).toBe(
      "no overlap at baseline: g has 71 to 84, c 30 to 45. Their difference rests on extending the " +
        "fitted line beyond the data of both",
    );
    expect(gap[1]).toMatch(/^g and c differ by \d+\.\d SD at baseline \(limit 1\)\. If the arms/);
    const lone = adjustForBaseline({ before, after, group: [...arms(11), "g"], reference: "c" });
    expect(lone.warnings[0]).toMatch(/^arm g has 1 person \(at least 2/);
    const wide = after.map((value, i) => value + (i < 4 ? (i % 2) * 12 - 6 : 0));
    const unequal = { before, after: wide, group: arms(4, 8), reference: "c" };
    expect(adjustForBaseline(unequal).warnings[0]).toMatch(
      /^unequal spread .* of c \(n 4\) is \d\.\d times that of g \(n 8\); the limit is 1\.5\. .* too narrow/,
    );
    expect(adjustForBaseline(unequal, { standardErrors: "HC3" }).warnings).toEqual([]);
    expect(adjustForBaseline(unequal, { standardErrors: "HC0" }).warnings).toEqual([
      "HC0 standard errors from 12 rows (below 250) are too small, so intervals are too narrow; " +
        "HC3 is safer",
    ]);
    const chosen = adjustForBaseline(
      { before, after, group, reference: "c" },
      { randomised: false },
    );
    expect(chosen.warnings[0]).toMatch(
      /^arms not randomised: g and c differ by 0\.4 SD at baseline/,
    );
  });
});
