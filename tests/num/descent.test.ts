import { describe, expect, it } from "vitest";
import { descend } from "../../lib/num/descent.js";

/** Rosenbrock (1960) Comput J 3:175–184: a curved valley whose least value, 0, is at (1, 1). */
function rosenbrock(x: Float64Array, gradient: Float64Array): number {
  const [a, b] = [x[0]!, x[1]!];
  gradient[0] = -400 * a * (b - a * a) - 2 * (1 - a);
  gradient[1] = 200 * (b - a * a);
  return 100 * (b - a * a) ** 2 + (1 - a) ** 2;
}

describe("descend", () => {
  it("follows Rosenbrock's valley from (−1.2, 1) to (1, 1)", () => {
    const { x, converged, iterations } = descend(rosenbrock, [-1.2, 1]);
    expect(converged).toBe(true);
    expect(Math.abs(x[0]! - 1)).toBeLessThan(1e-6);
    expect(Math.abs(x[1]! - 1)).toBeLessThan(1e-6);
    expect(iterations).toBeLessThan(80);
  });

  it("takes longer steps where the function curves down: log(1 + (x − 50)²) from 0", () => {
    const { x, converged } = descend(
      (at, gradient) => {
        const off = at[0]! - 50;
        gradient[0] = (2 * off) / (1 + off * off);
        return Math.log1p(off * off);
      },
      [0],
    );
    expect(converged).toBe(true);
    expect(Math.abs(x[0]! - 50)).toBeLessThan(1e-6);
  });

  it("moves parameters whose slopes differ by many powers of ten", () => {
    const { x } = descend(
      (at, gradient) => {
        const [a, b] = [at[0]! - 2, at[1]! - 3];
        gradient[0] = 2e4 * a;
        gradient[1] = 2e-6 * b;
        return 1e4 * a * a + 1e-6 * b * b;
      },
      [1, 1],
      { tolerance: 1e-24 },
    );
    expect(Math.abs(x[0]! - 2)).toBeLessThan(1e-8);
    expect(Math.abs(x[1]! - 3)).toBeLessThan(1e-3);
  });

  it("says when it ran out of iterations", () => {
    expect(descend(rosenbrock, [-1.2, 1], { maxIterations: 3 }).converged).toBe(false);
  });

  it("stays at a minimum it starts from", () => {
    expect(descend(rosenbrock, [1, 1])).toMatchObject({ iterations: 0, converged: true, value: 0 });
  });
});
