import { mkdtempSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { answersOf } from "../../lib/learn/answers.js";
import { calledIn } from "./heard.js";

const folder = mkdtempSync(join(tmpdir(), "answers-"));

const answers = (...args: string[]) => calledIn(folder, ["answers", ...args]);

describe("tautline answers", () => {
  it("lists the class's answers without a word, and one lesson when asked", async () => {
    const { code, out } = await answers();
    expect(code).toBe(0);
    expect(out.match(/^class, lesson /gm)).toHaveLength(5);
    const one = await answers("--lesson", "3");
    expect(one.out).toMatch(/^class, lesson 3 Before and after\n {2}mean change as percent/);
    expect(one.out.trim().split("\n")).toHaveLength(4);
  });

  it("lists each code of a file and of the command line, as JSON and as CSV", async () => {
    writeFileSync(join(folder, "codes.txt"), "Heron\r\n\n plover \n");
    const { out } = await answers("crane", "--from", "codes.txt", "--json");
    const expected = ["crane", "heron", "plover"].flatMap((code) => answersOf(code));
    expect(JSON.parse(out)).toEqual({ answers: expected });
    const csv = await answers("heron", "--csv", "--lesson", "1");
    const [first] = answersOf("heron");
    expect(csv.out.split("\n")[1]).toBe(
      `heron,1 What one squeeze tells,squeeze-typical-error,typical error from first and second squeeze,${first!.answer.toFixed(2)},kgf`,
    );
  });

  it("says what is wrong with a lesson, a file or a code", async () => {
    expect(await answers("--lesson", "7")).toMatchObject({
      code: 2,
      err: expect.stringContaining("there is no lesson 7"),
    });
    expect((await answers("--from", "none.txt")).err).toContain("none.txt");
    expect(await answers(" ")).toMatchObject({
      code: 1,
      err: expect.stringContaining("a code of 1 to 60 characters"),
    });
  });
});
