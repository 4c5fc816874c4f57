import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { InputError } from "../../lib/errors.js";
import { subjectSlopes } from "../../lib/stats/slopes.js";
import { agrees } from "../reference/agree.js";
import { agreesAsPrinted, referenceCase } from "../reference/cases.js";

const full = { rel: 1e-12, why: "R prints 15 to 17 digits; its own rounding is a few of the last" };

describe("subjectSlopes on the sleep restriction study (Belenky 2003)", () => {
  const study = referenceCase("regression", "sleepstudy");
  const { Reaction, Days, Subject } = study.data;
  const fit = subjectSlopes(Subject.map(String), Days, Reaction);

  it("gives R's line for each of the 18 people", () => {
    expect(fit.subjects).toHaveLength(18);
    for (const [i, person] of fit.subjects.entries()) {
      const at = (quantity: string) => study.computed[quantity]!.value[i];
      expect(person.n).toBe(10);
      agrees(person.slope, at("slopes"), { quantity: `slope of ${person.subject}`, ...full });
      agrees(person.intercept, at("intercepts"), { quantity: "intercept", ...full });
      agrees(person.residualSd!, at("residual_sd"), { quantity: "residual sd", ...full });
    }
  });

  it("gives the mean line of the published mixed model, which balanced data must", () => {
    agreesAsPrinted(fit.slope.value, study, "Days");
    agreesAsPrinted(fit.slope.se!, study, "SE Days");
    agreesAsPrinted(fit.intercept.value, study, "intercept");
    agreesAsPrinted(fit.intercept.se!, study, "SE intercept");
  });

  it("gives R's t test of the slopes in full digits", () => {
    const { value, se, t, p, ci95 } = study.computed.mean_slope!.value;
    agrees(fit.slope.value, value, { quantity: "mean slope", ...full });
    agrees(fit.slope.se!, se, { quantity: "its se", ...full });
    agrees(fit.slope.statistic!, t, { quantity: "t", ...full });
    agrees(fit.slope.p!, p, { quantity: "p", ...full });
    agrees(fit.slope.interval!.low, ci95[0], { quantity: "lower limit", ...full });
    agrees(fit.slope.interval!.high, ci95[1], { quantity: "upper limit", ...full });
    expect(fit.slope.df).toBe(17);
  });
});

describe("subjectSlopes sets people aside and says why", () => {
  const subject = ["ann", "ann", "bo", "cy", "cy", "di", "di", "di"];
  const x = [0, 1, 5, 3, 3, 0, 1, 2];
  const y = [1, 3, 9, 4, 5, 1, 2, 6];

  it("a single row, or one x throughout", () => {
    const fit = subjectSlopes(subject, x, y);
    expect(fit.subjects.map((person) => person.subject)).toEqual(["ann", "di"]);
    expect(fit.setAside).toEqual([
      { subject: "bo", reason: "1 row, a line needs 2" },
      { subject: "cy", reason: "x is the same in every row" },
    ]);
    expect(fit.slope.value).toBe((2 + 2.5) / 2);
    expect(fit.subjects[0]).not.toHaveProperty("residualSd");
  });

  it("more rows may be asked for; one line left has no standard error", () => {
    const fit = subjectSlopes(subject, x, y, { leastRows: 3 });
    expect(fit.slope).toEqual({ value: 2.5 });
    expect(fit.warnings).toEqual(["one person's line alone has no standard error"]);
    expect(fit.setAside).toHaveLength(3);
    expect(JSON.parse(JSON.stringify(fit))).toEqual(fit);
  });

  it.each([
    [() => subjectSlopes(["a", "b"], [1, 2], [1, 2]), "subjectSlopes: expected a person with 2 or"],
    [
      () => subjectSlopes(["a"], [1, 2], [1, 2]),
      "subjectSlopes, subject: expected 2 values, got 1",
    ],
    [() => subjectSlopes(["a", "a"], [1, 2], [1, 2, 3]), "subjectSlopes, y: expected 2 values"],
    [() => subjectSlopes(["a", "a"], [1, 2], [1, 2], { leastRows: 1 }), "subjectSlopes, leastRows"],
  ])("refusal %#", (call, message) => {
    expect(call).toThrow(InputError);
    expect(call).toThrow(message);
  });
});

describe("subjectSlopes behaves", () => {
  const study = fc.array(
    fc.record({
      who: fc.constantFrom("a", "b", "c", "d"),
      x: fc.integer({ min: -50, max: 50 }),
      y: fc.integer({ min: -50, max: 50 }),
    }),
    { minLength: 4, maxLength: 30 },
  );
  const columns = (rows: { who: string; x: number; y: number }[]) =>
    [rows.map((r) => r.who), rows.map((r) => r.x), rows.map((r) => r.y)] as const;
  const hasLine = (rows: { who: string; x: number }[]) =>
    rows.some((a) => rows.some((b) => a.who === b.who && a.x !== b.x));

  it("sets aside a person whose x values differ by rounding alone", () => {
    const fit = subjectSlopes(["a", "a", "b", "b"], [0.1 + 0.2, 0.3, 1, 2], [1, 3, 2, 8]);
    expect(fit.setAside).toEqual([{ subject: "a", reason: "x is the same in every row" }]);
    expect(fit.slope.value).toBe(6);
  });

  it("every person is either fitted or set aside, whatever the order of rows", () => {
    fc.assert(
      fc.property(study.filter(hasLine), (rows) => {
        const fit = subjectSlopes(...columns(rows));
        const names = [...fit.subjects, ...fit.setAside].map((person) => person.subject).sort();
        expect(names).toEqual([...new Set(rows.map((r) => r.who))].sort());
        const turned = subjectSlopes(...columns([...rows].reverse()));
        const slack = 1e-9 * (1 + Math.abs(fit.slope.value));
        expect(Math.abs(turned.slope.value - fit.slope.value)).toBeLessThan(slack);
        const lowest = Math.min(...fit.subjects.map((person) => person.slope));
        expect(fit.slope.value).toBeGreaterThanOrEqual(lowest - slack);
      }),
      { seed: 41, numRuns: 200 },
    );
  });
});
