import { afterEach, beforeEach, describe, expect, it } from "vitest";
import { InputError } from "../../lib/errors.js";
import { answersOf, exerciseKeys, solutionFor } from "../../lib/learn/answers.js";
import { exercise, student } from "../../lib/learn/exercise.js";
import { practice, practiceSets, studentCode } from "../../lib/learn/practice.js";
import { onDisplay } from "../../lib/show/display.js";
import { average, blockArm, byHand, slopeOf, spread } from "./by-hand.js";

const codes = Array.from({ length: 40 }, (_, i) => `student ${i + 1}`);
const ids = exerciseKeys.map(({ id }) => id);
const shown: string[] = [];
let stop = () => {};

beforeEach(() => {
  shown.length = 0;
  stop = onDisplay(({ data }) => shown.push(String(data["text/plain"])));
  student("heron");
});
afterEach(() => stop());

describe("answers of the exercises", () => {
  it.each(ids)("%s is what plain arithmetic gives, for forty students", (id) => {
    for (const code of codes) {
      const { value, digits } = solutionFor(id, code);
      expect(Math.abs(value - byHand[id]!(code)), code).toBeLessThan(1e-6);
      expect(digits).toBeGreaterThanOrEqual(1);
    }
  });

  it.each(ids)("%s: the answer by hand, rounded as asked, is right", (id) => {
    for (const code of codes.slice(0, 10)) {
      student(code);
      const { digits } = solutionFor(id, code);
      const answer = byHand[id]!(code).toFixed(digits);
      expect(exercise.check(id, Number(answer)).verdict, code).toBe("right");
      expect(exercise.check(id, answer.replace(".", ",")).verdict, code).toBe("right");
    }
  });

  it("has three exercises for each of five lessons, and says the same in the teacher's list", () => {
    const lessons = new Map<string, number>();
    for (const { lesson } of exerciseKeys) lessons.set(lesson, (lessons.get(lesson) ?? 0) + 1);
    expect([...lessons.values()]).toEqual([3, 3, 3, 3, 3]);
    const lines = answersOf(" Student  7 ");
    expect(lines.map(({ exercise: id }) => id)).toEqual(ids);
    for (const { exercise: id, answer, digits, student: code } of lines) {
      expect(code).toBe("student 7");
      expect(answer).toBe(Number(byHand[id]!("student 7").toFixed(digits)));
    }
  });

  it.each(ids)("%s differs between students", (id) => {
    const answers = new Set(codes.map((code) => solutionFor(id, code).value.toFixed(2)));
    // being left out depends on the number of golfers alone, which is 6 to 10
    expect(answers.size).toBeGreaterThanOrEqual(id === "cards-left-out" ? 5 : 25);
  });
});

describe("golfers of a student", () => {
  it("are the same for one code, however it is typed, and others for another", () => {
    for (const set of practiceSets) {
      expect(practice(set, "  BLUE   heron ")).toEqual(practice(set, "blue heron"));
      expect(practice(set, "blue heron").columns).not.toEqual(practice(set, "red heron").columns);
    }
  });

  it("need a code and a set that exist", () => {
    expect(() => studentCode("   ")).toThrow(InputError);
    expect(() => studentCode("x".repeat(61))).toThrow(InputError);
    expect(() => practice("birds" as never, "heron")).toThrow(InputError);
  });
});

describe("kinds of wrong", () => {
  const wrong = (id: string, answer: unknown) => {
    const { verdict, slip, says } = exercise.check(id, answer);
    return { verdict, slip, says };
  };

  it("knows a spread with n below the line", () => {
    const { changes } = blockArm("heron", 1);
    const told = wrong("change-error", spread(changes, 0) / 3);
    expect(told).toMatchObject({ verdict: "wrong", slip: "n − 1" });
    const { change } = practice("cards", "heron").columns;
    const other = wrong("cards-error", spread(change!, 1) / Math.sqrt(change!.length));
    expect(other).toMatchObject({ verdict: "wrong", slip: "n − 1" });
  });

  it("knows a sign", () => {
    expect(wrong("crowd-own-slope", -byHand["crowd-own-slope"]!("heron")).slip).toBe("sign");
    expect(wrong("change-percent", -byHand["change-percent"]!("heron")).slip).toBe("sign");
  });

  it("knows percent of what, and a fraction", () => {
    const { before, after, changes } = blockArm("heron", 1);
    const gain = 100 * average(changes);
    expect(wrong("change-percent", gain / average(after)).slip).toBe("percent of what");
    const whole = (100 * average(after)) / average(before);
    expect(wrong("change-percent", whole).slip).toBe("percent of what");
    expect(wrong("change-percent", average(changes) / average(before)).slip).toBe("fraction");
  });

  it("knows another unit, written or not, and converts one that fits", () => {
    const right = byHand["change-beyond-control"]!("heron");
    const newtons = right * 9.80665; // standard gravity, exact
    expect(wrong("change-beyond-control", newtons).slip).toBe("unit");
    expect(exercise.check("change-beyond-control", `${newtons} N`).verdict).toBe("right");
    expect(wrong("change-beyond-control", `${right} mph`).slip).toBe("unit");
    expect(wrong("change-beyond-control", `${right} furlongs`).slip).toBe("unit");
    expect(exercise.check("line-slope", `${byHand["line-slope"]!("heron")} mph/kgf`).verdict).toBe(
      "right",
    );
  });

  it("knows x and y exchanged, and the crowd taken for a golfer", () => {
    const { grip, speed } = practice("golfers", "heron").columns;
    expect(wrong("line-slope", slopeOf(speed!, grip!)).slip).toBe("x and y");
    const { columns } = practice("visits", "heron");
    const all = slopeOf(columns.grip!, columns.speed!);
    expect(wrong("crowd-own-slope", all).slip).toBe("crowd, not golfer");
  });

  it("says so when no known slip leads there", () => {
    expect(wrong("change-error", 77).slip).toBe("not known");
  });

  it.each(ids)("%s: every known slip is told as one, unless its number is an answer too", (id) => {
    for (const code of codes) {
      student(code);
      const { value, digits, slips } = solutionFor(id, code);
      const kinds = new Set(slips.map(({ kind }) => kind));
      for (const { kind, value: slipped } of slips) {
        if (Math.abs(slipped - value) <= 2 * 10 ** -digits) continue;
        const told = exercise.check(id, slipped);
        expect(told.verdict, `${code}: ${kind}`).toBe("wrong");
        expect([...kinds, "sign", "unit", "percent"], `${code}: ${kind}`).toContain(told.slip);
      }
    }
  });
});

describe("tries", () => {
  it("give a hint from the second wrong answer on, and begin anew with the prompt", () => {
    const { hint } = solutionFor("change-error", "heron");
    exercise("change-error", "What is the standard error?");
    expect(exercise.check("change-error", 70).says).not.toContain(hint);
    expect(exercise.check("change-error", 70).says, "the same cell again").not.toContain(hint);
    expect(exercise.check("change-error", 71).says).toContain(hint);
    expect(exercise.check("change-error", 72).says).toContain(hint);
    exercise("change-error", "What is the standard error?");
    expect(exercise.check("change-error", 73).says).not.toContain(hint);
  });

  it("count for one exercise only, and not for what was no answer", () => {
    exercise.check("change-error", 70);
    expect(exercise.check("change-percent", 700).says).not.toContain("Hint");
    student("wren");
    exercise.check("change-error", undefined);
    exercise.check("change-error", "about two");
    expect(exercise.check("change-error", 70).says).not.toContain("Hint");
  });

  it("are not used up by a worked solution", () => {
    expect(exercise.worked("change-error", 70).verdict).toBe("wrong");
    expect(exercise.check("change-error", 71).says).not.toContain("Hint");
    expect(exercise.worked("change-error", byHand["change-error"]!("heron")).verdict).toBe("right");
  });
});

describe("an answer that is none", () => {
  const missing = [undefined, null, "", "   ", Number.NaN];
  const unread = [
    "no idea",
    Number.POSITIVE_INFINITY,
    {},
    [],
    [1.4],
    true,
    12n,
    Symbol("answer"),
    () => 1,
    new Date(0),
    Object.create(null),
  ];

  it("is told, never thrown", () => {
    for (const id of ids) {
      for (const answer of missing) expect(exercise.check(id, answer).verdict).toBe("no answer");
      for (const answer of unread) expect(exercise.check(id, answer).verdict).toBe("not read");
      expect(exercise.worked(id, Object.create(null)).verdict).toBe("not read");
      expect(exercise.check(id).says).toBe("No answer yet.");
    }
  });

  it("shows one sentence each time", () => {
    shown.length = 0;
    exercise.check("change-error", "no idea");
    expect(shown).toEqual(['The answer is not a number: write 1.4 or "1.4 kgf".']);
  });

  it("is an error only where no lesson has the exercise", () => {
    expect(() => exercise.check("no-such", 1)).toThrow(InputError);
  });
});
