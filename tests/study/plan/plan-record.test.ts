import { describe, expect, it } from "vitest";
import type { PrimaryPlan } from "../../../lib/study/package/design.js";
import { readPackage } from "../../../lib/study/package/package.js";
import {
  type PlanInput,
  recordPlan,
  recordPlanChange,
} from "../../../lib/study/plan/plan-record.js";
import { emptyStudy } from "../../../lib/study/plan/starter.js";

const descriptor = () =>
  JSON.parse(emptyStudy({ name: "spring" }).get("datapackage.json")!) as Record<string, unknown>;
const plan: PlanInput & { sample: object } = {
  primary: {
    outcome: "grip",
    hand: "lead",
    position: "address",
    before: "week-0",
    after: "week-6",
    contrast: "training − control, adjusted for baseline",
    unit: "kgf",
  },
  summaries: { grip: "max3", speed: "mean7" },
  level: 0.9,
  sample: { n: 26, power: 0.8, sdChange: 2.1 },
};
const decision = { decidedOn: "2025-02-24", trialsRecorded: 0 };

describe("a plan before data are seen", () => {
  it("stands in the descriptor with its day, and what is beside it is kept", () => {
    const given = descriptor();
    const written = recordPlan(given, plan, decision);
    const read = readPackage(written).package!.study.plan;
    expect(read).toMatchObject({
      decidedOn: "2025-02-24",
      level: 0.9,
      seed: 1,
      summaries: plan.summaries,
    });
    expect(read.primary!.position).toBe("address");
    expect((written.study as { plan: { sample: object } }).plan.sample).toEqual(plan.sample);
    expect(given).toEqual(descriptor());
  });

  it("is refused once a trial is recorded, or a plan stands: then it is a change", () => {
    expect(() => recordPlan(descriptor(), plan, { ...decision, trialsRecorded: 3 })).toThrow(
      /before any trial.*change.*got 3/,
    );
    const once = recordPlan(descriptor(), plan, decision);
    expect(() => recordPlan(once, plan, decision)).toThrow(/a plan of 2025-02-24/);
  });

  it.each([
    [{ ...plan, summaries: { grip: "best", speed: "mean" } }, /summaries\.grip/],
    [{ ...plan, primary: { ...plan.primary, after: "week-9" } }, /week-0, week-6/],
    [{ ...plan, primary: { ...plan.primary, before: "week-6", after: "week-0" } }, /after week-6/],
    [{ ...plan, primary: { ...plan.primary, hand: "left" } }, /"lead" or "trail"/],
    [{ ...plan, primary: { ...plan.primary, outcome: "strength" } }, /"grip" or "speed"/],
    [{ ...plan, primary: { ...plan.primary, position: "lying" } }, /seated, address/],
    [{ ...plan, level: 95 }, /fraction/],
    [{ ...plan, seed: 1.5 }, /whole number/],
  ])("is refused when it does not fit the design (%#)", (wrong, words) => {
    expect(() => recordPlan(descriptor(), wrong as never, decision)).toThrow(words);
  });

  it.each(["2025-02-30", "24.2.2025", "", undefined])("is refused for the day %j", (decidedOn) => {
    expect(() =>
      recordPlan(descriptor(), plan, { decidedOn: decidedOn as string, trialsRecorded: 0 }),
    ).toThrow(/a day such as/);
  });

  it("leaves out the hand and the position that the plan leaves open", () => {
    const { hand, position, ...primary } = plan.primary as PrimaryPlan;
    expect([hand, position]).toEqual(["lead", "address"]);
    const { package: read } = readPackage(recordPlan(descriptor(), { ...plan, primary }, decision));
    expect(Object.keys(read!.study.plan.primary!).sort()).toEqual(Object.keys(primary).sort());
  });

  it("needs a study to stand in", () => {
    expect(() => recordPlan({ resources: [] }, plan, decision)).toThrow(/study property/);
  });
});

describe("a change of plan", () => {
  const planned = recordPlan(descriptor(), plan, decision);
  const change = { on: "2025-03-10", what: "Six swings instead of eight", why: "Hail" };

  it("is added with day and reason, after those before it; the plan keeps its day", () => {
    const once = recordPlanChange(planned, change);
    const twice = recordPlanChange(once, {
      ...change,
      on: "2025-03-11",
      plan: { level: 0.95, decidedOn: "1999-01-01" },
    });
    const { changes, plan: kept } = readPackage(twice).package!.study;
    expect(changes.map(({ on }) => on)).toEqual(["2025-03-10", "2025-03-11"]);
    expect([kept.level, kept.decidedOn]).toEqual([0.95, "2025-02-24"]);
  });

  it("is refused without a reason, or dated before the last one", () => {
    expect(() => recordPlanChange(planned, { ...change, why: " " })).toThrow(/why/);
    const once = recordPlanChange(planned, change);
    expect(() => recordPlanChange(once, { ...change, on: "2025-03-09" })).toThrow(/2025-03-10/);
  });
});
