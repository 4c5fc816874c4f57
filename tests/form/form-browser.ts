import { mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import type { BrowserContext, Page } from "playwright-core";
import type { FormContent, FormOptions } from "../../lib/form/form-content.js";
import { formContent } from "../../lib/form/form-content.js";
import { formPage } from "../../lib/report/form-page.js";
import { openStudy } from "../../lib/study/open.js";
import { emptyStudy } from "../../lib/study/plan/starter.js";

/** A new study with golfers and without rest between trials, in a folder that is removed afterwards. */
export function newStudy(
  golfers: number,
  { swings = 2, gripTrials = 2, positions = 2 } = {},
): { folder: string; remove: () => void } {
  const base = mkdtempSync(join(tmpdir(), "form-"));
  const folder = join(base, "spring");
  const files = new Map(emptyStudy({ name: "spring", weeks: [0, 6] }));
  const descriptor = JSON.parse(files.get("datapackage.json")!);
  const { study } = descriptor;
  const some = study.positions.slice(0, positions);
  descriptor.study = { ...study, positions: some, restSeconds: 0, gripTrials, swings };
  files.set("datapackage.json", JSON.stringify(descriptor));
  const codes = Array.from({ length: golfers }, (_, i) => `G${String(i + 1).padStart(2, "0")}`);
  const rows = codes.map((code, i) => {
    const arm = i % 2 === 0 ? "training" : "control";
    return `${code},${arm},female,30,${i % 3 === 0 ? "left" : "right"},,,,,,,`;
  });
  const [header] = files.get("participants.csv")!.split("\n");
  files.set("participants.csv", `${[header, ...rows].join("\n")}\n`);
  write(folder, files);
  return { folder, remove: () => rmSync(base, { recursive: true, force: true }) };
}

function write(folder: string, files: ReadonlyMap<string, string>): void {
  rmSync(folder, { recursive: true, force: true });
  mkdirSync(folder, { recursive: true });
  for (const [path, text] of files) writeFileSync(join(folder, path), text);
}

/** What the form of a study in a folder carries. */
export function contentIn(folder: string, options: Partial<FormOptions> = {}): FormContent {
  const study = openStudy(folder);
  const descriptor = JSON.parse(readFileSync(join(folder, "datapackage.json"), "utf8"));
  const people = study.participants.objects() as { participant: string; plays: "right" | "left" }[];
  return formContent(study, descriptor.study, {
    purpose: "tests",
    people: people.map(({ participant, plays }) => ({ participant, plays })),
    seed: 1,
    forceUnit: "kgf",
    speedUnit: "mph",
    withEarlier: false,
    ...options,
  });
}

/** Writes a form to a file and opens it. */
export async function openForm(
  context: BrowserContext,
  folder: string,
  content: FormContent,
): Promise<Page> {
  const path = join(folder, `${content.purpose}.html`);
  writeFileSync(path, await formPage(content));
  const page = await context.newPage();
  await page.goto(`file://${path}`);
  await page.waitForSelector("h1");
  return page;
}

/** From the list of golfers to the first trial. */
export async function startVisit(page: Page, code: string): Promise<void> {
  await page.getByRole("button", { name: `${code}: ` }).click();
  for (const answer of await page.locator("input[value=no]").all()) await answer.check();
  await page.getByRole("button", { name: "Every answer is no" }).click();
  await page.getByRole("button", { name: "Warm-up is done" }).click();
  await page.waitForSelector("input.value");
}

/** Types a value, stores it, and keeps it where the form asks. */
export async function storeValue(page: Page, value: string): Promise<void> {
  const before = await entriesIn(page);
  await page.locator("input.value").fill(value);
  await page.locator("input.value").press("Enter");
  await page.waitForFunction(
    (n) =>
      document.querySelector(".panel:not(:empty)") ||
      !document.querySelector("footer")?.textContent?.startsWith(`${n} `),
    before,
  );
  for (const label of ["Keep the value as typed", "No, go on"]) {
    const answer = page.getByRole("button", { name: label });
    if ((await answer.count()) > 0) await answer.click();
  }
  await page.waitForFunction(
    (n) => !document.querySelector("footer")?.textContent?.startsWith(`${n} `),
    before,
  );
}

export async function entriesIn(page: Page): Promise<number> {
  return Number.parseInt((await page.locator("footer").textContent())!, 10);
}

/** The files that the form hands out, by name without the code of the device. */
export async function exportsOf(page: Page): Promise<Map<string, string>> {
  const files = new Map<string, string>();
  for (const link of await page.locator("a[download]").all()) {
    const [download] = await Promise.all([page.waitForEvent("download"), link.click()]);
    const name = download.suggestedFilename().replace(/-[0-9a-f]{6}(?=\.)/, "");
    files.set(name, readFileSync(await download.path(), "utf8"));
  }
  return files;
}
