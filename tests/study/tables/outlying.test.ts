import { describe, expect, it } from "vitest";
import { openStudy, readStudy } from "../../../lib/study/open.js";
import { winterBlock } from "../../../lib/study/simulate/demo.js";
import { inventStudy } from "../../../lib/study/simulate/simulate.js";
import type { Study } from "../../../lib/study/study.js";
import { withoutOutlyingTrials } from "../../../lib/study/tables/outlying.js";
import { sourceOf } from "../../../lib/study/tables/source.js";
import { summariseGrip } from "../../../lib/study/tables/summary.js";

/** The demo study with one force typed wrong: the first lead-hand trial at address of golfer 001. */
function withSlip(change: (force: string) => string): { study: Study; row: number } {
  const { files } = inventStudy(winterBlock);
  const lines = files["grip-trials.csv"]!.split("\n");
  const columns = lines[0]!.split(",");
  const force = columns.indexOf("force");
  const row = lines.findIndex((line) => /^001,w0,.*,left,address,/.test(line));
  const cells = lines[row]!.split(",");
  cells[force] = change(cells[force]!);
  lines[row] = cells.join(",");
  const bytes = new Map(
    Object.entries({ ...files, "grip-trials.csv": lines.join("\n") }).map(([name, text]) => [
      name,
      new TextEncoder().encode(text),
    ]),
  );
  const { study } = readStudy({ name: "slip", files: bytes, faults: [] });
  return { study: study!, row: row + 1 };
}

describe("withoutOutlyingTrials", () => {
  it("takes out the trial that the check asks about, and says so", () => {
    const { study, row } = withSlip((force) => String(Number(force) * 1.5));
    const asked = study.issues.filter(({ code }) => code === "trial-outlying");
    expect(asked.map((issue) => issue.row)).toEqual([row]);
    const less = withoutOutlyingTrials(study);
    expect(less.gripTrials.totalRows()).toBe(study.gripTrials.totalRows() - 1);
    const gone = less.setAside.filter(({ reason }) => reason.startsWith("outlying"));
    expect(gone).toMatchObject([
      { file: "grip-trials.csv", row, participant: "001", what: "lead hand, address, trial 1" },
    ]);
    const where = { hand: "lead", position: "address", occasion: "w0", participant: "001" };
    const { rowsUsed, setAside } = sourceOf(less, { trials: "grip", where });
    expect([rowsUsed, setAside]).toEqual([
      2,
      [{ reason: "outlying by more than 4 deviations", rows: 1 }],
    ]);
  });

  it("leaves a study without outlying trials as it is", () => {
    const study = openStudy("winter-block");
    const less = withoutOutlyingTrials(study);
    expect(less.gripTrials.totalRows()).toBe(study.gripTrials.totalRows());
    expect(less.setAside).toEqual(study.setAside);
  });

  it("keeps rows in = used + set aside at any strictness, and takes more out when stricter", () => {
    const study = openStudy("winter-block");
    let last = 0;
    for (const deviations of [3, 2, 1]) {
      const less = withoutOutlyingTrials(study, { deviations });
      const gone = less.setAside.length - study.setAside.length;
      const kept = less.gripTrials.totalRows() + less.swingTrials.totalRows();
      expect(kept + gone).toBe(study.gripTrials.totalRows() + study.swingTrials.totalRows());
      expect(gone).toBeGreaterThanOrEqual(last);
      last = gone;
    }
    expect(last).toBeGreaterThan(0);
  });

  it("changes the summary of the person it touches and nobody else's", () => {
    const { study } = withSlip((force) => String(Number(force) * 1.5));
    const values = (s: Study) =>
      summariseGrip(s, { rule: "mean3" }).objects() as { participant: string; grip_kgf: number }[];
    const [all, less] = [values(study), values(withoutOutlyingTrials(study))];
    const moved = all.filter((one, i) => one.grip_kgf !== less[i]!.grip_kgf);
    expect(moved.map(({ participant }) => participant)).toEqual(["001"]);
  });

  it("refuses a negative number of deviations", () => {
    expect(() => withoutOutlyingTrials(openStudy("winter-block"), { deviations: -1 })).toThrow(
      "withoutOutlyingTrials, deviations",
    );
  });
});
