import { expect, it } from "vitest";
import { specificationCurve } from "../../lib/stats/specification.js";
import { summariseSpecifications } from "../../lib/stats/specification-summary.js";

const study = {
  participant: [..."abcdefgh"],
  before: [40, 42, 41, 43, 39, 44, 45, 38],
  after: [44, 47, 44, 46, 39, 45, 45, 37],
  arm: [..."ttttcccc"],
};
const curve = specificationCurve(
  {
    data: { rule: ["mean", "max"] },
    columns: ({ rule }) =>
      rule === "mean" ? study : { ...study, after: study.after.map((y) => y + 0.5) },
    reference: "c",
    planned: { rule: "mean", scale: "raw", adjust: "change", centre: "mean" },
  },
  { resamples: 50, seed: 2 },
);

it("tells every option of every choice once, each over all specifications that took it", () => {
  const lines = summariseSpecifications(curve);
  expect(lines.map(({ choice, option }) => `${choice} ${option}`)).toEqual([
    "rule max",
    "rule mean",
    "scale log",
    "scale raw",
    "adjust baseline",
    "adjust change",
    "centre mean",
    "centre median",
    "centre trimmed mean",
  ]);
  for (const choice of ["rule", "scale", "adjust", "centre"]) {
    const total = lines
      .filter((line) => line.choice === choice)
      .reduce((sum, line) => sum + line.specifications, 0);
    expect(total).toBe(curve.specifications.length);
  }
});

it("gives the lowest, middle and highest effect and the share that leaves zero out", () => {
  const log = summariseSpecifications(curve).find(({ option }) => option === "log")!;
  const mine = curve.specifications.filter(({ choice }) => choice.scale === "log");
  const values = mine.map(({ value }) => value);
  expect(log.low).toBe(Math.min(...values));
  expect(log.high).toBe(Math.max(...values));
  expect(log.median).toBeCloseTo((values[5]! + values[6]!) / 2, 12);
  expect(log.excludingZero).toBe(mine.filter(({ interval }) => interval.low > 0).length / 12);
});
