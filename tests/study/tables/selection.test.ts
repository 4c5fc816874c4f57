import { describe, expect, it } from "vitest";
import { InputError } from "../../../lib/errors.js";
import { smallCells } from "../../../lib/study/check/small-cells.js";
import { readStudy } from "../../../lib/study/open.js";
import { winterBlock } from "../../../lib/study/simulate/demo.js";
import { inventStudy } from "../../../lib/study/simulate/simulate.js";
import { beforeAfter } from "../../../lib/study/tables/before-after.js";
import { gripWithSpeed } from "../../../lib/study/tables/grip-with-speed.js";
import { sourceOf } from "../../../lib/study/tables/source.js";
import { summariseGrip, summariseSpeed } from "../../../lib/study/tables/summary.js";
import { withoutParticipant, withSetAsides } from "../../../lib/study/tables/variants.js";
import { gripTrials, inspect, participants } from "../small-study.js";

const { files } = inventStudy(winterBlock);
const study = readStudy({
  name: "winter-block",
  files: new Map(
    Object.entries(files).map(([name, text]) => [name, new TextEncoder().encode(text)]),
  ),
  faults: [],
}).study!;
const grip = summariseGrip(study, { rule: "mean3" });
const speed = summariseSpeed(study, { rule: "mean" });
const where = { hand: "lead", position: "address" };

describe("beforeAfter", () => {
  const pairs = beforeAfter(study, grip, { before: "w0", after: "w6", where });

  it("gives plain columns of one length, and accounts for everyone", () => {
    expect(pairs.participant.length).toBe(pairs.n);
    for (const column of [pairs.arm, pairs.before, pairs.after])
      expect(column.length).toBe(pairs.n);
    expect(pairs.n + pairs.missing.length).toBe(26);
    expect(pairs).toMatchObject({ unit: "kgf", rule: "mean3", value: "grip_kgf" });
    expect(JSON.parse(JSON.stringify(pairs))).toEqual(pairs);
    expect(Object.isFrozen(pairs.before)).toBe(true);
  });

  it("says of the missing why: those who left, and when", () => {
    for (const { reason } of pairs.missing)
      expect(reason).toMatch(/^left the study on 2025-\d\d-\d\d \(.+\)$/);
    expect(pairs.missing.length).toBe(2);
  });

  it("says which trials were lost, or that none was recorded", () => {
    const lost = gripTrials
      .replace(/^007,w6,(.*),left(.*)valid/gm, "007,w6,$1,left$2refused")
      .replace(/^042,w6.*\n/gm, "");
    const one = inspect({ gripTrials: lost }).study!;
    const { missing } = beforeAfter(one, summariseGrip(one, { rule: "mean2" }), {
      before: "w0",
      after: "w6",
      where,
    });
    expect(missing).toEqual([
      { participant: "007", arm: "grip", reason: "w6: not done: refused" },
      { participant: "042", arm: "swing", reason: "w6: no trial recorded" },
    ]);
  });

  it.each([
    ["an unknown occasion", { before: "w0", after: "w9", where }],
    ["an unknown column", { before: "w0", after: "w6", where: { wrist: "lead" } }],
    ["an unknown value column", { before: "w0", after: "w6", where, value: "grip" }],
    ["more than one row a person", { before: "w0", after: "w6", where: { hand: "lead" } }],
  ])("%s is refused", (_, options) => {
    expect(() => beforeAfter(study, grip, options)).toThrow(InputError);
  });

  it("takes speed in either unit", () => {
    const mph = beforeAfter(study, speed, { before: "w0", after: "w6" });
    const mps = beforeAfter(study, speed, { before: "w0", after: "w6", value: "speed_mps" });
    expect([mph.unit, mps.unit]).toEqual(["mph", "m/s"]);
    expect(mps.before[0]! / mph.before[0]!).toBeCloseTo(0.44704, 12);
  });
});

describe("gripWithSpeed", () => {
  it("pairs a visit's grip with its speed, and names visits that have only one", () => {
    const both = gripWithSpeed(grip, speed, where);
    expect(both.n).toBe(new Set(both.participant.map((id, i) => `${id} ${both.occasion[i]}`)).size);
    expect(both.unmatched).toEqual([]);
    expect(both.n).toBe(74);
    const fewer = gripWithSpeed(
      grip,
      summariseSpeed(withoutParticipant(study, "003"), { rule: "mean" }),
      where,
    );
    expect(fewer.unmatched.map(({ participant, lacks }) => [participant, lacks])).toEqual([
      ["003", "speed"],
      ["003", "speed"],
      ["003", "speed"],
    ]);
  });

  it("refuses more than one row a visit", () => {
    expect(() => gripWithSpeed(grip, speed)).toThrow(InputError);
  });
});

describe("variants of a study", () => {
  it("withoutParticipant leaves one person out of every table", () => {
    const without = withoutParticipant(study, "003");
    for (const name of [
      "participants",
      "gripTrials",
      "swingTrials",
      "trainingLog",
      "allGripTrials",
    ] as const) {
      expect(new Set(without[name].array("participant")).has("003"), name).toBe(false);
      expect(without[name].totalRows(), name).toBeLessThan(study[name].totalRows());
    }
    expect(study.participants.totalRows()).toBe(26);
    expect(() => withoutParticipant(study, "nobody")).toThrow(InputError);
  });

  it("withSetAsides puts back what the set-aside file left out, and nothing else", () => {
    const back = withSetAsides(study);
    expect(back.gripTrials.totalRows()).toBe(study.gripTrials.totalRows() + 1);
    expect(back.swingTrials.totalRows()).toBe(study.swingTrials.totalRows());
    expect(back.setAside.length).toBe(study.setAside.length - 1);
    expect(back.gripTrials.columnNames()).toEqual(study.gripTrials.columnNames());
  });
});

describe("sourceOf", () => {
  it("counts the rows a number rests on, and those left out by reason", () => {
    const source = sourceOf(study, { trials: "grip" });
    const line = study.account.find(({ resource }) => resource === "grip-trials")!;
    expect(source).toMatchObject({
      files: ["winter-block/grip-trials.csv"],
      rowsUsed: line.used,
      setAside: line.setAside,
    });
    expect(source.participants.length).toBe(26);
  });

  it("can be narrowed to rows and people, and to both files", () => {
    const narrow = sourceOf(study, {
      trials: "grip",
      where: { ...where, occasion: ["w0", "w6"] },
      participant: ["001", "002"],
    });
    expect(narrow.rowsUsed).toBe(12);
    expect(narrow.participants).toEqual(["001", "002"]);
    const both = sourceOf(study, { trials: "both", where });
    expect(both.files.length).toBe(2);
    expect(both.rowsUsed).toBe(
      sourceOf(study, { trials: "grip", where }).rowsUsed +
        sourceOf(study, { trials: "swing" }).rowsUsed,
    );
  });
});

describe("smallCells", () => {
  it("warns of groups of fewer than five", () => {
    const { cells, warnings, fewerThan } = smallCells(inspect().study!);
    expect(fewerThan).toBe(5);
    expect(cells).toContainEqual({ shares: { sex: "female", age: "40 to 49" }, people: 1 });
    expect(warnings[0]).toMatch(
      /^One person with sex female, age 40 to 49: people in so small a group/,
    );
  });

  it("does not warn of five", () => {
    const five = Array.from({ length: 5 }, (_, i) => `p${i},grip,female,4${i},right`).join("\n");
    const one = inspect({
      participants: `${participants.split("\n")[0]}\n${five}\n`,
      gripTrials: gripTrials.split("\n")[0]!,
    }).study!;
    expect(smallCells(one).cells).toEqual([]);
  });
});
