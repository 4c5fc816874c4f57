import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { symmetricEigen } from "../../lib/num/symmetric.js";
import { agrees } from "../reference/agree.js";

describe("symmetricEigen", () => {
  it("finds the eigenvalues 2 − 2cos(jπ/(n + 1)) of the second-difference matrix", () => {
    const n = 6;
    const matrix = Float64Array.from({ length: n * n }, (_, at) => {
      const distance = Math.abs(Math.floor(at / n) - (at % n));
      return distance === 0 ? 2 : distance === 1 ? -1 : 0;
    });
    const { values } = symmetricEigen(matrix, n);
    for (let j = 1; j <= n; j++) {
      agrees(values[n - j]!, 2 - 2 * Math.cos((j * Math.PI) / (n + 1)), {
        quantity: `eigenvalue ${j}`,
        rel: 1e-14,
        why: "closed form (Golub & Van Loan 2013, sect. 4.8), a double's last digits",
      });
    }
  });

  it("gives back the matrix from values and vectors, which are orthonormal", () => {
    const entry = fc.double({ min: -100, max: 100, noNaN: true });
    fc.assert(
      fc.property(
        fc.integer({ min: 1, max: 6 }),
        fc.array(entry, { minLength: 36, maxLength: 36 }),
        (n, raw) => {
          const a = Float64Array.from({ length: n * n }, (_, at) => {
            const [i, j] = [Math.floor(at / n), at % n];
            return raw[Math.min(i, j) * 6 + Math.max(i, j)]!;
          });
          const { values, vectors } = symmetricEigen(a, n);
          for (let i = 0; i < n; i++) {
            for (let j = 0; j < n; j++) {
              const back = vectors.reduce((sum, v, k) => sum + values[k]! * v[i]! * v[j]!, 0);
              expect(Math.abs(back - a[i * n + j]!)).toBeLessThan(1e-11);
              const product = vectors[i]!.reduce((sum, x, k) => sum + x * vectors[j]![k]!, 0);
              expect(Math.abs(product - (i === j ? 1 : 0))).toBeLessThan(1e-13);
            }
          }
        },
      ),
      { seed: 5, numRuns: 100 },
    );
  });
});
