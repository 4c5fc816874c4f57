import type { BrowserContext, Page } from "playwright-core";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { browserFile, openBrowser } from "../report/browser.js";
import { contentIn, exportsOf, newStudy, openForm } from "./form-browser.js";
import { wholeStudyAgrees } from "./whole-study.js";

describe.skipIf(!browserFile)("the training diary", { timeout: 120_000 }, () => {
  const study = newStudy(2);
  let context: BrowserContext;
  let page: Page;
  beforeAll(async () => {
    context = await openBrowser({ width: 360, height: 740 });
    page = await openForm(context, study.folder, contentIn(study.folder, { purpose: "diary" }));
  }, 60_000);
  afterAll(async () => {
    await context?.close();
    study.remove();
  });
  const fill = async (code: string, minutes: string, discomfort: string) => {
    await page.fill("#code", code);
    await page.fill("#minutes", minutes);
    await page.check("input[value=yes]");
    await page.check(`input[value=${discomfort}]`);
    await page.getByRole("button", { name: "Store", exact: true }).click();
  };

  it("asks about an unknown code and about a time that is no number", async () => {
    await fill("X9", "20", "none");
    expect(await page.locator("[role=alert]").textContent()).toMatch(/not in the study/);
    await fill("G01", "2o", "none");
    expect(await page.locator("[role=alert]").textContent()).toMatch(/digits only/);
    expect(await page.locator("footer").textContent()).toMatch(/^0 entries/);
  });

  it("tells a golfer who enters pain to stop", async () => {
    await fill("G01", "20", "stop");
    await page.waitForSelector("text=Sessions: 1");
    expect(await page.locator("[data-part=message]").textContent()).toMatch(
      /Stop the training for today/,
    );
  });

  it("hands out rows of the training log", async () => {
    const files = await exportsOf(page);
    expect(files.get("training-log.csv")).toMatch(
      /^participant,date,minutes,completed,discomfort,note\nG01,\d{4}-\d\d-\d\d,20,yes,stop,\n$/,
    );
  });
});

describe.skipIf(!browserFile)("a study entered in the form", { timeout: 240_000 }, () => {
  it("gives the same answers as typed CSV files, and adds no row twice", async () => {
    await wholeStudyAgrees(4, { gripTrials: 1, positions: 1, swings: 1 });
  });
});
