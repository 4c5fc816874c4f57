import { mkdirSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { afterAll, describe, expect, it } from "vitest";
import { run as check } from "../../lib/cli/check.js";
import { run as form } from "../../lib/cli/form.js";
import { newStudy } from "../form/form-browser.js";
import { heard } from "./heard.js";

const study = newStudy(2);
const base = join(study.folder, "..");
mkdirSync(join(base, "data"));
writeFileSync(join(base, "package.json"), "{}");
afterAll(study.remove);

describe("tautline form", () => {
  it("writes one self-contained file under 2 MB, with codes and no other data of golfers", async () => {
    const { io, out } = heard(base);
    expect(await form([study.folder, "--occasion", "week-6", "--json"], io)).toBe(0);
    const { file } = JSON.parse(out()) as { file: string };
    expect(file).toBe(join("out", "forms", "spring", "form-week-6.html"));
    const page = readFileSync(join(base, file), "utf8");
    expect(page.length).toBeLessThan(2_000_000);
    expect(page).not.toMatch(
      /<(?:link|img|iframe)\b|\ssrc="|https?:\/\/(?!www\.w3\.org)[^"'\s]*\.js/,
    );
    const [, data] = /<script type="application\/json">(.*?)<\/script>/s.exec(page)!;
    const content = JSON.parse(data!);
    expect(content.people).toEqual([
      { participant: "G01", plays: "left" },
      { participant: "G02", plays: "right" },
    ]);
    expect(content.earlier).toEqual({});
  });

  it("is the same file for the same study", async () => {
    const path = join(base, "out/forms/spring/diary.html");
    const { io } = heard(base);
    await form([study.folder, "--diary"], io);
    const first = readFileSync(path);
    await form([study.folder, "--diary"], io);
    expect(readFileSync(path).equals(first)).toBe(true);
  });

  it("refuses an unknown visit and a diary with visits", async () => {
    const { io } = heard(base);
    await expect(form([study.folder, "--occasion", "w9"], io)).rejects.toThrow(/week-0, week-6/);
    await expect(form([study.folder, "--diary", "--earlier"], io)).rejects.toThrow(/--diary/);
  });
});

const header =
  "participant,occasion,date,time,hand,position,handle_mm,device,trial,force,unit,status,note";
const row = (force: string) =>
  `G01,week-0,2025-01-08,10:00:00,right,seated,49,D1,1,${force},kgf,valid,`;
const exported = (name: string, force: string) => {
  const path = join(base, name);
  writeFileSync(path, `${header}\n${row(force)}\n`);
  return path;
};
const own = join(study.folder, "grip-trials.csv");

describe("tautline check --add", () => {
  it("adds rows once and says what is there already", async () => {
    const { io, out } = heard(base);
    const path = exported("a.csv", "30");
    expect(await check([study.folder, "--add", path], io)).toBe(0);
    expect(out()).toContain(
      "grip-trials.csv: 1 rows read, 1 added, 0 there already, 0 contradict.",
    );
    expect(readFileSync(own, "utf8")).toBe(`${header}\n${row("30")}\n`);
    expect(await check([study.folder, "--add", path], io)).toBe(0);
    expect(readFileSync(own, "utf8")).toBe(`${header}\n${row("30")}\n`);
  });

  it("writes nothing when a row contradicts, and names both rows and the column", async () => {
    const { io, out } = heard(base);
    const before = readFileSync(own, "utf8");
    expect(await check([study.folder, "--add", exported("b.csv", "52")], io)).toBe(1);
    expect(out()).toContain("b.csv, row 2 and grip-trials.csv, row 2 are about the same trial");
    expect(out()).toContain("force 52, there 30");
    expect(readFileSync(own, "utf8")).toBe(before);
  });

  it("refuses a file that is not there or has other columns", async () => {
    const { io } = heard(base);
    await expect(check([study.folder, "--add", "no.csv"], io)).rejects.toThrow(/cannot be read/);
    writeFileSync(join(base, "c.csv"), "a,b\n1,2\n");
    await expect(check([study.folder, "--add", "c.csv"], io)).rejects.toThrow(/columns/);
  });
});
