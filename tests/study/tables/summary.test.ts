import * as aq from "arquero";
import { mean, median } from "simple-statistics";
import { describe, expect, it } from "vitest";
import { InputError } from "../../../lib/errors.js";
import { randomStream } from "../../../lib/num/random.js";
import { readStudy } from "../../../lib/study/open.js";
import { winterBlock } from "../../../lib/study/simulate/demo.js";
import { inventStudy } from "../../../lib/study/simulate/simulate.js";
import { toFrame } from "../../../lib/study/tables/frame.js";
import {
  type GripRule,
  gripRuleIds,
  gripRules,
  speedRules,
} from "../../../lib/study/tables/rules.js";
import { summariseGrip, summariseSpeed } from "../../../lib/study/tables/summary.js";
import { agrees } from "../../reference/agree.js";
import { gripTrials, inspect } from "../small-study.js";

const encoded = (files: Readonly<Record<string, string>>) => ({
  name: "winter-block",
  files: new Map(
    Object.entries(files).map(([name, text]) => [name, new TextEncoder().encode(text)]),
  ),
  faults: [],
});
const winter = readStudy(encoded(inventStudy(winterBlock).files)).study!;

describe("one value per person, occasion, hand and position", () => {
  const study = inspect({
    gripTrials: gripTrials
      .replace("D1,1,28.0,kgf,valid", "D1,1,28.0,kgf,valid")
      .concat("007,w0,2025-01-06,left,address,50,D1,3,36.0,kgf,valid,\n"),
  }).study!;
  const first = (rule: GripRule) => summariseGrip(study, { rule }).get("grip_kgf", 0);

  it("the same trials (28, 29, 36) give each rule its own answer", () => {
    expect(
      Object.fromEntries(
        gripRuleIds.filter((rule) => !rule.endsWith("6")).map((rule) => [rule, first(rule)]),
      ),
    ).toEqual({
      mean3: 31,
      max3: 36,
      median3: 29,
      mean2: 28.5,
      max2: 29,
      first: 28,
      mean: 31,
      max: 36,
      median: 29,
    });
  });

  it("the rule, the trials used and the trials planned stand in the result", () => {
    const table = summariseGrip(study, { rule: "mean2" });
    expect(table.columnNames()).toEqual([
      "participant",
      "arm",
      "occasion",
      "week",
      "hand",
      "position",
      "grip_kgf",
      "n",
      "planned",
      "complete",
      "rule",
    ]);
    expect(table.object(0)).toEqual({
      participant: "007",
      arm: "grip",
      occasion: "w0",
      week: 0,
      hand: "lead",
      position: "address",
      grip_kgf: 28.5,
      n: 2,
      planned: 2,
      complete: true,
      rule: "mean2",
    });
    expect(table.numRows()).toBe(8);
  });

  it("takes trials in the order of their numbers, not of the file", () => {
    const lines = gripTrials.trimEnd().split("\n");
    const shuffled = [lines[0], ...lines.slice(1).reverse()].join("\n");
    const one = inspect({ gripTrials: shuffled }).study!;
    expect(summariseGrip(one, { rule: "first" }).get("grip_kgf", 0)).toBe(28);
  });

  it("pools both hands where the rule says so: the highest of six (Roberts et al. 2011)", () => {
    const table = summariseGrip(study, { rule: "max6" });
    expect(table.columnNames()).not.toContain("hand");
    expect([...table.array("grip_kgf")]).toEqual([36, 33, 47, 47.5]);
    expect([...table.array("n")]).toEqual([5, 4, 4, 4]);
  });

  it("leaves out groups with fewer trials than asked for", () => {
    expect(summariseGrip(study, { rule: "mean3", least: 3 }).numRows()).toBe(1);
  });

  it.each<[string, object]>([
    ["an unknown rule", { rule: "best" }],
    ["no rule", {}],
    ["no options", undefined as never],
    ["a rule that changes between occasions", { rule: { w0: "mean3", w6: "max3" } }],
    ["a least of 0", { rule: "mean3", least: 0 }],
  ])("%s is refused", (_, options) => {
    expect(() => summariseGrip(study, options as { rule: "mean" })).toThrow(InputError);
    expect(() => summariseSpeed(study, options as { rule: "mean" })).toThrow(InputError);
  });

  it("a rule given for each occasion is taken when it is one", () => {
    expect(summariseGrip(study, { rule: { w0: "mean2", w6: "mean2" } }).get("rule", 0)).toBe(
      "mean2",
    );
  });
});

describe("second opinions on the demo study", () => {
  const key = (row: Record<string, unknown>) =>
    [row.participant, row.occasion, row.hand ?? row.club, row.position ?? ""].join("|");
  const rounding = {
    quantity: "summary",
    rel: 1e-14,
    why: "two orders of adding at most eight numbers",
  };

  function same(ours: aq.ColumnTable, name: string, theirs: Record<string, unknown>[]): void {
    const mine = new Map(
      (ours.objects() as Record<string, unknown>[]).map((row) => [key(row), row[name]]),
    );
    expect(theirs.length).toBe(mine.size);
    for (const row of theirs) agrees(mine.get(key(row)) as number, row.value as number, rounding);
  }

  it.each(["mean", "median", "max"] as const)(
    "grip by %s: simple-statistics over arquero's groups",
    (rule) => {
      const groups = new Map<string, { row: Record<string, unknown>; values: number[] }>();
      for (const row of winter.gripTrials.objects() as Record<string, unknown>[]) {
        const group = groups.get(key(row)) ?? { row, values: [] };
        group.values.push(row.force_kgf as number);
        groups.set(key(row), group);
      }
      const of = { mean, median, max: (values: number[]) => Math.max(...values) }[rule];
      const theirs = [...groups.values()].map(({ row, values }) => ({ ...row, value: of(values) }));
      same(summariseGrip(winter, { rule }), "grip_kgf", theirs);
    },
  );

  it("speed by mean, median and max: arquero", () => {
    const grouped = winter.swingTrials.groupby("participant", "occasion", "club");
    for (const rule of ["mean", "median", "max"] as const) {
      const theirs = grouped.rollup({ value: aq.op[rule]("speed_mph") });
      same(
        summariseSpeed(winter, { rule }),
        "speed_mph",
        theirs.objects() as Record<string, unknown>[],
      );
    }
  });

  it("grip by mean: danfojs", async () => {
    const frame = await toFrame(
      winter.gripTrials.select("participant", "occasion", "hand", "position", "force_kgf"),
    );
    const groupby = frame.groupby as (by: string[]) => {
      col(names: string[]): { mean(): unknown };
    };
    const { columns, values } = groupby
      .call(frame, ["participant", "occasion", "hand", "position"])
      .col(["force_kgf"])
      .mean() as { columns: string[]; values: unknown[][] };
    const theirs = values.map((row) => {
      const record = Object.fromEntries(columns.map((name, i) => [name, row[i]]));
      return { ...record, value: record.force_kgf_mean };
    });
    // danfojs keeps numbers in 32 bits.
    const mine = new Map(
      (summariseGrip(winter, { rule: "mean" }).objects() as Record<string, unknown>[]).map(
        (row) => [key(row), row.grip_kgf as number],
      ),
    );
    expect(theirs.length).toBe(mine.size);
    for (const row of theirs)
      agrees(row.value as number, mine.get(key(row))!, {
        quantity: "mean",
        rel: 1e-6,
        why: "32-bit numbers",
      });
  });
});

describe("how far rules disagree", () => {
  it("max of three lies 0.8463 standard deviations of a trial above their mean", () => {
    // Expected maximum of three standard normal values: 3 / (2 √π) = 0.84628 (order statistics;
    // e.g. David & Nagaraja, Order Statistics, 3rd ed., table of expected values).
    const stream = randomStream(5, "max of three");
    const rows = 4000;
    const lines = Array.from({ length: rows }, (_, i) =>
      [1, 2, 3]
        .map(
          (t) =>
            `p${i},w0,,lead,address,50,D1,${t},${(40 + 1.44 * stream.normal()).toFixed(6)},kgf,valid,`,
        )
        .join("\n"),
    );
    const people = Array.from({ length: rows }, (_, i) => `p${i},grip,female,40,right`);
    const { study } = inspect({
      participants: `participant,arm,sex,age_years,plays\n${people.join("\n")}\n`,
      gripTrials: `${gripTrials.split("\n")[0]}\n${lines.join("\n")}\n`,
    });
    const of = (rule: GripRule) =>
      mean([...(summariseGrip(study!, { rule }).array("grip_kgf") as Iterable<number>)]);
    const excess = (of("max3") - of("mean3")) / 1.44;
    // Monte-Carlo error of the mean excess: sd about 0.62 / √4000 = 0.0098; four of them.
    agrees(excess, 3 / (2 * Math.sqrt(Math.PI)), {
      quantity: "excess of max3",
      rel: 0.045,
      why: "four Monte-Carlo errors",
    });
  });

  it("every rule has a title, and ids are told once", () => {
    for (const rules of [gripRules, speedRules]) {
      expect(new Set(rules.map(({ id }) => id)).size).toBe(rules.length);
      expect(rules.every(({ title }) => title.length > 5)).toBe(true);
    }
  });
});
