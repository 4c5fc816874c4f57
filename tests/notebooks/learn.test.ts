import { readdirSync, readFileSync } from "node:fs";
import { join, resolve } from "node:path";
import { fileURLToPath } from "node:url";
import { describe, expect, it } from "vitest";
import { solutionFor, taskIds } from "../../lib/learn/answers.js";
import { tasks } from "../../lib/learn/tasks.js";
import { type Cell, type CodeCell, parseNotebook } from "../../lib/notebook/nbformat.js";

const folder = resolve(fileURLToPath(import.meta.url), "../../../notebooks/learn");
const files = readdirSync(folder).filter((name) => name.endsWith(".ipynb"));
const lessons = files.map((name) => {
  const { cells, metadata } = parseNotebook(readFileSync(join(folder, name), "utf8"));
  return { name, cells, about: metadata.tautline as { lesson: { number: number; idea: string } } };
});
const taught = lessons.filter(({ about }) => about.lesson.number <= 5);

const code = (cells: readonly Cell[]) =>
  cells.filter((cell): cell is CodeCell => cell.cell_type === "code");
const tagged = (cells: readonly Cell[], tag: string) =>
  code(cells).filter(({ metadata }) => (metadata.tags as string[] | undefined)?.includes(tag));
const words = (cell: CodeCell) => cell.outputs.map((output) => JSON.stringify(output)).join("\n");

describe("the lessons", () => {
  it("are five and a page of physics, in order", () => {
    expect(lessons.map(({ about }) => about.lesson.number).sort()).toEqual([1, 2, 3, 4, 5, 6]);
  });

  it.each(lessons)(
    "$name has one figure to play with, a caution, and what a coach may say",
    ({ cells, about }) => {
      const plays = code(cells).filter((cell) => words(cell).includes("tautline.simulation+json"));
      expect(plays.length).toBeGreaterThanOrEqual(1);
      const prose = cells.filter(({ cell_type }) => cell_type === "markdown");
      expect(prose[0]!.source).toContain("**Caution.**");
      expect(prose[0]!.source).toMatch(/local rules and licensed practice/i);
      expect(prose.at(-1)!.source).toMatch(/^## What a coach may say/);
      expect(about.lesson.idea).toMatch(/\.$/);
    },
  );

  it.each(taught)(
    "$name has three exercises, each with a cell for the answer and a worked one",
    ({ cells, about }) => {
      const ids = taskIds.filter((id) => tasks[id].lesson === about.lesson.number);
      const asked = (call: string) =>
        code(cells)
          .map(({ source }) => new RegExp(`${call}\\("([^"]+)"`).exec(source)?.[1])
          .filter((id) => id !== undefined);
      expect(asked("exercise")).toEqual(ids);
      expect(asked("\\banswer")).toEqual(ids);
      expect(asked("workedAnswer")).toEqual(ids);
    },
  );

  it.each(taught)(
    "$name: an answer is missing and tells so, a worked one is right and folded",
    ({ cells }) => {
      const answers = tagged(cells, "answer");
      const worked = tagged(cells, "worked");
      expect([answers.length, worked.length]).toEqual([3, 3]);
      for (const cell of answers) expect(words(cell)).toContain("No answer yet.");
      for (const cell of worked) {
        expect(words(cell), cell.id).toContain("✓ The worked solution in this cell is right");
        expect(cell.metadata.jupyter).toEqual({ source_hidden: true });
      }
    },
  );

  it.each(taught)(
    "$name holds no answer: neither in a cell nor in what an exercise shows",
    ({ cells, about }) => {
      const ids = taskIds.filter((id) => tasks[id].lesson === about.lesson.number);
      // the limit of an interval is one of the cards that the student reads, and so is shown
      for (const id of ids.filter((one) => one !== "cards-limit")) {
        const { value, digits } = solutionFor(id, "class");
        const written = value.toFixed(digits).replace("-", "");
        for (const cell of code(cells)) {
          expect(cell.source, `${id} in ${cell.id}`).not.toContain(written);
          if (/-(?:ask|answer|worked)$/.test(cell.id)) expect(words(cell)).not.toContain(written);
        }
      }
    },
  );
});
