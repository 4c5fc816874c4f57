import { describe, expect, it } from "vitest";
import { compareNotebooks } from "../../lib/notebook/compare.js";
import type { CompareOptions } from "../../lib/notebook/compare-forms.js";
import { compareTexts } from "../../lib/notebook/compare-text.js";

type Json = Record<string, unknown>;

const svg = (label: string, x = 120.5) =>
  `<svg width="720"><path d="M${x},40.25L300,41"/><text x="12">${label}</text></svg>`;
const encoded = (text: string) =>
  `<figure><img src="data:image/svg+xml;base64,${Buffer.from(text).toString("base64")}"/></figure>`;

const forms = {
  finding: {
    "application/vnd.tautline.finding+json": {
      kind: "finding",
      id: "primary",
      value: 2.4,
      low: 0.5,
      high: 4.2,
      count: { n: 24, of: "golfers" },
      unit: "kgf",
      sentence: "Grip 2.4 kgf (0.5 to 4.2), n = 24.",
    },
    "text/html": "<p>Grip 2.4&nbsp;kgf (0.5 to 4.2), n = 24.</p>",
    "text/plain": "Grip 2.4 kgf (0.5 to 4.2), n = 24.",
    "text/markdown": "Grip **2.4 kgf**",
  },
  figure: {
    "application/vnd.tautline.figure+json": { kind: "figure", id: "f", data: [{ y: [1, 2] }] },
    "application/vnd.plotly.v1+json": { data: [{ y: [1, 2] }], layout: { title: "Grip (kgf)" } },
    "image/svg+xml": [svg("30 kgf")],
    "text/html": encoded(svg("30 kgf")),
    "text/plain": ["Grip. ", "Two dots."],
  },
} as const;

const notebook = (...cells: (readonly Json[])[]) => ({
  cells: cells.map((outputs, i) => ({
    cell_type: "code",
    id: `c${i + 1}`,
    outputs: outputs.map((data) => ({ output_type: "display_data", data })),
  })),
});

const whole = notebook([forms.finding], [forms.figure]);

/** The judgement of a record in which one form was changed, against the run that made the record. */
function forged(kind: keyof typeof forms, change: Json) {
  const record = notebook([forms.finding], [forms.figure]);
  const changed = { ...forms[kind], ...change };
  const cells = kind === "finding" ? [[changed], [forms.figure]] : [[forms.finding], [changed]];
  const { judgements, agrees } = compareNotebooks(notebook(...cells), record);
  expect(agrees).toBe(false);
  return judgements.find(({ verdict }) => verdict === "different")!;
}

describe("the forms of a result", () => {
  it("include the size at which a front end shows a picture", () => {
    const flat = structuredClone(whole) as { cells: { outputs: Json[] }[] };
    flat.cells[1]!.outputs[0]!.metadata = { "image/svg+xml": { height: 10 } };
    const record = flat as unknown as typeof whole;
    const { agrees, judgements } = compareNotebooks(record, whole);
    expect(agrees).toBe(false);
    expect(judgements[1]!.difference).toBe("its display setting is not in the re-run");
  });

  it("agree when they are the same", () => {
    expect(compareNotebooks(whole, structuredClone(whole)).agrees).toBe(true);
  });

  it.each([
    ["text/html", "HTML", "<p>Grip 6.4&nbsp;kgf (0.5 to 4.2), n = 24.</p>"],
    ["text/html", "HTML", "<p>Grip 2.4&nbsp;kgf (0.5 to 4.2), n = 25.</p>"],
    ["text/html", "HTML", "<p>Grip 2.4&nbsp;lbf (0.5 to 4.2), n = 24.</p>"],
    ["text/plain", "plain text", "Grip 2.4 kgf (0.5 to 4.3), n = 24."],
    ["text/markdown", "Markdown", "Grip **2.5 kgf**"],
  ])("are read in %s, %s", (mime, form, text) => {
    expect(forged("finding", { [mime]: text })).toMatchObject({ id: "primary", form });
  });

  it("are named with both texts around the first difference", () => {
    const { difference } = forged("finding", {
      "text/plain": "Grip 6.4 kgf (0.5 to 4.2), n = 24.",
    });
    expect(difference).toBe(
      "its plain text reads “Grip 6.4 kgf (0.5 to 4.2), n = 24.” in the record, “Grip 2.4 kgf (0.5 to 4.2), n = 24.” in the re-run",
    );
  });

  it("never show two equal beginnings of long texts", () => {
    const long = "The same words over and over again. ".repeat(40);
    const { reads } = compareTexts(`${long}9.9 kgf`, `${long}2.4 kgf`);
    expect(reads![0]).not.toBe(reads![1]);
    expect(reads![0]).toContain("9.9 kgf");
    expect(reads![1]).toContain("2.4 kgf");
  });

  it("must all be there", () => {
    const { "text/plain": _, ...rest } = forms.finding;
    const { judgements } = compareNotebooks(notebook([rest]), notebook([forms.finding]));
    expect(judgements[0]!.difference).toBe("its plain text is not in the record");
  });

  it.each([
    ["text/x-words", "9.9 kgf"],
    ["TEXT/HTML", "<p>9.9 kgf</p>"],
    ["application/json", { value: 9.9 }],
    ["application/vnd.tautline.table+json", { id: "other" }],
  ])("include one of the type %s, which a front end may show first", (mime, shown) => {
    expect(forged("finding", { [mime]: shown })).toMatchObject({
      form: "further form",
      difference: "its further form is not in the re-run",
    });
  });

  it("include every picture of an output", () => {
    const shown = (jpeg: string) => notebook([{ "image/jpeg": jpeg, "image/png": "AAAA" }]);
    expect(compareNotebooks(shown("BBBB"), shown("CCCC")).agrees).toBe(false);
  });

  it("include the chart and the drawing of a figure", () => {
    const chart = { data: [{ y: [1, 3] }], layout: { title: "Grip (kgf)" } };
    expect(forged("figure", { "application/vnd.plotly.v1+json": chart }).difference).toBe(
      "its chart: data[0].y[1]: 3 → 2",
    );
    expect(forged("figure", { "image/svg+xml": svg("80 kgf") }).form).toBe("drawing");
    expect(forged("figure", { "image/svg+xml": svg("30 kgf", 121.5) }).form).toBe("drawing");
    expect(forged("figure", { "text/html": encoded(svg("80 kgf")) })).toMatchObject({
      form: "HTML",
    });
  });

  it("let a drawing's points move by less than a reader can see, its words never", () => {
    const moved = (text: string) =>
      compareNotebooks(
        notebook([{ ...forms.figure, "image/svg+xml": text, "text/html": encoded(text) }]),
        notebook([forms.figure]),
      ).judgements[0]!.verdict;
    expect(moved(svg("30 kgf", 120.51))).toBe("within tolerance");
    expect(moved(svg("30 kgf", 120.53))).toBe("different");
    expect(moved(svg("30.01 kgf"))).toBe("different");
  });

  it("are left out where the re-run does not make them", () => {
    const record = notebook([{ ...forms.figure, "image/svg+xml": svg("80 kgf") }]);
    const { agrees } = compareNotebooks(record, notebook([forms.figure]), {
      without: ["drawing"],
    });
    expect(agrees).toBe(true);
  });

  const afterSaving = (change: Json, options: CompareOptions = {}) =>
    compareNotebooks(notebook([{ ...forms.figure, ...change }]), notebook([forms.figure]), options);

  it("are not compared where a front end left the drawing of a figure out of the record", () => {
    const { "image/svg+xml": _, ...saved } = forms.figure;
    const other = encoded(svg("80 kgf"));
    const { agrees } = compareNotebooks(
      notebook([{ ...saved, "text/html": other }]),
      notebook([forms.figure]),
    );
    expect(agrees).toBe(true);
  });

  it("must include the drawing that the record has, unless the re-run makes none", () => {
    const { "image/svg+xml": _, ...undrawn } = forms.figure;
    const record = notebook([{ ...forms.figure, "text/html": encoded(svg("80 kgf")) }]);
    const rerun = notebook([undrawn]);
    expect(compareNotebooks(record, rerun).judgements[0]).toMatchObject({
      verdict: "different",
      form: "HTML",
    });
    expect(compareNotebooks(notebook([forms.figure]), rerun).judgements[0]!.difference).toBe(
      "its drawing is not in the re-run",
    );
    expect(compareNotebooks(record, rerun, { without: ["drawing"] }).agrees).toBe(true);
    const words = notebook([{ ...forms.figure, "text/plain": "Grip." }]);
    expect(compareNotebooks(words, rerun, { without: ["drawing"] }).agrees).toBe(false);
  });

  it("are named as not in the data that they are made again from, when the caller says so", () => {
    const options = { second: "its data" } as const;
    expect(afterSaving({ "text/plain": "Grip. One dot." }, options).judgements[0]!.difference).toBe(
      "its plain text reads “Grip. One dot.”, its data “Grip. Two dots.”",
    );
    expect(afterSaving({ "text/latex": "x" }, options).judgements[0]!.difference).toBe(
      "its LaTeX is not in its data",
    );
  });

  it("are judged without the chart where the re-run makes none", () => {
    const chart = { data: [{ y: [1, 3] }], layout: {} };
    const change = { "application/vnd.plotly.v1+json": chart };
    expect(afterSaving(change).agrees).toBe(false);
    expect(afterSaving(change, { without: ["chart"] }).agrees).toBe(true);
  });

  it("are read letter by letter outside of drawings, whatever they quote", () => {
    const record = notebook([{ ...forms.figure, "text/plain": 'Grip. <path d="M120.5">' }]);
    const moved = notebook([{ ...forms.figure, "text/plain": 'Grip. <path d="M120.51">' }]);
    expect(compareNotebooks(record, moved).agrees).toBe(false);
    // both encodings are those of the letter A: bits that no letter uses differ
    const quoted = (code: string) =>
      notebook([{ ...forms.figure, "text/plain": `data:image/svg+xml;base64,${code}` }]);
    expect(compareNotebooks(quoted("QQ=="), quoted("QR==")).agrees).toBe(false);
  });

  it("include a picture, which the file may keep as lines", () => {
    const picture = (...lines: string[]) =>
      notebook([{ ...forms.finding, "image/png": lines.length > 1 ? lines : lines[0] }]);
    expect(compareNotebooks(picture("iVBORw0K", "AAAA"), picture("iVBORw0KAAAA")).agrees).toBe(
      true,
    );
    expect(
      compareNotebooks(picture("iVBORw0K", "AAAA"), picture("iVBORw0K", "AAAB")).judgements[0],
    ).toMatchObject({ verdict: "different", form: "image" });
  });

  it("may print another last digit only when the data moved within the author's tolerance", () => {
    const value = (x: number, printed: string, tolerance?: number) => ({
      "application/vnd.tautline.finding+json": {
        kind: "finding",
        id: "p",
        value: x,
        ...(tolerance !== undefined && { tolerance }),
      },
      "text/plain": `${printed} kgf`,
    });
    const verdict = (before: Json, after: Json) =>
      compareNotebooks(notebook([before]), notebook([after])).judgements[0]!.verdict;
    expect(verdict(value(2.35, "2.4"), value(2.35 + 1e-13, "2.3"))).toBe("within tolerance");
    const rounded = [value(2.35, "2.4"), value(2.35 + 1e-13, "2.3")].map((one) => notebook([one]));
    // what is reported is how far the data moved, not their printed digits
    expect(compareNotebooks(rounded[0]!, rounded[1]!).judgements[0]!.largest).toBeLessThan(1e-12);
    expect(verdict(value(2.35, "2.4"), value(2.35, "2.3"))).toBe("different");
    expect(verdict(value(2.35, "2.4"), value(2.35 + 1e-13, "2.2"))).toBe("different");
    expect(verdict(value(24, "24", 1), value(25, "25", 1))).toBe("within tolerance");
    expect(verdict(value(24, "24"), value(24 + 1e-12, "25"))).toBe("different");
  });
});

describe("the place of a result", () => {
  it("is judged: two figures exchanged between their cells are different", () => {
    const other = {
      ...forms.figure,
      "application/vnd.tautline.figure+json": { kind: "figure", id: "g", data: [] },
    };
    const { judgements } = compareNotebooks(
      notebook([forms.figure], [other]),
      notebook([other], [forms.figure]),
    );
    expect(judgements.map(({ form, difference }) => [form, difference])).toEqual([
      ["place", "recorded in cell c1, shown by cell c2"],
      ["place", "recorded in cell c2, shown by cell c1"],
    ]);
  });

  it("is judged within a cell", () => {
    const { judgements } = compareNotebooks(
      notebook([forms.finding, forms.figure]),
      notebook([forms.figure, forms.finding]),
    );
    expect(judgements[0]!.difference).toBe("recorded before figure f, shown after it");
  });
});

describe("two texts", () => {
  const verdict = (before: string, after: string, allowance = {}) =>
    compareTexts(before, after, allowance).verdict;

  it("are the same number only when every digit is, unless rounding alone moved the last of 15", () => {
    expect(verdict("83.69885339723707 %", "83.69885339723706 %")).toBe("within tolerance");
    expect(verdict("83.6988533972 %", "83.6988533973 %")).toBe("different");
    expect(verdict("83.69885339723707", "83.69885339723807")).toBe("different");
    expect(verdict("1e-07 kgf", "2e-07 kgf")).toBe("different");
  });

  it("keep the sign, codes and whole numbers", () => {
    expect(verdict("−0.3 kgf", "0.3 kgf", { tolerance: 0 })).toBe("different");
    expect(verdict("golfer 012", "golfer 013", { tolerance: 5 })).toBe("different");
    expect(verdict("n = 24", "n = 23", { tolerance: 0 })).toBe("different");
  });

  it("take one unit of the last printed place beside the tolerance, its edge included", () => {
    expect(verdict("2.4", "2.5", { tolerance: 0 })).toBe("within tolerance");
    expect(verdict("2.4", "2.6", { tolerance: 0 })).toBe("different");
    expect(verdict("2.4", "2.6", { tolerance: 0.1 })).toBe("within tolerance");
    expect(verdict("2.4", "2.7", { tolerance: 0.1 })).toBe("different");
  });
});
