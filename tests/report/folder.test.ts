import {
  cpSync,
  existsSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  symlinkSync,
  writeFileSync,
} from "node:fs";
import { tmpdir } from "node:os";
import { basename, join } from "node:path";
import { describe, expect, it } from "vitest";
import { run as runFigures } from "../../lib/cli/figures.js";
import { run as runHandouts } from "../../lib/cli/handouts.js";
import { run as runReport } from "../../lib/cli/report.js";
import { run as runSheets } from "../../lib/cli/sheets.js";
import { run as runTables } from "../../lib/cli/tables.js";
import { journalWidths, writeFigureFiles } from "../../lib/report/figure-files.js";
import { distinctFileName, fileName, fileNames } from "../../lib/report/file-name.js";
import { outputFolder, placeFile, replaceFiles } from "../../lib/report/folder.js";
import type { RecordedNotebook } from "../../lib/report/recorded.js";
import type { Shown } from "../../lib/report/recorded-outputs.js";
import { writeReport } from "../../lib/report/site.js";
import { writeTableFiles } from "../../lib/report/table-files.js";
import { recordedIn, sampleNotebook, sampleRoot } from "./sample.js";

process.env.XDG_STATE_HOME = mkdtempSync(join(tmpdir(), "state-"));

const hostileIds = [
  "../../../../escaped/evil",
  "/etc/evil",
  "..\\..\\evil",
  "x".repeat(240),
  `${"x".repeat(239)}y`,
  "CON",
  "nul.txt",
  "COM1",
  "trailing...",
  "...",
  "",
  " ",
  "a/b",
  "a-b",
  "Grip",
  "grip",
  "naïve\u0000.csv",
  "C:evil",
  "twice",
  "twice",
];

/** What every file system takes as the name of one file, with room for an ending. */
const plainName = /^(?!(?:con|prn|aux|nul|com\d|lpt\d)(?:\.|$))[A-Za-z0-9_][\w.-]{0,110}$/i;

describe("names of files", () => {
  it("are plain, short and no device, whatever the id", () => {
    for (const id of hostileIds) {
      expect(fileName(id), id).toMatch(plainName);
      expect(fileName(id), id).not.toMatch(/\.$/);
    }
  });

  it("stay the ids that are plain, and differ where ids differ, in any case of letters", () => {
    for (const id of ["figure-1", "G01", "1-2", "mass_kg.v2"]) expect(fileName(id)).toBe(id);
    const names = fileNames(hostileIds);
    expect(new Set(names.map((name) => name.toLowerCase())).size).toBe(hostileIds.length);
    const own = [...new Set(hostileIds)].map(distinctFileName);
    expect(new Set(own.map((name) => name.toLowerCase())).size).toBe(own.length);
    expect(fileNames(["index"], ["Index"])).toEqual(["index-2"]);
  });
});

/** A notebook whose record names a table and a figure by each of the ids. */
function hostileNotebook(): RecordedNotebook {
  const root = sampleRoot({ "a.ipynb": sampleNotebook("", [{ code: "1" }]) });
  const [notebook] = recordedIn(root);
  const shown = hostileIds.flatMap((id): Shown[] => {
    const columns = [{ name: "a", label: "A" }];
    const table = { kind: "table" as const, id, rows: [{ a: 1 }], columns, caption: "A table." };
    const figure = { id, data: [{ x: [1], y: [2] }], layout: {}, caption: "A.", alt: "A." };
    return [
      { kind: "table", table },
      { kind: "figure", figure: figure as never, svg: "<svg/>" },
    ];
  });
  return { ...notebook!, cells: [{ ...notebook!.cells[0]!, shown }] };
}

/** A new folder some levels down, and all files of the folder that these levels are in. */
function deepFolder() {
  const top = mkdtempSync(join(tmpdir(), "deep-"));
  const out = join(top, "a", "b", "c", "out");
  mkdirSync(out, { recursive: true });
  const files = () =>
    readdirSync(top, { recursive: true, withFileTypes: true })
      .filter((entry) => entry.isFile())
      .map((entry) => join(entry.parentPath, entry.name));
  return { out, files };
}

describe("ids of a record as names of files", () => {
  const notebook = hostileNotebook();

  it.each([
    ["tables", "csv"],
    ["figures", "csv"],
    ["the report", "csv"],
  ])("%s: every file is made, none outside the folder", async (what) => {
    const { out, files } = deepFolder();
    if (what === "tables") writeTableFiles({ notebooks: [notebook], out, formats: ["csv"] });
    else if (what === "figures")
      await writeFigureFiles({
        notebooks: [notebook],
        out,
        width: journalWidths.one,
        dpi: 72,
        formats: ["csv"],
      });
    else await writeReport({ notebooks: [notebook], out });
    const made = files();
    expect(made.filter((path) => !path.startsWith(out))).toEqual([]);
    const csv = made.filter((path) => path.endsWith(".csv"));
    // A table is written with the digits shown and once more with all of them.
    const each = what === "tables" ? 2 : 1;
    const wanted = what === "the report" ? new Set(hostileIds).size : each * hostileIds.length;
    expect(new Set(csv.map((path) => path.toLowerCase())).size).toBe(wanted);
    for (const path of csv) expect(basename(path, ".csv")).toMatch(plainName);
  });

  it("a golfer's code makes one file in the folder", async () => {
    const root = mkdtempSync(join(tmpdir(), "codes-"));
    writeFileSync(join(root, "package.json"), "{}");
    cpSync("data/coach-nine", join(root, "data/coach-nine"), { recursive: true });
    for (const name of readdirSync(join(root, "data/coach-nine"))) {
      const path = join(root, "data/coach-nine", name);
      if (!name.endsWith(".csv")) continue;
      const text = readFileSync(path, "utf8")
        .replace(/\b1-1\b/g, "../../../escaped")
        .replace(/\b1-2\b/g, "CON");
      writeFileSync(path, text);
    }
    const io = { cwd: root, out: () => undefined, err: () => undefined };
    expect(await runHandouts(["coach-nine"], io)).toBe(0);
    const made = readdirSync(root, { recursive: true, encoding: "utf8" }).filter((path) =>
      path.endsWith(".html"),
    );
    expect(made.every((path) => /^out\/handouts\/coach-nine\/[\w.-]+$/.test(path))).toBe(true);
    expect(made.length).toBeGreaterThanOrEqual(9);
  });
});

describe("links on the way to a file", () => {
  const victim = () => {
    const folder = mkdtempSync(join(tmpdir(), "victim-"));
    writeFileSync(join(folder, "letter.html"), "mine");
    return folder;
  };
  const untouched = (folder: string) => {
    expect(readdirSync(folder)).toEqual(["letter.html"]);
    expect(readFileSync(join(folder, "letter.html"), "utf8")).toBe("mine");
  };

  it("stop a write before anything is written, at the folder, below it and at the file", () => {
    const [out, outside] = [mkdtempSync(join(tmpdir(), "out-")), victim()];
    symlinkSync(outside, join(out, "assets"));
    const files = new Map([
      ["index.html", "page"],
      ["assets/deep/site.css", "style"],
    ]);
    expect(() => replaceFiles(out, files)).toThrow(/nothing is written or removed through a link/);
    expect(readdirSync(out)).toEqual(["assets"]);
    untouched(outside);
    symlinkSync(join(outside, "letter.html"), join(out, "index.html"));
    expect(() => placeFile(out, "index.html", "page")).toThrow(/got the link/);
    expect(() => placeFile(out, "../evil.html", "page")).toThrow(/a path inside/);
    untouched(outside);
  });

  it("stop a removal: a page that was listed and whose folder became a link", () => {
    const [out, outside] = [mkdtempSync(join(tmpdir(), "out-")), victim()];
    replaceFiles(out, new Map([["old/letter.html", "page"]]));
    rmSync(join(out, "old"), { recursive: true });
    symlinkSync(outside, join(out, "old"));
    expect(() => replaceFiles(out, new Map([["index.html", "page"]]))).toThrow(/got the link/);
    expect(existsSync(join(out, "index.html"))).toBe(false);
    untouched(outside);
  });

  it.each([
    ["report", runReport, []],
    ["tables", runTables, []],
    ["figures", runFigures, []],
    ["handouts", runHandouts, ["coach-nine"]],
    ["sheets", runSheets, ["coach-nine"]],
  ] as const)("stop %s where the usual folder of a study is a link", async (name, run, words) => {
    const outside = victim();
    const root = sampleRoot({ "a.ipynb": sampleNotebook("", [{ code: "1" }]) });
    cpSync("data/coach-nine", join(root, "data/coach-nine"), { recursive: true });
    writeFileSync(join(root, "package.json"), "{}");
    symlinkSync(outside, join(root, name === "sheets" ? "data/coach-nine/sheets" : "out"));
    const io = { cwd: root, out: () => undefined, err: () => undefined };
    await expect(run([...words], io)).rejects.toThrow(/got the link/);
    untouched(outside);
  });

  it("above a folder of the user's choice are the user's own", () => {
    const [root, elsewhere] = [mkdtempSync(join(tmpdir(), "root-")), victim()];
    const link = join(mkdtempSync(join(tmpdir(), "own-")), "link");
    symlinkSync(elsewhere, link);
    expect(outputFolder(root, link)).toBe(link);
    expect(outputFolder(root, join(root, "out"))).toBe(join(root, "out"));
  });
});

describe("what an earlier run wrote", () => {
  it("goes when it is written no more; what others put there stays", () => {
    const out = mkdtempSync(join(tmpdir(), "out-"));
    const first = Object.entries({ "a.html": "a", "deep/b.html": "b" });
    replaceFiles(out, new Map(first));
    writeFileSync(join(out, "mine.html"), "mine");
    replaceFiles(out, new Map([["c.html", "c"]]));
    expect(readdirSync(out, { recursive: true }).sort()).toEqual([
      ".written.json",
      "c.html",
      "deep",
      "mine.html",
    ]);
  });

  it("is not believed from a list that came with the study, or from another folder", () => {
    const out = mkdtempSync(join(tmpdir(), "out-"));
    for (const name of ["letter.html", "photo.html"]) writeFileSync(join(out, name), "mine");
    writeFileSync(join(out, ".written.json"), JSON.stringify(["letter.html"]));
    replaceFiles(out, new Map([["a.html", "a"]]));
    const own = readFileSync(join(out, ".written.json"), "utf8");
    const forged = own.replace("a.html", "letter.html");
    expect(forged).not.toBe(own);
    writeFileSync(join(out, ".written.json"), forged);
    replaceFiles(out, new Map([["a.html", "a"]]));
    const other = mkdtempSync(join(tmpdir(), "other-"));
    replaceFiles(other, new Map([["photo.html", "page"]]));
    cpSync(join(other, ".written.json"), join(out, ".written.json"));
    replaceFiles(out, new Map([["a.html", "a"]]));
    expect(readdirSync(out).sort()).toEqual([
      ".written.json",
      "a.html",
      "letter.html",
      "photo.html",
    ]);
  });

  it("a planted program is replaced, the report's own is kept", async () => {
    const out = mkdtempSync(join(tmpdir(), "out-"));
    const notebooks = recordedIn(sampleRoot({}));
    await writeReport({ notebooks, out });
    const path = join(out, "assets/plotly.js");
    const own = readFileSync(path, "utf8");
    const head = own.slice(0, own.indexOf("\n") + 1);
    writeFileSync(path, `${head}steal()`);
    await writeReport({ notebooks, out });
    expect(readFileSync(path, "utf8")).toBe(own);
  });
});
