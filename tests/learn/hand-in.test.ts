import { describe, expect, it } from "vitest";
import { answersOf } from "../../lib/learn/answers.js";
import { handedIn, readHandedIn } from "../../lib/learn/hand-in.js";
import { marksOf } from "../../lib/learn/marks.js";

const right = (code: string, exercise: string) => {
  const line = answersOf(code).find((one) => one.exercise === exercise)!;
  return line.answer.toFixed(line.digits);
};
const workOf = (code: string) => [
  {
    exercise: "line-slope",
    answer: right(code, "line-slope"),
    tries: 1,
    wrong: [`-${right(code, "line-slope")}`],
  },
  { exercise: "squeeze-typical-error", answer: "99", tries: 2, wrong: ["98", "99"] },
];
const textOf = (code: string) => handedIn({ code, minutes: 18.4, work: workOf(code) });

describe("what a student hands in", () => {
  it("reads back as it was, in the order of the lessons, also with other line ends", () => {
    const read = readHandedIn(`\n${textOf("Blue Heron").replaceAll("\n", "\r\n")}`);
    expect(read).toMatchObject({ code: "blue heron", minutes: 18, whole: true });
    expect(read.work.map(({ exercise }) => exercise)).toEqual([
      "squeeze-typical-error",
      "line-slope",
    ]);
  });

  it.each([
    ["an answer", (text: string) => text.replace('"99"', '"97"')],
    ["the code", (text: string) => text.replace("code: heron", "code: plover")],
    ["the minutes", (text: string) => text.replace("minutes: 18", "minutes: 8")],
    ["the tries", (text: string) => text.replace('"tries":2', '"tries":0')],
  ])("does not fit its checksum after a change of %s", (_, change) => {
    expect(readHandedIn(textOf("heron")).whole).toBe(true);
    expect(readHandedIn(change(textOf("heron"))).whole).toBe(false);
  });

  it("names the line that cannot be read", () => {
    expect(() => readHandedIn("hello")).toThrow(/line 1/);
    expect(() => readHandedIn(textOf("heron").replace('"tries":2', '"tries":"two"'))).toThrow(
      /line 5/,
    );
    expect(() => readHandedIn(textOf("heron").replace("line-slope", "line-slop"))).toThrow(
      /an exercise of the lessons/,
    );
  });
});

describe("the marks of a class", () => {
  const texts = ["heron", "plover"].map((code) => readHandedIn(textOf(code)));

  it("check every answer again and name the commonest mistake", () => {
    const { marks, exercises, warnings } = marksOf(texts);
    expect(warnings).toEqual([]);
    expect(marks).toHaveLength(30);
    // 0.16 mph per kgf with the wrong sign, rounded to two decimals
    const other = marks.find((mark) => mark.code === "plover" && mark.exercise === "line-slope");
    expect(other?.slip).toBe("sign");
    const slope = marks.find((mark) => mark.code === "heron" && mark.exercise === "line-slope");
    expect(slope).toMatchObject({ right: true, tries: 1, slip: "sign" });
    expect(exercises.find(({ exercise }) => exercise === "line-slope")).toMatchObject({
      students: 2,
      right: 2,
      tries: 2,
      slip: "sign",
    });
    const error = exercises.find(({ exercise }) => exercise === "squeeze-typical-error");
    expect(error).toMatchObject({ students: 2, right: 0, tries: 4, slip: "" });
  });

  it("count a student once who hands in twice, and keep the minutes", () => {
    const again = readHandedIn(handedIn({ code: "heron", minutes: 7, work: workOf("heron") }));
    const { marks, exercises } = marksOf([...texts, again]);
    expect(exercises.find(({ exercise }) => exercise === "line-slope")).toMatchObject({
      students: 2,
      right: 2,
    });
    expect(marks.at(-1)).toMatchObject({ code: "heron", minutes: 7 });
  });

  it("do not believe an answer that is right for another student", () => {
    const copied = handedIn({ code: "otter", minutes: 2, work: workOf("heron") });
    const { marks } = marksOf([readHandedIn(copied)]);
    expect(marks.find(({ exercise }) => exercise === "line-slope")).toMatchObject({ right: false });
  });

  it("warn of a changed text, another version and a code handed in twice", () => {
    const changed = readHandedIn(textOf("heron").replace('"99"', '"97"'));
    const old = readHandedIn(textOf("plover").replace(/version: .*/, "version: 1"));
    const { warnings } = marksOf([changed, old, ...texts]);
    expect(warnings.join("\n")).toMatch(/heron: the checksum does not fit/);
    expect(warnings.join("\n")).toMatch(/plover: handed in with version 1/);
    expect(warnings.join("\n")).toMatch(/heron: handed in more than once/);
  });
});
