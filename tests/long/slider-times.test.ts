import { cpSync, mkdirSync, mkdtempSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import type { BrowserContext, Page } from "playwright-core";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { writeReport } from "../../lib/report/site.js";
import { browserFile, openBrowser } from "../report/browser.js";
import { recordedIn } from "../report/sample.js";

const made = mkdtempSync(join(tmpdir(), "lessons-"));
const site = join(made, "site");

/** The simulation of each lesson with the settings that take longest. */
const heaviest: Readonly<Record<string, string>> = {
  "learn-1-one-squeeze-simulation-one-squeeze": "people=40&trials=10&rule=switched",
  "learn-2-a-line-simulation-a-line": "people=40&trials=10&stranger=-30",
  "learn-3-before-and-after-simulation-before-and-after": "people=40&trials=10&chosen=weakest",
  "learn-4-resampling-simulation-resampling": "people=30&resamples=299&shape=long&method=bca",
  "learn-5-within-and-between-simulation-within-and-between":
    "people=16&visits=8&error=5&lines=shrunken",
};
const simulations = Object.entries(heaviest).map(([id, settings]) => ({
  id,
  settings,
  name: id.replace(/-simulation-.*/, ""),
}));

/** Predicts what a lesson's simulation shows, which unlocks its controls. */
async function predict(page: Page): Promise<void> {
  await page.locator(".choice:not([data-unlocks='']) summary").first().click();
  await expect.poll(() => page.locator(".play.locked").count(), { timeout: 60_000 }).toBe(0);
  await page.selectOption("select[name=shown]", "all");
}

/** Time from the address to a page whose controls answer, ms. */
function readyAfter(page: Page): Promise<number> {
  return page.evaluate(() => {
    const [navigation] = performance.getEntriesByType("navigation");
    return (navigation as PerformanceNavigationTiming).domContentLoadedEventEnd;
  });
}

/** Draws again and says how long it took, ms; two draws may read the same. */
async function drawnAgain(page: Page): Promise<number> {
  const play = page.locator(".play").first();
  const before = await play.locator(".says").textContent();
  await page.click("[data-play=again]");
  const says = () => play.locator(".says").textContent();
  await expect.poll(says, { timeout: 60_000, interval: 20 }).not.toBe(before);
  return Number(await play.getAttribute("data-took"));
}

/** The least of many: other programs of the machine only ever add to it. */
async function quickest(times: number, measured: () => Promise<number>): Promise<number> {
  let least = Number.POSITIVE_INFINITY;
  for (let i = 0; i < times; i++) least = Math.min(least, await measured());
  return least;
}

/** Times are those of the machine, so these tests are long ones and want it for themselves. */
describe.skipIf(!browserFile)("a lesson in a browser (skipped where there is no Chromium)", () => {
  const open: BrowserContext[] = [];

  async function browser(): Promise<Page> {
    const context = await openBrowser();
    open.push(context);
    return context.newPage();
  }

  beforeAll(async () => {
    const root = join(made, "root");
    mkdirSync(root);
    cpSync("notebooks/learn", join(root, "notebooks", "learn"), { recursive: true });
    await writeReport({ notebooks: recordedIn(root), out: site });
  });
  afterAll(async () => {
    for (const context of open) await context.close();
  });

  it.each(simulations)("$name redraws 200 simulated studies in under 50 ms", async ({ name }) => {
    const page = await browser();
    await page.goto(`file://${join(site, `${name}.html`)}`);
    await predict(page);
    expect(await quickest(15, () => drawnAgain(page))).toBeLessThan(50);
  });

  it.each(simulations)(
    "$name redraws in under 100 ms at its heaviest settings, and is ready within 1 s",
    async ({ id, name, settings }) => {
      const page = await browser();
      await page.goto(`file://${join(site, `${name}.html`)}#${id}?${settings}`);
      const ready = await quickest(4, async () => {
        await page.reload();
        return readyAfter(page);
      });
      expect(ready).toBeLessThan(1000);
      await predict(page);
      expect(await quickest(10, () => drawnAgain(page))).toBeLessThan(100);
    },
  );
});
