import { describe, expect, it } from "vitest";
import { individualResponse, responders, smallestWorthwhile } from "../../lib/stats/responders.js";
import { agrees } from "../reference/agree.js";
import { referenceCase } from "../reference/cases.js";

const full = { rel: 1e-13, why: "R gives 15 digits" };

/** Three values with mean 0 and standard deviation `sd`. */
const spread = (sd: number) => [-sd, 0, sd];

describe("smallestWorthwhile", () => {
  it("takes measurement error out of the spread first: 8.3 and 1.44 kgf give 1.635 kgf", () => {
    // Hopkins, subtract variances; SD of men 30–34 y (Tomkinson 2025), error from Abe et al. (2025)
    const result = smallestWorthwhile(spread(8.3), { typicalError: 1.44 });
    agrees(result.value!, 1.635, { quantity: "SWC", rel: 3.1e-4, why: "four printed digits" });
    agrees(result.value!, 0.2 * Math.sqrt(8.3 ** 2 - 1.44 ** 2), { quantity: "formula", ...full });
    expect(result.working).toBe("0.2 × √(8.3² − 1.44²) = 1.635");
  });

  it("leaves the spread as it is without an error, and takes another share", () => {
    expect(smallestWorthwhile(spread(10)).value).toBeCloseTo(2, 12);
    expect(smallestWorthwhile(spread(10), { share: 0.5 }).value).toBeCloseTo(5, 12);
  });

  it("reports a negative variance and gives no value when the error exceeds the spread", () => {
    const result = smallestWorthwhile(spread(1), { typicalError: 2 });
    expect(result.varianceTrue).toBe(-3);
    expect(result).not.toHaveProperty("value");
    expect(result.working).toContain("below 0");
    expect(result.warnings).toHaveLength(1);
  });

  it("refuses a negative share and a negative error", () => {
    expect(() => smallestWorthwhile([1, 2], { share: -1 })).toThrow("smallestWorthwhile, share");
    expect(() => smallestWorthwhile([1, 2], { typicalError: -1 })).toThrow(/number from 0 up/);
  });
});

describe("responders", () => {
  it("needs more than the minimal detectable change: 4.0 kgf at an error of 1.44 (Abe 2025)", () => {
    const [below, above, down] = responders([3.9, 4.05, -4.05], { typicalError: 1.44 });
    expect(below!.verdict).toBe("within error");
    expect(above!.verdict).toBe("up");
    expect(down!.verdict).toBe("down");
    agrees(above!.change - above!.low, 4.0, {
      quantity: "minimal difference of 48 studies",
      rel: 0.0126,
      why: "two printed digits, doi:10.52082/jssm.2025.543",
    });
  });

  it("moves with the level: 90 % asks 1.65 √2 error where 95 % asks 1.96 √2", () => {
    const at = (level: number) => responders([0], { typicalError: 1, level })[0]!.high;
    agrees(at(0.9), 2.326, { quantity: "90 %", rel: 1e-4, why: "1.6449 √2 to four digits" });
    agrees(at(0.95), 2.7718, { quantity: "95 %", rel: 1e-5, why: "1.95996 √2 to five digits" });
  });

  it("keeps the order of people and takes a change of the error's width for error", () => {
    expect(responders([0, 5], { typicalError: 0 }).map((person) => person.verdict)).toEqual([
      "within error",
      "up",
    ]);
    expect(() => responders([1], {} as never)).toThrow("responders, typicalError");
  });
});

describe("individualResponse", () => {
  it("is √(SD² − SD²): 5 and 3 give 4, and 3 and 5 give −4, not NaN or 0", () => {
    expect(individualResponse(spread(5), spread(3)).sd).toBeCloseTo(4, 12);
    const reversed = individualResponse(spread(3), spread(5));
    expect(reversed.sd).toBeCloseTo(-4, 12);
    expect(reversed.variance.value).toBeCloseTo(-16, 12);
    expect(reversed.warnings).toHaveLength(1);
  });

  it("gives the variance its standard error and interval", () => {
    const { data, computed } = referenceCase("effects", "individual_response");
    const result = individualResponse(data.trained, data.control);
    const { variance, se, ci95, sd } = computed;
    agrees(result.variance.value, variance!.value, { quantity: "variance", ...full });
    agrees(result.variance.se!, se!.value, { quantity: "se", ...full });
    agrees(result.variance.interval!.low, ci95!.value[0], { quantity: "low", ...full });
    agrees(result.variance.interval!.high, ci95!.value[1], { quantity: "high", ...full });
    agrees(result.sd, sd!.value, { quantity: "sd", ...full });
    const low = result.variance.interval!.low;
    expect(result.sdInterval.low).toBeCloseTo(Math.sign(low) * Math.sqrt(Math.abs(low)), 12);
  });

  it("gives 0 with an interval of no width when nobody's change differs", () => {
    expect(individualResponse([2, 2, 2], [1, 1])).toMatchObject({ sd: 0, variance: { se: 0 } });
  });
});
