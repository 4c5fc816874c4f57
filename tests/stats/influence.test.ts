import { describe, expect, it } from "vitest";
import { InputError } from "../../lib/errors.js";
import { influence } from "../../lib/stats/influence.js";
import { fitLine } from "../../lib/stats/regression.js";
import { agrees } from "../reference/agree.js";
import { agreesAsPrinted, referenceCase } from "../reference/cases.js";

const full = { rel: 1e-11, why: "R's QR in double precision" };

describe("influence on the 21 children of Mickey, Dunn and Clark (1967)", () => {
  const { data, computed, ...rest } = referenceCase("lines", "gesell");
  const found = influence(data.age, data.score);

  it("stands on the published line", () => {
    const fit = fitLine({ x: data.age, y: data.score });
    agreesAsPrinted(fit.slope.value, { data, computed, ...rest }, "slope");
    agreesAsPrinted(fit.intercept.value, { data, computed, ...rest }, "intercept");
  });

  it.each([
    ["leverage", "leverage"],
    ["cooks_distance", "cooksDistance"],
    ["studentised", "studentisedResidual"],
    ["slope_without", "slopeWithout"],
  ] as const)("gives R's %s of every child", (theirs, ours) => {
    for (const [i, row] of found.rows.entries()) {
      agrees(row[ours]!, computed[theirs]!.value[i], {
        quantity: `${ours} of child ${i + 1}`,
        ...full,
      });
    }
  });

  it("marks child 18 by leverage and distance and child 19 by its residual", () => {
    const marked = found.rows.filter(({ marks }) => marks.length > 0);
    expect(marked.map(({ label, marks }) => [label, ...marks])).toEqual([
      ["18", "leverage", "distance"],
      ["19", "distance", "residual"],
    ]);
  });

  it("keeps the labels given", () => {
    const label = data.age.map((_: number, i: number) => `P${i}`);
    expect(influence(data.age, data.score, { label }).rows[3]!.label).toBe("P3");
    expect(() => influence(data.age, data.score, { label: ["a"] })).toThrow(InputError);
  });
});

it("a row that alone makes the line has no slope without it", () => {
  const rows = influence([1, 1, 1, 2], [1, 2, 3, 9]).rows;
  expect(rows[3]).toMatchObject({
    slopeWithout: null,
    cooksDistance: null,
    studentisedResidual: null,
  });
  expect(rows[3]!.marks).toEqual([]);
});
