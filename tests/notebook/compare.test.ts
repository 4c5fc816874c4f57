import { describe, expect, it } from "vitest";
import { compareNotebooks } from "../../lib/notebook/compare.js";
import type { Judgement } from "../../lib/notebook/judgement.js";
import { repeatedIds, resultsOf } from "../../lib/notebook/results.js";

type Json = Record<string, unknown>;

function shows(...contents: Json[]) {
  const outputs = contents.map((content) => ({
    output_type: "display_data",
    data: { [`application/vnd.tautline.${content.kind}+json`]: content },
  }));
  return {
    cells: [
      { cell_type: "markdown", id: "m" },
      { cell_type: "code", id: "c", outputs },
    ],
  };
}

function prints(...texts: string[]) {
  const outputs = texts.map((text) => ({ output_type: "stream", name: "stdout", text }));
  return { cells: [{ cell_type: "code", id: "c", outputs }] };
}

const finding = {
  kind: "finding",
  id: "lead",
  title: "Lead-hand change",
  value: 2.61,
  low: 1.9,
  high: 3.4,
  unit: "kgf",
  count: { n: 24, of: "golfers" },
  method: "paired t",
  sentence: "a sentence",
};

function judged(before: Json, after: Json): Judgement {
  return compareNotebooks(shows(before), shows(after)).judgements[0]!;
}

describe("the judge", () => {
  it("calls equal findings the same, whatever the order of their keys", () => {
    const turned = Object.fromEntries(Object.entries(finding).reverse());
    expect(judged(finding, turned).verdict).toBe("same");
  });

  it("names the cell by its place among all cells", () => {
    expect(judged(finding, finding).cell).toEqual({ number: 2, id: "c" });
  });

  it("takes rounding for agreement and tells its size", () => {
    const judgement = judged(finding, { ...finding, value: 2.61 + 1e-12 });
    expect(judgement.verdict).toBe("within tolerance");
    expect(judgement.largest).toBeCloseTo(1e-12, 15);
  });

  it("measures a value near zero against its limits", () => {
    const zero = { ...finding, value: 1e-17, low: -1, high: 1 };
    expect(judged(zero, { ...zero, value: -3e-17 }).verdict).toBe("within tolerance");
  });

  it("finds a difference of ten billionths", () => {
    const judgement = judged(finding, { ...finding, high: 3.4 * (1 + 1e-8) });
    expect(judgement.verdict).toBe("different");
    expect(judgement.difference).toContain("high: 3.40000000 → 3.40000003");
  });

  it("keeps to a finding's own tolerance, its edge included, for the estimate alone", () => {
    const loose = { ...finding, tolerance: 0.1 };
    expect(judged(loose, { ...loose, value: 2.71 }).verdict).toBe("within tolerance");
    expect(judged(loose, { ...loose, value: 2.7101 }).verdict).toBe("different");
    expect(judged(loose, { ...loose, count: { n: 24.05, of: "golfers" } }).verdict).toBe(
      "different",
    );
  });

  it("does not let a re-run widen the tolerance of the record", () => {
    const wide = { ...finding, value: 3, tolerance: 5 };
    expect(judged(finding, wide).verdict).toBe("different");
  });

  it.each([
    ["unit", "lbf"],
    ["method", "signed rank"],
    ["count", { n: 23, of: "golfers" }],
    ["title", "Trail-hand change"],
    ["level", 0.9],
  ])("calls a changed %s a difference", (field, value) => {
    expect(judged(finding, { ...finding, [field]: value }).difference).toContain(field);
  });

  it("judges the sentence, although it is made from the rest", () => {
    const { verdict, form, difference } = judged(finding, { ...finding, sentence: "other words" });
    expect({ verdict, form }).toEqual({ verdict: "different", form: "sentence" });
    expect(difference).toBe(
      "its sentence reads “a sentence” in the record, “other words” in the re-run",
    );
  });
  it("calls out an interval that now crosses zero, even inside the tolerance", () => {
    const near = { ...finding, low: 0.05, tolerance: 0.2 };
    const judgement = judged(near, { ...near, low: -0.05 });
    expect(judgement.verdict).toBe("different");
    expect(judgement.crossing).toBe("now includes zero");
    expect(judged({ ...near, low: -0.05 }, near).crossing).toBe("no longer includes zero");
    expect(judged(near, { ...near, value: -1, low: -2, high: -0.5 }).crossing).toBe(
      "changed sides of zero",
    );
  });

  it("counts a limit at zero as an interval that includes zero", () => {
    const loose = { ...finding, tolerance: 0.2 };
    const crossing = (before: Json, after: Json) =>
      judged({ ...loose, ...before }, { ...loose, ...after }).crossing;
    expect(crossing({ low: 0.05 }, { low: 0 })).toBe("now includes zero");
    expect(crossing({ low: 0 }, { low: 0.05 })).toBe("no longer includes zero");
    expect(crossing({ low: 0 }, { low: -0.05 })).toBeUndefined();
    const below = { value: -1, low: -2 };
    expect(crossing({ ...below, high: -0.05 }, { ...below, high: 0 })).toBe("now includes zero");
    expect(crossing({ ...below, high: 0 }, { ...below, high: -0.05 })).toBe(
      "no longer includes zero",
    );
    expect(crossing({ ...below, high: 0 }, { ...below, high: 0.05 })).toBeUndefined();
  });

  it("judges a figure by its traces and layout and names the number that moved", () => {
    const figure = { kind: "figure", id: "f", data: [{ y: [1, 2, 3] }], layout: { title: "T" } };
    expect(judged(figure, structuredClone(figure)).verdict).toBe("same");
    const moved = { ...figure, data: [{ y: [1, 2.5, 3] }] };
    expect(judged(figure, moved).difference).toBe("data[0].y[1]: 2.00 → 2.50");
    expect(judged(figure, { ...figure, data: [{ y: [1, 2] }] }).difference).toBe(
      "data[0].y: 3 → 2 entries",
    );
    expect(judged(figure, { ...figure, layout: {} }).difference).toBe(
      "layout.title: no longer there",
    );
  });

  it("measures a number of a figure against its neighbours", () => {
    const figure = (y: number[]) => ({ kind: "figure", id: "f", data: [{ y }], layout: {} });
    expect(judged(figure([1e-15, 40]), figure([2e-15, 40])).verdict).toBe("within tolerance");
    expect(judged(figure([1e-15]), figure([2e-15])).verdict).toBe("different");
    expect(judged(figure([1e6, 0.0001]), figure([1e6, 0.001])).verdict).toBe("different");
  });

  it("judges tables row by row and texts letter by letter", () => {
    const table = { kind: "table", id: "t", rows: [{ a: 1 }], columns: [], caption: "C." };
    expect(judged(table, { ...table, rows: [{ a: 2 }] }).difference).toBe("rows[0].a: 1 → 2");
    const texts = compareNotebooks(prints("24 golfers\n"), prints("23 golfers\n"));
    expect(texts.judgements[0]).toMatchObject({ kind: "text", id: "c/1", verdict: "different" });
  });

  it("takes rounding of a printed number for agreement, and nothing else", () => {
    const verdict = (before: string, after: string) =>
      compareNotebooks(prints(before), prints(after)).judgements[0]!.verdict;
    expect(verdict("p: 0.1 and 83.69885339723707 %", "p: 0.1 and 83.69885339723706 %")).toBe(
      "within tolerance",
    );
    expect(verdict("p: 0.1000001", "p: 0.1000002")).toBe("different");
    expect(verdict("p: 0.1", "q: 0.1")).toBe("different");
    expect(verdict("1 2", "12")).toBe("different");
    expect(verdict("007", "7")).toBe("different");
  });

  it("tells what is missing and what is new", () => {
    const other = { ...finding, id: "trail" };
    const { judgements, counts, agrees } = compareNotebooks(shows(finding), shows(other));
    expect(judgements.map(({ id, verdict }) => [id, verdict])).toEqual([
      ["lead", "missing"],
      ["trail", "new"],
    ]);
    expect(counts).toEqual({ same: 0, "within tolerance": 0, different: 0, missing: 1, new: 1 });
    expect(agrees).toBe(false);
  });

  it("finds ids that are stated twice and still compares each of them", () => {
    const twice = shows(finding, { ...finding, value: 9 });
    expect(repeatedIds(resultsOf(twice))).toEqual([{ id: "finding lead", cells: [2, 2] }]);
    const { counts } = compareNotebooks(twice, shows(finding, finding));
    expect(counts).toMatchObject({ same: 1, different: 1 });
  });

  it("keeps what the record and what the re-run show, each where it is the only one", () => {
    const other = { ...finding, id: "trail" };
    const [missing, added] = compareNotebooks(shows(finding), shows(other)).judgements;
    expect(missing).toEqual({
      kind: "finding",
      id: "lead",
      cell: { number: 2, id: "c" },
      verdict: "missing",
      recorded: finding,
    });
    expect(added).toMatchObject({ verdict: "new", rerun: other });
    expect(added).not.toHaveProperty("recorded");
  });

  it("names the words of a text that differ, and by how much a number moved", () => {
    const judgedText = (before: string, after: string) =>
      compareNotebooks(prints(before), prints(after)).judgements[0]!;
    expect(judgedText("24 golfers", "23 golfers").difference).toBe(
      "it reads “24 golfers” in the record, “23 golfers” in the re-run",
    );
    const moved = judgedText("0.500000000000001", "0.500000000000002");
    expect(moved.verdict).toBe("within tolerance");
    expect(moved.largest).toBeCloseTo(1e-15, 17);
    expect(judgedText("24 golfers", "24 golfers")).not.toHaveProperty("largest");
  });

  it("compares two revisions by their data alone, wherever they stand", () => {
    const place = (id: string, content: Json) => ({
      cells: [{ ...shows(content).cells[1]!, id }],
    });
    const reworded = { ...finding, sentence: "other words" };
    const both = [place("a", finding), place("b", reworded)] as const;
    expect(compareNotebooks(...both).agrees).toBe(false);
    expect(compareNotebooks(...both, { dataOnly: true }).agrees).toBe(true);
    const moved = [place("a", finding), place("b", { ...finding, value: 9 })] as const;
    expect(compareNotebooks(...moved, { dataOnly: true }).agrees).toBe(false);
  });

  it("names the moved number before the moved place", () => {
    const place = (id: string, value: number) => ({
      cells: [{ ...shows({ ...finding, value }).cells[1]!, id }],
    });
    expect(compareNotebooks(place("a", 1), place("b", 2)).judgements[0]!.difference).toBe(
      "value: 1 → 2",
    );
  });

  it("finds no change of order where another output came before or between", () => {
    const output = (data: Json) => ({ output_type: "display_data", data });
    const of = (content: Json) =>
      output({ [`application/vnd.tautline.${content.kind}+json`]: content });
    const text = { output_type: "stream", name: "stdout", text: "24 golfers" };
    const picture = output({ "image/png": "iVBORw0K" });
    const cell = (...outputs: Json[]) => ({ cells: [{ cell_type: "code", id: "c", outputs }] });
    const trail = { ...finding, id: "trail" };
    for (const plain of [text, picture]) {
      const { judgements } = compareNotebooks(
        cell(of(finding), plain, of(trail)),
        cell(of({ ...finding, id: "both" }), plain, of(finding), of(trail)),
      );
      expect(judgements.map(({ verdict }) => verdict)).toEqual(["same", "same", "same", "new"]);
    }
  });

  it("gives a tolerance to findings alone, and only one that is a number above 0", () => {
    const moved = (content: Json) => judged({ ...content, value: 1 }, { ...content, value: 2 });
    expect(moved({ kind: "finding", id: "p", tolerance: 5 })).toMatchObject({
      verdict: "within tolerance",
      tolerance: 5,
    });
    expect(moved({ kind: "table", id: "p", tolerance: 5 }).verdict).toBe("different");
    expect(moved({ kind: "finding", id: "p", tolerance: "5" }).verdict).toBe("different");
    expect(judged(finding, finding)).not.toHaveProperty("tolerance");
    const sentence = (words: string) => ({ kind: "table", id: "p", sentence: words });
    expect(judged(sentence("a"), sentence("b")).form).toBeUndefined();
  });

  it("speaks of crossing zero only where both have an interval", () => {
    const { low: _, high: __, ...point } = finding;
    const crossing = (one: Json, other: Json) => [
      judged({ ...point, ...one }, { ...point, ...other }).crossing,
      judged({ ...point, ...other }, { ...point, ...one }).crossing,
    ];
    const none = [undefined, undefined];
    expect(crossing({}, { low: 1, high: 2 })).toEqual(none);
    expect(crossing({ low: 1 }, { low: -1, high: 2 })).toEqual(none);
    expect(crossing({ high: -1 }, { low: -1, high: 2 })).toEqual(none);
    expect(crossing({ low: 1, high: 2 }, { low: -1, high: 2 })).toEqual([
      "now includes zero",
      "no longer includes zero",
    ]);
  });
});
