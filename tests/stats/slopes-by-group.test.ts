import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { InputError } from "../../lib/errors.js";
import { fitLinear } from "../../lib/stats/linear-model.js";
import { repeatedMeasuresCorrelation } from "../../lib/stats/repeated-correlation.js";
import { slopesByGroup } from "../../lib/stats/slopes-by-group.js";
import { agrees } from "../reference/agree.js";
import { referenceCase } from "../reference/cases.js";

const full = { rel: 1e-11, why: "R's QR on data of two digits" };

describe("slopes by group on Anderson's irises: the crowd's slope has the other sign", () => {
  const iris = referenceCase("lines", "iris_sepals");
  const { length, width, species } = iris.data;
  const found = slopesByGroup(species, length, width);

  it("gives R's line over all 150 flowers", () => {
    const { slope, se, p } = iris.computed.crowd!.value;
    agrees(found.overall.slope.value, slope, { quantity: "crowd", ...full });
    agrees(found.overall.slope.se!, se, { quantity: "crowd se", ...full });
    agrees(found.overall.slope.p!, p, { quantity: "crowd p", ...full });
  });

  it("gives R's common slope of parallel lines on 146 degrees of freedom", () => {
    const { slope, se, t, df } = iris.computed.within!.value;
    const [low, high] = iris.computed.within_ci!.value;
    agrees(found.within.value, slope, { quantity: "within", ...full });
    agrees(found.within.se!, se, { quantity: "within se", ...full });
    agrees(found.within.statistic!, t, { quantity: "within t", ...full });
    agrees(found.within.interval!.low, low, { quantity: "within low", ...full });
    agrees(found.within.interval!.high, high, { quantity: "within high", ...full });
    expect(found.within.df).toBe(df);
  });

  it("gives R's line of each species", () => {
    for (const { group, n, slope, intercept } of found.groups) {
      const wanted = iris.computed[group]!.value;
      expect(n).toBe(50);
      agrees(slope.value, wanted.slope, { quantity: `${group} slope`, ...full });
      agrees(slope.se!, wanted.se, { quantity: `${group} se`, ...full });
      agrees(slope.interval!.low, wanted.low, { quantity: `${group} low`, ...full });
      agrees(slope.interval!.high, wanted.high, { quantity: `${group} high`, ...full });
      agrees(intercept.value, wanted.intercept, { quantity: `${group} intercept`, ...full });
    }
  });

  it("calls it a reversal in the estimates: the crowd's interval includes 0", () => {
    expect(found.reversal).toBe("in the estimates");
  });
});

describe("slopes by group", () => {
  const x = [1, 2, 3, 4, 6, 7, 8, 9];
  const group = ["a", "a", "a", "a", "b", "b", "b", "b"];

  it("tells a reversal beyond the intervals from none", () => {
    const falling = [4.1, 3, 2.1, 0.9, 14, 13.1, 11.9, 11.1];
    expect(slopesByGroup(group, x, falling).reversal).toBe("beyond the intervals");
    expect(
      slopesByGroup(
        group,
        x,
        x.map((v) => v + Math.sin(v)),
      ).reversal,
    ).toBe("none");
  });

  it("sets a group without a line aside, its rows still count in the common slope", () => {
    const found = slopesByGroup([...group, "c"], [...x, 5], [...x.map((v) => 2 * v), 100]);
    expect(found.setAside).toEqual([{ group: "c", reason: "1 row, a line needs 3" }]);
    expect(found.within.value).toBe(2);
    expect(found.warnings).toHaveLength(1);
  });

  it("the common slope is that of a fit with a column for each group, and the within-person slope", () => {
    const value = fc.double({ min: -50, max: 50, noNaN: true });
    const rows = fc.array(fc.tuple(fc.constantFrom("a", "b", "c"), value, value), {
      minLength: 12,
      maxLength: 30,
    });
    fc.assert(
      fc.property(rows, (drawn) => {
        // Each group three times at least, so that every fit is possible.
        const all = [
          ...drawn,
          ...["a", "b", "c"].flatMap((g) => [0, 7, 20].map((v, i) => [g, v, i * v] as const)),
        ];
        const [g, xs, ys] = [0, 1, 2].map((k) => all.map((row) => row[k])) as [
          string[],
          number[],
          number[],
        ];
        const found = slopesByGroup(g, xs, ys);
        const is = (name: string) => g.map((one) => (one === name ? 1 : 0));
        const fit = fitLinear({ y: ys, terms: { x: xs, b: is("b"), c: is("c") } });
        expect(found.within.value).toBeCloseTo(fit.coefficients.x!.value, 8);
        expect(found.within.se!).toBeCloseTo(fit.coefficients.x!.se!, 8);
        expect(found.within.value).toBeCloseTo(
          repeatedMeasuresCorrelation(g, xs, ys).commonSlope,
          8,
        );
      }),
      { seed: 6, numRuns: 60 },
    );
  });

  it("refuses one group, and groups in which x stands still", () => {
    expect(() => slopesByGroup(["a", "a", "a", "a"], [1, 2, 3, 4], [1, 2, 3, 4])).toThrow(
      InputError,
    );
    expect(() => slopesByGroup(["a", "a", "b", "b"], [1, 1, 2, 2], [1, 2, 3, 4])).toThrow(
      InputError,
    );
  });
});
