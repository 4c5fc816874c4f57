import { describe, expect, it } from "vitest";
import { InputError } from "../../../lib/errors.js";
import { jackknife } from "../../../lib/stats/bootstrap/jackknife.js";
import { correlation } from "../../../lib/stats/correlation.js";
import { agrees } from "../../reference/agree.js";
import { referenceCase } from "../../reference/cases.js";

const full = { rel: 1e-11, why: "leave-one-out values differ in their last digits" };
const pearson = ([x, y]: Float64Array[]) => correlation(x!, y!).value;
const mean = ([x]: Float64Array[]) => x!.reduce((total, value) => total + value, 0) / x!.length;

describe("jackknife of the law school correlation (Efron & Tibshirani 1993)", () => {
  const { data, computed } = referenceCase("bootstrap", "law");
  const ours = jackknife([data.LSAT, data.GPA], pearson);

  it("gives the leave-one-out values, their se, bias and acceleration", () => {
    for (const [i, value] of computed.jackknife_values!.value.entries()) {
      agrees(ours.values[i]!, value, { quantity: `without school ${i}`, ...full });
    }
    agrees(ours.se, computed.se_jackknife!.value, { quantity: "se", ...full });
    agrees(ours.bias, computed.bias_jackknife!.value, { quantity: "bias", ...full });
    const a = computed.acceleration_a_jackknife!.value;
    agrees(ours.acceleration!, a, { quantity: "acceleration", ...full });
    // printed .143 in chapter 11; remembered, not seen in print
    agrees(ours.se, 0.143, { quantity: "printed se", rel: 0.0005 / 0.143, why: "three decimals" });
  });
});

describe("jackknife within strata and by clusters", () => {
  const mouse = referenceCase("bootstrap", "mouse");

  it("gives the two-sample se of the mouse data", () => {
    const arm = mouse.data.arm.map((name: string) => (name === "treated" ? 1 : 0));
    const difference = ([days, arms]: Float64Array[]) =>
      mean([days!.filter((_, i) => arms![i] === 1)]) -
      mean([days!.filter((_, i) => arms![i] === 0)]);
    const ours = jackknife([mouse.data.days, arm], difference, { strata: mouse.data.arm });
    agrees(ours.se, mouse.computed.jackknife_se!.value, { quantity: "se", ...full });
    agrees(ours.acceleration!, mouse.computed.acceleration!.value, { quantity: "a", ...full });
    expect(Math.abs(ours.bias)).toBeLessThan(1e-9); // a difference of means has none
  });

  it("leaves out whole clusters, in order of first appearance", () => {
    const ours = jackknife([[1, 2, 3, 4, 5, 6]], mean, {
      clusters: ["a", "b", "a", "c", "c", "c"],
    });
    expect(ours.units).toBe(3);
    expect(ours.values).toEqual([17 / 4, 19 / 5, 2]);
    expect(ours.method).toBe("leave one cluster out");
  });

  it("no acceleration where nothing changes; a statistic must be defined everywhere", () => {
    expect(jackknife([[1, 2, 3]], () => 5)).not.toHaveProperty("acceleration");
    const needsThree = ([x]: Float64Array[]) => (x!.length < 3 ? Number.NaN : 1);
    expect(() => jackknife([[1, 2, 3]], needsThree)).toThrow(InputError);
    expect(() => jackknife([[1, 2, 3]], needsThree)).toThrow("for the data without unit 0");
  });
});
