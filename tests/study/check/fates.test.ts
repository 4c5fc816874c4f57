import { describe, expect, it } from "vitest";
import { Fates } from "../../../lib/study/check/fates.js";

describe("fates of rows", () => {
  it("leave every row out, whatever the number of different reasons", () => {
    // Codes have 16 bits: without a limit, row 65 536 would come round to the code of a used row.
    const count = 70_000;
    const fates = new Fates(count);
    for (let row = 0; row < count; row++) fates.leaveOut(row, `reason ${row}`, "set-aside");
    for (let row = 0; row < count; row++) {
      if (fates.used(row)) expect.fail(`row ${row} is used, although a reason leaves it out`);
    }
    const { used, setAside } = fates.counts(0, fates.codes.length);
    expect(used).toBe(0);
    expect(setAside.length).toBe(65_000);
    expect(setAside.at(-1)).toEqual({ reason: "reason 64999", rows: 5_001 });
    expect(fates.of(0)!.reason).toBe("reason 0");
    expect(fates.of(64_998)!.reason).toBe("reason 64998");
  });

  it("keep the first reason of a row, and tell reasons apart by who gave them", () => {
    const fates = new Fates(3);
    fates.leaveOut(0, "slipped", "set-aside");
    fates.leaveOut(0, "void", "error");
    fates.leaveOut(1, "slipped", "error");
    expect([0, 1, 2].map((row) => fates.of(row))).toEqual([
      { reason: "slipped", by: "set-aside" },
      { reason: "slipped", by: "error" },
      null,
    ]);
    expect(fates.counts(0, fates.codes.length).used).toBe(1);
  });
});
