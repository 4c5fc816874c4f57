import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { InputError } from "../../lib/errors.js";
import { predictLine } from "../../lib/stats/prediction.js";
import { fitLine } from "../../lib/stats/regression.js";
import { agrees } from "../reference/agree.js";
import { referenceCase } from "../reference/cases.js";

const full = { rel: 1e-12, why: "R prints 15 to 17 digits; its own rounding is a few of the last" };

describe("predictLine on Ezekiel's stopping distances (1930)", () => {
  const cars = referenceCase("regression", "cars");
  const { speed, dist } = cars.data;

  it.each([
    ["ols_confidence_band_95", 0.95, "mean"],
    ["ols_prediction_band_95", 0.95, "single"],
    ["ols_prediction_band_90", 0.9, "single"],
  ] as const)("gives R's %s", (band, level, which) => {
    const { rows } = cars.computed[band]!.value as { rows: number[][] };
    const xs = rows.map(([x]) => x!);
    const predictions = predictLine(fitLine({ x: speed, y: dist }), xs, { level });
    for (const [i, [x, y, low, high]] of rows.entries()) {
      agrees(predictions[i]!.y, y!, { quantity: `${band} at ${x}`, ...full });
      agrees(predictions[i]![which].low, low!, { quantity: `${band} low at ${x}`, ...full });
      agrees(predictions[i]![which].high, high!, { quantity: `${band} high at ${x}`, ...full });
    }
  });

  it("widens by the HC3 covariance where the line was fitted with it", () => {
    const fit = fitLine({ x: speed, y: dist }, { standardErrors: "HC3" });
    const why = "R's sandwich by solve(crossprod(X))";
    for (const [x, ...limits] of cars.computed.hc3_band_95!.value as number[][]) {
      const { mean, single } = predictLine(fit, [x!])[0]!;
      for (const [i, ours] of [mean.low, mean.high, single.low, single.high].entries()) {
        agrees(ours, limits[i]!, { quantity: `limit ${i} at ${x}`, rel: 1e-11, why });
      }
    }
  });

  it("works from a fit that has been through JSON", () => {
    const fit = fitLine({ x: speed, y: dist });
    expect(predictLine(JSON.parse(JSON.stringify(fit)), [10])).toEqual(predictLine(fit, [10]));
  });

  it("says which x lie outside the data", () => {
    const outside = predictLine(fitLine({ x: speed, y: dist }), [3.9, 4, 25, 25.1]).map(
      (p) => p.extrapolated,
    );
    expect(outside).toEqual([true, false, false, true]);
  });
});

describe("bands behave", () => {
  it("hold the line, the single band holds the mean band, and both are narrowest at the centre", () => {
    const points = fc
      .array(fc.tuple(fc.integer({ min: -99, max: 99 }), fc.integer({ min: -99, max: 99 })), {
        minLength: 4,
        maxLength: 12,
      })
      .filter((rows) => new Set(rows.map(([x]) => x)).size > 2);
    fc.assert(
      fc.property(points, fc.double({ min: -200, max: 200, noNaN: true }), (rows, at) => {
        const fit = fitLine({ x: rows.map(([x]) => x), y: rows.map(([, y]) => y) });
        const [here, centre] = predictLine(fit, [at, fit.centre.x]);
        const slack = 1e-9 * (1 + Math.abs(here!.y));
        expect(here!.single.low).toBeLessThanOrEqual(here!.mean.low + slack);
        expect(here!.mean.low).toBeLessThanOrEqual(here!.y);
        expect(here!.mean.high).toBeLessThanOrEqual(here!.single.high + slack);
        const width = ({ low, high }: { low: number; high: number }) => high - low;
        expect(width(centre!.mean)).toBeLessThanOrEqual(width(here!.mean) + slack);
      }),
      { seed: 21, numRuns: 200 },
    );
  });

  it("refuses an x that is not a number, and a level in percent", () => {
    const fit = fitLine({ x: [1, 2, 3], y: [1, 2, 4] });
    expect(() => predictLine(fit, [Number.POSITIVE_INFINITY])).toThrow(InputError);
    expect(() => predictLine(fit, [1], { level: 95 })).toThrow("predictLine, level");
  });
});
