import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { forgedArchives } from "../archive/forgeries.js";
import { type ForgeryStudy, forgeryStudy, missedBy } from "../archive/forgery-study.js";

describe("a hundred forgeries of an archive, with every hash corrected", () => {
  let made: ForgeryStudy;

  beforeAll(async () => {
    made = await forgeryStudy();
  });
  afterAll(() => made.study.remove());

  it("are all found without running a cell", async () => {
    expect(await missedBy(made.judge, forgedArchives(made.files, 100, 77))).toEqual([]);
  });
});
