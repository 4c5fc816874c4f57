import { op } from "arquero";
import { describe, expect, it } from "vitest";
import { TypeChecker } from "../../../lib/notebook/type-checker.js";
import { describe as describeColumn } from "../../../lib/stats/describe.js";
import { openStudy } from "../../../lib/study/open.js";
import { emptyStudy } from "../../../lib/study/plan/starter.js";
import { beforeAfter } from "../../../lib/study/tables/before-after.js";
import { withoutOutlyingTrials } from "../../../lib/study/tables/outlying.js";
import { summariseGrip, summariseSpeed } from "../../../lib/study/tables/summary.js";
import { summariseTraining } from "../../../lib/study/tables/training.js";

const root = new URL("../../../", import.meta.url).pathname;
const study = openStudy("coach-nine");

describe("tables whose rows have a type (the compiler checks this file)", () => {
  it("rows of a summary", () => {
    const rows = summariseGrip(study, { rule: "mean3" })
      .objects()
      .filter((r) => r.hand === "lead");
    expect(rows.length).toBeGreaterThan(0);
    const [first] = rows;
    const value: number = first!.grip_kgf;
    expect(value).toBeGreaterThan(0);
    // @ts-expect-error a hand is lead or trail
    expect(rows.some((r) => r.hand === "left")).toBe(false);
    // @ts-expect-error there is no such column
    expect(first?.grip).toBeUndefined();
  });

  it("rules by name", () => {
    // @ts-expect-error best3 is a rule for speed
    expect(() => summariseGrip(study, { rule: "best3" })).toThrow("one of mean3, max3");
    // @ts-expect-error no such option
    expect(() => summariseGrip(study, { rul: "mean3" })).toThrow("an option called rule");
    // @ts-expect-error no such option
    expect(() => summariseSpeed(study, { rule: "mean", min: 3 })).toThrow(
      "options named rule, least",
    );
  });

  it("options by name, everywhere", () => {
    const summary = summariseGrip(study, { rule: "mean3" });
    const visits = { before: "before", after: "after" };
    // @ts-expect-error no such option
    expect(() => beforeAfter(study, summary, { ...visits, were: {} })).toThrow("called where");
    // @ts-expect-error no such option
    expect(() => summariseTraining(study, { betwen: visits })).toThrow("called between");
    // @ts-expect-error no such option
    expect(() => withoutOutlyingTrials(study, { deviation: 3 })).toThrow("called deviations");
    // @ts-expect-error no such option
    expect(() => emptyStudy({ name: "spring", week: [0, 6] })).toThrow("called weeks");
  });

  it("columns as arrays that statistics take", () => {
    const mass: number[] = study.participants.array("mass_kg");
    expect(describeColumn(mass).n).toBe(study.participants.numRows());
    const hand = study.gripTrials.get("hand", 0);
    expect(["lead", "trail"]).toContain(hand);
    // a column that only this study has stays within reach, without a type
    expect(() => study.participants.array("shoe_size")).toThrow();
  });

  it("keeps the type through filter and order, and gives up on columns of its own", () => {
    const lead = study.gripTrials.filter((row: { hand: string }) => row.hand === "lead");
    const force: number = lead.objects()[0]!.force_kgf;
    expect(force).toBeGreaterThan(0);
    const doubled = lead.derive({ twice: (row: { force_kgf: number }) => row.force_kgf * 2 });
    expect(doubled.objects()[0]!.twice).toBe(2 * doubled.objects()[0]!.force_kgf);
    const means = lead
      .groupby("participant")
      .rollup({ mean: (row: { force_kgf: number }) => op.mean(row.force_kgf as never) });
    expect(means.objects().every((row) => row.mean > 0)).toBe(true);
  });
});

describe("the same in a cell of a notebook", () => {
  it("compiles by the compiler that checks cells", async () => {
    const cells = [
      'import { openStudy, summariseGrip } from "tautline"; import { describe } from "tautline/stats";',
      'const study = openStudy("coach-nine");',
      'const lead = summariseGrip(study, { rule: "mean3" }).objects().filter((r) => r.hand === "lead");',
      'const mass = describe(study.participants.array("mass_kg"));',
      "const heavy = study.participants.filter((r) => r.mass_kg > 70).objects().map((r) => r.mass_kg.toFixed(1));",
      "for (const row of study.participants) row.mass_kg.toFixed(1);",
      "const wrong = lead.map((r) => r.grip_kg);",
      'const misruled = summariseGrip(study, { rule: "mean33" });',
    ];
    const checker = new TypeChecker();
    try {
      const found: number[][] = [];
      let before = "";
      for (const cell of cells) {
        const converted = (await checker.convert(`${root}notebooks`, before, cell))!;
        found.push(converted.diagnostics.map(({ code }) => code));
        if (converted.diagnostics.length === 0) before = converted.declOutput ?? "";
      }
      expect(found).toEqual([[], [], [], [], [], [], [2551], [2820]]);
    } finally {
      await checker.stop();
    }
  });
});
