import * as ss from "simple-statistics";
import { describe, expect, it } from "vitest";
import { allowance, judgeAnswer } from "../../lib/learn/answer.js";
import {
  answersOf,
  respond,
  solutionFor as solutionOfTask,
  taskId,
  taskIds,
} from "../../lib/learn/answers.js";
import { answer as answerExercise, exercise, learner } from "../../lib/learn/exercise.js";
import { learnerCode, practice } from "../../lib/learn/practice.js";
import type { Slip, Solution } from "../../lib/learn/solution.js";
import { englishReplies } from "../../lib/learn/words/english.js";
import { onDisplay } from "../../lib/show/display.js";
import { stepText } from "../../lib/show/worked-steps.js";
import { convert } from "../../lib/units/convert.js";
import { agrees } from "../reference/agree.js";

const solutionFor = (id: string, code: string) => solutionOfTask(taskId(id), code);
const first = { wrongBefore: 0, language: "en" } as const;
const judge = (answer: unknown, solution: Solution) =>
  judgeAnswer(answer, solution, englishReplies);

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
    agrees(value("within-own-slope"), own, { quantity: "own slope", ...rounding });
    agrees(value("within-mean-slope"), ss.mean(slopes), { quantity: "mean slope", ...rounding });
    agrees(value("within-shrunken"), all + weight * (ss.mean(speeds) - all), {
      quantity: "shrunken mean",
      ...rounding,
    });
  });
});

describe("what a learner is told", () => {
  it("right, for the answer rounded as asked, with or without its unit", () => {
    for (const id of taskIds) {
      for (const code of codes) {
        const { value, unit, digits } = solutionFor(id, code);
        const written = value.toFixed(digits);
        expect(respond(id, code, Number(written), first).verdict, `${id} ${code}`).toBe("right");
        expect(respond(id, code, `${written} ${unit}`, first).verdict, `${id} ${code}`).toBe(
          "right",
        );
      }
    }
  });

  it("the kind of every slip that lies apart from the answer", () => {
    const told = new Set<string>();
    for (const id of taskIds) {
      for (const code of codes) {
        const solution = solutionFor(id, code);
        for (const slip of solution.slips.filter((one) => isApart(one, solution))) {
          const judged = judge(slip.value, solution);
          expect(judged, `${id}, ${code}: ${slip.kind}`).toMatchObject({ slip: slip.kind });
          told.add(`${id}: ${slip.kind}`);
        }
      }
    }
    const all = taskIds.flatMap((id) =>
      solutionFor(id, "class").slips.map(({ kind }) => `${id}: ${kind}`),
    );
    // every slip of every exercise was met on somebody's golfers
    expect([...told].sort()).toEqual([...new Set(all)].sort());
  });

  it("unit, where the amount is right in another unit of the quantity", () => {
    const solution = solutionFor("change-error", "class");
    const newtons = convert(solution.value, "kgf", "N");
    expect(judge(newtons, solution)).toMatchObject({ verdict: "wrong", slip: "unit" });
    expect(judge(`${newtons.toFixed(2)} N`, solution).verdict).toBe("right");
    expect(judge(`${solution.value.toFixed(2)} mph`, solution).slip).toBe("unit");
  });

  it("sign, with a hyphen or a true minus", () => {
    const solution = solutionFor("line-slope", "class");
    const size = solution.value.toFixed(2);
    expect(judge(`-${size}`, solution).slip).toBe("sign");
    expect(judge(`−${size}`, solution).slip).toBe("sign");
    expect(judge(size.replace(".", ","), solution).verdict).toBe("right");
  });

  it("rounding, for a number that is nearly right", () => {
    const solution = solutionFor("within-shrunken", "class");
    expect(judge(solution.value + 0.2, { ...solution, slips: [] }).slip).toBe("rounding");
  });

  it("no answer, or that it cannot be read, and throws for nothing", () => {
    const solution = solutionFor("line-slope", "class");
    for (const nothing of [undefined, null, "", "  ", Number.NaN]) {
      expect(judge(nothing, solution).verdict).toBe("no answer");
    }
    const odd = [{}, [], true, 3n, Symbol("s"), Object.create(null), () => 1, "soon", Infinity];
    for (const answer of odd) expect(judge(answer, solution).verdict).toBe("not read");
    learner("class");
    for (const answer of odd) expect(answerExercise("line-slope", answer).verdict).toBe("not read");
  });

  it("a question, the idea, the recipe; the solution after two tries; the same answer is one try", () => {
    learner("class");
    exercise("line-slope");
    const { hints, steps } = solutionFor("line-slope", "class");
    const told = [99, 99, 98, 97].map((value) => answerExercise("line-slope", value));
    expect(told[0]!.says).toContain(hints.question);
    expect(told[1]!.says).toContain(hints.question);
    expect(told[1]!.steps).toBeUndefined();
    expect(told[2]!.says).toContain(hints.idea);
    expect(told[2]!.steps).toEqual(steps);
    expect(told[3]!.says).toContain(hints.recipe);
    learner("class");
    expect(answerExercise("line-slope", 98).says).toContain(hints.question);
  });

  it("the worked solution leads to the answer, with the learner's own numbers", () => {
    for (const id of taskIds) {
      for (const code of codes.slice(0, 10)) {
        const { value, digits, steps, meaning } = solutionFor(id, code);
        const written = value.toFixed(digits).replace("-", "−");
        expect(steps.join(" "), `${id} ${code}`).toContain(written);
        expect(`${steps.join(" ")} ${meaning}`).not.toMatch(/NaN|undefined|Infinity/);
        if (id !== "cards-left-out")
          expect(steps.map(stepText)).not.toEqual(solutionFor(id, "class").steps.map(stepText));
      }
    }
  });

  it("what the number means, after a right answer", () => {
    const { value, digits, meaning } = solutionFor("change-error", "class");
    const { says } = respond("change-error", "class", value.toFixed(digits), first);
    expect(says).toBe(`Right. ${meaning}`);
  });

  it("the kind of mistake before the sentence about it", () => {
    const { value } = solutionFor("change-percent", "class");
    expect(respond("change-percent", "class", value / 100, first).says).toMatch(
      /^Not yet: fraction\. That is a fraction: multiply it by 100\. Hint: /,
    );
  });

  it.each([
    ["2 84", /space inside/],
    ["2.84.1", /two decimal signs/],
    ["2,84,1", /two decimal signs/],
  ])("%j is a typing mistake and no unit", (typed, says) => {
    const judged = judge(typed, solutionFor("squeeze-typical-error", "class"));
    expect(judged).toMatchObject({ verdict: "not read", says: expect.stringMatching(says) });
  });

  it("a decimal comma without quotes in a cell", () => {
    learner("class");
    expect(answerExercise("line-slope", 1, 30)).toMatchObject({
      verdict: "not read",
      says: expect.stringContaining('"1,30" in quotes'),
    });
  });

  it("right so far, for one decimal where two are asked", () => {
    const solution = { ...solutionFor("squeeze-typical-error", "class"), value: 2.84, slips: [] };
    expect(judge("2.8", solution)).toMatchObject({ slip: "rounding", says: /.*/ });
    expect(judge("2.8", solution).says).toBe("Right so far; give 2 decimals.");
    expect(judge("2.7", solution).says).not.toContain("Right so far");
  });

  it("right so far, for a whole number near the answer, and rounding on the way to 2 %", () => {
    const solution = { ...solutionFor("change-percent", "class"), value: 7.42, slips: [] };
    expect(judge("7", solution).says).toBe("Right so far; give 1 decimal.");
    expect(judge("1", { ...solution, value: 0.6 }).says).not.toContain("Right so far");
    const larger = { ...solution, value: 34.36 };
    expect(judge("34.9", larger)).toMatchObject({ slip: "rounding" });
    expect(judge("35.4", larger).slip).toBeUndefined();
  });

  it("that the number is right and its unit is not", () => {
    const solution = solutionFor("squeeze-typical-error", "class");
    const { slip, says } = judge(`${solution.value.toFixed(2)} lb`, solution);
    expect(slip).toBe("unit");
    expect(says).toContain("The number is right in kgf; you wrote lb.");
  });

  it("a shared shift that the pooled SD of each golfer's squeezes still has", () => {
    const { first, second, third } = practice("squeezes", "class").columns;
    const own = first!.map(
      (value, i) => ss.sampleVariance([value, second![i]!, third![i]!]) as number,
    );
    const pooled = 1.959963984540054 * Math.SQRT2 * Math.sqrt(ss.mean(own) / 3);
    const { slips } = solutionFor("squeeze-detectable-change", "class");
    const kept = slips.find(({ kind }) => kind === "shared shift")!;
    agrees(kept.value, pooled, { quantity: "detectable change with the shift", ...rounding });
  });

  it("mph per kg where kg stands for kgf, and converts m/s per kgf", () => {
    const solution = solutionFor("line-slope", "class");
    const size = solution.value.toFixed(4);
    expect(judge(`${size} mph per kg`, solution).verdict).toBe("right");
    const metric = (solution.value * 0.44704).toFixed(5);
    expect(judge(`${metric} m/s per kgf`, solution).verdict).toBe("right");
    expect(judge(`${size} mph per mph`, solution).slip).toBe("unit");
  });

  it("in German and Spanish for lesson 1, in English where that is missing", () => {
    expect(learner("class", { language: "de" }).language).toBe("de");
    expect(exercise("squeeze-typical-error").prompt).toMatch(/^Nehmen Sie/);
    expect(exercise("line-slope").prompt).toMatch(/^What is/);
    expect(answerExercise("squeeze-typical-error", "x").says).toMatch(/keine Zahl/);
    learner("class", { language: "es" });
    expect(exercise("squeeze-typical-error").prompt).toMatch(/^Tome/);
    expect(() => learner("class", { language: "xx" })).toThrow("one of en, de, es");
    learner("class");
  });

  it("a teacher's own exercise, with its mistakes, hints and meaning", () => {
    learner("class");
    const made = exercise({
      id: "own-mean",
      question: "What is the mean of the first squeezes?",
      golfers: "squeezes",
      solution: ({ columns }) => ss.mean([...columns.first!]),
      unit: "kgf",
      digits: 1,
      slips: ({ columns }) => [
        { kind: "median", value: ss.median([...columns.first!]) + 20, says: "That is a median." },
      ],
      hints: ["Which column?", "A mean is a sum divided by n.", "Sum / 8."],
      meaning: (value) => `These golfers squeeze ${value.toFixed(1)} kgf.`,
    });
    expect(made).toMatchObject({ id: "own-mean", own: true, unit: "kgf" });
    const first = practice("squeezes", "class").columns.first!;
    expect(answerExercise("own-mean", ss.mean([...first]).toFixed(1)).says).toMatch(
      /^Right\. These/,
    );
    expect(answerExercise("own-mean", ss.median([...first]) + 20)).toMatchObject({
      slip: "median",
    });
    expect(() => exercise({ ...made, id: "line-slope" } as never)).toThrow(
      /no exercise of the lessons/,
    );
  });

  it("never the answer itself, in what is shown before it is given", () => {
    const shown: string[] = [];
    const restore = onDisplay(({ data }) => shown.push(JSON.stringify(data)));
    learner("otter");
    exercise("change-error");
    answerExercise("change-error");
    answerExercise("change-error", 99);
    restore();
    const { value, digits } = solutionFor("change-error", "otter");
    expect(shown).toHaveLength(4);
    expect(shown.join("\n")).not.toContain(value.toFixed(digits));
  });
});

describe("students' golfers", () => {
  it("are the same for the same code however it is written, and others for another", () => {
    expect(practice("block", "  Blue  HERON ")).toEqual(practice("block", "blue heron"));
    expect(learnerCode("ＡＮＮ")).toBe("ann"); // full-width letters of some keyboards
    for (const id of taskIds.filter((one) => one !== "cards-left-out")) {
      const answers = codes.map((code) => {
        const { value, digits } = solutionFor(id, code);
        return value.toFixed(digits);
      });
      expect(new Set(answers).size, id).toBeGreaterThan(25);
    }
  });

  it("are golfers that there can be: 20 to 70 kgf, a rising line, an effect above zero", () => {
    for (const code of ["heron", ...codes]) {
      const forces = (["squeezes", "golfers", "block", "visits"] as const).flatMap((set) => {
        const { columns } = practice(set, code);
        const names = ["first", "second", "third", "grip", "before", "after"];
        return names.flatMap((name) => [...(columns[name] ?? [])]);
      });
      expect(Math.min(...forces), code).toBeGreaterThanOrEqual(20);
      expect(Math.max(...forces), code).toBeLessThanOrEqual(70);
      expect(solutionFor("line-slope", code).value, code).toBeGreaterThan(0);
      expect(solutionFor("change-beyond-control", code).value, code).toBeGreaterThan(0);
    }
  });

  it("refuse a code that is empty or endless", () => {
    expect(() => practice("block", " ")).toThrow("a code of 1 to 60 characters");
    expect(() => practice("block", "x".repeat(61))).toThrow("a code of 1 to 60 characters");
    expect(() => practice("squad" as never, "class")).toThrow("one of squeezes");
    expect(learner("  ").code).toBe("class");
  });

  it("have opposite slopes within and between golfers, for every code", () => {
    for (const code of codes) {
      const { golfer, columns } = practice("visits", code);
      const names = [...new Set(golfer)];
      const meanOf = (column: readonly number[], name: string) =>
        ss.mean(column.filter((_, i) => golfer[i] === name));
      const pairs = names.map((name) => [
        meanOf(columns.grip!, name),
        meanOf(columns.speed!, name),
      ]);
      const between = ss.linearRegression(pairs).m;
      expect(Math.sign(between), code).toBe(
        -Math.sign(solutionFor("within-mean-slope", code).value),
      );
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
      expect(respond(id, "class", answer, first).verdict).toBe("right");
    }
  });
});
