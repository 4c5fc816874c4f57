import { mkdtempSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { type BrowserContext, chromium, type Page } from "playwright-core";
import { csvText } from "../../lib/csv-writing.js";
import { columnsOfFile } from "../../lib/form/form-content.js";
import { tasksOf } from "../../lib/form/test-steps.js";
import { randomStream } from "../../lib/num/random.js";
import { formPage } from "../../lib/report/form-page.js";
import { browserFile } from "../report/browser.js";
import { contentIn, exportsOf, startVisit, storeValue } from "./form-browser.js";

/** A value for every trial of every golfer and visit, the same from the same seed. */
export function typedValues(folder: string, seed: number) {
  const content = contentIn(folder);
  const stream = randomStream(seed, "form values");
  const values = new Map<string, { file: string; row: Record<string, string>; value: string }[]>();
  for (const { participant } of content.people) {
    const strength = 30 + 20 * stream.uniform();
    for (const { id } of content.design.occasions) {
      const trials = tasksOf(content, participant, id).map(({ file, row }) => {
        const usual = file === "grip-trials" ? strength : 40 + strength;
        return { file, row: { ...row }, value: (usual * (1 + 0.02 * stream.normal())).toFixed(1) };
      });
      values.set(`${participant} ${id}`, trials);
    }
  }
  return values;
}

/** Enters a whole study by script, visit by visit, and returns the files of the form. */
export async function enterStudy(
  context: BrowserContext,
  folder: string,
  values: ReturnType<typeof typedValues>,
): Promise<Map<string, string>> {
  const path = join(folder, "form.html");
  writeFileSync(path, await formPage(contentIn(folder)));
  const page = await context.newPage();
  await page.goto(`file://${path}`);
  await page.waitForSelector("h1");
  for (const [visit, trials] of values) {
    const [code, occasion] = visit.split(" ") as [string, string];
    await page.locator("#visit").selectOption(occasion);
    await startVisit(page, code);
    for (const { value } of trials) await storeValue(page, value);
    await page.getByRole("button", { name: "Close the visit" }).click();
    await page.waitForSelector(".golfers");
  }
  await page.getByRole("button", { name: "What is stored where" }).click();
  return exportsOf(page);
}

/** The same values as a tester would type them into the study's CSV files. */
export function typedFiles(values: ReturnType<typeof typedValues>): Map<string, string> {
  const all = [...values.values()].flat();
  const rowsOf = (file: string, column: string, unit: string) =>
    all
      .filter((one) => one.file === file)
      .map(({ row, value }) => ({ ...row, [column]: value, unit, status: "valid" }));
  return new Map([
    [
      "grip-trials.csv",
      csvText(columnsOfFile("grip-trials"), rowsOf("grip-trials", "force", "kgf")),
    ],
    [
      "swing-trials.csv",
      csvText(columnsOfFile("swing-trials"), rowsOf("swing-trials", "speed", "mph")),
    ],
  ]);
}

/**
 * Kills the browser at random moments while trials are entered, and counts confirmed trials that are
 * missing after it starts again. A trial is confirmed when the form says that it is stored.
 */
export async function killsWhileEntering(
  folder: string,
  { kills, seed }: { readonly kills: number; readonly seed: number },
): Promise<{ confirmed: number; lost: number }> {
  const stream = randomStream(seed, "kills");
  const path = join(folder, "form.html");
  writeFileSync(path, await formPage(contentIn(folder)));
  const profile = mkdtempSync(join(tmpdir(), "form-profile-"));
  const code = contentIn(folder).people[0]!.participant;
  let confirmed = 0;
  let lost = 0;
  for (let kill = 0; kill < kills; kill++) {
    const context = await chromium.launchPersistentContext(profile, {
      executablePath: browserFile!,
      headless: true,
      args: ["--no-sandbox", "--disable-gpu", "--no-first-run", "--disable-background-networking"],
    });
    const page = await context.newPage();
    await page.goto(`file://${path}`);
    await page.waitForSelector("footer");
    const found = Number.parseInt((await page.locator("footer").textContent())!, 10);
    if (found < confirmed) lost += confirmed - found;
    confirmed = await typeUntilKilled(page, context, {
      code,
      found,
      ms: 30 + 400 * stream.uniform(),
    });
  }
  return { confirmed, lost };
}

/** Enters trials as fast as it goes and kills the browser's processes after a while. */
async function typeUntilKilled(
  page: Page,
  context: BrowserContext,
  { code, found, ms }: { code: string; found: number; ms: number },
): Promise<number> {
  let seen = found;
  await page.exposeFunction("confirmed", (entries: number) => {
    seen = Math.max(seen, entries);
  });
  await openTrials(page, code);
  await page.evaluate(() => {
    const report = () => {
      const told = globalThis as unknown as { confirmed(entries: number): void };
      const entries = Number.parseInt(document.querySelector("footer")?.textContent ?? "", 10);
      if (Number.isFinite(entries)) told.confirmed(entries);
      const field = document.querySelector<HTMLInputElement>("input.value");
      const keep = [...document.querySelectorAll<HTMLButtonElement>(".panel button")].at(-1);
      const undo = [...document.querySelectorAll("button")].find(
        (one) => one.textContent === "Undo",
      );
      if (keep) keep.click();
      else if (field) {
        field.value = "30.5";
        [...document.querySelectorAll<HTMLButtonElement>("button.main")].at(0)?.click();
      } else undo?.click();
    };
    setInterval(report, 5);
  });
  await new Promise((resolve) => setTimeout(resolve, ms));
  const browser = context.browser();
  const session = await (browser ? browser.newBrowserCDPSession() : context.newCDPSession(page));
  await session.send("Browser.crash").catch(() => undefined);
  await context.close().catch(() => undefined);
  return seen;
}

async function openTrials(page: Page, code: string): Promise<void> {
  await page.getByRole("button", { name: `${code}: ` }).click();
  await page.waitForSelector("fieldset.question, .timer, input.value, [data-part=files]");
  if (await page.locator("fieldset.question").count()) {
    for (const answer of await page.locator("input[value=no]").all()) await answer.check();
    await page.getByRole("button", { name: "Every answer is no" }).click();
    await page.waitForSelector(".timer");
  }
  if (await page.locator(".timer").count())
    await page.getByRole("button", { name: "Warm-up is done" }).click();
}
