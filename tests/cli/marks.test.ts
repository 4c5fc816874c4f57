import { mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { run } from "../../lib/cli/marks.js";
import { handedIn } from "../../lib/learn/hand-in.js";
import { heard } from "./heard.js";

describe("tautline marks", () => {
  it("writes a CSV file and a page, and names files that it cannot read", async () => {
    const folder = mkdtempSync(join(tmpdir(), "marks-"));
    const work = [{ exercise: "line-slope", answer: "0.4", tries: 0, wrong: [] }];
    writeFileSync(join(folder, "a.txt"), handedIn({ code: "José", minutes: 5, work }));
    writeFileSync(join(folder, "b.txt"), "<script>alert(1)</script>");
    const { io, out, err } = heard(folder);
    expect(await run(["."], io)).toBe(1);
    expect(out()).toContain("1 student marked");
    expect(err()).toMatch(/b\.txt: .*begins with/);
    const csv = readFileSync(join(folder, "marks.csv"), "utf8");
    expect(csv.charCodeAt(0)).toBe(0xfeff);
    expect(csv).toContain("josé,line-slope,");
    expect(readFileSync(join(folder, "marks.html"), "utf8")).not.toContain("<script>");
    rmSync(folder, { recursive: true });
  });

  it("refuses a folder without texts", async () => {
    const io = { out: () => undefined, err: () => undefined, cwd: tmpdir() };
    await expect(run(["no-such-folder"], io)).rejects.toThrow(/cannot be read/);
    await expect(run([], io)).rejects.toThrow(/name one folder/);
  });
});
