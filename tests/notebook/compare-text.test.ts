import { describe, expect, it } from "vitest";
import { compareTexts, withDrawingsDecoded } from "../../lib/notebook/compare-text.js";

const verdict = (before: string, after: string, allowance = {}) =>
  compareTexts(before, after, allowance).verdict;
/** With this tolerance any two numbers agree, so that only what is no number is different. */
const wide = { tolerance: 1e6 };
const same = "within tolerance";

describe("what is read as one number", () => {
  it.each([
    ["24", "25"],
    ["2.45", "3.1"],
    ["+2", "-2"],
    ["−2.5", "2.5"],
    ["1e5", "3.5e+5"],
    ["1E5", "1E-5"],
    ["1.5e−3", "−1.5e−4"],
    ["0.5", "0"],
    [`0.${"3".repeat(40)}`, `0.${"4".repeat(40)}`],
    ["9".repeat(5), "5"],
    ["(24)", "(25)"],
    ["24 kgf", "25 kgf"],
    ["24.", "25."],
    ["24%", "25%"],
    ["week 1–6", "week 2–6"],
  ])("%s and %s differ in numbers alone", (before, after) => {
    expect(verdict(before, after, wide)).toBe(same);
  });

  it.each([
    ["golfer 007", "golfer 008"],
    ["−012", "−013"],
    ["12b", "13b"],
    ["2e", "3e"],
    ["2é", "3é"],
    ["a1", "a2"],
    ["a_1", "a_2"],
    ["Z1", "Z2"],
    ["z1", "z2"],
    ["A1", "A2"],
    ["é1", "é2"],
    ["2_", "3_"],
    ["1".repeat(41), "2".repeat(41)],
    [`0.${"3".repeat(41)}`, `0.${"4".repeat(41)}`],
    ["2.4 kgf", "2.4 lbf"],
    ["2.4", "kgf"],
    ["a 0", "a  "],
    ["a  ", "a 0"],
    ["1e9999", "2.5"],
  ])("%s and %s differ in more", (before, after) => {
    expect(verdict(before, after, wide)).toBe("different");
  });

  it("is a number beside a letter inside a tag, where a path has them together", () => {
    expect(verdict('<path d="M120L30"/>', '<path d="M121L30"/>', { coordinates: 1 })).toBe(same);
    expect(verdict('<path d="M120L30"/>', '<path d="M120l30"/>', { coordinates: 1 })).toBe(
      "different",
    );
    expect(verdict("<p>M120L30</p>", "<p>M121L30</p>", { coordinates: 1 })).toBe("different");
  });
});

describe("how far a number may move", () => {
  it("is nothing without a tolerance, not even in the way it is printed", () => {
    expect(verdict("2.4", "2.4")).toBe("same");
    expect(verdict("2.4", "2.5")).toBe("different");
    expect(verdict("2.4", "2.40")).toBe("different");
  });

  it("is the coordinates' allowance inside a tag, its edge included, and not outside", () => {
    const half = { coordinates: 0.5 };
    expect(verdict('<line x="1.5"/>', '<line x="2"/>', half)).toBe(same);
    expect(verdict('<line x="1.5"/>', '<line x="2.1"/>', half)).toBe("different");
    expect(verdict('<line x="1.5"/>', '<line x="2"/>')).toBe("different");
    expect(verdict("1.5", "2", half)).toBe("different");
    expect(verdict("<b>1.5", "<b>2", half)).toBe("different");
    expect(verdict("a > 1.5", "a > 2", half)).toBe("different");
  });

  it("is nothing in the attributes that a person reads or hears, and in a text with a sign for less", () => {
    const drawn = { coordinates: 0.02 };
    for (const [before, after] of [
      ['<p title="2.41 kgf">', '<p title="2.42 kgf">'],
      ["<p title='d=2.41'>", "<p title='d=2.42'>"],
      ["<p title=2.41>", "<p title=2.42>"],
      ['<g x="1" aria-label="2.41 kgf">', '<g x="1" aria-label="2.42 kgf">'],
      ["of 3 < 2.41 kgf", "of 3 < 2.42 kgf"],
    ] as const) {
      expect(verdict(before, after, drawn), before).toBe("different");
    }
    for (const [before, after] of [
      ['<g title="a" x="2.41">', '<g title="a" x="2.42">'],
      ["<g title=a x=2.41>", "<g title=a x=2.42>"],
      ['<g aria-label="a"/><path d="M2.41,3">', '<g aria-label="a"/><path d="M2.42,3">'],
    ] as const) {
      expect(verdict(before, after, drawn), before).toBe(same);
    }
  });

  it("is one unit of the coarser of the two last places under a tolerance", () => {
    expect(verdict("2.4", "2.45", { tolerance: 0 })).toBe(same);
    expect(verdict("2.45", "2.4", { tolerance: 0 })).toBe(same);
    expect(verdict("2.44", "2.46", { tolerance: 0 })).toBe("different");
    expect(verdict("1.5E3", "1.6E3", { tolerance: 0 })).toBe(same);
    expect(verdict("1.5e-3", "1.7e-3", { tolerance: 0 })).toBe("different");
  });

  it("is nothing for whole numbers under a tolerance of 0, where either is whole", () => {
    expect(verdict("24", "25", { tolerance: 0 })).toBe("different");
    expect(verdict("24", "25.0", { tolerance: 0 })).toBe("different");
    expect(verdict("25.0", "24", { tolerance: 0 })).toBe("different");
    expect(verdict("24.0", "25", { tolerance: 0 })).toBe("different");
    expect(verdict("24", "25", { tolerance: 1 })).toBe(same);
  });

  it("is 1e-14 of a number that both print with at least 15 significant digits", () => {
    const digits15 = ["9.00000000000001", "9.00000000000002"] as const;
    const digits14 = "9.0000000000000";
    expect(verdict(...digits15)).toBe(same);
    expect(verdict("9.00000000000001", "9.00000000000012")).toBe("different");
    expect(verdict(digits15[0], digits14)).toBe("different");
    expect(verdict(digits14, digits15[0])).toBe("different");
    // neither zeros before the first digit nor an exponent count as digits
    expect(verdict("0.0090000000000001", "0.00900000000000011")).toBe("different");
    expect(verdict("0.00900000000000011", "0.0090000000000001")).toBe("different");
    expect(verdict("9.000000000001e-10", "9.00000000000101e-10")).toBe("different");
    // a zero within counts
    expect(verdict("9.01000000000001", "9.01000000000002")).toBe(same);
  });

  it("is reported, the largest of a text", () => {
    expect(compareTexts("1.5 2.5 3.5", "1.6 2.8 3.5", { tolerance: 1 }).largest).toBeCloseTo(
      0.3,
      12,
    );
    expect(compareTexts("1.5 2.5", "1.5 2.5").largest).toBe(0);
  });
});

describe("the words around the first difference", () => {
  const reads = (before: string, after: string) => compareTexts(before, after).reads;

  it("are both texts when these are short", () => {
    expect(reads("grip", "swing")).toEqual(["grip", "swing"]);
    expect(reads("grip", "grip block")).toEqual(["grip", "grip block"]);
    expect(reads("grip block", "grip")).toEqual(["grip block", "grip"]);
    expect(compareTexts("grip", "grip").reads).toBeUndefined();
  });

  it("begin with a whole word at least 12 letters before, and end 36 letters after", () => {
    const text = (value: string) =>
      `The mean grip of the group was ${value} kgf at week 6 of the winter block, after which`;
    expect(reads(text("2.4"), text("9.4"))).toEqual([
      "…the group was 2.4 kgf at week 6 of the winter bloc…",
      "…the group was 9.4 kgf at week 6 of the winter bloc…",
    ]);
    const rest = "x".repeat(35);
    expect(reads(`1${rest}`, `2${rest}`)).toEqual([`1${rest}`, `2${rest}`]);
    expect(reads(`1${rest}y`, `2${rest}y`)).toEqual([`1${rest}…`, `2${rest}…`]);
  });

  it("begin 24 letters before within a long word, with its spaces drawn together", () => {
    const long = "-".repeat(40);
    expect(reads(`${long}a`, `${long}b`)![0]).toBe(`…${"-".repeat(24)}a`);
    expect(reads("a \n  b", "a \n  c")![0]).toBe("a b");
  });
});

describe("drawings inside markup", () => {
  // RFC 4648, section 10: "foobar" is Zm9vYmFy; "<svg>" by its section 4 is PHN2Zz4=
  const mark = "data:image/svg+xml;base64,";

  it("are put in their place as text, up to the end of the address", () => {
    expect(withDrawingsDecoded(`<img src="${mark}PHN2Zz4="/> a`)).toBe(
      `<img src="${mark}<svg>"/> a`,
    );
    expect(withDrawingsDecoded(`url('${mark}Zm9vYmFy') b`)).toBe(`url('${mark}foobar') b`);
    expect(withDrawingsDecoded(`url(${mark}Zm9vYmFy) b`)).toBe(`url(${mark}foobar) b`);
    expect(withDrawingsDecoded(`${mark}Zm9vYmFy b`)).toBe(`${mark}foobar b`);
    expect(withDrawingsDecoded(`${mark}Zm9vYmFy`)).toBe(`${mark}foobar`);
    expect(withDrawingsDecoded(`"${mark}Zm9v" "${mark}YmFy"`)).toBe(`"${mark}foo" "${mark}bar"`);
  });

  it("leave everything else as it is", () => {
    for (const text of ["Grip 2.4 kgf", "", `"${mark}" x`, `"${mark}Zm9v!" x`]) {
      expect(withDrawingsDecoded(text)).toBe(text);
    }
  });
});
