import { describe, expect, it } from "vitest";
import { quotedNumbers } from "../../lib/manuscript/quoted-text.js";
import { numbersIn, sameNumber } from "../../lib/manuscript/written-number.js";
import { sampleFacts } from "./sample.js";

describe("numbers in a text", () => {
  it.each<[string, string[]]>([
    ["2.4 kgf (0.5 to 4.2)", ["2.4", "0.5", "4.2"]],
    ["0.5–4.2 and 0.5-4.2", ["0.5", "4.2", "0.5", "4.2"]],
    ["from −0.5 to -4.2, or –1", ["-0.5", "-4.2", "-1"]],
    ["12\u202f345 and 2,4", ["12345", "2.4"]],
    ["week-6 and CERT 14a", ["6", "14"]],
    ["p=.014, No.5 and [0.5,4.2]", ["0.014", "5", "0.5", "4.2"]],
  ])("%s", (text, digits) => {
    expect(numbersIn(text).map((one) => one.digits)).toEqual(digits);
  });

  it.each<[string, string, boolean]>([
    ["2.4", "2,4", true],
    ["−2.4", "-2.4", true],
    ["2.4", "2.40", false],
    ["2.4", "-2.4", false],
    ["p < 0.001", "p = 0.001", false],
    ["p = 0.014", "p=0.014", true],
    ["2.4", "", false],
  ])("%s and %s", (one, other, same) => {
    expect(sameNumber(one, other)).toBe(same);
  });
});

describe("numbers quoted in a slide or an e-mail", () => {
  const { study, questions } = sampleFacts();
  const quoted = (text: string) =>
    quotedNumbers(study.name, questions, text).map(({ inText, sources }) => [
      inText,
      ...sources.map(({ id, part }) => `${id}/${part}`),
    ]);

  it("are listed with the findings that they may come from", () => {
    expect(quoted("Grip rose by 2.4 kgf (0.5 to 4.2 kgf), p = 0.014.\nSpeed: 1.6 mph")).toEqual([
      ["2.4 kgf", "primary/value"],
      ["0.5 kgf", "primary/low"],
      ["4.2 kgf", "primary/high"],
      ["p = 0.014", "primary/p"],
      ["1.6 mph", "speed/value"],
    ]);
  });

  it.each([
    "The difference was 2.4 [0.5, 4.2] kgf (P=.014).",
    "The difference was 2.4 kgf (95% CI 0.5–4.2; P = .014).",
    "The difference was 2,4 kgf [0,5; 4,2], p value of 0,014",
    "MD = 2.4 kgf, 95 % CI: 0.5 to 4.2, p: 0.014",
    "Grip rose by 2.4 kgf, with a 95 % confidence interval from 0.5 to 4.2 kgf; p was 0.014",
    "MD 2.4 (95 % CI 0.5 to 4.2), p = .014",
    "2.4 kgf [0.5,4.2] (p = 0.014; 24 golfers, 3 visits)",
  ])("%s", (text) => {
    const sources = quoted(text).map(([, ...from]) => from);
    expect(sources).toEqual([["primary/value"], ["primary/low"], ["primary/high"], ["primary/p"]]);
  });

  it("are not found with the other sign, and a bound of p is met by a smaller p only", () => {
    expect(quoted("−2.4 kgf (95 % CI −0.5 to 4.2), p < 0.0001")).toEqual([
      ["−2.4 kgf"],
      ["−0.5 kgf"],
      ["4.2 kgf", "primary/high"],
      ["p < 0.0001"],
    ]);
    expect(quoted("2.4 kgf, p < 0.05")).toContainEqual(["p < 0.05", "primary/p", "speed/p"]);
  });

  it("are found in the unit with an exact factor beside it", () => {
    // 2.364 kgf × 9.80665 = 23.18 N; 1.562 mph × 0.44704 = 0.698 m/s
    expect(quoted("23 N, 0.70 m/s")).toEqual([
      ["23 N", "primary/value"],
      ["0.70 m/s", "speed/value"],
    ]);
  });

  it("have no source when no finding has them, and years or levels are not among them", () => {
    expect(quoted("In 2025 grip rose by 3.1 kgf (95 % CI).")).toEqual([["3.1 kgf"]]);
  });
});
