import { mkdtempSync, readdirSync, readFileSync, writeFileSync } from "node:fs";
import { createRequire } from "node:module";
import { tmpdir } from "node:os";
import { join } from "node:path";
import type { BrowserContext, Page } from "playwright-core";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { summariseGrip } from "../../lib/index.js";
import { addDrawings } from "../../lib/report/drawing.js";
import { writeReport } from "../../lib/report/site.js";
import { changeStrip } from "../../lib/show/change-strip.js";
import { figure } from "../../lib/show/figure.js";
import { finding } from "../../lib/show/finding.js";
import { table } from "../../lib/show/table.js";
import { pairedChange } from "../../lib/stats/change.js";
import { readStudyFiles } from "../../lib/study/files.js";
import { openStudy } from "../../lib/study/open.js";
import { beforeAfter } from "../../lib/study/tables/before-after.js";
import { browserFile, openBrowser, watched } from "./browser.js";
import { drawnTextFaults } from "./drawn-text.js";
import {
  changeNotebook,
  figureNotebook,
  recordedIn,
  sampleAccount,
  sampleNotebook,
  sampleRoot,
} from "./sample.js";

const axeText = readFileSync(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");

/** A notebook whose record is what its cells give: the same statements, here and in the cells. */
function coachNotebook(): object {
  const study = openStudy("coach-nine");
  const grip = summariseGrip(study, { rule: "mean3" });
  const pairs = beforeAfter(study, grip, {
    before: "before",
    after: "after",
    where: { hand: "lead", position: "address" },
  });
  const result = pairedChange(pairs.before, pairs.after);
  const changes = pairs.before.map((value, i) => pairs.after[i]! - value);
  const said = { caption: "Change of every golfer.", alt: "A row of dots on a scale of change." };
  const group = { name: "nine", changes, participants: pairs.participant, estimate: result.change };
  return sampleNotebook("coach-nine", [
    { markdown: "# A coach's nine" },
    {
      code: `import { beforeAfter, changeStrip, figure, finding, openStudy, summariseGrip, table } from "tautline";
import { pairedChange } from "tautline/stats";
const study = openStudy("coach-nine");
const grip = summariseGrip(study, { rule: "mean3" });
const pairs = beforeAfter(study, grip, { before: "before", after: "after", where: { hand: "lead", position: "address" } });
const result = pairedChange(pairs.before, pairs.after);
const everyRow = study.gripTrials.objects(); // rows of a table, without compiling anything
if (everyRow.length === 0) throw new Error("no rows");
finding({ id: "change", title: "Lead hand: change", estimate: result.change, method: "paired t", unit: "kgf", count: { n: result.n, of: "golfers" } });`,
      shows: () => {
        finding({
          id: "change",
          title: "Lead hand: change",
          estimate: result.change,
          method: "paired t",
          unit: "kgf",
          count: { n: result.n, of: "golfers" },
        });
      },
    },
    {
      code: `const changes: number[] = pairs.before.map((value, i) => pairs.after[i]! - value);
const group = { name: "nine", changes, participants: pairs.participant, estimate: result.change };
figure({ id: "dots", ...changeStrip({ groups: [group], quantity: "Change of grip force", unit: "kgf" }), caption: "Change of every golfer.", alt: "A row of dots on a scale of change." });
{
  const rows = pairs.participant.map((code, i) => ({ code, change: changes[i] }));
  table({ id: "rows", rows, columns: [{ name: "code", label: "Golfer" }, { name: "change", label: "Change", unit: "kgf", digits: 1 }], caption: "Change by golfer." });
}`,
      shows: () => {
        figure({
          id: "dots",
          ...changeStrip({ groups: [group], quantity: "Change of grip force", unit: "kgf" }),
          ...said,
        });
        const rows = pairs.participant.map((code, i) => ({ code, change: changes[i] }));
        table({
          id: "rows",
          rows,
          columns: [
            { name: "code", label: "Golfer" },
            { name: "change", label: "Change", unit: "kgf", digits: 1 },
          ],
          caption: "Change by golfer.",
        });
      },
    },
  ]);
}

interface NotebookJson {
  cells: { cell_type: string }[];
}

const made = mkdtempSync(join(tmpdir(), "pages-"));
const site = join(made, "site");
const oneFile = join(made, "one");
const address = (folder: string, page: string) => `file://${join(folder, page)}`;
const nine = "study-coach-nine";
const pages = [
  "index",
  nine,
  "1-change",
  "2-speed",
  "3-nine",
  "methods",
  "data-checks",
  "versions",
];

async function makeSites(): Promise<void> {
  const drawn = await Promise.all(
    [changeNotebook(), figureNotebook(), coachNotebook()].map((notebook) =>
      addDrawings(notebook as NotebookJson),
    ),
  );
  const [change, speed, nine] = drawn;
  const root = sampleRoot({
    "1-change.ipynb": change!,
    "2-speed.ipynb": speed!,
    "3-nine.ipynb": nine!,
  });
  const common = {
    notebooks: recordedIn(root),
    studies: [sampleAccount, { ...sampleAccount, name: "coach-nine", title: "A coach's nine" }],
    data: [readStudyFiles("coach-nine")],
  };
  await writeReport({ ...common, out: site });
  await writeReport({ ...common, out: oneFile, oneFile: true });
}

async function violations(page: Page): Promise<string[]> {
  const found = await page.evaluate(
    `${axeText}; axe.run(document, { resultTypes: ["violations"], preload: false })`,
  );
  const { violations } = found as {
    violations: { id: string; nodes: { html: string; failureSummary: string }[] }[];
  };
  return violations.map(
    ({ id, nodes }) =>
      `${id}: ${nodes.map((node) => `${node.html.slice(0, 120)} ${node.failureSummary}`).join(" | ")}`,
  );
}

/** Opens everything that is folded away, so that it is judged too. */
async function unfold(page: Page): Promise<void> {
  await page.evaluate(() => {
    for (const fold of document.querySelectorAll("details")) fold.open = true;
  });
}

async function recomputed(page: Page, place = "article"): Promise<string> {
  await page.click(`${place} [data-act=recompute]`);
  const status = page.locator(`${place} .recompute [role=status]`).first();
  await page.waitForFunction(
    (selector) =>
      /results|could not|Not everything/.test(
        document.querySelector(`${selector} .recompute [role=status]`)?.textContent ?? "",
      ),
    place,
    { timeout: 90_000 },
  );
  return (await status.textContent()) ?? "";
}

const words =
  /^(title|statement|method|caption|alt|label|reason|sentence|strongest|unit|name|source)$/;

/** The record with markup in every text that a page shows. */
function planted(value: unknown, markup: string, key = ""): object {
  if (typeof value === "string") return (words.test(key) ? markup : value) as never;
  if (Array.isArray(value)) return value.map((part) => planted(part, markup, key));
  if (value === null || typeof value !== "object") return value as never;
  const entries = Object.entries(value).map(([name, part]) => [name, planted(part, markup, name)]);
  return Object.fromEntries(entries);
}

describe.skipIf(!browserFile)("the pages in a browser (skipped where there is no Chromium)", () => {
  const open = new Map<string, BrowserContext>();

  async function browser(name: string, options: Parameters<typeof openBrowser>[0]): Promise<Page> {
    const context = open.get(name) ?? (await openBrowser(options));
    open.set(name, context);
    return context.newPage();
  }

  beforeAll(makeSites, 180_000);
  afterAll(async () => {
    for (const context of open.values()) await context.close();
  });

  for (const dark of [false, true]) {
    it(`break no accessibility rule and fit at three widths, ${dark ? "dark" : "light"}`, async () => {
      const page = await browser(dark ? "dark" : "light", { dark });
      const errors = watched(page);
      for (const name of pages) {
        for (const width of [360, 768, 1280]) {
          await page.setViewportSize({ width, height: 900 });
          await page.goto(address(site, `${name}.html`));
          if (width === 1280 && name !== "2-speed") await unfold(page);
          const overflow = await page.evaluate(
            () => document.documentElement.scrollWidth - innerWidth,
          );
          expect(overflow, `${name} at ${width} px`).toBeLessThanOrEqual(0);
          expect(await violations(page), `${name} at ${width} px`).toEqual([]);
        }
      }
      expect(errors).toEqual([]);
    }, 240_000);
  }

  it("draw no text outside its frame and no letters too small for a phone", async () => {
    const page = await browser("light", {});
    for (const width of [360, 1280]) {
      await page.setViewportSize({ width, height: 900 });
      for (const name of [nine, "1-change", "2-speed"]) {
        await page.goto(address(site, `${name}.html`));
        expect(await drawnTextFaults(page), `${name} at ${width} px`).toEqual([]);
      }
    }
    await page.evaluate(() => {
      const texts = document.querySelectorAll<SVGTextElement>(".wide-drawing svg text");
      texts[0]!.style.fontSize = "7px";
      texts[1]!.setAttribute("transform", "translate(-400, 0)");
    });
    expect((await drawnTextFaults(page)).join("\n")).toMatch(/7 px[\s\S]*leaves its frame/);
  });

  it("answer at once, and keep a study's page short on screen and on paper", async () => {
    const page = await browser("light", {});
    for (const [width, most] of [
      [1280, 3500],
      [360, 7000],
    ] as const) {
      await page.setViewportSize({ width, height: 900 });
      await page.goto(address(site, `${nine}.html`));
      const [height, answer] = await page.evaluate(() => [
        document.documentElement.scrollHeight,
        document.querySelector(".key-answer")?.getBoundingClientRect().bottom,
      ]);
      expect(height).toBeLessThanOrEqual(most);
      expect(answer).toBeLessThanOrEqual(600);
    }
    const pdf = (await page.pdf({ preferCSSPageSize: true })).toString("latin1");
    expect(pdf.match(/\/Type\s*\/Page[^s]/g)!.length).toBeLessThanOrEqual(6);
  });

  it("open the navigation of a phone by key, and show code by one switch", async () => {
    const page = await browser("light", {});
    await page.setViewportSize({ width: 360, height: 800 });
    await page.goto(address(site, "3-nine.html"));
    const menu = page.locator("#site-menu");
    expect(await menu.isVisible()).toBe(false);
    await page.locator("[data-act=menu]").focus();
    await page.keyboard.press("Enter");
    expect(await menu.locator("a").count()).toBeLessThanOrEqual(4);
    expect(await menu.isVisible()).toBe(true);
    const code = page.locator("details.code pre").first();
    expect(await code.isVisible()).toBe(false);
    await page.locator("[data-act=unfold]").click();
    expect(await code.isVisible()).toBe(true);
  });

  it("paint a page of twelve figures in under a second, before any figure is live", async () => {
    const page = await browser("light", {});
    await page.goto(address(site, "2-speed.html"));
    // The entry is written a moment after the paint, on a busy machine after the page has loaded.
    const entry = await page.waitForFunction(
      () => performance.getEntriesByName("first-contentful-paint")[0]?.startTime,
    );
    const paint = Number(await entry.jsonValue());
    expect(await page.locator("figure.plot").count()).toBe(12);
    expect(await page.locator("figure.plot .wide-drawing > svg").count()).toBe(12);
    expect(paint).toBeLessThan(1000);
  });

  it("make a figure live when it comes into view, without moving the page", async () => {
    const page = await browser("light", {});
    const errors = watched(page);
    await page.setViewportSize({ width: 1100, height: 800 });
    await page.goto(address(site, "2-speed.html"));
    const before = await page.evaluate(() => document.documentElement.scrollHeight);
    await page.waitForSelector("figure.plot.live", { timeout: 90_000 });
    expect(await page.locator("figure.plot").last().getAttribute("class")).toBe("plot");
    await page.locator("figure.plot").last().scrollIntoViewIfNeeded();
    await page.waitForFunction(
      () => [...document.querySelectorAll("figure.plot")].at(-1)!.classList.contains("live"),
      undefined,
      { timeout: 90_000 },
    );
    const after = await page.evaluate(() => document.documentElement.scrollHeight);
    expect(Math.abs(after - before)).toBeLessThanOrEqual(12);
    expect(await violations(page)).toEqual([]);
    expect(errors).toEqual([]);
  }, 240_000);

  it("read without scripts: text, drawings, numbers", async () => {
    const page = await browser("no script", { script: false });
    await page.goto(address(site, "1-change.html"));
    expect(await page.locator("figure.plot .wide-drawing > svg").count()).toBe(3);
    expect(await page.locator("[data-act=theme]").isVisible()).toBe(false);
    await page.locator("details.numbers summary").first().click();
    expect(await page.locator("details.numbers table").first().isVisible()).toBe(true);
  });

  it("can be walked with the keyboard, and keep the chosen theme", async () => {
    const page = await browser("light", {});
    await page.goto(address(site, "index.html"));
    await page.keyboard.press("Tab");
    expect(await page.evaluate(() => document.activeElement?.textContent)).toBe(
      "Skip to the content",
    );
    await page.locator("[data-act=theme]").focus();
    await page.keyboard.press("Enter");
    expect(await page.evaluate(() => getComputedStyle(document.body).backgroundColor)).toBe(
      "rgb(20, 25, 31)",
    );
    await page.goto(address(site, "methods.html"));
    expect(await page.evaluate(() => document.documentElement.dataset.theme)).toBe("dark");
    await page.locator("[data-act=theme]").click();
  });

  it("print to PDF in light colours", async () => {
    const page = await browser("dark", { dark: true });
    for (const name of ["index", "1-change"]) {
      await page.goto(address(site, `${name}.html`));
      const pdf = await page.pdf({ format: "A4", preferCSSPageSize: true });
      expect(pdf.subarray(0, 5).toString()).toBe("%PDF-");
      await page.emulateMedia({ media: "print" });
      expect(await page.evaluate(() => getComputedStyle(document.body).color)).toBe(
        "rgb(29, 39, 51)",
      );
      await page.emulateMedia({ media: null });
    }
  }, 240_000);

  it("recompute every result from the raw rows, page by page and in one file", async () => {
    const page = await browser("light", {});
    const errors = watched(page);
    for (const [folder, name, count] of [
      [site, "3-nine", 3],
      [site, nine, 1],
      [oneFile, "index", 1],
    ] as const) {
      await page.goto(address(folder, `${name}.html`));
      const place = folder === oneFile ? `#page-${nine}` : "article";
      expect(await recomputed(page, place)).toContain(`${count} of ${count} results reproduced`);
    }
    expect(errors).toEqual([]);
  }, 240_000);

  /** A copy of a page beside the site's assets, with something in it changed by hand. */
  function tampered(name: string, change: (text: string) => string): string {
    const text = readFileSync(join(site, `${name}.html`), "utf8");
    const changed = change(text);
    expect(changed).not.toBe(text);
    writeFileSync(join(site, `${name}-tampered.html`), changed);
    return address(site, `${name}-tampered.html`);
  }

  it("catch a number that was changed in the page: its words, its record, or both", async () => {
    const page = await browser("light", {});
    const sentence = /class="estimate"><b data-shown="value">(\d)/;
    const record = /"value":(\d)(\.\d+,"low")/;
    const words = (text: string) =>
      text.replace(sentence, (all, digit) => all.replace(digit, String((+digit + 1) % 10)));
    const json = (text: string) =>
      text.replace(record, (_, digit, rest) => `"value":${(+digit + 1) % 10}${rest}`);
    const cases = [words, json, (text: string) => json(words(text))];
    for (const change of cases) {
      await page.goto(tampered("3-nine", change));
      expect(await recomputed(page)).toContain("1 of 3 results are not as this page shows them");
      expect(await page.locator("section.finding .recomputed .badge.bad").count()).toBe(1);
    }
    const value = (text: string) =>
      text.replace(
        /(data-of-id="change"[\s\S]*?data-shown="value">)(\d)/,
        (_, head, digit) => `${head}${(+digit + 1) % 10}`,
      );
    await page.goto(tampered(nine, value));
    expect(await recomputed(page)).toContain("1 of 1 results are not");
    const point = (text: string) =>
      text.replace(
        /("type":"scatter","mode":"markers","name":"nine","x":\[)(-?\d)/,
        (_, head, digit) => `${head}${(+digit + 1) % 10}`,
      );
    await page.goto(tampered("3-nine", point));
    expect(await recomputed(page)).toContain("1 of 3 results are not");
  }, 240_000);

  it("run no markup that was planted in a notebook or a study", async () => {
    const markup = `<img src=x onerror="document.title='hit'"><svg onload="document.title='hit'"><script>document.title='hit'</script>`;
    const notebook = planted(changeNotebook(), markup);
    const out = join(made, "hostile");
    await writeReport({ notebooks: recordedIn(sampleRoot({ "x.ipynb": notebook })), out });
    const page = await browser("light", {});
    for (const name of readdirSync(out).filter((file) => file.endsWith(".html"))) {
      await page.goto(address(out, name));
      await page.waitForTimeout(name === "x.html" ? 4000 : 300);
      expect(await page.title()).not.toBe("hit");
      expect(
        await page
          .locator("main img[src=x], main script:not([type]), main [onload], main [onerror]")
          .count(),
      ).toBe(0);
    }
  }, 240_000);
});
