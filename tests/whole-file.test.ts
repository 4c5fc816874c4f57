import { spawnSync } from "node:child_process";
import {
  chmodSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  statSync,
  symlinkSync,
  writeFileSync,
} from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { expect, it, onTestFinished } from "vitest";
import { sweepTemporaries } from "../lib/notebook/record.js";
import { placeFile } from "../lib/report/folder.js";
import { temporariesIn, writeAtomically } from "../lib/whole-file.js";

function ownFolder(): string {
  const folder = mkdtempSync(join(tmpdir(), "tautline-whole-"));
  onTestFinished(() => rmSync(folder, { recursive: true }));
  return folder;
}

it("replaces a page or a record whole, with the mode it had, and leaves nothing beside it", () => {
  const folder = ownFolder();
  const path = join(folder, "coach.html");
  writeFileSync(path, "old");
  chmodSync(path, 0o662);
  placeFile(folder, "coach.html", "new");
  expect(readFileSync(path, "utf8")).toBe("new");
  expect(statSync(path).mode & 0o777).toBe(0o662);
  placeFile(folder, "deep/er/page.html", new Uint8Array([104, 105]));
  expect(readFileSync(join(folder, "deep", "er", "page.html"), "utf8")).toBe("hi");
  expect(readdirSync(folder).sort()).toEqual(["coach.html", "deep"]);
});

it("leaves the old and nothing beside it where the new cannot be put in place", () => {
  const folder = ownFolder();
  const path = join(folder, "taken");
  mkdirSync(path);
  expect(() => writeAtomically(path, "new")).toThrow();
  expect(readdirSync(folder)).toEqual(["taken"]);
});

it("does not write through a link planted under the name of its temporary file", () => {
  const folder = ownFolder();
  const foreign = join(folder, "foreign.txt");
  writeFileSync(foreign, "untouched");
  const path = join(folder, "coach.html");
  symlinkSync(foreign, join(folder, `.coach.html.${process.pid}.tmp`));
  writeAtomically(path, "new");
  expect(readFileSync(foreign, "utf8")).toBe("untouched");
  expect(readFileSync(path, "utf8")).toBe("new");
  expect(readdirSync(folder).sort()).toEqual(["coach.html", "foreign.txt"]);
});

it("sweeps what a killed write left, and no other's write under way", () => {
  const folder = ownFolder();
  const gone = spawnSync(process.execPath, ["--eval", ""]).pid;
  const names = [`.a.html.${gone}.tmp`, `.b.html.${process.pid}.tmp`];
  for (const name of [...names, "c.html"]) writeFileSync(join(folder, name), "half");
  expect(temporariesIn(folder).map(({ owner }) => owner)).toEqual([gone, process.pid]);
  sweepTemporaries(folder);
  expect(readdirSync(folder).sort()).toEqual([names[1], "c.html"]);
});
