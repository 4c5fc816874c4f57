import { describe, expect, it } from "vitest";
import { typedNumbers } from "../../lib/notebook/typed-numbers.js";

const numbersOf = (source: string | string[]) =>
  typedNumbers({ cells: [{ cell_type: "markdown", id: "intro", source }] }).flatMap(
    ({ numbers }) => numbers,
  );

describe("numbers typed into text", () => {
  it("are listed with the word after them, by cell", () => {
    const cells = [
      { cell_type: "code", id: "c", source: "1 + 1" },
      {
        cell_type: "markdown",
        id: "intro",
        source: ["We tested 24 golfers;\n", "grip rose 2.4 kgf."],
      },
    ];
    expect(typedNumbers({ cells })).toEqual([
      { cell: { number: 2, id: "intro" }, numbers: ["24 golfers", "2.4 kgf"] },
    ]);
  });

  it("are read where a browser shows a number, written by its code or in a raw cell", () => {
    expect(numbersOf("Grip rose &#52;.&#x34; kgf.")).toEqual(["4.4 kgf"]);
    const cells = [{ cell_type: "raw", id: "note", source: "Grip rose 4.4 kgf." }];
    expect(typedNumbers({ cells })[0]!.numbers).toEqual(["4.4 kgf"]);
  });

  it("include percentages, signs and decimals with a comma", () => {
    expect(numbersOf("It fell by −0.3 mph, or 1,5 %, in 95 % of 12.")).toEqual([
      "−0.3 mph",
      "1,5 %",
      "95 %",
      "12",
    ]);
  });

  it("leave out code, addresses, years, list items and names", () => {
    const text = [
      "# 2 A line through golfers",
      "1. Visit w0, `n = 24`, [Abe 2025](https://doi.org/10.1000/24), see Bland & Altman (1986).",
      "```ts",
      "const n = 24;",
      "```",
      "Sensors 22:9069, J Sports Sci Med 24(3):543–554; ICC(2,1) by mean3; doi:10.1000/24 <!-- 24 -->",
    ].join("\n");
    expect(numbersOf(text)).toEqual([]);
  });

  it("do not take a large count for a year", () => {
    expect(numbersOf("2000.5 N and 1950 % of it")).toEqual(["2000.5 N", "1950 %"]);
  });
});
