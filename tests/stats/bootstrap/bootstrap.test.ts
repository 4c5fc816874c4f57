import fc from "fast-check";
import * as simple from "simple-statistics";
import { describe, expect, it } from "vitest";
import { InputError } from "../../../lib/errors.js";
import { bootstrap } from "../../../lib/stats/bootstrap/bootstrap.js";
import { correlation } from "../../../lib/stats/correlation.js";
import { quantile } from "../../../lib/stats/describe.js";
import { placeSmallest, replicateQuantile } from "../../../lib/stats/selection.js";
import { agrees } from "../../reference/agree.js";
import { referenceCase } from "../../reference/cases.js";

const full = { rel: 1e-11, why: "leave-one-out values differ in their last digits" };

function mean([x]: Float64Array[]): number {
  let total = 0;
  for (let i = 0; i < x!.length; i++) total += x![i]!;
  return total / x!.length;
}

function pearson([x, y]: Float64Array[]): number {
  const [mx, my] = [mean([x!]), mean([y!])];
  let [xx, yy, xy] = [0, 0, 0];
  for (let i = 0; i < x!.length; i++) {
    const [dx, dy] = [x![i]! - mx, y![i]! - my];
    xx += dx * dx;
    yy += dy * dy;
    xy += dx * dy;
  }
  return xy / Math.sqrt(xx * yy);
}

describe("bootstrap of the law school correlation (Efron & Tibshirani 1993, table 3.1)", () => {
  const { data, computed } = referenceCase("bootstrap", "law");
  const exact = computed.exact_ideal_bootstrap!.value;
  const columns = [data.LSAT, data.GPA];
  const resamples = 200_000;
  const run = (method: "bca" | "percentile" | "basic" | "normal", level: number) =>
    bootstrap(columns, pearson, { resamples, seed: 1, method, level });

  it("estimate and jackknife acceleration are exact", () => {
    const ours = bootstrap(columns, pearson, { seed: 1, resamples: 99 });
    agrees(ours.estimate.value, computed.r!.value, { quantity: "r", ...full });
    const { value } = computed.acceleration_a_jackknife!;
    agrees(ours.acceleration!, value, { quantity: "acceleration", ...full });
  });

  it("se, bias and z0 are those of the ideal bootstrap, within Monte-Carlo error", () => {
    const ours = run("bca", 0.9);
    const why = "Monte-Carlo error of 200 000 resamples, four standard errors";
    agrees(ours.estimate.se, exact.se, { quantity: "se", rel: 0.008, why });
    agrees(ours.bias, exact.mean - computed.r!.value, { quantity: "bias", rel: 0.2, why });
    agrees(ours.z0!, exact.z0_strict_less, { quantity: "z0", rel: 0.12, why });
  });

  it.each([0.9, 0.95])("limits at %d are those of the ideal bootstrap", (level) => {
    const why = "Monte-Carlo error of 200 000 resamples, four standard errors";
    const half = level === 0.9 ? ["0.05", "0.95"] : ["0.025", "0.975"];
    const percentile = run("percentile", level).estimate.interval;
    agrees(percentile.low, exact.quantiles[half[0]!], { quantity: "low", rel: 0.008, why });
    agrees(percentile.high, exact.quantiles[half[1]!], { quantity: "high", rel: 0.001, why });
    const limit = (side: string) =>
      exact.bca.find(
        (one: Record<string, unknown>) =>
          one.z0 === "mid" && one.a === "jack" && one.level === level && one.side === side,
      ).limit;
    const bca = run("bca", level).estimate.interval;
    agrees(bca.low, limit("lo"), { quantity: "BCa low", rel: 0.012, why });
    agrees(bca.high, limit("hi"), { quantity: "BCa high", rel: 0.001, why });
    for (const method of ["basic", "normal"] as const) {
      const [low, high] = computed[`boot_R1e6_${method}_${level}`]!.value;
      const { interval } = run(method, level).estimate;
      agrees(interval.low, low, { quantity: `${method} low`, rel: 0.005, why });
      agrees(interval.high, high, { quantity: `${method} high`, rel: 0.005, why });
    }
  });

  it("10 000 resamples come within Monte-Carlo error of the printed .43 and .92 (Efron 1987)", () => {
    // Efron's acceleration is −.0817, by the infinitesimal jackknife; ours −.0757 moves the
    // limits in the third decimal. His upper limit is itself a Monte-Carlo value: exact is .927.
    const { low, high } = bootstrap(columns, pearson, { seed: 3, level: 0.9 }).estimate.interval;
    const why = "printed to two digits, from one Monte-Carlo run";
    agrees(low, 0.43, { quantity: "BCa low", rel: 0.04, why });
    agrees(high, 0.92, { quantity: "BCa high", rel: 0.015, why });
  });
});

describe("bootstrap of the CD4 correlation (DiCiccio & Efron 1996)", () => {
  const { data, computed } = referenceCase("bootstrap", "cd4");
  const columns = [data.baseline, data.oneyear];

  it.each([0.9, 0.95])("BCa limits at %d are those of 10⁸ resamples", (level) => {
    const ours = bootstrap(columns, pearson, { resamples: 200_000, seed: 2, level });
    const { value: a } = computed.acceleration_a_jackknife!;
    agrees(ours.acceleration!, a, { quantity: "acceleration", ...full });
    const why = "Monte-Carlo error of 200 000 resamples, four standard errors";
    const limit = (side: string) =>
      computed.bca_1e8!.value.find(
        (one: Record<string, unknown>) =>
          one.a === "jack" && one.level === level && one.side === side,
      ).limit;
    agrees(ours.estimate.interval.low, limit("lo"), { quantity: "low", rel: 0.01, why });
    agrees(ours.estimate.interval.high, limit("hi"), { quantity: "high", rel: 0.002, why });
    const { se } = computed.monte_carlo_1e8!.value;
    agrees(ours.estimate.se, se, { quantity: "se", rel: 0.01, why });
  });
});

describe("bootstrap of a mean on a lattice (sleep data), its distribution known exactly", () => {
  const { data, computed } = referenceCase("bootstrap", "sleep_mean");
  const exact = computed.exact!.value;
  const columns = [data.differences];
  const resamples = 400_000;
  const why = "Monte-Carlo error of 400 000 resamples, four standard errors";

  it("z0 counts half of the replicates that equal the estimate", () => {
    const ours = bootstrap(columns, mean, { resamples, seed: 4, level: 0.9 });
    const { z0, limits } = exact["bca_0.9_z0_midpoint_ties"];
    agrees(ours.z0!, z0, { quantity: "z0", rel: 0.09, why });
    // Counting only those below gives 0.0668, nearly seven standard errors away.
    const strict = exact["bca_0.9_z0_strict_less"].z0;
    expect(Math.abs(ours.z0! - strict)).toBeGreaterThan(0.0075);
    agrees(ours.estimate.se, exact.se_plugin_ideal_bootstrap, { quantity: "se", rel: 0.006, why });
    agrees(ours.acceleration!, exact.acceleration_jackknife, { quantity: "acceleration", ...full });
    const lattice = "the exact limits are points of a lattice with steps of 0.01";
    agrees(ours.estimate.interval.low, limits[0], {
      quantity: "low",
      rel: 0.011 / 1.12,
      why: lattice,
    });
    agrees(ours.estimate.interval.high, limits[1], {
      quantity: "high",
      rel: 0.011 / 2.43,
      why: lattice,
    });
  });

  it.each(["percentile", "basic"] as const)("%s limits", (method) => {
    const { interval } = bootstrap(columns, mean, {
      resamples,
      seed: 4,
      level: 0.9,
      method,
    }).estimate;
    const [low, high] = exact[`${method}_0.9`];
    const lattice = "the exact limits are points of a lattice with steps of 0.01";
    agrees(interval.low, low, { quantity: "low", rel: 0.011 / low, why: lattice });
    agrees(interval.high, high, { quantity: "high", rel: 0.011 / high, why: lattice });
  });

  it.each([0.9, 0.95])(
    "studentized limits at %d, with the formula or with the jackknife",
    (level) => {
      const se = ([x]: Float64Array[]) => simple.sampleStandardDeviation([...x!]) / Math.sqrt(10);
      const [low, high] = computed[`studentized_${level}`]!.value;
      const few = "Monte-Carlo error of 40 000 resamples, four standard errors";
      const options = { resamples: 40_000, seed: 6, level, method: "studentized" } as const;
      for (const run of [
        bootstrap(columns, mean, { ...options, se }),
        bootstrap(columns, mean, options),
      ]) {
        agrees(run.estimate.interval.low, low, { quantity: "low", rel: 0.02, why: few });
        agrees(run.estimate.interval.high, high, { quantity: "high", rel: 0.015, why: few });
        expect(run.estimate.interval.method).toBe("studentized bootstrap");
      }
    },
  );
});

describe("bootstrap within strata: mouse survival (Efron & Tibshirani 1993, table 2.1)", () => {
  const { data, computed } = referenceCase("bootstrap", "mouse");
  const treated = data.arm.map((arm: string) => (arm === "treated" ? 1 : 0));
  const difference = ([days, arm]: Float64Array[]) => {
    const sums = [0, 0];
    const counts = [0, 0];
    for (let i = 0; i < days!.length; i++) {
      sums[arm![i]!]! += days![i]!;
      counts[arm![i]!]!++;
    }
    // Every resample keeps the arms' sizes; the jackknife leaves one out.
    if (days!.length === 16 && counts[1] !== 7) return Number.NaN;
    return sums[1]! / counts[1]! - sums[0]! / counts[0]!;
  };

  it("se is the two-sample one, the acceleration weights each arm by its size", () => {
    const columns = [data.days, treated];
    const ours = bootstrap(columns, difference, {
      strata: data.arm,
      resamples: 100_000,
      seed: 8,
      level: 0.9,
      method: "percentile",
    });
    const why = "Monte-Carlo error of 100 000 resamples, four standard errors";
    expect(ours.replicates).toHaveLength(100_000);
    agrees(ours.estimate.value, computed.difference!.value, { quantity: "difference", ...full });
    agrees(ours.acceleration!, computed.acceleration!.value, { quantity: "acceleration", ...full });
    agrees(ours.estimate.se, computed.ideal_se!.value, { quantity: "se", rel: 0.01, why });
    const [low, high] = computed["boot_R2e5_percentile_0.9"]!.value;
    agrees(ours.estimate.interval.low, low, { quantity: "low", rel: 0.06, why });
    agrees(ours.estimate.interval.high, high, { quantity: "high", rel: 0.012, why });
  });

  it("an arm of one is repeated in every resample, and a warning says so", () => {
    const ours = bootstrap([[1, 2, 3, 4, 5, 99]], mean, {
      seed: 1,
      strata: ["a", "a", "a", "a", "a", "lone"],
      resamples: 200,
    });
    expect(ours.warnings).toContain(
      'stratum "lone" has only one of its rows: every resample repeats it',
    );
    expect(Math.min(...ours.replicates)).toBeGreaterThan(99 / 6);
  });
});

describe("bootstrap of whole people", () => {
  const study = referenceCase("regression", "sleepstudy");
  const { Reaction, Days, Subject } = study.data;
  const people = Subject.map(String);

  /** Mean over the people drawn of each one's own slope. */
  function meanSlope([x, y]: Float64Array[], unit: Int32Array): number {
    let [slopes, count] = [0, 0];
    for (let from = 0; from < unit.length; ) {
      let to = from;
      while (unit[to] === unit[from]) to++;
      const own = [x!.slice(from, to), y!.slice(from, to)] as const;
      const centre = mean([own[0]]);
      let [xx, xy] = [0, 0];
      for (let i = 0; i < own[0].length; i++) {
        xx += (own[0][i]! - centre) ** 2;
        xy += (own[0][i]! - centre) * own[1][i]!;
      }
      slopes += xy / xx;
      count++;
      from = to;
    }
    // A person drawn twice counts as two; the jackknife leaves one out.
    return count === x!.length / 10 ? slopes / count : Number.NaN;
  }

  it("equals the bootstrap of one slope a person, draw by draw", () => {
    const options = { resamples: 2000, seed: 12 };
    const rows = bootstrap([Days, Reaction], meanSlope, { ...options, clusters: people });
    const slopes = bootstrap([study.computed.slopes!.value], mean, options);
    const same = { rel: 1e-10, why: "the same people drawn, slopes summed in the same order" };
    expect(rows.replicates).toHaveLength(2000);
    expect(rows.units).toBe(18);
    expect(rows.n).toBe(180);
    agrees(rows.estimate.value, slopes.estimate.value, { quantity: "estimate", ...same });
    agrees(rows.acceleration!, slopes.acceleration!, { quantity: "acceleration", ...same });
    agrees(rows.estimate.interval.low, slopes.estimate.interval.low, { quantity: "low", ...same });
    agrees(rows.estimate.interval.high, slopes.estimate.interval.high, {
      quantity: "high",
      ...same,
    });
  });

  it("takes all rows of a person or none, wherever they stand, people of any size", () => {
    const clusters = ["a", "b", "a", "c", "b", "a", "d", "e", "e"];
    const index = clusters.map((_, i) => i);
    const sizes = new Map<number, number>();
    bootstrap(
      [index],
      ([row], unit) => {
        const drawn = new Map<number, string>();
        for (const [i, r] of row!.entries()) {
          drawn.set(unit[i]!, (drawn.get(unit[i]!) ?? "") + r);
        }
        for (const rows of drawn.values()) expect(["025", "14", "3", "6", "78"]).toContain(rows);
        sizes.set(drawn.size, (sizes.get(drawn.size) ?? 0) + 1);
        return row!.length;
      },
      { clusters, resamples: 500, seed: 2 },
    );
    // the whole data and 500 resamples draw five, the jackknife leaves out one of five
    expect([...sizes]).toEqual([
      [5, 501],
      [4, 5],
    ]);
  });

  it("draws people within arms, and refuses a person in two arms", () => {
    const clusters = ["a", "a", "b", "c", "c", "d"];
    const strata = ["x", "x", "x", "y", "y", "y"];
    const arm = [0, 0, 0, 1, 1, 1];
    bootstrap(
      [arm],
      ([armOfRow], unit) => {
        const arms = new Map(Array.from(unit, (u, i) => [u, armOfRow![i]!]));
        const inFirst = [...arms.values()].filter((value) => value === 0).length;
        if (arms.size === 4) expect(inFirst).toBe(2);
        return armOfRow!.length;
      },
      { seed: 1, clusters, strata, resamples: 200 },
    );
    const crossed = ["x", "y", "x", "y", "y", "y"];
    expect(() => bootstrap([arm], mean, { seed: 1, clusters, strata: crossed })).toThrow(
      'bootstrap, strata, index 1: expected every cluster to lie in one stratum, got a cluster in "x" and "y"',
    );
  });
});

describe("bootstrap of many rows", () => {
  it("leaves out blocks beyond 2000 rows: the same acceleration, and no quadratic cost", () => {
    // Squares of a lattice: skewed, and the acceleration of a mean is Σd³ / (6 (Σd²)^1.5).
    const x = Float64Array.from({ length: 5000 }, (_, i) => (i / 5000) ** 4);
    const centre = mean([x]);
    let [squares, cubes] = [0, 0];
    for (const value of x) {
      squares += (value - centre) ** 2;
      cubes += (value - centre) ** 3;
    }
    let calls = 0;
    const counted = (columns: Float64Array[]) => {
      calls++;
      return mean(columns);
    };
    const ours = bootstrap([x], counted, { seed: 1, resamples: 100 });
    expect(calls).toBe(1 + 1000 + 100);
    const exact = cubes / (6 * squares ** 1.5);
    expect(Math.abs(ours.acceleration! - exact)).toBeLessThan(0.0016); // four standard errors
    expect(exact).toBeGreaterThan(0.003);
  });
});

describe("bootstrap where the method is undefined falls back, and says so", () => {
  const x = [3, 1, 4, 1.5, 9, 2.6, 5];

  it("all replicates equal: a point, not an interval", () => {
    const ours = bootstrap([[0.1, 0.1, 0.1, 0.1, 0.1]], mean, { seed: 1, resamples: 100 });
    expect(ours.estimate.interval.high - ours.estimate.interval.low).toBeLessThan(1e-15);
    expect(ours.method).toBe("percentile bootstrap (all replicates equal)");
    expect(ours.warnings[0]).toContain("every resample gave the same value");
    expect(JSON.parse(JSON.stringify(ours))).toEqual(ours);
  });

  it("all replicates on one side: z0 is infinite and left out", () => {
    const distinct = ([column]: Float64Array[]) => new Set(column).size;
    const ours = bootstrap([Array.from({ length: 40 }, (_, i) => i)], distinct, {
      seed: 1,
      resamples: 500,
    });
    expect(ours).not.toHaveProperty("z0");
    expect(ours.method).toMatch(/^percentile bootstrap \(BCa is undefined: all replicates lie/);
    expect(ours.warnings[0]).toMatch(/percentile limits are given instead/);
    expect(JSON.parse(JSON.stringify(ours))).toEqual(ours);
  });

  it("fewer than five units: no BCa", () => {
    const ours = bootstrap([[1, 2, 4, 9]], mean, { seed: 1, resamples: 500 });
    expect(ours.method).toBe("percentile bootstrap (BCa needs at least 5 units, got 4)");
    expect(bootstrap([[1, 2, 4, 9, 11]], mean, { seed: 1, resamples: 500 }).warnings).toEqual([]);
    const clusters = ["a", "a", "a", "b", "b", "c", "c"];
    expect(bootstrap([x], mean, { seed: 1, clusters, resamples: 500 }).method).toContain("got 3");
  });

  it("a jackknife that is undefined gives no acceleration", () => {
    const needsAll = ([column]: Float64Array[]) => (column!.length < 7 ? Number.NaN : column![0]!);
    const ours = bootstrap([x], needsAll, { seed: 1, resamples: 500 });
    expect(ours).not.toHaveProperty("acceleration");
    expect(ours.method).toContain("the jackknife gives no acceleration");
  });

  it("an acceleration too large for the level", () => {
    const outlier = [...Array.from({ length: 30 }, () => 0), 1];
    const ours = bootstrap([outlier], mean, { seed: 1, resamples: 2000, level: 1 - 1e-14 });
    expect(ours.method).toContain("the acceleration is too large for this level");
  });

  it("a zero standard error: no studentized limits", () => {
    const options = { method: "studentized", se: () => 0, resamples: 100, seed: 1 } as const;
    expect(bootstrap([x], mean, options).method).toBe(
      "percentile bootstrap (the standard error is zero or undefined)",
    );
  });

  it("resamples without a defined statistic are counted, and named in a warning", () => {
    const two = bootstrap(
      [
        [1, 2, 3, 4, 5],
        [2, 1, 4, 3, 5],
      ],
      pearson,
      { seed: 1, resamples: 20_000 },
    );
    const lost = 20_000 - two.replicates.length;
    const refusing = ([a, b]: Float64Array[]) => correlation(a!, b!).value;
    const columns = [
      [1, 2, 3, 4, 5],
      [2, 1, 4, 3, 5],
    ];
    const same = bootstrap(columns, refusing, { seed: 1, resamples: 20_000 });
    expect(same.replicates).toHaveLength(two.replicates.length);
    expect(() =>
      bootstrap(columns, ([a]) => a![5]! / (undefined as never as number[])[0]!, { seed: 1 }),
    ).toThrow(TypeError);
    expect(lost).toBeGreaterThan(0); // all five rows the same: 5 in 3125
    expect(two.warnings).toContain(
      `the statistic is undefined in ${lost} of 20000 resamples, left out`,
    );
  });

  it("too few resamples for the level", () => {
    const ours = bootstrap([x], mean, { seed: 1, resamples: 30, method: "percentile" });
    expect(ours.warnings).toEqual([
      "a limit lies beyond the most extreme replicate: more resamples are needed",
    ]);
    expect(ours.estimate.interval.low).toBe(Math.min(...ours.replicates));
  });
});

describe("bootstrap is repeatable and harmless", () => {
  const x = [3, 1, 4, 1.5, 9, 2.6, 5];
  const replicates = (options: object) =>
    bootstrap([x], mean, { seed: 1, resamples: 50, ...options }).replicates;

  it("one seed and name, one result; another seed or name, another", () => {
    expect(replicates({ seed: 5 })).toEqual(replicates({ seed: 5 }));
    expect(replicates({ seed: 5 })).not.toEqual(replicates({ seed: 6 }));
    expect(replicates({ seed: 5 })).not.toEqual(replicates({ seed: 5, name: "other finding" }));
  });

  it("more resamples begin with the same ones", () => {
    expect(replicates({ resamples: 80 }).slice(0, 50)).toEqual(replicates({}));
  });

  it("a statistic may sort its columns; the caller's columns and the result stay as they are", () => {
    const median = ([column]: Float64Array[]) => column!.sort()[3]!;
    const ours = bootstrap([x], median, { resamples: 2000, seed: 9 });
    const copying = bootstrap([x], ([column]) => column!.slice().sort()[3]!, {
      resamples: 2000,
      seed: 9,
    });
    expect(ours).toEqual(copying);
    expect(x).toEqual([3, 1, 4, 1.5, 9, 2.6, 5]);
    expect(Object.isFrozen(ours)).toBe(true);
    expect(Object.isFrozen(ours.replicates)).toBe(true);
    expect(JSON.parse(JSON.stringify(ours))).toEqual(ours);
  });

  it("shift and scale: every replicate and limit moves along", () => {
    const column = fc.array(fc.integer({ min: -99, max: 99 }), { minLength: 5, maxLength: 12 });
    const method = fc.constantFrom("bca", "percentile", "basic", "normal", "studentized");
    fc.assert(
      fc.property(
        column.filter((values) => new Set(values).size > 3),
        method,
        fc.integer({ min: -9, max: 9 }),
        (values, name, shift) => {
          const options = { resamples: 60, seed: 3, method: name as "bca" };
          const ours = bootstrap([values], mean, options);
          const moved = bootstrap([values.map((v) => 2 * v + shift)], mean, options);
          const along = (a: number, b: number) =>
            expect(Math.abs(2 * a + shift - b)).toBeLessThan(1e-9 * (1 + Math.abs(b)));
          along(ours.estimate.interval.low, moved.estimate.interval.low);
          along(ours.estimate.interval.high, moved.estimate.interval.high);
          expect(moved.method).toBe(ours.method);
          if (name === "percentile" || name === "bca") {
            expect(ours.estimate.interval.low).toBeGreaterThanOrEqual(Math.min(...ours.replicates));
            expect(ours.estimate.interval.high).toBeLessThanOrEqual(Math.max(...ours.replicates));
          }
        },
      ),
      { seed: 61, numRuns: 200 },
    );
  });

  it("a wider level holds a narrower one", () => {
    for (const method of ["bca", "percentile", "basic", "normal", "studentized"] as const) {
      const at = (level: number) =>
        bootstrap([x], mean, { seed: 1, method, level, resamples: 999 }).estimate.interval;
      expect(at(0.95).low).toBeLessThanOrEqual(at(0.8).low);
      expect(at(0.95).high).toBeGreaterThanOrEqual(at(0.8).high);
    }
  });

  it.each([
    [
      () => bootstrap([], mean, { seed: 1 }),
      "bootstrap, columns: expected a list of one or more columns",
    ],
    [
      () => bootstrap([[1]], mean, { seed: 1 }),
      "bootstrap, column 0: expected at least 2 values, got 1",
    ],
    [
      () =>
        bootstrap(
          [
            [1, 2],
            [1, 2, 3],
          ],
          mean,
          { seed: 1 },
        ),
      "bootstrap, column 1: expected 2 values, got 3",
    ],
    [
      () => bootstrap([[1, Number.NaN]], mean, { seed: 1 }),
      "bootstrap, column 0, index 1: expected a finite",
    ],
    [
      () => bootstrap([x], "mean" as never, { seed: 1 }),
      "bootstrap, statistic: expected a function",
    ],
    [
      () => bootstrap([x], mean, { seed: 1, resamples: 1.5 }),
      "bootstrap, resamples: expected a whole number",
    ],
    [() => bootstrap([x], mean, {} as never), "bootstrap, seed: expected a whole number from 0 up"],
    [() => bootstrap([x], mean, undefined as never), "bootstrap, seed: expected a whole number"],
    [
      () => bootstrap([x], mean, { seed: 1, resample: 99 } as never),
      'bootstrap, options: expected an option called resamples, got "resample"',
    ],
    [() => bootstrap([x], mean, { seed: -1 }), "bootstrap, seed: expected a whole number"],
    [
      () => bootstrap([x], mean, { seed: 1, level: 95 }),
      "bootstrap, level: expected a confidence level",
    ],
    [
      () => bootstrap([x], mean, { seed: 1, method: "bc" as "bca" }),
      "bootstrap, method: expected one of bca",
    ],
    [
      () => bootstrap([x], mean, { seed: 1, clusters: ["a"] }),
      "bootstrap, clusters: expected 7 values, got 1",
    ],
    [
      () => bootstrap([x], mean, { seed: 1, clusters: x.map(() => "a") }),
      "expected two or more clusters",
    ],
    [
      () => bootstrap([x], () => Number.NaN, { seed: 1 }),
      "bootstrap, statistic: expected a statistic that is",
    ],
  ])("refusal %#", (call, message) => {
    expect(call).toThrow(InputError);
    expect(call).toThrow(message);
  });
});

describe("order statistics by selection", () => {
  const columns = fc.array(fc.integer({ min: -20, max: 20 }), { minLength: 1, maxLength: 60 });

  it("placeSmallest finds what sorting finds, with many ties too", () => {
    fc.assert(
      fc.property(columns, fc.nat(), (values, at) => {
        const k = at % values.length;
        const sorted = Float64Array.from(values).sort();
        expect(placeSmallest(Float64Array.from(values), k)).toBe(sorted[k]);
      }),
      { seed: 71, numRuns: 500 },
    );
  });

  it("replicateQuantile is Hyndman–Fan definition 6", () => {
    fc.assert(
      fc.property(columns, fc.double({ min: 0, max: 1, noNaN: true }), (values, p) => {
        const ours = replicateQuantile(Float64Array.from(values), p);
        expect(Math.abs(ours - quantile(values, p, { definition: 6 }))).toBeLessThan(1e-9);
      }),
      { seed: 72, numRuns: 500 },
    );
  });
});
