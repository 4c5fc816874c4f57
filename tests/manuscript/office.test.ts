import { spawnSync } from "node:child_process";
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, beforeAll, describe, expect, it, vi } from "vitest";
import { readArchive } from "../../lib/archive/reading.js";
import { writeArchive } from "../../lib/archive/zip.js";
import { compared, documentXml, sampleFacts, written } from "./sample.js";

vi.setConfig({ testTimeout: 120_000, hookTimeout: 120_000 });

const isInstalled = spawnSync("soffice", ["--version"]).status === 0;

describe.skipIf(!isInstalled)(
  "another word processor (skipped where soffice is not installed)",
  () => {
    const facts = sampleFacts();
    let folder = "";

    /** Opens the manuscript and saves it in another format. */
    function converted(format: string, name: string): Buffer {
      const out = join(folder, "out");
      const { status, stderr } = spawnSync("soffice", [
        `-env:UserInstallation=file://${folder}/profile`,
        ...["--headless", "--convert-to", format, "--outdir", out, join(folder, "manuscript.docx")],
      ]);
      expect(status, String(stderr)).toBe(0);
      return readFileSync(join(out, name));
    }

    beforeAll(() => {
      folder = mkdtempSync(join(tmpdir(), "tautline-office-"));
      writeFileSync(join(folder, "manuscript.docx"), writeArchive(written(facts), facts.day));
    });
    afterAll(() => rmSync(folder, { recursive: true, force: true }));

    it("opens it, makes a PDF, and gives every tag and picture back", () => {
      const back = converted("docx:MS Word 2007 XML", "manuscript.docx");
      const comparison = compared(facts, readArchive(back));
      expect(comparison.agrees).toBe(true);
      const tags = documentXml(written(facts)).match(/<w:tag /g);
      expect(comparison.numbers).toHaveLength(tags!.length);
      expect(comparison.numbers.some(({ isUntagged }) => isUntagged)).toBe(false);
      expect(converted("pdf", "manuscript.pdf").subarray(0, 5).toString()).toBe("%PDF-");
    });
  },
);
