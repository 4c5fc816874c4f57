import { writeFileSync } from "node:fs";
import { join } from "node:path";
import { expect } from "vitest";
import { compareArms } from "../../lib/analysis/compare-arms.js";
import { openStudy } from "../../lib/analysis/study-outcomes.js";
import { run as check } from "../../lib/cli/check.js";
import { openBrowser } from "../report/browser.js";
import { newStudy } from "./form-browser.js";
import { enterStudy, typedFiles, typedValues } from "./form-study.js";

/** Enters a study in the form and types the same values into CSV files; both give the same answers. */
export async function wholeStudyAgrees(
  golfers: number,
  design: Parameters<typeof newStudy>[1] = {},
): Promise<void> {
  const [entered, typed] = [newStudy(golfers, design), newStudy(golfers, design)];
  const values = typedValues(entered.folder, 7);
  const context = await openBrowser({ width: 768, height: 1024 });
  const exported = await enterStudy(context, entered.folder, values);
  await context.close();
  const paths = ["grip-trials.csv", "swing-trials.csv"].map((name) => {
    const path = join(entered.folder, "..", `export-${name}`);
    writeFileSync(path, exported.get(name)!);
    return path;
  });
  let told = "";
  const io = { out: (text: string) => (told += text), err: () => undefined, cwd: entered.folder };
  const added = paths.flatMap((path) => ["--add", path]);
  expect(await check([entered.folder, ...added], io), told).toBe(0);
  for (const [name, text] of typedFiles(values)) writeFileSync(join(typed.folder, name), text);
  const [one, other] = [openStudy(entered.folder), openStudy(typed.folder)];
  expect(one.issues.filter(({ severity }) => severity === "error")).toEqual([]);
  expect(one.gripTrials.totalRows()).toBe(other.gripTrials.totalRows());
  expect(one.gripTrials.totalRows()).toBeGreaterThanOrEqual(golfers * 4);
  for (const outcome of [one.primary, one.outcome("speed")]) {
    const same = outcome.measure.outcome === "grip" ? other.primary : other.outcome("speed");
    const answers = [outcome, same].map((each) => JSON.stringify(compareArms(each.change())));
    expect(answers[0]).toBe(answers[1]);
  }
  expect(await check([entered.folder, ...added], io)).toBe(0);
  expect(told).toContain("0 added");
  entered.remove();
  typed.remove();
}
