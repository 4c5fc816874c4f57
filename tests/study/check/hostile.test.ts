import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { readStudy } from "../../../lib/study/open.js";
import { holds, mangledStudy, soundForeignStudy } from "../mangle.js";

describe("mangled studies", () => {
  it("begin sound: two files of grip, one of them mapped, and swings side by side", () => {
    const files = soundForeignStudy();
    holds(files);
    const { issues, account } = readStudy({ name: "foreign", files, faults: [] });
    expect(issues.filter(({ severity }) => severity === "error" || severity === "stop")).toEqual(
      [],
    );
    expect(account.filter(({ resource }) => resource === "grip-trials").length).toBe(2);
  });

  it("never throw, lose no row, name rows that exist, and end (300 of them)", () => {
    fc.assert(fc.property(mangledStudy, holds), { seed: 20_250_106, numRuns: 300 });
  }, 120_000);
});
