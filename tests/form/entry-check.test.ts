import { describe, expect, it } from "vitest";
import { isRising, questionsAbout } from "../../lib/form/entry-check.js";
import type { FormRow } from "../../lib/form/form-content.js";
import { restLeft, tasksOf } from "../../lib/form/test-steps.js";
import { contentOf } from "./content.js";

const content = contentOf("winter-block");
const nothing = { "grip-trials": [], "swing-trials": [] };
const grip = (fields: FormRow = {}): FormRow => ({
  participant: "001",
  occasion: "w0",
  date: "2025-01-08",
  time: "10:30:00",
  hand: "left",
  position: "seated",
  handle_mm: "49",
  device: "D1",
  trial: "1",
  force: "25",
  unit: "kgf",
  status: "valid",
  note: "",
  ...fields,
});
const codesOf = (row: FormRow, before: FormRow[] = []) =>
  questionsAbout(content, {
    file: "grip-trials",
    row,
    before: { ...nothing, "grip-trials": before },
  }).map(({ code }) => code);

describe("questions at entry", () => {
  it("asks nothing about a usual value", () => {
    expect(codesOf(grip())).toEqual([]);
  });

  it.each([
    ["245", "implausible"],
    ["1", "implausible"],
  ])("asks about %s kgf", (force, code) => {
    expect(codesOf(grip({ force }))).toContain(code);
  });

  it("asks about a value that would fit in another unit", () => {
    const before = ["1", "2", "3"].map((trial) => grip({ trial, force: "25", hand: "right" }));
    expect(codesOf(grip({ force: "56" }), before)).toContain("unit-mix-up");
  });

  it("asks about a value far from the golfer's other trials, also when these are few", () => {
    const before = [grip({ trial: "1", force: "25" }), grip({ trial: "2", force: "26" })];
    expect(codesOf(grip({ trial: "3", force: "31.5" }), before)).toEqual(["far-from-others"]);
    expect(codesOf(grip({ trial: "3", force: "30" }), before)).toEqual([]);
  });

  it("uses the check's rule for outlying trials from five trials on", () => {
    const before = ["1", "2", "3", "4"].map((trial) => grip({ trial, force: "25" }));
    expect(codesOf(grip({ trial: "5", force: "32" }), before)).toContain("trial-outlying");
  });

  it("asks about hands that changed sides since an earlier visit", () => {
    const visit = (occasion: string, date: string, left: string, right: string) =>
      ["1", "2", "3"].flatMap((trial) =>
        ["address", "seated", "top"].flatMap((position) => [
          grip({ occasion, date, position, trial, hand: "left", force: left }),
          grip({ occasion, date, position, trial, hand: "right", force: right }),
        ]),
      );
    const before = visit("w0", "2025-01-08", "25", "32");
    const asked = visit("w3", "2025-01-29", "32", "25").map((row) => {
      const codes = codesOf(row, before);
      before.push(row);
      return codes.includes("side-doubt");
    });
    expect(asked.filter((one) => one)).toHaveLength(1);
  });

  it("must have a handle setting that is a number", () => {
    const [question] = questionsAbout(content, {
      file: "grip-trials",
      row: grip({ handle_mm: "wide" }),
      before: nothing,
    });
    expect(question).toMatchObject({ code: "not-a-number", mustChange: true });
  });

  it("asks once: what was kept before is not asked about again", () => {
    const before = [grip({ trial: "1", force: "1" })];
    expect(codesOf(grip({ trial: "2", force: "25" }), before)).not.toContain("implausible");
  });

  it("offers one more trial when the last planned one is the highest by more than 5 %", () => {
    const [task] = tasksOf(content, "001", "w0").filter(
      ({ row }) => row.hand === "left" && row.position === "seated",
    );
    const done = (values: string[]) =>
      values.map((force, i) => grip({ trial: String(i + 1), force }));
    expect(isRising(task!, done(["25", "26", "28"]), { planned: 3 })).toBe(true);
    expect(isRising(task!, done(["25", "26", "27"]), { planned: 3 })).toBe(false);
    expect(isRising(task!, done(["25", "28"]), { planned: 3 })).toBe(false);
    expect(isRising(task!, done(["25", "26", "28", "31", "34"]), { planned: 3 })).toBe(false);
  });
});

describe("the order and rest of a test", () => {
  it("has the trials of the design, each once, hands in turn", () => {
    const tasks = tasksOf(content, "001", "w0");
    const squeezes = tasks.filter(({ file }) => file === "grip-trials");
    expect(squeezes).toHaveLength(18);
    expect(tasks).toHaveLength(26);
    expect(new Set(squeezes.map(({ row }) => JSON.stringify(row))).size).toBe(18);
    expect(squeezes[0]!.row.hand).not.toBe(squeezes[1]!.row.hand);
  });

  it("counts the rest of one hand by the clock, and asks for all of it after a clock was set back", () => {
    const task = tasksOf(content, "001", "w0").find(({ row }) => row.hand === "left")!;
    const last = {
      entry: 1,
      at: "2025-01-08T10:30:00+01:00",
      file: "grip-trials" as const,
      row: grip(),
      earlier: [],
    };
    const rest = (now: string) => restLeft(task, [last], { now, restSeconds: 60 });
    expect(rest("2025-01-08T10:30:15+01:00")).toBe(45);
    expect(rest("2025-01-08T10:31:00+01:00")).toBe(0);
    expect(rest("2025-01-08T09:00:00+01:00")).toBe(60);
    expect(rest("2025-01-08T09:30:30+00:00")).toBe(30);
  });
});

describe("what a form carries", () => {
  it("has codes and playing sides, and nothing else of the golfers", () => {
    const text = JSON.stringify(content.people);
    expect(Object.keys(content.people[0]!).sort()).toEqual(["participant", "plays"]);
    expect(text).not.toMatch(/handicap|age_years|mass_kg|arm/);
    expect(content.earlier).toEqual({});
  });

  it("carries earlier trials only when asked, without notes", () => {
    const { earlier } = contentOf("winter-block", { withEarlier: true, occasion: "w6" });
    const rows = earlier["grip-trials"]!;
    expect(rows.length).toBeGreaterThan(300);
    expect(new Set(rows.map(({ occasion }) => occasion))).toEqual(new Set(["w0", "w3"]));
    expect(rows.every(({ note, hand }) => note === "" && /^(left|right)$/.test(hand!))).toBe(true);
  });
});
