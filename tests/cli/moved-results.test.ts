import { describe, expect, it } from "vitest";
import { compareArms } from "../../lib/analysis/compare-arms.js";
import { missingGolfers } from "../../lib/analysis/missing-golfers.js";
import type { OutcomeChoice } from "../../lib/analysis/outcome-choice.js";
import { openStudy, type StudyOutcomes } from "../../lib/analysis/study-outcomes.js";
import { movedResults } from "../../lib/cli/moved-results.js";
import { compareNotebooks } from "../../lib/notebook/compare.js";
import { type DisplayBundle, onDisplay } from "../../lib/show/display.js";
import { findings } from "../../lib/show/findings.js";
import { table } from "../../lib/show/table.js";

/** A notebook with the cell of the planned comparison, for a study and a choice of outcome. */
function recorded(study: StudyOutcomes, choice: OutcomeChoice = {}) {
  const shown: DisplayBundle[] = [];
  const stop = onDisplay((bundle) => shown.push(bundle));
  const change = study.primary.with(choice).change();
  findings("primary", compareArms(change));
  table("who-is-missing", missingGolfers(change));
  stop();
  const outputs = shown.map((bundle) => ({ output_type: "display_data", ...bundle }));
  const cell = {
    cell_type: "code",
    id: "c1",
    metadata: {},
    source: "",
    execution_count: 1,
    outputs,
  };
  return { nbformat: 4, nbformat_minor: 5, metadata: {}, cells: [cell] };
}

const study = openStudy("winter-block");

function moved(after: ReturnType<typeof recorded>): string[] {
  return movedResults(compareNotebooks(recorded(study) as never, after as never));
}

describe("what one word in one cell moves", () => {
  it("is nothing where nothing changed", () => {
    expect(moved(recorded(study))).toEqual([]);
  });

  it("names another rule, and that the comparison is no longer the planned one", () => {
    const [primary] = moved(recorded(study, { rule: "median3" }));
    expect(primary).toMatch(/^ {2}Lead-hand grip at address, week 6: .*: 2\.38 → 2\.41 kgf \[/);
    expect(primary).toContain(
      "; rule: mean of the first three trials → median of the first three trials; no longer as planned (cell 1",
    );
  });

  it("names how many golfers are left when one is taken away", () => {
    const [primary] = moved(recorded(study.without("014")));
    expect(primary).toContain("; n: 24 golfers → 23 golfers");
    expect(primary).not.toContain("planned");
  });

  it("speaks of tables and fields in words, not in paths", () => {
    const all = moved(recorded(study.without("012", "014"))).join("\n");
    expect(all).toContain("table who-is-missing");
    expect(all).not.toMatch(/\w\[\d+\]|leaveOneOut|rowsUsed/);
  });
});
