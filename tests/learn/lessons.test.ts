import { readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { describe, expect, it } from "vitest";

const folder = fileURLToPath(new URL("../../notebooks/learn", import.meta.url));

interface Cell {
  readonly cell_type: string;
  readonly id: string;
  readonly source: string | string[];
  readonly metadata: { readonly tags?: string[] };
  readonly outputs?: { readonly output_type: string; readonly data?: Record<string, unknown> }[];
}

function cellsOf(name: string): Cell[] {
  return (JSON.parse(readFileSync(join(folder, name), "utf8")) as { cells: Cell[] }).cells;
}

const sourceOf = ({ source }: Cell) => (Array.isArray(source) ? source.join("") : source);
const tagged = (cells: Cell[], tag: string) =>
  cells.filter(({ metadata }) => metadata.tags?.includes(tag));

function words(cell: Cell): string {
  const texts = (cell.outputs ?? []).map(({ data }) => data?.["text/plain"]);
  return texts.flat().join("");
}

const names = readdirSync(folder).filter((name) => name.endsWith(".ipynb"));
const lessons = names.filter((name) => !name.startsWith("6"));

function made(cells: Cell[], kind: string) {
  const outputs = cells.flatMap(({ outputs = [] }) => outputs);
  return outputs.filter(({ data }) => data?.[`application/vnd.tautline.${kind}+json`]);
}

describe("lessons as recorded", () => {
  it("are five and a page of physics", () => {
    expect(lessons).toHaveLength(5);
    expect(names).toHaveLength(6);
  });

  it.each(names)("%s has a figure to play with and explains its words", (name) => {
    const cells = cellsOf(name);
    expect(made(cells, "simulation").length).toBeGreaterThanOrEqual(1);
    expect(made(cells, "terms").length).toBeGreaterThanOrEqual(1);
    expect(
      cells.flatMap(({ outputs = [] }) => outputs.map((one) => one.output_type)),
    ).not.toContain("error");
  });

  it.each(lessons)(
    "%s asks three exercises, none answered, each with a worked solution",
    (name) => {
      const cells = cellsOf(name);
      expect(made(cells, "exercise")).toHaveLength(3);
      const answers = tagged(cells, "answer");
      expect(answers).toHaveLength(3);
      for (const cell of answers) {
        expect(sourceOf(cell)).toMatch(/^answer\("[\w-]+"\);$/);
        expect(words(cell)).toBe("No answer yet.");
      }
      const worked = tagged(cells, "worked");
      expect(worked).toHaveLength(3);
      for (const cell of worked) {
        expect(words(cell), cell.id).toContain("is right for these golfers");
      }
    },
  );
});
