import { describe, expect, it } from "vitest";
import { InputError } from "../../lib/errors.js";
import { randomStream } from "../../lib/num/random.js";
import { attenuation } from "../../lib/stats/attenuation.js";
import { agrees } from "../reference/agree.js";
import { agreesAsPrinted, referenceCase } from "../reference/cases.js";

const full = { rel: 1e-12, why: "numpy in double precision, a few last digits" };

describe("attenuation on Fuller's corn and nitrogen (1987), error variance 57", () => {
  const corn = referenceCase("lines", "corn");
  const fit = attenuation(corn.data.nitrogen, corn.data.yield, {
    errorSd: Math.sqrt(corn.data.errorVariance),
  });

  it("gives the corrected slope and its standard error by equation 1.2.8", () => {
    agreesAsPrinted(fit.corrected!.value, corn, "corrected slope");
    agreesAsPrinted(fit.corrected!.se! ** 2, corn, "variance of the corrected slope");
    agrees(fit.corrected!.value, corn.computed.corrected!.value, { quantity: "slope", ...full });
    agrees(fit.corrected!.se!, corn.computed.corrected_se!.value, { quantity: "se", ...full });
  });

  it("gives the reliability ratio, by which the ordinary slope is too flat", () => {
    agrees(fit.reliability, corn.computed.reliability!.value, { quantity: "reliability", ...full });
    agrees(fit.slope.value, corn.computed.slope!.value, { quantity: "ordinary slope", ...full });
    agrees(fit.slope.value / fit.corrected!.value, fit.reliability, {
      quantity: "ratio of slopes",
      ...full,
    });
  });
});

describe("attenuation at its ends", () => {
  it("without error is the ordinary line", () => {
    const { reliability, slope, corrected } = attenuation([1, 2, 3, 5], [2, 2, 4, 6], {
      errorSd: 0,
    });
    expect(reliability).toBe(1);
    agrees(corrected!.value, slope.value, { quantity: "slope", ...full });
    agrees(corrected!.se!, slope.se!, { quantity: "se", ...full });
  });

  it("an error as large as the spread gives a reliability at or below 0 and no corrected slope", () => {
    const fit = attenuation([1, 2, 3, 4, 5], [2, 3, 5, 7, 8], { errorSd: 2 });
    agrees(fit.reliability, (2.5 - 4) / 2.5, { quantity: "reliability", ...full });
    expect(fit).not.toHaveProperty("corrected");
    expect(fit.warnings.join()).toMatch(/as large as the spread/);
  });

  it("refuses a negative error and a constant x", () => {
    expect(() => attenuation([1, 2, 3], [1, 2, 3], { errorSd: -1 })).toThrow(InputError);
    expect(() => attenuation([1, 1, 1], [1, 2, 3], { errorSd: 1 })).toThrow(InputError);
    expect(() => attenuation([1, 2, 3], [1, 2], { errorSd: 1 })).toThrow(InputError);
  });
});

it("the corrected interval covers the true slope where the ordinary one does not", () => {
  const stream = randomStream(6, "attenuation");
  const held = { ordinary: 0, corrected: 0 };
  const draws = 400;
  for (let draw = 0; draw < draws; draw++) {
    const truth = Array.from({ length: 60 }, () => 40 + 6 * stream.normal());
    const x = truth.map((value) => value + 3 * stream.normal());
    const y = truth.map((value) => 60 + 0.8 * value + 3 * stream.normal());
    const { slope, corrected } = attenuation(x, y, { errorSd: 3 });
    const covers = ({ low, high }: { low: number; high: number }) => low <= 0.8 && 0.8 <= high;
    if (covers(slope.interval!)) held.ordinary++;
    if (covers(corrected!.interval!)) held.corrected++;
  }
  // 4 standard errors of a share of 0.95 in 400 draws are 0.044
  expect(held.corrected / draws).toBeGreaterThan(0.95 - 0.044);
  expect(held.ordinary / draws).toBeLessThan(0.6);
});
