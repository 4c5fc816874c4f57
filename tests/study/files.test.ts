import { execFileSync } from "node:child_process";
import { mkdirSync, mkdtempSync, rmSync, symlinkSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterEach, beforeEach, describe, expect, it } from "vitest";
import { InputError } from "../../lib/errors.js";
import { readStudyFiles, studyNames } from "../../lib/study/files.js";
import { inspectStudy, openStudy } from "../../lib/study/open.js";
import { readDescriptor } from "../../lib/study/package/read-descriptor.js";
import { descriptor, filesOf, withResource } from "./small-study.js";

let root: string;
let study: string;

beforeEach(() => {
  root = mkdtempSync(join(tmpdir(), "study é "));
  study = join(root, "data", "two-golfers");
  mkdirSync(study, { recursive: true });
  for (const [path, bytes] of filesOf().files) writeFileSync(join(study, path), bytes);
});
afterEach(() => rmSync(root, { recursive: true, force: true }));

function from<T>(folder: string, work: () => T): T {
  const before = process.cwd();
  process.chdir(folder);
  try {
    return work();
  } finally {
    process.chdir(before);
  }
}

const withPath = (path: string) =>
  writeFileSync(
    join(study, "datapackage.json"),
    JSON.stringify(withResource("grip-trials", { path })),
  );

describe("finding a study", () => {
  it("by name, from the repository and from any folder below it", () => {
    mkdirSync(join(root, "notebooks", "deep"), { recursive: true });
    for (const folder of ["", "notebooks", "notebooks/deep", "data/two-golfers"])
      expect(from(join(root, folder), () => openStudy("two-golfers").name)).toBe("two-golfers");
  });

  it("by path", () => {
    expect(openStudy(study).participants.totalRows()).toBe(2);
    expect(from(root, () => openStudy("./data/two-golfers").name)).toBe("two-golfers");
    expect(from(study, () => openStudy(".").name)).toBe("two-golfers");
  });

  it("names the studies there are when it is not found", () => {
    expect(from(root, () => studyNames())).toEqual(["two-golfers"]);
    expect(() => from(root, () => openStudy("two-golfer"))).toThrow(
      'openStudy: expected a folder with datapackage.json, got "two-golfer"; studies here: two-golfers',
    );
  });

  it.each(["", "a\0b", 7])("refuses %j as a name", (name) => {
    expect(() => openStudy(name as string)).toThrow(InputError);
  });

  it("throws with file, row and column what stops a study, and says how many more there are", () => {
    writeFileSync(join(study, "grip-trials.csv"), "participant,occasion\n");
    expect(() => openStudy(study)).toThrow(/^openStudy, grip-trials.csv, row 1, hand: expected/);
    expect(() => openStudy(study)).toThrow(/\(and 5 more\)$/);
  });
});

describe("a descriptor in another encoding", () => {
  const text = JSON.stringify(descriptor);
  const wide = (swapped: boolean) => {
    const bytes = Buffer.from(text, "utf16le");
    return swapped ? bytes.swap16() : bytes;
  };
  it.each([
    ["UTF-8 with a mark", Buffer.concat([Buffer.from([0xef, 0xbb, 0xbf]), Buffer.from(text)])],
    ["UTF-16, little end first", wide(false)],
    ["UTF-16, big end first", wide(true)],
    ["UTF-16 with a mark", Buffer.concat([Buffer.from([0xff, 0xfe]), wide(false)])],
    ["UTF-16 with a mark, big end first", Buffer.concat([Buffer.from([0xfe, 0xff]), wide(true)])],
  ])("%s: the study and its files are found", (_, bytes) => {
    writeFileSync(join(study, "datapackage.json"), bytes);
    expect(inspectStudy(study).issues).toEqual([]);
    expect(openStudy(study).participants.totalRows()).toBe(2);
    expect(from(root, () => studyNames())).toEqual(["two-golfers"]);
  });

  it("that is no JSON has one message, whoever asks", () => {
    const broken = Buffer.from("{ no", "utf16le");
    writeFileSync(join(study, "datapackage.json"), broken);
    const { message } = inspectStudy(study).issues[0]!;
    expect(message).toMatch(/^datapackage.json is not valid JSON: /);
    expect(() => readDescriptor(broken)).toThrow(/^datapackage.json: expected valid JSON, got /);
    expect(from(root, () => studyNames())).toEqual([]);
  });

  it("nested without end is refused before it is read", () => {
    const deep = new TextEncoder().encode("[".repeat(1e6));
    expect(() => readDescriptor(deep)).toThrow("records nested more than 60 deep");
  });
});

const stopsOf = (folder: string) =>
  inspectStudy(folder).issues.filter(({ severity }) => severity === "stop");

describe("files that are not read", () => {
  it.each([
    ["../secret.csv"],
    ["sub/../../secret.csv"],
    ["/etc/hostname"],
    ["C:\\secret.csv"],
    ["..\\secret.csv"],
    ["./grip-trials.csv"],
    ["a\u0000.csv"],
  ])("%j is refused as a path", (path) => {
    writeFileSync(join(root, "data", "secret.csv"), "participant\nsecret\n");
    withPath(path);
    const { study: none, issues } = inspectStudy(study);
    expect(none).toBeNull();
    const stops = issues.filter(({ severity }) => severity === "stop");
    expect(stops).toHaveLength(1);
    expect(stops[0]!.message).toMatch(/path/);
    expect(readStudyFiles(study).files.has(path)).toBe(false);
  });

  it("a link out of the folder, to a file or through a folder", () => {
    writeFileSync(join(root, "secret.csv"), "participant\nsecret\n");
    symlinkSync(join(root, "secret.csv"), join(study, "link.csv"));
    symlinkSync(root, join(study, "linked"));
    for (const path of ["link.csv", "linked/secret.csv"]) {
      withPath(path);
      expect(stopsOf(study)).toMatchObject([{ file: path, code: "file-refused" }]);
    }
  });

  it("a folder, and a pipe that would never end", () => {
    mkdirSync(join(study, "folder"));
    execFileSync("mkfifo", [join(study, "pipe.csv")]);
    for (const path of ["folder", "pipe.csv"]) {
      withPath(path);
      expect(stopsOf(study)).toMatchObject([{ file: path, code: "file-refused" }]);
    }
  });

  it("a file that is not there", () => {
    withPath("gone.csv");
    expect(stopsOf(study)).toMatchObject([{ file: "gone.csv", code: "file-missing" }]);
    // The file that is there, and no longer named, is named as not read.
    expect(inspectStudy(study).issues).toContainEqual(
      expect.objectContaining({ file: "grip-trials.csv", code: "file-unread" }),
    );
  });

  it("only what the datapackage names is read, and whoever listens is told", () => {
    writeFileSync(join(study, "diary.txt"), "not for anyone");
    const key = Symbol.for("tautline.read");
    const heard: string[] = [];
    const world = globalThis as Record<symbol, unknown>;
    world[key] = (path: string) => heard.push(path);
    try {
      openStudy(study);
    } finally {
      delete world[key];
    }
    expect(heard).toEqual(
      ["datapackage.json", "participants.csv", "grip-trials.csv", "swing-trials.csv"].map((name) =>
        join(study, name),
      ),
    );
  });
});
