import { createRequire } from "node:module";
import type { BrowserContext, Page } from "playwright-core";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { browserFile, openBrowser, watched } from "../report/browser.js";
import {
  contentIn,
  entriesIn,
  exportsOf,
  newStudy,
  openForm,
  startVisit,
  storeValue,
} from "./form-browser.js";

/** From the key that stores a value to the painted next trial, ms. */
function untilNextTrial(page: Page, value: number): Promise<number> {
  return page.evaluate(async (typed) => {
    const frame = () => new Promise((resolve) => requestAnimationFrame(resolve));
    const field = document.querySelector<HTMLInputElement>("input.value")!;
    field.value = String(typed);
    const start = performance.now();
    field.dispatchEvent(new KeyboardEvent("keydown", { key: "Enter", bubbles: true }));
    while (field.isConnected) await frame();
    return performance.now() - start;
  }, value);
}

/** One entry written to the disk in the same way, and one painted frame, ms. */
function oneWrite(page: Page): Promise<number> {
  return page.evaluate(async () => {
    const open = indexedDB.open("one write", 1);
    const database = await new Promise<IDBDatabase>((resolve) => {
      open.onupgradeneeded = () =>
        open.result.createObjectStore("entries", { autoIncrement: true });
      open.onsuccess = () => resolve(open.result);
    });
    const start = performance.now();
    const work = database.transaction("entries", "readwrite", { durability: "strict" });
    work.objectStore("entries").add({ force: 30 });
    await new Promise((resolve) => {
      work.oncomplete = resolve;
    });
    await new Promise((resolve) => requestAnimationFrame(resolve));
    const took = performance.now() - start;
    database.close();
    return took;
  });
}

const axe = createRequire(import.meta.url).resolve("axe-core/axe.min.js");

describe.skipIf(!browserFile)("the recording form in a browser", { timeout: 120_000 }, () => {
  const study = newStudy(3);
  let context: BrowserContext;
  let page: Page;
  let faults: string[];

  beforeAll(async () => {
    context = await openBrowser({ width: 768, height: 1024 });
    page = await openForm(context, study.folder, contentIn(study.folder));
    faults = watched(page);
  }, 60_000);
  afterAll(async () => {
    await context?.close();
    study.remove();
  });

  it("leads from screening to the trials, and stores a value", async () => {
    await page.fill("#dynamometer", "D1");
    await startVisit(page, "G02");
    await storeValue(page, "30.5");
    expect(await page.locator(".past li").first().textContent()).toContain("30.5 kgf");
    expect(await page.locator("[data-part=message]").textContent()).toBe("Stored on this device.");
  });

  it.each(["", "41,5", "3o", "-4", "1e9", "4..1", "250", "0.4"])(
    "asks about %j and stores nothing by itself",
    async (typed) => {
      const before = await entriesIn(page);
      await page.locator("input.value").fill(typed);
      await page.locator("input.value").press("Enter");
      await page.waitForSelector(".panel:not(:empty)");
      expect(await page.locator(".panel .question").textContent()).toMatch(/\?|Type/);
      await page.getByRole("button", { name: "Type again" }).click();
      expect(await entriesIn(page)).toBe(before);
    },
  );

  it("corrects a trial with a reason and keeps the old value", async () => {
    const row = page.locator(".past li").first();
    await row.locator("summary").click();
    await row.getByLabel("New value").fill("31.5");
    await row.getByRole("button", { name: "Store the correction" }).click();
    expect(await row.locator("[role=alert]").textContent()).toMatch(/why/);
    await row.getByLabel("Why it is corrected").fill("misread");
    await row.getByRole("button", { name: "Store the correction" }).click();
    await page.waitForSelector(".was");
    expect(await page.locator(".past li").first().textContent()).toMatch(
      /31\.5 kgf.*was 30\.5 kgf/,
    );
  });

  it("keeps every trial over a reload, and does not record one twice from a second tab", async () => {
    const entries = await entriesIn(page);
    const other = await context.newPage();
    await other.goto(page.url());
    await other.waitForSelector("h1");
    expect(await entriesIn(other)).toBe(entries);
    await other.getByRole("button", { name: "G02: " }).click();
    await other.waitForSelector("input.value");
    // Both tabs show the same trial; the value typed in this one keeps it from being drawn anew.
    await page.locator("input.value").fill("30");
    await storeValue(other, "29");
    await page.locator("input.value").press("Enter");
    await page.waitForFunction(() =>
      document.querySelector("[data-part=message]")?.textContent?.startsWith("Not stored"),
    );
    expect(await entriesIn(page)).toBe(entries + 1);
    await other.close();
  });

  it("keeps what was typed while the storage is full, with the files at hand", async () => {
    const before = await entriesIn(page);
    await page.evaluate(() => {
      const { add } = IDBObjectStore.prototype;
      IDBObjectStore.prototype.add = () => {
        throw new DOMException("no space", "QuotaExceededError");
      };
      Object.assign(globalThis, { freeSpace: () => (IDBObjectStore.prototype.add = add) });
    });
    await page.locator("input.value").fill("30");
    await page.locator("input.value").press("Enter");
    await page.waitForSelector(".panel:not(:empty)");
    expect(await page.locator(".panel .question").textContent()).toMatch(/storage .* is full/);
    expect(await page.locator("input.value").inputValue()).toBe("30");
    expect(await page.locator(".panel a[download]").count()).toBeGreaterThan(1);
    expect(await entriesIn(page)).toBe(before);
    await page.evaluate(() => (globalThis as unknown as { freeSpace(): void }).freeSpace());
    await page.locator("input.value").fill("");
  });

  it("has no fault of accessibility, no sideways scroll and large targets", async () => {
    for (const [width, height] of [
      [360, 740],
      [768, 1024],
    ] as const) {
      await page.setViewportSize({ width, height });
      await page.evaluate(
        await import("node:fs").then(({ readFileSync }) => readFileSync(axe, "utf8")),
      );
      const violations = await page.evaluate(async () => {
        const run = (
          globalThis as unknown as { axe: { run(): Promise<{ violations: { id: string }[] }> } }
        ).axe;
        return (await run.run()).violations.map(({ id }) => id);
      });
      expect(violations).toEqual([]);
      expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBeLessThanOrEqual(
        width,
      );
      const small = await page.evaluate(
        () =>
          [...document.querySelectorAll("button, summary, select, input, a[download]")]
            .map((one) => (one.closest("label.choice") ?? one).getBoundingClientRect())
            .filter(({ height, width }) => height > 0 && (height < 44 || width < 44)).length,
      );
      expect(small).toBe(0);
    }
  });

  it("hands out rows as the study reads them; hostile notes stay text", async () => {
    await page
      .locator("details")
      .filter({ hasText: "Handle setting, note" })
      .locator("summary")
      .click();
    await page.getByLabel("Note (no names").fill(`=1+1 <img src=x onerror="alert(1)">, "q"`);
    await storeValue(page, "30");
    await page.getByRole("button", { name: "End this visit" }).click();
    const files = await exportsOf(page);
    const rows = files.get("grip-trials.csv")!.trim().split("\n");
    expect(rows[0]).toBe(
      "participant,occasion,date,time,hand,position,handle_mm,device,trial,force,unit,status,note",
    );
    expect(rows).toHaveLength(4);
    expect(rows[1]).toMatch(
      /^G02,week-0,\d{4}-\d\d-\d\d,\d\d:\d\d:\d\d,(left|right),\w+,,D1,1,31\.5,kgf,valid,$/,
    );
    expect(rows[3]).toContain(`"'=1+1 <img src=x onerror=""alert(1)"">, ""q"""`);
    const journal = JSON.parse(files.get("journal.json")!);
    expect(journal.entries.map(({ what }: { what: { event: string } }) => what.event)).toContain(
      "corrected",
    );
    expect(faults).toEqual([]);
  });

  it("shows the next trial within 50 ms of what one write to the disk takes", async () => {
    const blank = newStudy(1, { gripTrials: 6 });
    const form = await openForm(context, blank.folder, contentIn(blank.folder));
    await startVisit(form, "G01"); // the journal holds the trials of the other golfer
    const [entry, write]: number[][] = [[], []];
    for (let i = 0; i < 9; i++) {
      write!.push(await oneWrite(form));
      entry!.push(await untilNextTrial(form, 30));
    }
    const median = (times: number[]) => times.toSorted((a, b) => a - b)[4]!;
    expect(median(entry!) - median(write!)).toBeLessThan(50);
    await form.close();
    blank.remove();
  });
});
