import { afterAll, beforeAll, describe, expect, it, vi } from "vitest";
import { writeArchive } from "../../lib/archive/zip.js";
import { forgedArchives } from "./forgeries.js";
import { type ForgeryStudy, forgeryStudy, missedBy } from "./forgery-study.js";

vi.setConfig({ testTimeout: 300_000, hookTimeout: 300_000 });

describe("forgeries of an archive, with every hash corrected", () => {
  let made: ForgeryStudy;

  beforeAll(async () => {
    made = await forgeryStudy();
  });
  afterAll(() => made.study.remove());

  it("are none where nothing was changed", async () => {
    const { code, out } = await made.judge(writeArchive(made.files, "2026-02-01"));
    expect(code, out).toBe(0);
    expect(out).toContain("1 drawings");
  });

  it("are all found without running a cell: pages, records, numbers, data, descriptions", async () => {
    expect(await missedBy(made.judge, forgedArchives(made.files, 15, 31))).toEqual([]);
  });
});
