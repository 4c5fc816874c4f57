import { expect, it } from "vitest";
import { InputError } from "../../lib/errors.js";
import { randomStream } from "../../lib/num/random.js";
import { fitMixed } from "../../lib/stats/mixed/mixed.js";
import { repeatedMeasuresCorrelation } from "../../lib/stats/repeated-correlation.js";
import { splitWithinBetween } from "../../lib/stats/within-between.js";
import { agrees } from "../reference/agree.js";

it("splits a column into the person's mean and the distance from it, rows in any order", () => {
  const { between, within, subjects, n } = splitWithinBetween(["b", "a", "b", "a"], [1, 10, 3, 20]);
  expect(between).toEqual([2, 15, 2, 15]);
  expect(within).toEqual([-1, -5, 1, 5]);
  expect([subjects, n]).toEqual([2, 4]);
  expect(() => splitWithinBetween(["a"], [1, 2])).toThrow(InputError);
});

it("lets a mixed model tell a slope within people from a slope between them of the other sign", () => {
  const stream = randomStream(6, "within and between");
  const subject: string[] = [];
  const x: number[] = [];
  const y: number[] = [];
  for (let person = 0; person < 40; person++) {
    const level = 40 + 6 * stream.normal();
    for (let visit = 0; visit < 4; visit++) {
      const own = 2 * stream.normal();
      subject.push(`p${person}`);
      x.push(level + own);
      y.push(90 + 0.9 * (level - 40) - 0.5 * own + 0.5 * stream.normal());
    }
  }
  const { between, within } = splitWithinBetween(subject, x);
  const { fixed } = fitMixed({ subject, y, terms: { between, within } });
  expect(fixed.within!.interval!.high).toBeLessThan(-0.4);
  expect(fixed.between!.interval!.low).toBeGreaterThan(0.7);
  agrees(fixed.within!.value, repeatedMeasuresCorrelation(subject, x, y).commonSlope, {
    quantity: "slope within",
    rel: 1e-9,
    why: "deviations from own means are orthogonal to people: the model's slope is that of Bland and Altman",
  });
});
