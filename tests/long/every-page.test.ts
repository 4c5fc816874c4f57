import { mkdtempSync, readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { tmpdir } from "node:os";
import { basename, join } from "node:path";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { report } from "../../lib/cli/report.js";
import { browserFile, openBrowser } from "../report/browser.js";
import { drawnTextFaults } from "../report/drawn-text.js";

const axeText = readFileSync(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");

const looks = ["light", "dark", "print"] as const;
const widths = [360, 768, 1280];

/** 6 pt on paper, in px. */
const smallestPrinted = 8;

describe.skipIf(!browserFile)("every page of the repository's report", () => {
  const out = mkdtempSync(join(tmpdir(), "every-page-"));
  let pages: string[] = [];
  const open: { close(): Promise<void> }[] = [];

  beforeAll(async () => {
    const written = await report(process.cwd(), out);
    expect(written.problems).toEqual([]);
    pages = written.pages.map((page) => basename(page));
  });
  afterAll(async () => {
    for (const one of open) await one.close();
  });

  for (const look of looks) {
    it(`fits at every width, breaks no accessibility rule and clips no text: ${look}`, async () => {
      const context = await openBrowser({ dark: look === "dark" });
      open.push(context);
      const page = await context.newPage();
      await page.emulateMedia({ media: look === "print" ? "print" : "screen" });
      const faults: string[] = [];
      for (const name of pages) {
        for (const width of widths) {
          const place = `${name} at ${width} px`;
          await page.setViewportSize({ width, height: 900 });
          await page.goto(`file://${join(out, name)}`);
          await page.evaluate(() => {
            for (const fold of document.querySelectorAll("details.part")) {
              (fold as HTMLDetailsElement).open = true;
            }
          });
          const overflow = await page.evaluate(
            () => document.documentElement.scrollWidth - innerWidth,
          );
          if (overflow > 0 && look !== "print") faults.push(`${place}: ${overflow} px too wide`);
          if (look !== "print" || width === 1280) {
            const drawn = await drawnTextFaults(
              page,
              look === "print" ? smallestPrinted : undefined,
            );
            faults.push(...drawn.map((fault) => `${place}: ${fault}`));
          }
          const found = (await page.evaluate(
            `${axeText}; axe.run(document, { resultTypes: ["violations"], preload: false })`,
          )) as { violations: { id: string; nodes: { html: string }[] }[] };
          for (const { id, nodes } of found.violations) {
            faults.push(`${place}: ${id}, ${nodes[0]?.html.slice(0, 120)}`);
          }
        }
      }
      expect(faults).toEqual([]);
    });
  }
});
