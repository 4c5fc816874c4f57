import { mkdtempSync, readdirSync, readFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterEach, expect, it, vi } from "vitest";
import { openConnection } from "../lib/notebook/connection.js";
import { journalWidths, writeFigureFiles } from "../lib/report/figure-files.js";
import { placeFile, replaceFiles } from "../lib/report/folder.js";
import { readSealed, writeSealed } from "../lib/sealed-file.js";
import { writeAtomically } from "../lib/whole-file.js";
import { recordedIn, sampleNotebook, sampleRoot } from "./report/sample.js";

/** After this many more bytes the disk is full: what fits of a file is written, the rest fails. */
const disk = vi.hoisted(() => ({ left: Number.POSITIVE_INFINITY }));

vi.mock("node:fs", async (original) => {
  const fs = await original<typeof import("node:fs")>();
  const full = () =>
    Object.assign(new Error("ENOSPC: no space left on device"), { code: "ENOSPC" });
  return {
    ...fs,
    writeSync: (file: number, bytes: Uint8Array, at = 0) => {
      if (disk.left <= 0) throw full();
      const length = Math.min(bytes.length - at, disk.left);
      disk.left -= length;
      return fs.writeSync(file, bytes, at, length);
    },
    writeFileSync: (path: string, content: string | Uint8Array, options: object) => {
      const bytes = Buffer.from(content);
      fs.writeFileSync(path, bytes.subarray(0, disk.left), options);
      if (bytes.length > disk.left) throw full();
    },
  };
});

afterEach(() => {
  disk.left = Number.POSITIVE_INFINITY;
});

const folder = () => mkdtempSync(join(tmpdir(), "full-"));
const filesIn = (path: string) =>
  readdirSync(path, { recursive: true, withFileTypes: true })
    .filter((entry) => entry.isFile())
    .map(({ name }) => name);

it("a full disk leaves the old file and nothing beside it", () => {
  const path = join(folder(), "record.ipynb");
  writeAtomically(path, "old");
  for (const room of [0, 1, 4]) {
    disk.left = room;
    expect(() => writeAtomically(path, "newer")).toThrow(/ENOSPC/);
    expect(readFileSync(path, "utf8")).toBe("old");
    expect(filesIn(join(path, ".."))).toEqual(["record.ipynb"]);
  }
});

it("a full disk leaves no part of a page, a figure, an archive or a list", async () => {
  const out = folder();
  disk.left = 6;
  const files = new Map([
    ["index.html", "a page"],
    ["assets/site.css", "style"],
  ]);
  expect(() => replaceFiles(out, files)).toThrow(/ENOSPC/);
  expect(filesIn(out)).toEqual(["site.css"]);
  expect(readFileSync(join(out, "assets/site.css"), "utf8")).toBe("style");
  disk.left = 2;
  expect(() => placeFile(out, "study.zip", new Uint8Array(100))).toThrow(/ENOSPC/);
  const [notebook] = recordedIn(rootWithOneCell());
  const figure = { id: "f", data: [{ x: [1], y: [2] }], layout: {}, caption: "A.", alt: "A." };
  const shown = [{ kind: "figure" as const, figure: figure as never }];
  const notebooks = [{ ...notebook!, cells: [{ ...notebook!.cells[0]!, shown }] }];
  disk.left = 2;
  const figures = { notebooks, out, width: journalWidths.one, dpi: 72, formats: ["csv" as const] };
  await expect(writeFigureFiles(figures)).rejects.toThrow(/ENOSPC/);
  expect(filesIn(out)).toEqual(["site.css"]);
});

function rootWithOneCell(): string {
  disk.left = Number.POSITIVE_INFINITY;
  return sampleRoot({ "a.ipynb": sampleNotebook("", [{ code: "1" }]) });
}

it("a full disk leaves no part of a key, and the next run makes a whole one", () => {
  const [state, study] = [folder(), folder()];
  const before = process.env.XDG_STATE_HOME;
  process.env.XDG_STATE_HOME = state;
  try {
    disk.left = 8;
    expect(() => writeSealed(join(study, "memory.json"), 1)).toThrow(/ENOSPC/);
    expect([...filesIn(state), ...filesIn(study)]).toEqual([]);
    disk.left = Number.POSITIVE_INFINITY;
    writeSealed(join(study, "memory.json"), 1);
    expect(readSealed(join(study, "memory.json"))).toBe(1);
  } finally {
    if (before === undefined) delete process.env.XDG_STATE_HOME;
    else process.env.XDG_STATE_HOME = before;
  }
});

it("a full disk leaves no folder of a kernel's connection", async () => {
  const own = () =>
    readdirSync(tmpdir()).filter((name) => name.startsWith(`tautline-${process.pid}-`));
  const before = own();
  disk.left = 5;
  await expect(openConnection("ipc")).rejects.toThrow(/ENOSPC/);
  expect(own()).toEqual(before);
});
