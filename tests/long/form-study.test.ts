import { describe, expect, it } from "vitest";
import { newStudy } from "../form/form-browser.js";
import { killsWhileEntering } from "../form/form-study.js";
import { wholeStudyAgrees } from "../form/whole-study.js";
import { browserFile } from "../report/browser.js";

describe.skipIf(!browserFile)("a study that is entered in the form", () => {
  it("with 12 golfers and 2 visits gives the same study as typed CSV files", async () => {
    await wholeStudyAgrees(12);
  });

  it("loses no confirmed trial in 100 kills of the browser", async () => {
    const study = newStudy(1, { swings: 190 });
    const { confirmed, lost } = await killsWhileEntering(study.folder, { kills: 100, seed: 2026 });
    expect(confirmed).toBeGreaterThan(100);
    expect(lost).toBe(0);
    study.remove();
  });
});
