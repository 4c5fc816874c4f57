import { describe, expect, it } from "vitest";
import {
  betaTails,
  erfc,
  gammaRatio,
  gammaTails,
  logGamma,
  logNormalUpper,
  logRatioRest,
} from "../../lib/num/special.js";
import { agrees } from "../reference/agree.js";

function close(actual: number, expected: number, quantity: string, rel = 1e-13): void {
  agrees(actual, expected, { quantity, rel, why: "a few roundings of the exponent" });
}

// closed forms, and mpmath 1.2.1 with 50 digits where no closed form is at hand
describe("special functions", () => {
  it("ln Γ: factorials, the half-integers, and far from either", () => {
    close(logGamma(5), Math.log(24), "ln Γ(5)");
    close(logGamma(0.5), Math.log(Math.PI) / 2, "ln Γ(1/2)");
    close(logGamma(171), 706.5730622457874, "ln 170!");
    close(logGamma(1e-5), 11.512919692895826, "ln Γ(1e-5)");
    close(logGamma(1e8), 1742068066.1038346, "ln Γ(1e8)");
  });

  it("Γ ratios where the gammas themselves overflow", () => {
    close(gammaRatio(6, 5), 5, "Γ(6)/Γ(5)");
    close(gammaRatio(5.5, 5), 52.34277778455352 / 24, "Γ(5.5)/Γ(5)");
    close(gammaRatio(1e6 + 0.5, 1e6), 999.9998750000078, "Γ(1e6 + ½)/Γ(1e6)");
    close(
      gammaRatio(3, 200.5) * 1e300,
      (2 * 1e300) / Math.exp(logGamma(200.5)),
      "Γ(3)/Γ(200.5)",
      1e-11,
    );
  });

  it("ln(1 + u) − u near 0, where the subtraction would lose everything", () => {
    close(logRatioRest(1e-8), -4.999999966666667e-17, "u = 1e-8", 1e-15);
    close(logRatioRest(-0.4), Math.log(0.6) + 0.4, "u = -0.4", 1e-14);
    close(logRatioRest(3), Math.log(4) - 3, "u = 3", 1e-14);
  });

  it("gamma and beta tails by their closed forms", () => {
    close(gammaTails(1, 2).lower, -Math.expm1(-2), "P(1, x) = 1 − e⁻ˣ");
    close(gammaTails(1, 300).upper, Math.exp(-300), "Q(1, x) = e⁻ˣ");
    // at f the beta variable is x = af/(af + b)
    close(betaTails(1, 4, 1).lower, 1 - 0.8 ** 4, "I(⅕; 1, 4) = 1 − (1 − x)⁴");
    close(betaTails(3, 1, 7 / 9).lower, 0.7 ** 3, "I(0.7; 3, 1) = x³");
    close(betaTails(0.5, 0.5, 1 / 3).lower, 1 / 3, "I(¼; ½, ½) = ⅔ asin(½) / (π/2)");
    expect(betaTails(2, 3, 0)).toEqual({ lower: 0, upper: 1, slope: 0 });
    expect(gammaTails(2, Number.POSITIVE_INFINITY).upper).toBe(0);
  });

  it("slopes are the densities times the point", () => {
    close(gammaTails(1, 2).slope, 2 * Math.exp(-2), "x e⁻ˣ");
    close(betaTails(1, 1, 1).slope, 0.25, "xy for the uniform law");
  });

  it("erfc, and the logarithm of a tail no double can hold", () => {
    close(erfc(10), 2.088487583762545e-45, "erfc(10)");
    close(erfc(-1), 1.8427007929497148, "erfc(−1)");
    close(logNormalUpper(100), -5005.524208694205, "ln upper normal(100)");
    close(logNormalUpper(-3), Math.log1p(-0.0013498980316300946), "ln upper normal(−3)");
  });
});
