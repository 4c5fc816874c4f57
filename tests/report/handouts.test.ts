import { mkdtempSync, readdirSync, readFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { run } from "../../lib/cli/handouts.js";
import { coachPage, notToConclude, plainWords } from "../../lib/report/coach-page.js";
import { golferSheet } from "../../lib/report/golfer-sheet.js";
import { recordedNotebook } from "../../lib/report/recorded.js";
import { finding } from "../../lib/show/finding.js";
import { golferAccounts } from "../../lib/study/golfer-account.js";
import { openStudy } from "../../lib/study/open.js";
import { studyAccounts } from "../../lib/study/study-account.js";
import { browserFile, openBrowser } from "./browser.js";
import { changeNotebook, sampleAccount } from "./sample.js";

const io = { cwd: process.cwd(), out: () => undefined, err: () => undefined };
const winter = golferAccounts(openStudy("winter-block"));
const nine = golferAccounts(openStudy("coach-nine"));

describe("a golfer's sheet", () => {
  it("holds the golfer's own trials as the file has them", () => {
    // the rows of golfer 001 in week 0, left hand (the lead hand of a right-sided player), position top
    const lines = readFileSync("data/winter-block/grip-trials.csv", "utf8").split("\n");
    const own = lines
      .filter((line) => /^001,w0,[^,]*,[^,]*,left,top,/.test(line))
      .map((line) => Number(line.split(",")[9]));
    expect(own).toHaveLength(3);
    const series = winter.find(({ code }) => code === "001")!.series;
    const top = series.find(({ role, name }) => role === "lead" && /top/.test(name))!;
    expect(top.visits[0]!.trials).toEqual(own);
    expect(top.visits[0]!.value).toBeCloseTo(own.reduce((sum, force) => sum + force) / 3, 10);
  });

  it("holds a change against measurement error, and says less where days are not known", () => {
    const controlled = winter[1]!.series[0]!.change!;
    expect(controlled).toMatchObject({ betweenVisits: true });
    expect(controlled.verdict === "within error").toBe(
      Math.abs(controlled.value) < controlled.detectable,
    );
    expect(nine[0]!.series[0]!.change).toMatchObject({ betweenVisits: false });
    const sheets = nine.map(golferSheet).join("");
    expect(sheets).toContain("trial-to-trial error");
    expect(sheets).not.toContain("than measurement error");
  });

  it("names no other golfer and gives no rank", () => {
    const codes = winter.map(({ code }) => code);
    for (const account of winter) {
      const sheet = golferSheet(account);
      const others = codes.filter(
        (code) => code !== account.code && new RegExp(`\\b[Gg]olfer ${code}\\b`).test(sheet),
      );
      expect(others).toEqual([]);
      expect(sheet).not.toMatch(/\b(rank|best of|place \d|better than \d|top \d)/i);
      expect(sheet).toContain("does not promise a faster swing");
      expect(sheet).toContain("These data are invented");
    }
  });

  it("answers first whether the golfer changed, and says from how many golfers the error is", () => {
    for (const account of winter) {
      const sheet = golferSheet(account);
      const changed = account.series.some(
        ({ change }) => change !== undefined && change.verdict !== "within error",
      );
      const compared = account.series.some(({ change }) => change !== undefined);
      const start = !compared ? "We cannot say" : changed ? "Yes" : "No: every change is within";
      expect(sheet).toContain(`<h1>Did I change? ${start}`);
      // twelve golfers of the control arm were tested twice
      if (compared) expect(sheet).toMatch(/12(?:&nbsp;| )golfers/);
    }
  });

  it("says why there is no norm where the table has no such group", () => {
    const young = winter.find(({ norm }) => !norm);
    expect(young?.noNorm).toContain("no group for this golfer");
    expect(golferSheet(young!)).toContain("No comparison with other people");
    expect(winter.filter(({ norm }) => norm).length).toBeGreaterThan(20);
  });

  it("leaves out nothing of a golfer who left, and draws no change", () => {
    const left = winter.filter(({ series }) => series.every(({ change }) => !change));
    expect(left.length).toBe(2);
    expect(golferSheet(left[0]!)).toContain("not tested at the first and the last visit");
  });

  it("shows planted markup as text", () => {
    const planted = {
      ...winter[0]!,
      code: "<b>x",
      arm: "<script>1</script>",
      cautions: ["<img src=x>"],
    };
    expect(golferSheet(planted)).not.toMatch(/<b>x|<script|<img/);
  });
});

describe("the coach's page", () => {
  const notebook = recordedNotebook("notebooks/1-change.ipynb", JSON.stringify(changeNotebook()));
  it("gives size, n and plausible range, the unit once", () => {
    const words = plainWords(
      finding({
        id: "x",
        title: "Grip",
        value: 2.641,
        low: 1.881,
        high: 3.377,
        unit: "kgf",
        count: { n: 12, of: "golfers" },
        method: "t",
      }),
    );
    expect(words).toBe(
      "Grip: 2.6 kgf (26 N) on average (plausible range 1.9 to 3.4 kgf; 12 golfers).",
    );
  });

  it("says a difference between arms as a sentence, and its direction from the value", () => {
    const words = plainWords({
      ...finding({
        id: "x",
        title: "Lead grip, week 6: grip block − swing practice",
        value: -2.641,
        low: -3.377,
        high: -1.881,
        unit: "kgf",
        count: { n: 12, of: "golfers" },
        method: "t",
      }),
      quantity: "difference",
      measure: { outcome: "grip", name: "Lead grip" },
      arms: { first: "Grip block", second: "Swing practice" },
      visits: { at: { title: "After", week: 6 } },
    });
    expect(words).toBe(
      "In week 6, lead grip was on average 2.6 kgf (26 N) lower in the grip block group than in the swing practice group (plausible range −3.4 to −1.9 kgf; 12 golfers).",
    );
  });

  it("tells what may not be concluded from this design", () => {
    expect(notToConclude(sampleAccount).join(" ")).toContain("Every golfer who trained gained");
    const [alone] = studyAccounts(process.cwd(), ["coach-nine"]);
    expect(notToConclude(alone!).join(" ")).toContain("Nobody was tested without the training");
  });

  it("sorts the claims into what may and what may not be said, at most three each", () => {
    const page = coachPage(sampleAccount, [notebook]);
    const [may = "", not = ""] = page.split("You may say</h2>")[1]!.split("You may not say</h2>");
    expect(may).toContain("“The lead hand gained 1&nbsp;kgf or more.”");
    expect(not).toContain("“The lead hand gained 3&nbsp;kgf or more.” The results of");
    expect(may.match(/<li>/g)!.length).toBeLessThanOrEqual(3);
    expect(not.split("</ul>")[0]!.match(/<li>/g)!.length).toBeLessThanOrEqual(3);
    expect(page).toContain("smaller handle");
    expect(page).toContain("Local rules");
  });
});

describe("tautline handouts", () => {
  it("writes a page a golfer by code and one for the coach", async () => {
    const out = mkdtempSync(join(tmpdir(), "handouts-"));
    expect(await run(["coach-nine", "--out", out], io)).toBe(0);
    expect(readdirSync(out)).toHaveLength(10);
    expect(readdirSync(out)).toContain("coach.html");
    await expect(run(["coach-nine", "--golfer", "Z9", "--out", out], io)).rejects.toThrow(
      'no golfer "Z9"',
    );
  });

  it.skipIf(!browserFile)(
    "prints each golfer on one page (skipped where there is no Chromium)",
    async () => {
      const out = mkdtempSync(join(tmpdir(), "print-"));
      await run(["winter-block", "--out", out, "--golfer", "002", "--golfer", "005"], io);
      const context = await openBrowser({ width: 360 });
      try {
        const page = await context.newPage();
        for (const name of readdirSync(out)) {
          await page.goto(`file://${join(out, name)}`);
          const wide = await page.evaluate(() => document.documentElement.scrollWidth - innerWidth);
          expect(wide, name).toBeLessThanOrEqual(0);
          const pdf = (await page.pdf({ preferCSSPageSize: true })).toString("latin1");
          expect(pdf.match(/\/Type\s*\/Page[^s]/g), name).toHaveLength(1);
        }
      } finally {
        await context.close();
      }
    },
  );
});
