import { describe, expect, it } from "vitest";
import { studyOutline } from "../../../lib/study/package/study-outline.js";
import {
  notebookFiles,
  seriesFiles,
  studyNotebooks,
} from "../../../lib/workspace/notebook-set/study-notebooks.js";

const demo = ["winter-block", "coach-nine"].map((name) => studyOutline(name));
const drafts = demo.flatMap((study) => studyNotebooks(study));

describe("the notebooks of a study", () => {
  it.each(drafts.map((draft) => [draft.name, draft] as const))(
    "%s opens with its question, in cells of at most 12 lines without functions, any or arithmetic",
    (_, { cells }) => {
      expect(cells[0]).toMatchObject({ id: "question", type: "markdown" });
      expect(cells[0]!.source).toMatch(/^# .+\?\n/);
      expect(new Set(cells.map(({ id }) => id)).size).toBe(cells.length);
      for (const { type, source } of cells) {
        if (type === "markdown") continue;
        expect(source.split("\n").length).toBeLessThanOrEqual(12);
        expect(source).not.toMatch(/=>|\bfunction\b|\bany\b|[^\s"] [-+*/%] [^\s"]/);
      }
    },
  );

  it("read alike in every study: a cell of one id has one text in all designs that have it", () => {
    const [two, one] = demo.map((study) => studyNotebooks(study));
    const measured = (set: typeof two) => set!.find(({ name }) => name === "2-measurements")!;
    const texts = ({ cells }: ReturnType<typeof measured>) =>
      cells.filter(({ id }) => id !== "open").map(({ source }) => source);
    expect(texts(measured(two))).toEqual(texts(measured(one)));
  });

  it("take at most a third of the 1 795 lines of version 0.1, both studies and their pool together", () => {
    const pool = JSON.parse([...seriesFiles(demo).values()][0]!);
    const code = [
      ...drafts.flatMap(({ cells }) => cells.filter(({ type }) => type === "code")),
      ...pool.cells.filter((cell: { cell_type: string }) => cell.cell_type === "code"),
    ].map(({ source }) => (Array.isArray(source) ? source.join("") : source));
    const lines = code.flatMap((source) =>
      source.split("\n").filter((line: string) => line.trim()),
    );
    expect(lines.length).toBeLessThanOrEqual(1795 / 3);
  });

  it("are files of format 4.5 without outputs; a hostile title is not in them", () => {
    const files = notebookFiles({ ...demo[1]!, name: "x", title: "# <b>*x*</b>" });
    const notebook = JSON.parse(files.get("notebooks/x/explore.ipynb")!);
    expect([notebook.nbformat, notebook.nbformat_minor]).toEqual([4, 5]);
    for (const text of files.values()) expect(text).not.toContain("<b>");
    expect(notebook.cells[1].outputs).toEqual([]);
  });

  it("pool two studies or more", () => {
    expect(seriesFiles(demo.slice(0, 1)).size).toBe(0);
    expect([...seriesFiles(demo).keys()]).toEqual(["notebooks/series/pool.ipynb"]);
  });
});
