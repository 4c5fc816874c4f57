import { cpSync, mkdirSync, mkdtempSync, readFileSync, writeFileSync } from "node:fs";
import { createRequire } from "node:module";
import { tmpdir } from "node:os";
import { join } from "node:path";
import type { BrowserContext, Page } from "playwright-core";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { answersOf, solutionFor } from "../../lib/learn/answers.js";
import { playAgain } from "../../lib/learn/models.js";
import { practice } from "../../lib/learn/practice.js";
import { simulation } from "../../lib/learn/simulation.js";
import { playSqueeze } from "../../lib/learn/squeeze-model.js";
import { liveOutput } from "../../lib/report/live-output.js";
import { writeReport } from "../../lib/report/site.js";
import { browserFile, openBrowser, watched } from "./browser.js";
import { recordedIn } from "./sample.js";

/** A lesson whose record has markup in every text. */
function plantedLesson(): string {
  const markup = `"><img src=x onerror="window.planted=1"><script>window.planted=1</script>`;
  const planted = (value: unknown, key = ""): unknown => {
    if (typeof value === "string") return /^(?:kind|id|name|set|code)$/.test(key) ? value : markup;
    if (Array.isArray(value)) return value.map((part) => planted(part, key));
    if (value === null || typeof value !== "object") return value;
    return Object.fromEntries(
      Object.entries(value).map(([name, part]) => [name, planted(part, name)]),
    );
  };
  const notebook = JSON.parse(readFileSync("notebooks/learn/1-one-squeeze.ipynb", "utf8"));
  notebook.metadata.tautline.lesson.idea = markup;
  for (const cell of notebook.cells) {
    for (const { data = {} } of cell.outputs ?? []) {
      for (const mime of Object.keys(data).filter((name) => /tautline/.test(name)))
        data[mime] = planted(data[mime]);
    }
  }
  return JSON.stringify(notebook);
}

/** A recorded notebook whose cell makes an exercise, with its right answer and a known wrong one. */
function ownExercise() {
  const source = `import { exercise } from "tautline/learn";
exercise({
  id: "own-total", question: "What is the sum of all first squeezes?", golfers: "squeezes", unit: "kgf", digits: 1,
  solution: ({ columns }) => columns.first.reduce((a, b) => a + b, 0),
  slips: ({ columns }) => [{ kind: "one golfer", value: columns.first[0], says: "That is golfer A alone." }],
  hints: ["What is asked?", "Add.", "Add all first squeezes."], meaning: () => "That is the total.",
});`;
  const record = {
    kind: "exercise",
    id: "own-total",
    prompt: "What is the sum of all first squeezes?",
    set: "squeezes",
    learner: "class",
    language: "en",
    own: true,
    unit: "kgf",
    digits: 1,
  };
  const { first = [] } = practice("squeezes", "class").columns;
  const notebook = {
    nbformat: 4,
    nbformat_minor: 5,
    metadata: {
      tautline: { version: "1.0", lesson: { number: 1, minutes: 15, idea: "A sum." }, changes: [] },
    },
    cells: [
      { cell_type: "markdown", id: "title", metadata: {}, source: "# 1 Own" },
      {
        cell_type: "code",
        id: "own",
        metadata: {},
        execution_count: 1,
        source,
        outputs: [
          {
            output_type: "display_data",
            metadata: {},
            data: { "application/vnd.tautline.exercise+json": record, "text/plain": record.prompt },
          },
        ],
      },
    ],
  };
  return {
    notebook: JSON.stringify(notebook),
    answer: first.reduce((a, b) => a + b, 0).toFixed(1),
    slip: String(first[0]),
  };
}

const axeText = readFileSync(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");
const made = mkdtempSync(join(tmpdir(), "lessons-"));
const site = join(made, "site");
const oneFile = join(made, "one");

const lessons = [
  "learn-1-one-squeeze",
  "learn-2-a-line",
  "learn-3-before-and-after",
  "learn-4-resampling",
  "learn-5-within-and-between",
  "learn-6-physics",
];
const address = (name: string, hash = "") => `file://${join(site, `${name}.html`)}${hash}`;

/** The recorded lessons of this repository as a site, and as one file; no raw data are needed. */
async function makeSites(): Promise<void> {
  const root = join(made, "root");
  mkdirSync(root);
  cpSync("notebooks/learn", join(root, "notebooks", "learn"), { recursive: true });
  await writeReport({ notebooks: recordedIn(root), out: site });
  await writeReport({ notebooks: recordedIn(root), out: oneFile, oneFile: true });
}

/** The sentence of the page's simulation; a number and its unit are kept together in the page. */
async function says(page: Page): Promise<string> {
  const text = await page.locator(".play .says").first().textContent();
  return (text ?? "").replaceAll("\u00a0", " ");
}

/** Waits until the sentence is another one than before. */
async function changed(page: Page, before: string): Promise<string> {
  await expect.poll(() => says(page), { timeout: 60_000, interval: 20 }).not.toBe(before);
  return says(page);
}

/** Predicts what a lesson's simulation shows, which reveals it with the settings of the question. */
async function predict(page: Page): Promise<void> {
  const locked = page.locator(".play.locked");
  expect(await locked.locator("figure").isVisible()).toBe(false);
  await page.locator(".choice:not([data-unlocks='']) summary").first().click();
  await expect.poll(() => locked.count(), { timeout: 60_000 }).toBe(0);
}

async function press(page: Page, act: string): Promise<string> {
  const before = await says(page);
  await page.click(`[data-play=${act}]`);
  return changed(page, before);
}

async function answer(page: Page, exercise: string, text: string): Promise<string> {
  const place = page.locator(`[data-exercise=${exercise}]`);
  const status = place.locator("[role=status]");
  const before = await status.textContent();
  await place.locator("input").fill(text);
  await place.locator("button").click();
  const told = async () => (await status.textContent()) ?? "";
  await expect.poll(told, { timeout: 60_000 }).not.toBe(before);
  await expect.poll(told, { timeout: 60_000 }).not.toContain("Working out");
  return told();
}

async function violations(page: Page): Promise<string[]> {
  const found = (await page.evaluate(
    `${axeText}; axe.run(document, { resultTypes: ["violations"], preload: false })`,
  )) as { violations: { id: string; nodes: { html: string }[] }[] };
  return found.violations.map(
    ({ id, nodes }) => `${id}: ${nodes.map(({ html }) => html.slice(0, 120)).join(" | ")}`,
  );
}

describe.skipIf(!browserFile)("lessons in a browser (skipped where there is no Chromium)", () => {
  const open: BrowserContext[] = [];

  async function browser(options: Parameters<typeof openBrowser>[0] = {}): Promise<Page> {
    const context = await openBrowser(options);
    open.push(context);
    return context.newPage();
  }

  beforeAll(makeSites, 180_000);
  afterAll(async () => {
    for (const context of open) await context.close();
  });

  it("play by keyboard: an arrow moves the slider, the number, the picture and the sentence", async () => {
    const page = await browser();
    const errors = watched(page);
    await page.goto(address(lessons[0]!));
    await predict(page);
    const first = await says(page);
    const picture = await page.locator(".play .canvas").innerHTML();
    await page.focus("input[type=range][name=people]");
    await page.keyboard.press("ArrowRight");
    const sentence = await changed(page, first);
    expect(await page.inputValue("input[type=number][name=people]")).toBe("13");
    expect(sentence).toBe(playAgain("squeeze", { people: 13, shown: "one" }, 2, "en").sentence);
    expect(await page.locator(".play .canvas").innerHTML()).not.toBe(picture);
    // read out politely, once the reader has stopped
    const heard = page.locator(".play .heard").first();
    expect(await heard.getAttribute("aria-live")).toBe("polite");
    await expect.poll(() => heard.textContent(), { timeout: 60_000 }).toBe(sentence);
    expect(errors).toEqual([]);
  });

  it("take a typed number, and let one that is not allowed wait", async () => {
    const page = await browser();
    await page.goto(address(lessons[0]!));
    await predict(page);
    const before = await says(page);
    const field = page.locator("input[type=number][name=error]");
    await field.fill("3");
    const sentence = await changed(page, before);
    expect(sentence).toContain("error of 3.0 kgf");
    expect(await page.inputValue("input[type=range][name=error]")).toBe("3");
    await field.fill("99");
    await field.fill("");
    await page.waitForTimeout(300);
    expect(await says(page)).toBe(sentence);
    await field.blur();
    expect(await field.inputValue()).toBe("3");
    await page.selectOption("select[name=shown]", "all");
    const all = await changed(page, sentence);
    expect(all).toContain("in 95 of 100 squads");
    await page.selectOption("select[name=rule]", "switched");
    expect(await changed(page, all)).toContain("The switch from mean to best adds");
    expect(await press(page, "start")).toBe(playAgain("squeeze", {}, 2, "en").sentence);
  });

  it("share a setting as a link that shows the same picture elsewhere", async () => {
    const page = await browser();
    await page.goto(address(lessons[4]!));
    await predict(page);
    const before = await says(page);
    await page.fill("input[type=number][name=between]", "0.4");
    await changed(page, before);
    await press(page, "again");
    await page.click("[data-play=link]");
    await expect
      .poll(() => page.locator(".play .heard").first().textContent())
      .toMatch(/leads to this setting|link to this setting is copied/);
    const link = page.url();
    expect(link).toMatch(/#learn-5-within-and-between-simulation-[a-z-]+\?.*between=0\.4.*seed=6$/);
    const sentence = await says(page);
    const picture = await page.locator(".play .canvas").innerHTML();
    const other = await browser();
    const errors = watched(other);
    await other.goto(link);
    await predict(other);
    await expect.poll(() => says(other), { timeout: 60_000 }).toBe(sentence);
    expect(await other.locator(".play .canvas").innerHTML()).toBe(picture);
    expect(await other.inputValue("input[type=number][name=between]")).toBe("0.4");
    expect(errors).toEqual([]);
  });

  it("leave a link's values that are not allowed where they were", async () => {
    const page = await browser();
    const hash = "#learn-1-one-squeeze-simulation-one-squeeze?people=1e9&error=4&rule=x&seed=-2";
    await page.goto(address(lessons[0]!, hash));
    const expected = playAgain("squeeze", { error: 4 }, 2, "en").sentence;
    await expect.poll(() => says(page), { timeout: 60_000 }).toBe(expected);
  });

  it("move a golfer by keys and by mouse, and put everybody back", async () => {
    const page = await browser();
    const errors = watched(page);
    await page.goto(address(lessons[1]!));
    const place = page.locator("#learn-2-a-line-simulation-own-line");
    const text = async () =>
      ((await place.locator(".says").textContent()) ?? "").replaceAll("\u00a0", " ");
    const start = await text();
    const point = place.getByRole("slider", { name: "Golfer H" });
    await point.focus();
    await page.keyboard.press("ArrowUp");
    const moved = playAgain("own-line", { speedH: 101.5 }, 1, "en").sentence;
    await expect.poll(text, { timeout: 60_000 }).toBe(moved);
    expect(await point.getAttribute("aria-valuetext")).toContain("Speed of golfer H 101.5 mph");
    const box = (await point.boundingBox())!;
    const [x, y] = [box.x + box.width / 2, box.y + box.height / 2];
    await page.mouse.move(x, y);
    await page.mouse.down();
    await page.mouse.move(x - 40, y + 60, { steps: 4 });
    await page.mouse.up();
    await expect.poll(text, { timeout: 60_000 }).not.toBe(moved);
    expect(Number(await place.locator("input[name=speedH]").first().inputValue())).toBeLessThan(98);
    await place.locator("[data-play=start]").click();
    await expect.poll(text, { timeout: 60_000 }).toBe(start);
    expect(errors).toEqual([]);
  });

  it("give the golfers' numbers as a file", async () => {
    const page = await browser();
    await page.goto(address(lessons[3]!));
    const [download] = await Promise.all([
      page.waitForEvent("download"),
      page.click("[data-take=save]"),
    ]);
    expect(download.suggestedFilename()).toBe("cards-class.csv");
    const { columns, grid } = practice("cards", "class");
    const lines = readFileSync((await download.path())!, "utf8")
      .trim()
      .split("\n");
    expect(lines[0]).toBe("Golfer,Change (kgf)");
    expect(lines[1]).toBe(`A,${columns.change![0]}`);
    expect(lines.at(-1)).toBe(`39,${Number(grid!.values.at(-1)!.toFixed(2))}`);
    expect(await page.locator("table.grid td").count()).toBe(39);
  });

  it("keep drawing on demand, silently, and not where motion is unwelcome", async () => {
    const page = await browser();
    await page.goto(address(lessons[2]!));
    await predict(page);
    const before = await says(page);
    await page.click("[data-play=on]");
    const next = await changed(page, before);
    await changed(page, next);
    expect(await page.getAttribute("[data-play=on]", "aria-pressed")).toBe("true");
    // at most what answered the prediction was read out
    expect(["", before]).toContain(await page.locator(".play .heard").first().textContent());
    await page.click("[data-play=on]");
    await expect
      .poll(() => page.locator(".play .heard").first().textContent())
      .toBe(await says(page));
    await page.emulateMedia({ reducedMotion: "reduce" });
    expect(await page.isVisible("[data-play=on]")).toBe(false);
    expect(await page.isVisible("[data-play=again]")).toBe(true);
  });

  it("check answers: right, what kind of wrong, a hint the second time", async () => {
    const page = await browser();
    const errors = watched(page);
    await page.goto(address(lessons[2]!));
    const { value, digits, hints } = solutionFor("change-percent", "class");
    expect(await answer(page, "change-percent", String(value / 100))).toContain(
      "Not yet: fraction. That is a fraction: multiply it by 100.",
    );
    const second = await answer(page, "change-percent", `−${value.toFixed(digits)}`);
    expect(second).toContain("Not yet: sign.");
    expect(second).toContain(hints.idea);
    expect(await page.locator("[data-exercise=change-percent] .steps li").count()).toBeGreaterThan(
      1,
    );
    expect(await answer(page, "change-percent", `${value.toFixed(digits)} %`)).toMatch(/^Right\. /);
    expect(await answer(page, "change-error", "soon")).toContain("not a number");
    expect(errors).toEqual([]);
  });

  it("give another code other golfers, and remember it", async () => {
    const page = await browser();
    await page.goto(address(lessons[0]!));
    const table = page.locator(".practice");
    const before = await table.innerHTML();
    await page.fill("form.student input", "Heron");
    await page.click("form.student button");
    await expect.poll(() => table.innerHTML(), { timeout: 60_000 }).not.toBe(before);
    const own = answersOf("heron").find(({ exercise }) => exercise === "squeeze-best-or-mean")!;
    expect(await answer(page, "squeeze-best-or-mean", `${own.answer}`)).toMatch(/^Right\. /);
    await page.fill("form.student input", " ");
    await page.click("form.student button");
    await expect
      .poll(() => page.locator("form.student [role=status]").textContent())
      .toContain("Write a code first");
    await page.goto(address(lessons[1]!));
    await expect.poll(() => page.inputValue("form.student input")).toBe("heron");
    await expect.poll(() => page.getAttribute(".practice", "data-learner")).toBe("heron");
  });

  it.each([false, true])(
    "break no accessibility rule and fit narrow screens (dark: %s)",
    async (dark) => {
      const page = await browser({ dark });
      for (const name of [...lessons, "lessons", "glossary"]) {
        for (const width of [360, 1200]) {
          await page.setViewportSize({ width, height: 900 });
          await page.goto(address(name));
          const overflow = await page.evaluate(
            () => document.documentElement.scrollWidth - document.documentElement.clientWidth,
          );
          expect(overflow, `${name} at ${width}`).toBeLessThanOrEqual(0);
        }
        await page.evaluate(() => {
          for (const fold of document.querySelectorAll("details")) fold.open = true;
        });
        await expect.poll(() => page.locator(".play.locked").count(), { timeout: 60_000 }).toBe(0);
        expect(await violations(page), name).toEqual([]);
      }
    },
  );

  it("read without script: the first state, no form, and where the exercises are checked", async () => {
    const page = await browser({ script: false });
    await page.goto(address(lessons[0]!));
    expect(await page.isVisible(".play .canvas svg")).toBe(true);
    expect(await says(page)).toContain("No golfer truly changed.");
    expect(await page.isVisible(".play form")).toBe(false);
    expect(await page.isVisible(".exercise form")).toBe(false);
    expect(await page.locator(".exercise .still").first().textContent()).toContain(
      "in the notebook",
    );
    expect(await page.locator("details.for-teachers[open]").count()).toBe(0);
  });

  it("play in the report of one file", async () => {
    const page = await browser();
    const errors = watched(page);
    await page.goto(`file://${join(oneFile, "index.html")}`);
    const place = page.locator("#learn-2-a-line-simulation-a-line");
    await page.locator("#learn-2-a-line-question-line-predict summary").first().click();
    const before = await place.locator(".says").textContent();
    await place.locator("[data-play=again]").click();
    await expect
      .poll(() => place.locator(".says").textContent(), { timeout: 60_000 })
      .not.toBe(before);
    expect(errors).toEqual([]);
  });

  it("run nothing that a record holds", async () => {
    const root = mkdtempSync(join(tmpdir(), "planted-"));
    mkdirSync(join(root, "notebooks"));
    writeFileSync(join(root, "notebooks", "lesson.ipynb"), plantedLesson());
    await writeReport({ notebooks: recordedIn(root), out: join(root, "out") });
    const page = await browser();
    for (const name of ["lesson", "index", "lessons"]) {
      await page.goto(`file://${join(root, "out", `${name}.html`)}`);
      await page.waitForTimeout(300);
      expect(await page.evaluate(() => "planted" in window), name).toBe(false);
      expect(await page.locator('img[src="x"]').count(), name).toBe(0);
    }
    expect(await page.locator("body").textContent()).toContain("window.planted=1");
  });

  it("check an exercise that a cell made, without its answers in the page", async () => {
    const root = mkdtempSync(join(tmpdir(), "own-exercise-"));
    mkdirSync(join(root, "notebooks"));
    const made = ownExercise();
    writeFileSync(join(root, "notebooks", "own.ipynb"), made.notebook);
    await writeReport({ notebooks: recordedIn(root), out: join(root, "out") });
    const page = await browser();
    const errors = watched(page);
    await page.goto(`file://${join(root, "out", "own.html")}`);
    expect(await page.content()).not.toContain(made.answer.replace("-", "−"));
    expect(await answer(page, "own-total", "1")).toContain("Hint: What is asked?");
    expect(await answer(page, "own-total", made.slip)).toContain("Not yet: one golfer.");
    expect(await answer(page, "own-total", made.answer)).toBe("Right. That is the total.");
    expect(errors).toEqual([]);
  });

  it("link first uses of words to the glossary", async () => {
    const page = await browser();
    await page.goto(address(lessons[0]!));
    const link = page.locator(".prose a.term").first();
    expect(await link.getAttribute("title")).toMatch(/\.$/);
    await link.click();
    await page.waitForURL(/glossary\.html#term-/);
    const place = new URL(page.url()).hash;
    expect(await page.isVisible(`${place} dt`)).toBe(true);
  });

  it("play in an output of a notebook whose scripts are trusted", async () => {
    const record = simulation({ id: "s", caption: "Squads.", ...playSqueeze({}, { seed: 2 }) });
    const file = join(made, "output.html");
    writeFileSync(file, `<!doctype html><meta charset="utf-8">${liveOutput(record)}`);
    const page = await browser();
    const errors = watched(page);
    await page.goto(`file://${file}`);
    expect(await says(page)).toBe(record.sentence);
    expect(await press(page, "again")).toBe(playAgain("squeeze", {}, 3, "en").sentence);
    expect(await page.isVisible("[data-play=link]")).toBe(false);
    expect(errors).toEqual([]);
  });
});
