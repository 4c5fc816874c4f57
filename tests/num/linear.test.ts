import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { InputError } from "../../lib/errors.js";
import { cholesky, invertCholesky, leastSquares, solveCholesky } from "../../lib/num/linear.js";
import { agrees } from "../reference/agree.js";
import { nist } from "../reference/cases.js";

/** The design of a NIST set: powers of x, or the named columns after a column of ones. */
// biome-ignore lint/suspicious/noExplicitAny: the sets differ in their columns
function design(set: any): number[][] {
  const { y, x, ...others } = set.data;
  if (set.name === "NoInt1") return [x];
  if (!x) return [y.map(() => 1), ...(Object.values(others) as number[][])];
  const columns = [y.map(() => 1)];
  while (columns.length < set.certified.coefficients.length) {
    columns.push(columns.at(-1)!.map((power: number, i: number) => power * x[i]));
  }
  return columns;
}

/** Digits asked of each set, for its coefficients and for everything else. */
const asked: Record<string, { coefficients: number; rest: number; why: string }> = {
  Norris: { coefficients: 12.7, rest: 12.7, why: "attainable digits less one" },
  NoInt1: { coefficients: 13.7, rest: 13.7, why: "attainable digits less one" },
  Longley: { coefficients: 13, rest: 13, why: "attainable 14.6; 8 are asked" },
  Wampler1: { coefficients: 13, rest: 13, why: "attainable 14.8; an exact fit" },
  Wampler3: { coefficients: 13, rest: 13, why: "attainable 14.5" },
  Wampler5: { coefficients: 13, rest: 13, why: "attainable 14.5; 6 are asked" },
  Filip: {
    coefficients: 7,
    rest: 7,
    why: "exact arithmetic on the powers of x, once each is rounded to a double, gives no more than 8",
  },
};

describe("NIST StRD regression sets", () => {
  for (const [name, { coefficients, rest, why }] of Object.entries(asked)) {
    it(`${name}: coefficients, standard errors, residual sd`, () => {
      const set = nist(name);
      const fit = leastSquares(design(set), set.data.y);
      const variance = fit.residualSum / fit.df;
      expect(fit.df).toBe(set.certified.anova.residual.df);
      // biome-ignore lint/suspicious/noExplicitAny: certified rows of the file
      set.certified.coefficients.forEach((one: any, j: number) => {
        const at = `${name}, ${one.name}`;
        agrees(fit.coefficients[j]!, one.estimate, {
          quantity: at,
          rel: 10 ** -coefficients,
          why,
        });
        const se = Math.sqrt(variance * fit.covariance[j]![j]!);
        agrees(se, one.sd, { quantity: `${at} se`, rel: 10 ** -rest, why });
      });
      const sd = { quantity: `${name}, residual sd`, rel: 10 ** -rest, why };
      agrees(Math.sqrt(variance), set.certified.residualSD, sd);
    });
  }
});

const value = fc.double({ min: -100, max: 100, noNaN: true });
const rows = fc.array(fc.tuple(value, value, value), { minLength: 8, maxLength: 30 });
const runs = { seed: 1801, numRuns: 100 };

function columnsOf(data: [number, number, number][]) {
  const x1 = data.map(([x], i) => x + 3 * i);
  const x2 = data.map(([, x], i) => x + 7 * (i % 3));
  return { columns: [x1.map(() => 1), x1, x2], y: data.map((row) => row[2]) };
}

describe("least squares", () => {
  it("residuals are orthogonal to every column, leverages sum to the rank", () => {
    fc.assert(
      fc.property(rows, (data) => {
        const { columns, y } = columnsOf(data);
        const fit = leastSquares(columns, y);
        for (const column of columns) {
          const product = column.reduce((total, x, i) => total + x * fit.residuals[i]!, 0);
          const scale = column.reduce((total, x, i) => total + Math.abs(x * fit.residuals[i]!), 0);
          expect(Math.abs(product)).toBeLessThanOrEqual(1e-12 * scale + 1e-12);
        }
        expect(fit.leverage.reduce((a, b) => a + b)).toBeCloseTo(3, 9);
        y.forEach((observed, i) => {
          expect(fit.fitted[i]! + fit.residuals[i]!).toBeCloseTo(observed, 10);
        });
      }),
      runs,
    );
  });

  it("the order of rows does not matter, and scaling a column scales its coefficient", () => {
    fc.assert(
      fc.property(rows, (data) => {
        const { columns, y } = columnsOf(data);
        const fit = leastSquares(columns, y);
        const turned = leastSquares(
          columns.map((column) => column.slice().reverse()),
          y.slice().reverse(),
        );
        const scaled = leastSquares(
          [columns[0]!, columns[1]!.map((x) => x * 1000), columns[2]!],
          y,
        );
        fit.coefficients.forEach((b, j) => {
          const slack = 1e-10 * (1 + Math.abs(b));
          expect(Math.abs(turned.coefficients[j]! - b)).toBeLessThan(slack);
          const share = j === 1 ? 1000 : 1;
          expect(Math.abs(scaled.coefficients[j]! * share - b)).toBeLessThan(slack);
        });
      }),
      runs,
    );
  });

  it("the covariance is the inverse of XᵀX", () => {
    const columns = [
      [1, 1, 1, 1],
      [0, 1, 2, 4],
    ];
    const { covariance } = leastSquares(columns, [1, 2, 2, 5]);
    // by hand: XᵀX = [4 7; 7 21], determinant 35
    expect(covariance.map((row) => Array.from(row))).toEqual([
      [expect.closeTo(21 / 35, 14), expect.closeTo(-7 / 35, 14)],
      [expect.closeTo(-7 / 35, 14), expect.closeTo(4 / 35, 14)],
    ]);
  });

  it("a column that others determine is refused by name", () => {
    const kgf = [31.2, 40.7, 38.1, 44.4, 29.9];
    const one = kgf.map(() => 1);
    const newton = kgf.map((value) => value * 9.80665);
    const y = [1, 2, 3, 4, 5];
    const names = ["intercept", "grip kgf", "grip N"];
    expect(() => leastSquares([one, kgf, newton], y, names, "fitLinear")).toThrow(
      /^fitLinear, grip N: expected a column that is no combination of the others/,
    );
    expect(() => leastSquares([one, one.map(() => 5)], y)).toThrow(/column 1/);
    expect(() => leastSquares([one, one.map(() => 0)], y)).toThrow(/only zeros/);
    expect(() => leastSquares([one, kgf, newton], [1, 2])).toThrow(InputError);
  });

  it("columns that are merely close are fitted, not refused", () => {
    const x = [1, 2, 3, 4, 5, 6];
    const near = x.map((value, i) => value + 1e-7 * (i % 2));
    const y = x.map((value, i) => 2 * value + 3 * near[i]!);
    const fit = leastSquares([x, near], y);
    expect(fit.coefficients[0]).toBeCloseTo(2, 5);
    expect(fit.coefficients[1]).toBeCloseTo(3, 5);
  });
});

describe("Cholesky", () => {
  const matrix = [4, 2, 0.4, 2, 5, 1, 0.4, 1, 3];

  it("factors, solves and inverts a positive definite matrix", () => {
    const factor = cholesky(matrix, 3)!;
    const x = solveCholesky(factor, [1, 2, 3]);
    for (let i = 0; i < 3; i++) {
      const row = matrix.slice(3 * i, 3 * i + 3);
      expect(row.reduce((total, a, j) => total + a * x[j]!, 0)).toBeCloseTo(i + 1, 13);
    }
    const inverse = invertCholesky(factor, 3);
    const product = matrix.slice(0, 3).reduce((total, a, j) => total + a * inverse[3 * j]!, 0);
    expect(product).toBeCloseTo(1, 14);
  });

  it("says no to a matrix that is not positive definite", () => {
    expect(cholesky([1, 2, 2, 1], 2)).toBeUndefined();
    expect(cholesky([0], 1)).toBeUndefined();
  });
});
