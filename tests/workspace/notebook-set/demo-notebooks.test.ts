import { readdirSync, readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import type { Claim } from "../../../lib/show/claim-record.js";
import type { Finding } from "../../../lib/show/finding-record.js";
import { studyOutline } from "../../../lib/study/package/study-outline.js";
import { notebookFiles, seriesFiles } from "../../../lib/workspace/notebook-set/study-notebooks.js";

interface RecordedCell {
  readonly id: string;
  readonly cell_type: string;
  readonly source: string | readonly string[];
  readonly outputs?: readonly { readonly data?: Readonly<Record<string, unknown>> }[];
}

const demo = ["winter-block", "coach-nine"].map((name) => studyOutline(name));
const made = new Map([...demo.flatMap((study) => [...notebookFiles(study)]), ...seriesFiles(demo)]);
const cellsIn = (text: string) => (JSON.parse(text) as { cells: RecordedCell[] }).cells;
const sourceOf = ({ source }: RecordedCell) =>
  typeof source === "string" ? source : source.join("");
const asWritten = (cell: RecordedCell) => `${cell.cell_type} ${cell.id}\n${sourceOf(cell)}`;

const folders = ["winter-block", "coach-nine", "series"];
const paths = folders.flatMap((folder) =>
  readdirSync(`notebooks/${folder}`)
    .filter((name) => name.endsWith(".ipynb"))
    .map((name) => `notebooks/${folder}/${name}`),
);
const codeOf = (path: string) =>
  cellsIn(readFileSync(path, "utf8")).filter(({ cell_type: type }) => type === "code");

/** The records of one kind in a notebook, in their order. */
function recorded<T>(path: string, kind: string): T[] {
  return codeOf(path)
    .flatMap(({ outputs = [] }) => outputs)
    .flatMap(({ data }) => (data?.[`application/vnd.tautline.${kind}+json`] as T) ?? []);
}

describe("the notebooks of the demo studies", () => {
  it.each([...made])("%s has every cell of the set, in its order", (path, text) => {
    const there = cellsIn(readFileSync(path, "utf8")).map(asWritten);
    const wanted = cellsIn(text).map(asWritten);
    const own = there.filter((cell) => wanted.includes(cell));
    expect(own).toEqual(wanted);
  });

  it("are these and at most one more in each folder", () => {
    for (const folder of ["winter-block", "coach-nine", "series"]) {
      const here = paths.filter((path) => path.startsWith(`notebooks/${folder}/`));
      expect(here.filter((path) => !made.has(path)).length, folder).toBe(1);
    }
  });

  it("have cells of at most 12 lines without functions, any or arithmetic", () => {
    for (const path of paths) {
      for (const cell of codeOf(path)) {
        const source = sourceOf(cell)
          .replace(/^import \{[^}]*\} from "[^"]*";\n/gm, "")
          .replace(/"[^"]*"|`[^`]*`|\/\/.*/g, '""');
        expect(source.trim().split("\n").length, `${path} ${cell.id}`).toBeLessThanOrEqual(12);
        expect(source, `${path} ${cell.id}`).not.toMatch(/=>|\bfunction\b|\bany\b| [-+*/%] /);
      }
    }
  });

  it("take at most a third of the 1 795 lines of code of version 0.1", () => {
    const lines = paths
      .flatMap(codeOf)
      .flatMap((cell) => sourceOf(cell).split("\n"))
      .filter((line) => line.trim() !== "");
    expect(lines.length).toBeLessThanOrEqual(598);
  });
});

describe("what the demo studies record of their plan", () => {
  const change = "notebooks/winter-block/3-change.ipynb";
  const findings = (path: string) => recorded<Finding>(path, "finding");

  it("keeps the planned outcome outside the family of Holm's method", () => {
    const places = findings(change).filter(({ id }) => id.startsWith("place-"));
    const primary = findings(change).find(({ id }) => id === "primary")!;
    const planned = places.filter((one) => one.planned);
    expect(places).toHaveLength(6);
    expect(planned.map(({ measure }) => measure?.name)).toEqual([primary.measure?.name]);
    expect(planned.map(({ p }) => p)).toEqual([primary.p]);
    expect(primary.p).toBeCloseTo(0.0139, 4);
    // Holm by hand: the least of five p values five times, the next at least as large
    const table = recorded<{ id: string; rows: Record<string, unknown>[] }>(change, "table").find(
      ({ id }) => id === "hand-by-position",
    )!;
    const p = (rows: Record<string, unknown>[]) => rows.map((row) => Number(row.p));
    const others = table.rows.filter(({ adjusted_p: adjusted }) => adjusted !== null);
    expect(table.rows.filter(({ adjusted_p: adjusted }) => adjusted === null)).toMatchObject([
      { plan: "planned", p: primary.p },
    ]);
    expect(others).toHaveLength(5);
    const [least, next] = p(others).sort((a, b) => a - b);
    const adjusted = others.map((row) => Number(row.adjusted_p)).sort((a, b) => a - b);
    expect(adjusted[0]).toBeCloseTo(5 * least!, 12);
    expect(adjusted[1]).toBeCloseTo(Math.max(5 * least!, 4 * next!), 12);
  });

  it("says of every finding and claim on a study whether it was planned", () => {
    for (const path of made.keys()) {
      for (const { id, planned } of findings(path))
        expect(typeof planned, `${path} ${id}`).toBe("boolean");
      for (const { id, planned } of recorded<Claim>(path, "claim"))
        expect(typeof planned, `${path} ${id}`).toBe("boolean");
    }
    const primary = findings("notebooks/coach-nine/3-change.ipynb").find(
      ({ id }) => id === "primary",
    )!;
    expect(primary.planned).toBe(true);
  });
});
