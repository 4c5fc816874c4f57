import fc from "fast-check";
import * as simple from "simple-statistics";
import { describe, expect, it } from "vitest";
import { InputError } from "../../lib/errors.js";
import { fitLinear } from "../../lib/stats/linear-model.js";
import { fitLine, type LineFit } from "../../lib/stats/regression.js";
import { agreeingDigits, agrees } from "../reference/agree.js";
import { agreesAsPrinted, nist, type ReferenceCase, referenceCase } from "../reference/cases.js";

const full = { rel: 1e-12, why: "R prints 15 to 17 digits; its own rounding is a few of the last" };
const kinds = ["HC0", "HC1", "HC2", "HC3"] as const;

function agreesWithLine(fit: LineFit, computed: ReferenceCase["computed"], set: string): void {
  for (const name of ["intercept", "slope"] as const) {
    const part = fit[name];
    const at = (quantity: string) => computed[`${set}_${quantity}`]!.value[name];
    agrees(part.value, at("coef"), { quantity: `${set} ${name}`, ...full });
    agrees(part.se!, at("se"), { quantity: `${set} se of ${name}`, ...full });
    agrees(part.statistic!, at("t"), { quantity: `${set} t of ${name}`, ...full });
    agrees(part.p!, at("p"), { quantity: `${set} p of ${name}`, ...full });
    agrees(part.interval!.low, at("ci95")[0], { quantity: `${set} lower ${name}`, ...full });
    agrees(part.interval!.high, at("ci95")[1], { quantity: `${set} upper ${name}`, ...full });
  }
  const whole = (quantity: string) => computed[`${set}_${quantity}`]!.value;
  agrees(fit.residualSd, whole("residual_sd"), { quantity: `${set} residual sd`, ...full });
  agrees(fit.rSquared!, whole("r_squared"), { quantity: `${set} R²`, ...full });
}

describe("fitLine on Anscombe's four sets (1973)", () => {
  const anscombe = referenceCase("regression", "anscombe");
  const sets = ["1", "2", "3", "4"] as const;
  const fitOf = (set: string, options = {}) =>
    fitLine({ x: anscombe.data[`x${set}`], y: anscombe.data[`y${set}`] }, options);

  it("gives the slope, intercept, standard error and R² that the paper is quoted for", () => {
    const fit = fitOf("1");
    agreesAsPrinted(fit.slope.value, anscombe, "slope (all sets)");
    agreesAsPrinted(fit.intercept.value, anscombe, "intercept");
    agreesAsPrinted(fit.slope.se!, anscombe, "SE slope");
    agrees(fit.rSquared!, 0.667, { quantity: "R²", rel: 1e-3, why: "printed to three digits" });
  });

  it.each(sets)("gives R's full digits on set %s", (set) => {
    agreesWithLine(fitOf(set), anscombe.computed, `set${set}`);
  });

  it.each(["1", "2", "3"])("gives HC0 to HC3 standard errors on set %s", (set) => {
    for (const kind of kinds) {
      const fit = fitOf(set, { standardErrors: kind });
      const { intercept, slope } = anscombe.computed[`set${set}_se_${kind}`]!.value;
      agrees(fit.intercept.se!, intercept, { quantity: `${kind} intercept`, ...full });
      agrees(fit.slope.se!, slope, { quantity: `${kind} slope`, ...full });
    }
  });

  it("gives leverage and Cook's distance row by row", () => {
    const fit = fitOf("3");
    const leverage = anscombe.computed.set3_leverage!.value as number[];
    const cook = anscombe.computed.set3_cooks_distance!.value as number[];
    for (const [i, value] of leverage.entries()) {
      agrees(fit.leverage[i]!, value, { quantity: `leverage ${i}`, ...full });
      agrees(fit.cooksDistance[i]!, cook[i]!, {
        quantity: `Cook's distance ${i}`,
        rel: 1e-10,
        why: "squares a residual near 0, which R rounds first",
      });
    }
  });

  it("set 4: the row with leverage 1 has no Cook's distance, a warning, and no HC2 or HC3", () => {
    const fit = fitOf("4");
    expect(fit.cooksDistance[7]).toBeNull();
    expect(fit.warnings).toEqual(["leverage 1 at index 7: the fit depends on it completely"]);
    for (const kind of ["HC0", "HC1"] as const) {
      const { slope } = anscombe.computed[`set4_se_${kind}`]!.value;
      const ours = fitOf("4", { standardErrors: kind }).slope.se!;
      agrees(ours, slope, { quantity: `${kind} slope`, ...full });
    }
    for (const kind of ["HC2", "HC3"] as const) {
      expect(() => fitOf("4", { standardErrors: kind })).toThrow(/fitLine, index 7: .*leverage/);
    }
  });
});

describe("fitLine on Ezekiel's stopping distances (1930)", () => {
  const cars = referenceCase("regression", "cars");
  const { speed, dist } = cars.data;
  const fit = fitLine({ x: speed, y: dist });

  it("gives the digits of R's printed summary", () => {
    agreesAsPrinted(fit.intercept.value, cars, "intercept");
    agreesAsPrinted(fit.slope.value, cars, "slope");
    agreesAsPrinted(fit.intercept.se!, cars, "SE intercept");
    agreesAsPrinted(fit.slope.se!, cars, "SE slope");
    agreesAsPrinted(fit.residualSd, cars, "residual SE");
    agreesAsPrinted(fit.rSquared!, cars, "R2");
  });

  it("gives R's full digits", () => agreesWithLine(fit, cars.computed, "ols"));

  it("agrees with simple-statistics on slope, intercept and R²", () => {
    const pairs = speed.map((x: number, i: number) => [x, dist[i]]);
    const { m, b } = simple.linearRegression(pairs);
    const rSquared = simple.rSquared(pairs, simple.linearRegressionLine({ m, b }));
    const why = "an independent library, plain sums";
    agrees(fit.slope.value, m, { quantity: "slope", rel: 1e-12, why });
    agrees(fit.intercept.value, b, { quantity: "intercept", rel: 1e-12, why });
    agrees(fit.rSquared!, rSquared, { quantity: "R²", rel: 1e-12, why });
  });
});

describe("fitLinear on the NIST Statistical Reference Datasets", () => {
  /** Digits asked for: what the data as doubles can carry less one, or the issue's own floor. */
  const sets = [
    { name: "Norris", digits: { coefficients: 12.7, rest: 12.7 } },
    { name: "NoInt1", digits: { coefficients: 13.7, rest: 13.7 } },
    { name: "Longley", digits: { coefficients: 13.6, rest: 13.6 } },
    { name: "Filip", digits: { coefficients: 7, rest: 7 } },
    { name: "Wampler1", digits: { coefficients: 13.8, rest: 13.8 } },
    { name: "Wampler3", digits: { coefficients: 13.5, rest: 13.5 } },
    { name: "Wampler5", digits: { coefficients: 13.5, rest: 13.5 } },
  ];

  function fitSet(name: string) {
    const set = nist(name);
    const { y, ...given } = set.data as Record<string, number[]>;
    const p = set.certified.coefficients.length;
    const intercept = name !== "NoInt1";
    const powers = (x: number[]) =>
      Object.fromEntries(
        Array.from({ length: p - 1 }, (_, k) => [`x${k + 1}`, x.map((v) => v ** (k + 1))]),
      );
    const columns = given.x && intercept ? powers(given.x) : given;
    return { certified: set.certified, fit: fitLinear({ y: y!, terms: columns }, { intercept }) };
  }

  it.each(sets)("$name reaches its digits", ({ name, digits }) => {
    const { certified, fit } = fitSet(name);
    const ours = Object.values(fit.coefficients);
    for (const [j, { estimate, sd }] of certified.coefficients.entries()) {
      expect(agreeingDigits(ours[j]!.value, estimate)).toBeGreaterThanOrEqual(digits.coefficients);
      expect(agreeingDigits(ours[j]!.se!, sd)).toBeGreaterThanOrEqual(digits.rest);
    }
    expect(agreeingDigits(fit.residualSd, certified.residualSD)).toBeGreaterThanOrEqual(
      digits.rest,
    );
    expect(agreeingDigits(fit.rSquared!, certified.rSquared)).toBeGreaterThanOrEqual(digits.rest);
    const { F } = certified.anova.regression;
    if (F !== null) {
      // NIST prints Wampler5's F with its last digit off; see the file's verification.
      expect(agreeingDigits(fit.f!.statistic!, F)).toBeGreaterThanOrEqual(digits.rest);
    }
    expect(fit.f!.df1).toBe(certified.anova.regression.df);
    expect(fit.f!.df2).toBe(certified.anova.residual.df);
  });

  it("a certified value moved in its twelfth digit would be caught", () => {
    const { certified, fit } = fitSet("Longley");
    const moved = certified.coefficients[1].estimate * (1 + 1e-12);
    expect(agreeingDigits(fit.coefficients.x1!.value, moved)).toBeLessThan(13);
  });

  it("fitLine reaches Norris's digits too", () => {
    const { data, certified } = nist("Norris");
    const fit = fitLine({ x: data.x, y: data.y });
    for (const [j, part] of [fit.intercept, fit.slope].entries()) {
      const { estimate, sd } = certified.coefficients[j];
      expect(agreeingDigits(part.value, estimate)).toBeGreaterThanOrEqual(12.7);
      expect(agreeingDigits(part.se!, sd)).toBeGreaterThanOrEqual(12.7);
    }
    expect(agreeingDigits(fit.residualSd, certified.residualSD)).toBeGreaterThanOrEqual(12.7);
  });
});

describe("fitLinear on Brownlee's stack loss data (1965)", () => {
  const stack = referenceCase("regression", "stackloss");
  const { loss, ...columns } = stack.data as Record<string, number[]>;
  const computed = (quantity: string) => stack.computed[quantity]!.value;

  it("gives R's coefficients, errors, R², F and p", () => {
    const fit = fitLinear({ y: loss!, terms: columns });
    expect(Object.keys(fit.coefficients)).toEqual(["intercept", "air", "water", "acid"]);
    for (const [j, part] of Object.values(fit.coefficients).entries()) {
      agrees(part.value, computed("coef")[j], { quantity: `coefficient ${j}`, ...full });
      agrees(part.se!, computed("se")[j], { quantity: `se ${j}`, ...full });
    }
    agrees(fit.residualSd, computed("sigma"), { quantity: "residual sd", ...full });
    agrees(fit.rSquared!, computed("r_squared"), { quantity: "R²", ...full });
    agrees(fit.f!.statistic!, computed("F"), { quantity: "F", ...full });
    agrees(fit.f!.p, computed("p"), { quantity: "p of F", ...full });
    agreesAsPrinted(fit.coefficients.intercept!.value, stack, "intercept");
    agreesAsPrinted(fit.coefficients.air!.value, stack, "air");
    for (const [i, value] of computed("leverage").entries()) {
      agrees(fit.leverage[i]!, value, { quantity: `leverage ${i}`, ...full });
      const why = "R's own residuals carry 13 digits; they are squared here";
      const quantity = `Cook's distance ${i}`;
      agrees(fit.cooksDistance[i]!, computed("cooks_distance")[i], { quantity, rel: 1e-10, why });
    }
  });

  it.each(kinds)("gives %s standard errors by the sandwich formula", (kind) => {
    const fit = fitLinear({ y: loss!, terms: columns }, { standardErrors: kind });
    for (const [j, part] of Object.values(fit.coefficients).entries()) {
      const why = "R's sandwich by solve(crossprod(X)), which loses three digits here";
      agrees(part.se!, stack.computed[`se_${kind}`]!.value[j], { quantity: kind, rel: 1e-10, why });
    }
  });
});

describe("fits behave", () => {
  const column = (least: number) =>
    fc.array(fc.integer({ min: -1000, max: 1000 }), { minLength: least, maxLength: 12 });
  const points = column(4)
    .filter((x) => new Set(x).size > 2)
    .chain((x) =>
      fc.tuple(
        fc.constant(x),
        fc.array(fc.integer({ min: -1000, max: 1000 }), {
          minLength: x.length,
          maxLength: x.length,
        }),
      ),
    )
    .filter(([, y]) => new Set(y).size > 2);
  const near = (a: number, b: number, scale: number) =>
    expect(Math.abs(a - b)).toBeLessThanOrEqual(1e-9 * scale);

  it("shifting and scaling y shifts and scales the line; shifting x leaves the slope", () => {
    fc.assert(
      fc.property(points, fc.integer({ min: -50, max: 50 }), ([x, y], shift) => {
        const fit = fitLine({ x, y });
        const scaled = fitLine({ x, y: y.map((v) => 3 * v + shift) });
        const moved = fitLine({ x: x.map((v) => v + shift), y });
        near(scaled.slope.value, 3 * fit.slope.value, 1e4);
        near(scaled.intercept.value, 3 * fit.intercept.value + shift, 1e6);
        near(scaled.residualSd, 3 * fit.residualSd, 1e4);
        near(moved.slope.value, fit.slope.value, 1e4);
        near(moved.slope.se!, fit.slope.se!, 1e4);
      }),
      { seed: 11, numRuns: 200 },
    );
  });

  it("the order of the rows does not matter, and fitLinear on one column is fitLine", () => {
    fc.assert(
      fc.property(points, ([x, y]) => {
        const fit = fitLine({ x, y }, { standardErrors: "HC1" });
        const turned = fitLine(
          { x: [...x].reverse(), y: [...y].reverse() },
          { standardErrors: "HC1" },
        );
        const several = fitLinear({ y, terms: { x } }, { standardErrors: "HC1" });
        for (const other of [
          turned,
          { ...several, ...several.coefficients, slope: several.coefficients.x! },
        ]) {
          near((other as LineFit).slope.value, fit.slope.value, 1e4);
          near((other as LineFit).slope.se!, fit.slope.se!, 1e4);
          near((other as LineFit).intercept.se!, fit.intercept.se!, 1e6);
          near(other.residualSd, fit.residualSd, 1e4);
        }
      }),
      { seed: 12, numRuns: 200 },
    );
  });

  it("leverages add up to the number of coefficients, residuals to 0", () => {
    fc.assert(
      fc.property(points, ([x, y]) => {
        const { leverage, residuals } = fitLine({ x, y });
        near(
          leverage.reduce((a, b) => a + b),
          2,
          1,
        );
        near(
          residuals.reduce((a, b) => a + b),
          0,
          1e5,
        );
      }),
      { seed: 13, numRuns: 200 },
    );
  });

  it("a perfect line and a constant y leave out what is undefined and say so", () => {
    const perfect = fitLine({ x: [1, 2, 3], y: [2, 4, 6] });
    expect(perfect.slope).toEqual({
      value: 2,
      se: 0,
      df: 1,
      interval: { low: 2, high: 2, level: 0.95, method: "Student t" },
    });
    expect(perfect.warnings).toEqual(["the fit is perfect: its standard errors are 0"]);
    const flat = fitLinear({ y: [5, 5, 5], terms: { x: [1, 2, 4] } });
    expect(flat).not.toHaveProperty("rSquared");
    expect(flat.warnings).toContain("y is the same in every row");
    expect(flat.f).toEqual({ df1: 1, df2: 1, p: 1 });
    expect(JSON.parse(JSON.stringify(flat))).toEqual(flat);
  });

  it("a name that means something to JavaScript is only a name", () => {
    const columns = Object.fromEntries([
      ["__proto__", [1, 2, 4, 8]],
      ["constructor", [1, 0, 0, 1]],
    ]);
    const fit = fitLinear({ y: [1, 2, 3, 5], terms: columns });
    expect(Object.keys(fit.coefficients)).toEqual(["intercept", "__proto__", "constructor"]);
  });
});

describe("fits refuse what they cannot use", () => {
  it.each([
    [() => fitLine({ x: [1, 2], y: [1, 2] }), "fitLine, x: expected at least 3 values, got 2"],
    [() => fitLine({ x: [1, 2, 3], y: [1, 2] }), "fitLine, y: expected at least 3 values, got 2"],
    [() => fitLine({ x: [1, 2, 3, 4], y: [1, 2, 3] }), "fitLine, y: expected 4 values, got 3"],
    [
      () => fitLine({ x: [1, 2, Number.NaN], y: [1, 2, 3] }),
      "fitLine, x, index 2: expected a finite number",
    ],
    [
      () => fitLine({ x: [0.1, 0.1, 0.1], y: [1, 2, 3] }),
      "fitLine, x: expected values that differ",
    ],
    [
      () => fitLine({ x: [1, 2, 3], y: [1, 2, 4] }, { level: 95 }),
      "fitLine, level: expected a confidence",
    ],
    [
      () => fitLine({ x: [1, 2, 3], y: [1, 2, 4] }, { standardErrors: "HC9" as "HC0" }),
      'got "HC9"',
    ],
    [() => fitLine([1, 2, 3] as never), "fitLine: expected a record of x, y, got a list"],
    [() => fitLine(undefined as never), "fitLine: expected a record of x, y, got undefined"],
    [
      () => fitLine({ x: [1, 2, 3], y: [1, 2, 4], weights: [1] } as never),
      'fitLine: expected columns named x, y, got "weights"',
    ],
    [
      () => fitLinear({ y: [1, 2, 3], term: { a: [1, 2, 4] } } as never),
      'fitLinear: expected a column called terms, got "term"',
    ],
    [
      () => fitLine({ x: [1, 2, 3], y: [1, 2, 4] }, { levl: 0.9 } as never),
      'fitLine, options: expected an option called level, got "levl"',
    ],
    [() => fitLinear({ y: [1, 2, 3], terms: {} }), "fitLinear, terms: expected a record"],
    [
      () => fitLinear({ y: [1, 2, 4], terms: { a: [1, 2] } }),
      "fitLinear, terms.a: expected 3 values, got 2",
    ],
    [
      () => fitLinear({ y: [1, 2], terms: { a: [1, 2] } }),
      "fitLinear, y: expected more than 2 rows",
    ],
    [
      () => fitLinear({ y: [1, 2, 4], terms: { intercept: [1, 2, 4] } }),
      "fitLinear, terms: expected another",
    ],
  ])("%#", (call, message) => {
    expect(call).toThrow(InputError);
    expect(call).toThrow(message);
  });

  it("names the column that is a combination of the others", () => {
    const week = [0, 3, 6, 0, 3, 6];
    const day = week.map((w) => 7 * w);
    const y = [1, 2, 4, 3, 5, 4];
    expect(() => fitLinear({ y, terms: { week, day } })).toThrow(
      /fitLinear, day: expected a column that is no/,
    );
    expect(() => fitLinear({ y, terms: { ones: y.map(() => 2) } })).toThrow(/fitLinear, ones:/);
  });
});
