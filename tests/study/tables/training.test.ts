import { describe, expect, it } from "vitest";
import { openStudy, readStudy } from "../../../lib/study/open.js";
import { winterBlock } from "../../../lib/study/simulate/demo.js";
import { inventStudy } from "../../../lib/study/simulate/simulate.js";
import { summariseTraining, type TrainingSummary } from "../../../lib/study/tables/training.js";
import { withoutParticipant } from "../../../lib/study/tables/variants.js";

const study = openStudy("winter-block");

function balanced({ rows, used, setAside, people }: TrainingSummary): void {
  expect(used + setAside.reduce((sum, one) => sum + one.rows, 0)).toBe(rows);
  expect(people.reduce((sum, { planned }) => sum + planned, 0)).toBe(used);
  for (const { planned, completed, missed } of people)
    expect(completed + missed.reduce((sum, one) => sum + one.sessions, 0)).toBe(planned);
}

/** A study whose log is written out below. */
function logged(lines: string[]) {
  const { files } = inventStudy(winterBlock);
  const log = ["participant,date,minutes,completed,discomfort,note", ...lines].join("\n");
  const texts = Object.entries({ ...files, "training-log.csv": log });
  const bytes = new Map(texts.map(([name, text]) => [name, new TextEncoder().encode(text)]));
  return readStudy({ name: "logged", files: bytes, faults: [] }).study!;
}

describe("summariseTraining", () => {
  it("counts the file's own lines: sessions, minutes, reasons", () => {
    const summary = summariseTraining(study);
    balanced(summary);
    const rows = study.trainingLog.objects() as Record<string, unknown>[];
    for (const person of summary.people) {
      const own = rows.filter(({ participant }) => participant === person.participant);
      const done = own.filter(({ completed }) => completed === "yes");
      expect(person.planned).toBe(own.length);
      expect(person.completed).toBe(done.length);
      expect(person.minutes).toBe(done.reduce((sum, { minutes }) => sum + Number(minutes), 0));
      for (const { reason, sessions } of person.missed)
        expect(
          own.filter(({ completed, note }) => completed === "no" && note === reason),
        ).toHaveLength(sessions);
    }
    expect(summary.warnings).toEqual([]);
  });

  it("counts by hand in a log of seven lines, one of them unusable", () => {
    const small = logged([
      "001,2025-01-10,15,yes,none,",
      "001,2025-01-12,,yes,mild,",
      "001,2025-01-14,0,no,,ill",
      "001,2025-01-16,0,no,,",
      "002,2025-01-10,12,yes,stop,",
      "999,2025-01-10,12,yes,none,",
      "016,2025-01-10,12,yes,none,",
    ]);
    const summary = summariseTraining(small);
    balanced(summary);
    expect([summary.rows, summary.used]).toEqual([7, 6]);
    expect(summary.setAside).toEqual([{ reason: "participant unknown", rows: 1 }]);
    const [first, second] = summary.people;
    expect(first).toMatchObject({
      participant: "001",
      arm: "grip",
      planned: 4,
      completed: 2,
      share: 0.5,
      minutes: 15,
      minutesMissing: 1,
      missed: [
        { reason: "ill", sessions: 1 },
        { reason: "no reason noted", sessions: 1 },
      ],
      mild: 1,
      stopped: 0,
    });
    expect(second).toMatchObject({ completed: 1, stopped: 1 });
    expect(summary.people.find(({ participant }) => participant === "016")!.left).toBe(
      "moved away",
    );
    expect(summary.people[2]).not.toHaveProperty("share");
    expect(summary.warnings[0]).toContain("1 completed sessions have no minutes");
    expect(summary.warnings[1]).toContain("No session is logged for 003");
  });

  it("counts only sessions between a person's own two tests, the day of the last test not", () => {
    const days = (occasion: string) => {
      const rows = study.gripTrials.objects();
      return rows.find((r) => r.participant === "001" && r.occasion === occasion)!.date!;
    };
    const [first, last] = [days("w0"), days("w6")];
    const before = new Date(Date.parse(first) - 86_400_000).toISOString().slice(0, 10);
    const inner = logged(
      [before, first, "2025-01-20", last].map((day) => `001,${day},15,yes,none,`),
    );
    const summary = summariseTraining(inner, { between: { from: "w0", until: "w6" } });
    balanced(summary);
    expect(summary.people[0]!.completed).toBe(2);
    expect(summary.setAside).toEqual([
      { reason: "before the first test", rows: 1 },
      { reason: "on or after the last test", rows: 1 },
    ]);
    balanced(summariseTraining(study, { between: { from: "w0", until: "w6" } }));
  });

  it("still accounts for every row when a participant is left out", () => {
    const less = summariseTraining(withoutParticipant(study, "001"));
    balanced(less);
    expect(less.rows).toBe(summariseTraining(study).rows);
    expect(less.setAside).toEqual([{ reason: "participant left out of this analysis", rows: 18 }]);
  });

  it("refuses unknown occasions and the wrong order", () => {
    const between = (from: string, until: string) => () =>
      summariseTraining(study, { between: { from, until } });
    expect(between("w0", "w9")).toThrow(/an occasion of the design/);
    expect(between("w6", "w0")).toThrow(/the earlier first/);
  });
});
