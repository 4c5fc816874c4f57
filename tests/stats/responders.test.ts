import { describe, expect, it } from "vitest";
import { individualResponse } from "../../lib/stats/individual-response.js";
import { reliability } from "../../lib/stats/reliability.js";
import { responders, smallestWorthwhile } from "../../lib/stats/responders.js";
import { agrees } from "../reference/agree.js";
import { referenceCase, rowsOf } from "../reference/cases.js";

const chi = { rel: 1e-8, why: "closed form, then a quantile of chi-squared or t" };
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
    expect(reversed.warnings[0]).toContain("more in control");
  });

  it("gives the variance its standard error", () => {
    const { data, computed } = referenceCase("effects", "individual_response");
    const result = individualResponse(data.trained, data.control);
    agrees(result.variance.value, computed.variance!.value, { quantity: "variance", ...full });
    agrees(result.variance.se!, computed.se!.value, { quantity: "se", ...full });
    agrees(result.sd, computed.sd!.value, { quantity: "sd", ...full });
  });

  const cases = ["anorexia_CBT_Cont_variances", "sleep_variances", "ChickWeight_gain_variances"];
  it.each(cases)("recovers the limits from those of each arm (MOVER): %s", (id) => {
    const { data, computed } = referenceCase("individual-response", id);
    for (const row of rowsOf(computed.mover!.value)) {
      const result = individualResponse(data.trained, data.control, { level: row.level! });
      const { interval } = result.variance;
      agrees(result.variance.value, row.difference!, { quantity: "difference", ...chi });
      agrees(interval!.low, row.mover_low!, { quantity: "low", ...chi });
      agrees(interval!.high, row.mover_high!, { quantity: "high", ...chi });
      agrees(result.sd, row.sd!, { quantity: "sd", ...chi });
      agrees(result.sdInterval.low, row.sd_low!, { quantity: "low sd", ...chi });
      agrees(result.sdInterval.high, row.sd_high!, { quantity: "high sd", ...chi });
    }
  });

  it("names the response SD that would just be detected: the lower limit is 0 there", () => {
    const control = [-3, -1, 0, 1, 3, -2, 2, 0.5, -0.5, 1.5, -1.5, 0];
    const detectable = individualResponse(control, control).smallestDetectable!;
    const base = individualResponse(control, control).sdControl;
    const times = Math.hypot(base, detectable) / base;
    const edge = individualResponse(
      control.map((value) => value * times),
      control,
    );
    expect(edge.sd).toBeCloseTo(detectable, 10);
    expect(Math.abs(edge.variance.interval!.low)).toBeLessThan(1e-10);
  });

  it("warns where both arms are constant", () => {
    const result = individualResponse([2, 2, 2], [1, 1]);
    expect(result).toMatchObject({ sd: 0, variance: { se: 0 } });
    expect(result.warnings.join()).toContain("no information about responses");
    expect(result).not.toHaveProperty("smallestDetectable");
  });
});

describe("the typical error as an estimate", () => {
  const cases = ["ergoStool_responders", "shrout_fleiss_responders"];

  it.each(cases)("responders take t on its degrees of freedom: %s", (id) => {
    const { data, computed } = referenceCase("individual-response", id);
    const { value, df } = computed.typical_error!.value;
    const rows = rowsOf(computed.responders!.value);
    const ours = responders(data.changes, { typicalError: value, typicalErrorDf: df });
    const known = responders(data.changes, { typicalError: value });
    rows.forEach((row, i) => {
      agrees(ours[i]!.low, row.low95!, { quantity: "low", ...chi });
      agrees(ours[i]!.high, row.high95!, { quantity: "high", ...chi });
      agrees(known[i]!.low, row.low95_normal!, { quantity: "low, error known", ...chi });
    });
  });

  it.each(cases)("typical error and minimal detectable change have χ² limits: %s", (id) => {
    const { data, computed } = referenceCase("individual-response", id);
    for (const row of rowsOf(computed.limits!.value)) {
      const ours = reliability(data.trials, { level: row.level! });
      agrees(ours.typicalError.value, computed.typical_error!.value.value, {
        quantity: "typical error",
        ...chi,
      });
      agrees(ours.typicalError.interval!.low, row.te_low!, { quantity: "low error", ...chi });
      agrees(ours.typicalError.interval!.high, row.te_high!, { quantity: "high error", ...chi });
      agrees(ours.mdc95.value, row.mdc95_normal!, { quantity: "MDC95", ...chi });
      agrees(ours.mdc95.interval!.low, row.mdc95_normal_low!, { quantity: "low MDC95", ...chi });
      agrees(ours.mdc95.interval!.high, row.mdc95_normal_high!, { quantity: "high MDC95", ...chi });
      agrees(ours.mdc90.interval!.high, row.mdc90_normal_high!, { quantity: "high MDC90", ...chi });
      agrees(ours.detectable95, row.mdc95_t!, { quantity: "MDC95 by t", ...chi });
      agrees(ours.detectable90, row.mdc90_t!, { quantity: "MDC90 by t", ...chi });
    }
  });

  it("the smallest worthwhile change has limits, wider when the error is an estimate", () => {
    const baseline = [40, 45, 50, 55, 60, 42, 58, 47];
    const plain = smallestWorthwhile(baseline);
    const df = 7;
    // χ² limits of s on 7 df, scipy.stats.chi2.ppf
    agrees(plain.interval!.low, plain.value! * Math.sqrt(df / 16.012764274629326), {
      quantity: "low",
      ...chi,
    });
    agrees(plain.interval!.high, plain.value! * Math.sqrt(df / 1.689869180677355), {
      quantity: "high",
      ...chi,
    });
    const known = smallestWorthwhile(baseline, { typicalError: 3 });
    const estimated = smallestWorthwhile(baseline, { typicalError: 3, typicalErrorDf: 8 });
    expect(estimated.interval!.low).toBeLessThan(known.interval!.low);
    expect(estimated.value).toBe(known.value);
    expect(() => smallestWorthwhile(baseline, { typicalErrorDf: 0 })).toThrow(/degrees of freedom/);
  });
});
