import * as ss from "simple-statistics";
import { describe, expect, it } from "vitest";
import { allowance, judgeAnswer } from "../../lib/learn/answer.js";
import { answersOf, exerciseKeys, respond, solutionFor } from "../../lib/learn/answers.js";
import {
  answer as answerExercise,
  answerText,
  exercise,
  learner,
} from "../../lib/learn/exercise.js";
import { learnerCode, practice } from "../../lib/learn/practice.js";
import type { Slip, Solution } from "../../lib/learn/solution.js";
import { onDisplay } from "../../lib/show/display.js";
import { convert } from "../../lib/units/convert.js";
import { agrees } from "../reference/agree.js";

const codes = Array.from({ length: 60 }, (_, i) => `student ${i}`);
const rounding = { rel: 1e-9, why: "the same arithmetic in doubles" };

/** Values so near the right one, or one another, that a rounded answer cannot tell them apart. */
function isApart(slip: Slip, solution: Solution): boolean {
  const others = [
    solution.value,
    ...(slip.kind === "sign" ? [] : [-solution.value]),
    ...solution.slips.filter((one) => one !== slip).map(({ value }) => value),
  ];
  return others.every((value) => Math.abs(value - slip.value) > 3 * allowance(solution));
}

describe("answers, against arithmetic of their own", () => {
  const squeezes = practice("squeezes", "class");
  const { first, second, third } = squeezes.columns as Record<string, number[]>;
  const differences = first!.map((value, i) => second![i]! - value);

  it("typical error is SD (n − 1) of the differences over √2", () => {
    const expected = ss.sampleStandardDeviation(differences) / Math.SQRT2;
    const { value } = solutionFor("squeeze-typical-error", "class");
    agrees(value, expected, { quantity: "typical error", ...rounding });
  });

  it("detectable change comes from the error mean square of golfers by squeezes", () => {
    const rows = first!.map((value, i) => [value, second![i]!, third![i]!]);
    const all = ss.mean(rows.flat());
    const columns = [first!, second!, third!].map((column) => ss.mean(column));
    const squares = rows.flatMap((row) =>
      row.map((value, j) => (value - ss.mean(row) - columns[j]! + all) ** 2),
    );
    const error = Math.sqrt(ss.sum(squares) / ((rows.length - 1) * 2));
    const expected = (1.959963984540054 * Math.SQRT2 * error) / Math.sqrt(3);
    const { value } = solutionFor("squeeze-detectable-change", "class");
    agrees(value, expected, { quantity: "MDC95 of a mean of three", ...rounding });
  });

  it("the slope is that of simple-statistics", () => {
    const { columns } = practice("golfers", "class");
    const pairs = columns.grip!.map((grip, i) => [grip, columns.speed![i]!]);
    const { m, b } = ss.linearRegression(pairs);
    agrees(solutionFor("line-slope", "class").value, m, { quantity: "slope", ...rounding });
    const residual = pairs[2]![1]! - (b + m * pairs[2]![0]!);
    agrees(solutionFor("line-residual", "class").value, residual, {
      quantity: "residual",
      rel: 1e-8,
      why: "a small difference of two speeds near 100",
    });
  });

  it("percent, standard error and difference of changes", () => {
    const { before, after } = practice("block", "class").columns as Record<string, number[]>;
    const changes = after!.map((value, i) => value - before![i]!);
    const trained = changes.slice(0, 9);
    const percent = (100 * ss.mean(trained)) / ss.mean(before!.slice(0, 9));
    const error = ss.sampleStandardDeviation(trained) / 3;
    const beyond = ss.mean(trained) - ss.mean(changes.slice(9));
    const answers = ["change-percent", "change-error", "change-beyond-control"].map(
      (id) => solutionFor(id, "class").value,
    );
    agrees(answers[0]!, percent, { quantity: "percent", ...rounding });
    agrees(answers[1]!, error, { quantity: "standard error", ...rounding });
    agrees(answers[2]!, beyond, { quantity: "difference", ...rounding });
  });

  it("the bootstrap's own standard error has n below the line", () => {
    const { change } = practice("cards", "class").columns;
    const expected = ss.standardDeviation([...change!]) / Math.sqrt(change!.length);
    agrees(solutionFor("cards-error", "class").value, expected, {
      quantity: "bootstrap standard error",
      ...rounding,
    });
  });

  it("a golfer is left out of 6 draws from 6 with chance (5/6)⁶ = 33.49 %", () => {
    const six = codes.find((code) => practice("cards", code).golfer.length === 6)!;
    agrees(solutionFor("cards-left-out", six).value, 33.489797, {
      quantity: "chance",
      rel: 1e-7,
      why: "eight printed digits of 15625/46656",
    });
  });

  it("the 90 % percentile interval of 39 means begins with the second", () => {
    const { given } = practice("cards", "class");
    expect(solutionFor("cards-limit", "class").value).toBe(given.mean2);
  });

  it("own slopes, their mean, and the shrunken mean", () => {
    const { golfer, columns, given } = practice("visits", "class");
    const rowsOf = (name: string) => golfer.flatMap((one, i) => (one === name ? [i] : []));
    const names = [...new Set(golfer)];
    const slopes = names.map((name) => {
      const pairs = rowsOf(name).map((i) => [columns.grip![i]!, columns.speed![i]!]);
      return ss.linearRegression(pairs).m;
    });
    const own = slopes[given.pick! - 1]!;
    const speeds = rowsOf(names[given.pick! - 1]!).map((i) => columns.speed![i]!);
    const weight = given.between! ** 2 / (given.between! ** 2 + given.within! ** 2 / 4);
    const all = ss.mean([...columns.speed!]);
    const value = (id: string) => solutionFor(id, "class").value;
    agrees(value("crowd-own-slope"), own, { quantity: "own slope", ...rounding });
    agrees(value("crowd-mean-slope"), ss.mean(slopes), { quantity: "mean slope", ...rounding });
    agrees(value("crowd-shrunken"), all + weight * (ss.mean(speeds) - all), {
      quantity: "shrunken mean",
      ...rounding,
    });
  });
});

describe("what a learner is told", () => {
  it("right, for the answer rounded as asked, with or without its unit", () => {
    for (const { id } of exerciseKeys) {
      for (const code of codes) {
        const { value, unit, digits } = solutionFor(id, code);
        const written = value.toFixed(digits);
        expect(respond(id, code, Number(written), 0).verdict, `${id} ${code}`).toBe("right");
        expect(respond(id, code, `${written} ${unit}`, 0).verdict, `${id} ${code}`).toBe("right");
      }
    }
  });

  it("the kind of every slip that lies apart from the answer", () => {
    const told = new Set<string>();
    for (const { id } of exerciseKeys) {
      for (const code of codes) {
        const solution = solutionFor(id, code);
        for (const slip of solution.slips.filter((one) => isApart(one, solution))) {
          const judged = judgeAnswer(slip.value, solution);
          expect(judged, `${id}, ${code}: ${slip.kind}`).toMatchObject({ slip: slip.kind });
          told.add(`${id}: ${slip.kind}`);
        }
      }
    }
    const all = exerciseKeys.flatMap(({ id }) =>
      solutionFor(id, "class").slips.map(({ kind }) => `${id}: ${kind}`),
    );
    // every slip of every exercise was met on somebody's golfers
    expect([...told].sort()).toEqual([...new Set(all)].sort());
  });

  it("unit, where the amount is right in another unit of the quantity", () => {
    const solution = solutionFor("change-error", "class");
    const newtons = convert(solution.value, "kgf", "N");
    expect(judgeAnswer(newtons, solution)).toMatchObject({ verdict: "wrong", slip: "unit" });
    expect(judgeAnswer(`${newtons.toFixed(2)} N`, solution).verdict).toBe("right");
    expect(judgeAnswer(`${solution.value.toFixed(2)} mph`, solution).slip).toBe("unit");
  });

  it("sign, with a hyphen or a true minus", () => {
    const solution = solutionFor("line-slope", "class");
    const size = solution.value.toFixed(2);
    expect(judgeAnswer(`-${size}`, solution).slip).toBe("sign");
    expect(judgeAnswer(`−${size}`, solution).slip).toBe("sign");
    expect(judgeAnswer(size.replace(".", ","), solution).verdict).toBe("right");
  });

  it("rounding, for a number that is nearly right", () => {
    const solution = solutionFor("crowd-shrunken", "class");
    expect(judgeAnswer(solution.value + 0.2, { ...solution, slips: [] }).slip).toBe("rounding");
  });

  it("no answer, or that it cannot be read, and throws for nothing", () => {
    const solution = solutionFor("line-slope", "class");
    for (const nothing of [undefined, null, "", "  ", Number.NaN]) {
      expect(judgeAnswer(nothing, solution).verdict).toBe("no answer");
    }
    const odd = [{}, [], true, 3n, Symbol("s"), Object.create(null), () => 1, "soon", Infinity];
    for (const answer of odd) expect(judgeAnswer(answer, solution).verdict).toBe("not read");
    learner("class");
    for (const answer of odd) expect(answerExercise("line-slope", answer).verdict).toBe("not read");
  });

  it("a hint from the second wrong answer on; the same answer twice is one try", () => {
    learner("class");
    exercise("line-slope", "What is the slope?");
    const hint = solutionFor("line-slope", "class").hint;
    expect(answerExercise("line-slope", 99).says).not.toContain(hint);
    expect(answerExercise("line-slope", 99).says).not.toContain(hint);
    expect(answerExercise("line-slope", 98).says).toContain(hint);
    expect(answerExercise("line-slope", 99).says).toContain(hint);
    learner("class");
    expect(answerExercise("line-slope", 98).says).not.toContain(hint);
  });

  it("names the kind of wrong before the sentence about it", () => {
    const { value } = solutionFor("change-percent", "class");
    const judged = respond("change-percent", "class", value / 100, 0);
    expect(answerText(judged)).toBe(
      "Not yet: fraction. That is a fraction: times 100 it is a percentage.",
    );
  });

  it("never the answer itself, in what is shown before it is given", () => {
    const shown: string[] = [];
    const restore = onDisplay(({ data }) => shown.push(JSON.stringify(data)));
    learner("otter");
    exercise("change-error", "What is the standard error?");
    answerExercise("change-error");
    answerExercise("change-error", 99);
    answerExercise("change-error", 98);
    restore();
    const { value, digits } = solutionFor("change-error", "otter");
    expect(shown).toHaveLength(5);
    expect(shown.join("\n")).not.toContain(value.toFixed(digits));
  });
});

describe("students' golfers", () => {
  it("are the same for the same code however it is written, and others for another", () => {
    expect(practice("block", "  Blue  HERON ")).toEqual(practice("block", "blue heron"));
    expect(learnerCode("ＡＮＮ")).toBe("ann"); // full-width letters of some keyboards
    for (const { id } of exerciseKeys.filter((key) => key.id !== "cards-left-out")) {
      const answers = codes.map((code) => {
        const { value, digits } = solutionFor(id, code);
        return value.toFixed(digits);
      });
      expect(new Set(answers).size, id).toBeGreaterThan(25);
    }
  });

  it("refuse a code that is empty or endless", () => {
    expect(() => practice("block", " ")).toThrow("a code of 1 to 60 characters");
    expect(() => practice("block", "x".repeat(61))).toThrow("a code of 1 to 60 characters");
    expect(() => practice("squad" as never, "class")).toThrow("one of squeezes");
    expect(learner("  ").code).toBe("class");
  });

  it("slope the other way within golfers than across the crowd", () => {
    for (const code of codes) {
      const { golfer, columns } = practice("visits", code);
      const pairs = golfer.map((_, i) => [columns.grip![i]!, columns.speed![i]!]);
      const crowd = ss.linearRegression(pairs).m;
      expect(Math.sign(crowd), code).toBe(-Math.sign(solutionFor("crowd-mean-slope", code).value));
    }
  });
});

describe("the teacher's list", () => {
  it("has three exercises for each of five lessons, rounded as asked", () => {
    const lines = answersOf("class");
    const lessons = new Map<string, number>();
    for (const { lesson } of lines) lessons.set(lesson, (lessons.get(lesson) ?? 0) + 1);
    expect([...lessons.values()]).toEqual([3, 3, 3, 3, 3]);
    for (const { exercise: id, answer, digits } of lines) {
      const { value } = solutionFor(id, "class");
      expect(answer).toBe(Number(value.toFixed(digits)));
      expect(respond(id, "class", answer, 0).verdict).toBe("right");
    }
  });
});
