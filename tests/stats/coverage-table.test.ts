import { describe, expect, it } from "vitest";
import { publishedTable } from "../../lib/study/package/published.js";
import { isListed } from "../long/coverage/exceptions.js";
import { simulate, tasksOf } from "../long/coverage/simulate.js";
import { type CoverageRow, holdsPromise, SEED } from "../long/coverage/table.js";

const { rows } = publishedTable("coverage");
const tableRows = rows.map(
  (row) => ({ ...row, planned: row.planned === "yes" }) as unknown as CoverageRow,
);

describe("the table of coverage that is shown", () => {
  it("has a row for every interval and test, sample size and condition", () => {
    const tasks = tasksOf({ scale: 1, seed: SEED });
    expect(tableRows.length).toBe(tasks.length);
    tasks.forEach(({ n, condition }, i) => {
      expect(tableRows[i]).toMatchObject({ n, condition });
    });
  });

  it("is what the simulation gives: some rows made again", () => {
    for (const only of ["fitLine slope, ordinary", "adjustForBaseline difference, HC3"]) {
      const tasks = tasksOf({ scale: 1, seed: SEED });
      const mine = tasksOf({ scale: 1, seed: SEED, only });
      const some = mine.filter(
        ({ n, condition }) => n === 9 && ["normal", "t5"].includes(condition),
      );
      expect(some.length).toBe(2);
      for (const task of some) {
        const at = tasks.findIndex(
          ({ method, n, condition }) =>
            method === task.method && n === task.n && condition === task.condition,
        );
        const shown = tableRows[at]!;
        const made = simulate({ ...task, replicates: shown.replicates + shown.refused });
        expect(made.function).toBe(shown.function);
        expect(made.share).toBeCloseTo(shown.share!, 3);
      }
    }
  });

  it("planned analyses hold 94 to 97 % at n = 9 to 24 but for the conditions listed", () => {
    const failing = tableRows.filter(
      (row) => row.planned && row.n <= 24 && !holdsPromise(row) && !isListed(row),
    );
    expect(failing).toEqual([]);
  });
});
