import { describe, expect, it } from "vitest";
import { compareStudies } from "../../lib/analysis/compare-studies.js";
import { exactTest } from "../../lib/analysis/exact-test.js";
import { missingGolfers } from "../../lib/analysis/missing-golfers.js";
import { allocationDraw, planTable } from "../../lib/analysis/plan-table.js";
import { relationToBaseline } from "../../lib/analysis/relation-to-baseline.js";
import { openStudy } from "../../lib/analysis/study-outcomes.js";
import { studySize } from "../../lib/analysis/study-size.js";
import { planAncova } from "../../lib/stats/plan-ancova.js";
import { rawRows } from "../notebooks/recorded.js";
import { agrees } from "../reference/agree.js";

const winter = openStudy("winter-block");
const nine = openStudy("coach-nine");
const rounding = { rel: 1e-10, why: "the same arithmetic in another order" };

/** Lead-hand trials at address of one visit by golfer, from the raw rows. */
function trialsOf(study: string, visit: string): Map<string, number[]> {
  const plays = new Map(
    rawRows(`${study}/participants.csv`).map((row) => [row.participant!, row.plays!]),
  );
  const found = new Map<string, number[]>();
  for (const row of rawRows(`${study}/grip-trials.csv`)) {
    const lead = plays.get(row.participant!) === "right" ? "left" : "right";
    const isLead = row.hand === "lead" || row.hand === lead;
    if (row.occasion !== visit || row.position !== "address" || !isLead) continue;
    if (row.status !== "valid" || row.unit !== "kgf") continue;
    found.set(row.participant!, [...(found.get(row.participant!) ?? []), Number(row.force)]);
  }
  return found;
}

const mean = (values: readonly number[]) => values.reduce((a, b) => a + b, 0) / values.length;
const variance = (values: readonly number[]) =>
  values.reduce((sum, x) => sum + (x - mean(values)) ** 2, 0) / (values.length - 1);

/** Values before and after of the nine, from the raw rows. */
function ninePairs(): { before: number[]; after: number[] } {
  const [first, last] = [trialsOf("coach-nine", "before"), trialsOf("coach-nine", "after")];
  const codes = [...first.keys()].filter((code) => last.has(code));
  const of = (visits: Map<string, number[]>) => codes.map((code) => mean(visits.get(code)!));
  return { before: of(first), after: of(last) };
}

describe("tables of a study, against its files", () => {
  it("name the golfers who left and why", () => {
    expect(missingGolfers(winter.primary.change()).rows).toHaveLength(2);
    expect(JSON.stringify(missingGolfers(winter.primary.change()).rows)).toContain("moved away");
    expect(missingGolfers(nine.primary.change()).rows).toEqual([]);
  });

  it("show the plan with its changes, and a draw into arms of equal size", () => {
    const text = JSON.stringify(planTable(winter).rows);
    expect(text).toContain("Lead-hand grip at address");
    expect(text).toContain("Changed on 2025-02-20");
    const arms = allocationDraw(winter, 12).rows.map(({ arm }) => arm);
    expect(arms.filter((arm) => arm === "Grip block")).toHaveLength(6);
  });
});

describe("questions, against the raw rows", () => {
  it("the sign-flip test counts all 512 arrangements of nine golfers", () => {
    const { before, after } = ninePairs();
    const changes = after.map((y, i) => y - before[i]!);
    const seen = Math.abs(mean(changes)) - 1e-12;
    let hits = 0;
    for (let signs = 0; signs < 512; signs++)
      if (Math.abs(mean(changes.map((c, i) => ((signs >> i) & 1 ? -c : c)))) >= seen) hits++;
    const { estimate } = exactTest(nine.primary.change());
    agrees(estimate!.value, hits / 512, { quantity: "p", rel: 1e-14, why: "a count of 512" });
  });

  it("the size of a study follows from the spread of changes and the correlation of visits", () => {
    const { before, after } = ninePairs();
    const size = studySize(nine.primary.change(), { difference: 3 });
    const spread = Math.sqrt(variance(after.map((y, i) => y - before[i]!)));
    agrees(size.spread.estimate!.value, spread, { quantity: "SD of changes", ...rounding });
    const covariance =
      before.reduce((sum, x, i) => sum + (x - mean(before)) * (after[i]! - mean(after)), 0) / 8;
    const sd = Math.sqrt(variance(after));
    const correlation = covariance / Math.sqrt(variance(before) * variance(after));
    expect(size.estimate!.value).toBe(planAncova({ difference: 3, sd, correlation }).n1);
    expect(size.leaveOneOut!.low).toBeLessThanOrEqual(size.estimate!.value);
    expect(studySize(nine.primary.change(), { difference: 6 }).estimate!.value).toBeLessThan(
      size.estimate!.value,
    );
  });

  it("the slope on the value before is corrected by the share of error, as Blomqvist does", () => {
    const { before, after } = ninePairs();
    const changes = after.map((y, i) => y - before[i]!);
    const sxy = before.reduce((sum, x, i) => sum + (x - mean(before)) * changes[i]!, 0);
    const slope = sxy / (8 * variance(before));
    const share = 1.5 ** 2 / variance(before);
    const change = nine.primary.change();
    const given = { ...studySize(change).spread, estimate: { value: 1.5, df: 11 } };
    const found = relationToBaseline(change, { typicalError: given });
    agrees(found.asSeen.estimate!.value, slope, { quantity: "slope as seen", ...rounding });
    agrees(found.estimate!.value, (slope + share) / (1 - share), {
      quantity: "corrected slope",
      ...rounding,
    });
  });

  it("two studies are compared by Welch's t", () => {
    const { before, after } = ninePairs();
    const own = after.map((y, i) => y - before[i]!);
    const control = winter.primary
      .change()
      .of("swing")
      .map(({ change }) => change);
    const found = compareStudies(nine.primary.change(), winter.primary.change());
    agrees(found.estimate!.value, mean(own) - mean(control), {
      quantity: "difference",
      ...rounding,
    });
    const [a, b] = [variance(own) / own.length, variance(control) / control.length];
    const df = (a + b) ** 2 / (a ** 2 / (own.length - 1) + b ** 2 / (control.length - 1));
    agrees(found.estimate!.df!, df, { quantity: "degrees of freedom", ...rounding });
  });
});
