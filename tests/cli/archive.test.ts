import { spawn } from "node:child_process";
import { cpSync, existsSync, readdirSync, readFileSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { resolve } from "node:path";
import { strFromU8, strToU8, zipSync } from "fflate";
import { afterAll, beforeAll, describe, expect, it, vi } from "vitest";
import { sha256 } from "../../lib/archive/hashes.js";
import { readArchive } from "../../lib/archive/reading.js";
import { writeArchive } from "../../lib/archive/zip.js";
import { main } from "../../lib/cli/main.js";
import { breachesOf } from "../archive/crate-rules.js";
import {
  notebookOf,
  type TemporaryStudy,
  tautline,
  temporaryStudy,
} from "../notebook/temporary-study.js";
import type { Spoken } from "./heard.js";

vi.setConfig({ testTimeout: 240_000 });

const notebook = "notebooks/mean-grip.ipynb";
// arquero is in the archive's lockfile, so its notebooks may use it as the study's own notebooks do
const cell = `import { op } from "arquero";
import { finding, openStudy, summariseGrip } from "tautline";
import { describe } from "tautline/stats";
const study = openStudy("coach-nine");
const grip = summariseGrip(study, { rule: "mean3" }).filter((row) => op.is_finite(row.grip_kgf));
const { mean, n } = describe(grip.array("grip_kgf") as number[]);
finding({ id: "mean-grip", title: "Mean grip", value: mean, unit: "kgf", count: { n, of: "golfers" }, method: "mean of means" });`;

/** A notebook that names no study and reads the data of this one only. */
const counting = `import { finding, openStudy } from "tautline";
const { participants } = openStudy("coach-nine");
const n = participants.numRows();
finding({ id: "golfers", title: "Golfers", value: n, unit: "golfers", count: { n, of: "golfers" }, method: "count" });`;
const elsewhere = counting.replace('"coach-nine"', '"winter-block"');

type Files = Map<string, Uint8Array>;

/** An archive whose files were changed, with its list corrected unless `asListed`. */
function altered(files: Files, change: (files: Files) => void, asListed = false): Uint8Array {
  const changed = new Map(files);
  change(changed);
  if (!asListed) {
    const crate = JSON.parse(text(changed, "ro-crate-metadata.json"));
    for (const entity of crate["@graph"]) {
      const content = changed.get(decodeURIComponent(entity["@id"]));
      if (!content || !entity.sha256) continue;
      entity.sha256 = sha256(content);
      entity.contentSize = String(content.length);
    }
    changed.set("ro-crate-metadata.json", strToU8(JSON.stringify(crate)));
  }
  return writeArchive(changed, "2026-02-01");
}

/** The archive's only file announces another size than it has. */
function announcing(archive: Uint8Array, size: number): Uint8Array {
  const view = new DataView(archive.buffer, archive.byteOffset, archive.byteLength);
  const directory = view.getUint32(archive.length - 22 + 16, true);
  view.setUint32(directory + 24, size, true);
  return archive;
}

function text(files: ReadonlyMap<string, Uint8Array>, path: string): string {
  return strFromU8(files.get(path)!);
}

function replace(path: string, from: string | RegExp, to: string) {
  return (files: Files) => {
    const before = text(files, path);
    const after = before.replace(from, to);
    if (after === before) throw new Error(`${path} holds no ${from}`);
    files.set(path, strToU8(after));
  };
}

const leftovers = () =>
  readdirSync(tmpdir()).filter((name) => name.startsWith(`tautline-${process.pid}-`));

describe("tautline archive and verify --archive", () => {
  let study: TemporaryStudy;
  let made: Spoken;
  let bytes: Buffer;
  let files: Files;

  beforeAll(async () => {
    study = temporaryStudy([]);
    cpSync("data/coach-nine", study.path("data/coach-nine"), { recursive: true });
    const json = JSON.parse(notebookOf(cell));
    json.metadata.tautline = {
      version: "1.0.0",
      study: "coach-nine",
      changes: [{ version: "1.0.0", date: "2026-02-01", what: "First version." }],
    };
    study.write(notebook, JSON.stringify(json));
    study.write("notebooks/learn/counting.ipynb", notebookOf(counting));
    study.write("notebooks/other.ipynb", notebookOf(elsewhere));
    cpSync("data/winter-block", study.path("data/winter-block"), { recursive: true });
    await tautline(study, "rebuild", "--no-report");
    made = await tautline(study, "archive", "coach-nine");
    bytes = readFileSync(study.path("out/coach-nine.zip"));
    files = new Map(readArchive(bytes));
  });
  afterAll(() => study.remove());

  async function verified(content: Uint8Array, ...more: string[]): Promise<Spoken> {
    writeFileSync(study.path("study.zip"), content);
    return await tautline(study, "verify", "--archive", "study.zip", ...more);
  }

  it("writes the archive and says what to consider before it is shared", () => {
    expect(made.code, made.err).toBe(0);
    expect(made.out).toMatch(/^out\/coach-nine\.zip: \d+ files, \d\.\d MB\.\n/);
    expect(made.err).toContain("fewer than 5 people share");
    expect(made.err).toContain("no authors are named: add contributors");
  });

  it("holds what it takes to run again, each file listed with its hash", () => {
    const listed = JSON.parse(text(files, "ro-crate-metadata.json"))["@graph"];
    for (const path of [
      "README.md",
      "CITATION.cff",
      "package.json",
      "package-lock.json",
      "lib/stats/change.ts",
      "lib/bin/tautline.js",
      "data/coach-nine/grip-trials.csv",
      notebook,
      "out/index.html",
    ]) {
      const entity = listed.find((one: { "@id": string }) => one["@id"] === path);
      expect(entity.sha256, path).toBe(sha256(files.get(path)!));
    }
    expect([...files.keys()].filter((path) => /node_modules|\/dist\/|\.git/.test(path))).toEqual(
      [],
    );
  });

  it("keeps every MUST of RO-Crate 1.2", () => {
    expect(breachesOf(text(files, "ro-crate-metadata.json"), [...files.keys()])).toEqual([]);
  });

  it("says which programs made the record from which data, on the newest recorded day", () => {
    const graph = JSON.parse(text(files, "ro-crate-metadata.json"))["@graph"];
    const run = graph.find((one: { name?: string }) => one.name === `Run of ${notebook}`);
    expect(run).toMatchObject({ "@type": "CreateAction", endTime: "2026-02-01" });
    expect(run.instrument).toHaveLength(3);
    expect(run.object).toContainEqual({ "@id": "data/coach-nine/grip-trials.csv" });
    expect(run.result).toEqual({ "@id": notebook });
    const node = graph.find((one: { name?: string }) => one.name === "Node.js");
    expect(node.version).toBe(process.versions.node);
  });

  it("is the same file every time, and names no folder of this machine", async () => {
    await tautline(study, "archive", "coach-nine", "--out", "again.zip");
    expect(sha256(readFileSync(study.path("again.zip")))).toBe(sha256(bytes));
    const roots = [study.root, `${tmpdir()}/tautline-`, resolve(".")];
    for (const [path, content] of files) {
      const found = roots.find((root) => strFromU8(content).includes(root));
      expect(found, path).toBeUndefined();
    }
  });

  it("takes the day from --date, and refuses a day that is none", async () => {
    const { code } = await tautline(
      study,
      "archive",
      "coach-nine",
      "--out",
      "d.zip",
      "--date",
      "2026-03-04",
    );
    expect(code).toBe(0);
    const dated = readArchive(readFileSync(study.path("d.zip")));
    expect(text(dated, "CITATION.cff")).toContain('date-released: "2026-03-04"');
    const wrong = await tautline(study, "archive", "coach-nine", "--date", "2026-02-30");
    expect(wrong.code).toBe(2);
    expect(wrong.err).toContain("--date needs a day such as 2025-03-01");
  });

  const pages = () => [...files.keys()].filter((path) => path.endsWith(".html")).length;
  const head = () =>
    `study.zip: ${files.size - 1} files, all as listed.\nSHA-256 ${sha256(bytes)}: compare it with the deposited one.\nMade again from the recorded results, nothing run: ${pages()} pages, 0 drawings. Compared byte by byte.\n`;

  it("is checked without running anything, and leaves nothing behind", async () => {
    expect(made.out).toContain(`SHA-256 ${sha256(bytes)}`);
    const { code, out, err } = await verified(bytes);
    expect(out).toBe(
      `${head()}The archive agrees with its records. Its notebooks were not run: --run does that, with your rights.\n`,
    );
    expect(code).toBe(0);
    expect(err).toBe("");
    expect(leftovers()).toEqual([]);
  });

  it("reproduces itself with --run, after saying what that means", async () => {
    const { code, out, err } = await verified(bytes, "--run");
    expect(out).toBe(
      `${head()}${notebook}: 1 reproduced\nnotebooks/learn/counting.ipynb: 1 reproduced\nEverything agrees with the record.\nThe archive agrees with its records.\n`,
    );
    expect(code).toBe(0);
    expect(err).toMatch(/^The notebooks of the archive are programs\. They run with your rights/);
    expect(leftovers()).toEqual([]);
  });

  it("asks on a terminal before it runs, and takes no for an answer", async () => {
    writeFileSync(study.path("study.zip"), bytes);
    const asked: string[] = [];
    let err = "";
    let out = "";
    const ended = await main(["verify", "--archive", "study.zip", "--run"], {
      out: (text) => {
        out += text;
      },
      err: (text) => {
        err += text;
      },
      cwd: study.root,
      agreed: async (question) => {
        asked.push(question);
        return false;
      },
    });
    expect(asked).toEqual(["Run them now?"]);
    expect(err).toContain("They run with your rights");
    expect(out).toContain("Its notebooks were not run");
    expect(ended).toBe(2);
  });

  it("runs nothing without --run, and says which words need it", async () => {
    for (const word of ["--twice", "mean-grip"]) {
      const { code, err } = await verified(bytes, word);
      expect(code).toBe(2);
      expect(err).toContain("add --run");
    }
    const alone = await tautline(study, "verify", "--run");
    expect(alone.code).toBe(2);
    expect(alone.err).toContain("--run needs --archive");
  });

  it("carries the day of its record, in the zip and in its metadata", () => {
    const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
    const directory = view.getUint32(bytes.length - 22 + 16, true);
    const day = view.getUint16(directory + 14, true);
    expect([1980 + (day >> 9), (day >> 5) & 15, day & 31]).toEqual([2026, 2, 1]);
    expect(view.getUint16(directory + 12, true)).toBe(0);
    const graph = JSON.parse(text(files, "ro-crate-metadata.json"))["@graph"];
    const modified = (id: string) =>
      graph.find((one: { "@id": string }) => one["@id"] === id).dateModified;
    expect([modified("./"), modified(notebook)]).toEqual(["2026-02-01", "2026-02-01"]);
  });

  it("carries that day in every file, and is refused where one has another time in either place", async () => {
    const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
    const directory = view.getUint32(bytes.length - 22 + 16, true);
    const day = view.getUint32(directory + 12, true);
    const heads: number[] = [];
    for (let at = directory; view.getUint32(at, true) === 0x02014b50; ) {
      const head = view.getUint32(at + 42, true);
      expect([view.getUint32(at + 12, true), view.getUint32(head + 10, true)]).toEqual([day, day]);
      heads.push(head);
      at += 46 + [28, 30, 32].reduce((sum, field) => sum + view.getUint16(at + field, true), 0);
    }
    expect(heads).toHaveLength(files.size);
    for (const place of [directory + 12, heads.at(-1)! + 10, directory + 14]) {
      const forged = new Uint8Array(bytes);
      forged[place]! ^= 1; // two seconds, or a day
      const { code, err } = await verified(forged);
      expect(code).toBe(1);
      expect(err).toMatch(/\S+ has a time other than the archive's day/);
    }
  });

  it("holds every notebook whose data are in it, in whatever folder, and no other", () => {
    expect([...files.keys()].filter((path) => path.endsWith(".ipynb")).sort()).toEqual([
      "notebooks/learn/counting.ipynb",
      notebook,
    ]);
  });

  it("gives one JSON document", async () => {
    const { out } = await verified(bytes, "--json");
    const document = JSON.parse(out);
    expect(document).toEqual({
      archive: {
        file: "study.zip",
        sha256: sha256(bytes),
        files: files.size - 1,
        others: [],
        differences: [],
        pages: pages(),
        drawings: 0,
        exact: true,
      },
      ran: false,
      agrees: true,
    });
    const ran = JSON.parse((await verified(bytes, "--run", "--json")).out);
    expect(ran).toMatchObject({
      agrees: true,
      ran: true,
      notebooks: [{ notebook, agrees: true }, { agrees: true }],
    });
  });

  it("shows what a changed data cell moves, though the list was corrected", async () => {
    const change = replace("data/coach-nine/grip-trials.csv", /,(\d\d)\.\d,kgf/, ",99.9,kgf");
    const { code, out } = await verified(altered(files, change), "--run");
    expect(code).toBe(1);
    expect(out).toContain(
      `${notebook}: data/coach-nine/grip-trials.csv was changed since the notebook was recorded`,
    );
    expect(out).toMatch(/Mean grip: \d+\.\d+ → \d+\.\d+ kgf \(cell 1, different\)/);
    expect(out).toContain("of 2 notebooks do not agree with the record.");
  });

  it("shows a changed recorded number, though the list was corrected", async () => {
    const recorded = /"value": (\d+)\./.exec(text(files, notebook))!;
    const change = replace(notebook, recorded[0], `"value": ${Number(recorded[1]) + 1}.`);
    const { code, out } = await verified(altered(files, change));
    expect(code).toBe(1);
    expect(out).toMatch(/out\/mean-grip\.html: reads ".*", rebuilt it reads "/);
  });

  it("says which programs are not the ones that made the record", async () => {
    const change = (changed: Files) => {
      replace(
        "ro-crate-metadata.json",
        `"version": "${process.versions.node}"`,
        '"version": "8.0.0"',
      )(changed);
      replace("README.md", `Node.js ${process.versions.node}`, "Node.js 8.0.0")(changed);
      replace("out/versions.html", process.versions.node, "8.0.0")(changed);
      changed.set("lib/stats/change.ts", strToU8("// another source\n"));
    };
    const { code, out } = await verified(altered(files, change));
    expect(code, out).toBe(0);
    expect(out).toContain("Compared by the texts and numbers that a person reads");
    expect(out.trim().split("\n").at(-1)).toContain(
      `It was made with Node.js 8.0.0 (${process.versions.node} here)`,
    );
    expect(out).toContain(
      `Different Node.js: 8.0.0 in the archive, ${process.versions.node} here.`,
    );
    expect(out).toMatch(/Different source of tautline: [0-9a-f]{12} in the archive/);
  });

  const spoilt: [string, (files: Files) => Uint8Array, string][] = [
    [
      "a file that was changed",
      (all) => altered(all, replace("data/coach-nine/participants.csv", "\n", "\n\n"), true),
      "data/coach-nine/participants.csv was changed after the archive was made: its SHA-256 differs",
    ],
    [
      "a wrong hash",
      (all) =>
        altered(all, replace("ro-crate-metadata.json", /"sha256": "./, '"sha256": "x'), true),
      "its SHA-256 differs",
    ],
    [
      "a missing file",
      (all) => altered(all, (changed) => changed.delete("data/coach-nine/speed-meter.csv"), true),
      "data/coach-nine/speed-meter.csv is listed and missing",
    ],
    [
      "a file more",
      (all) => altered(all, (changed) => changed.set("notebooks/more.ipynb", strToU8("{}")), true),
      "notebooks/more.ipynb is not listed",
    ],
    [
      "a path that climbs",
      (all) => zipSync({ ...Object.fromEntries(all), "data/../../climbs": strToU8("x") }),
      'was refused: the name "data/../../climbs" leads out of the folder',
    ],
    [
      "two files of one name",
      (all) => zipSync({ ...Object.fromEntries(all), "readme.MD": strToU8("x") }),
      "are one name on some systems",
    ],
    [
      "a bomb",
      () => announcing(zipSync({ bomb: new Uint8Array(2 ** 20) }), 2 ** 30),
      "was refused: it is more than 512 MB when unpacked",
    ],
    [
      "an archive without package.json, although a folder above has one",
      (all) => altered(all, (changed) => changed.delete("package.json")),
      "was refused: it has no package.json, so its notebooks cannot run",
    ],
    [
      "an archive without data",
      (all) =>
        altered(all, (changed) => {
          for (const path of changed.keys()) if (path.startsWith("data/")) changed.delete(path);
        }),
      "was refused: it has no data/",
    ],
    [
      "no archive of a study",
      () => zipSync({ a: strToU8("a") }),
      "it has no ro-crate-metadata.json",
    ],
    ["no zip at all", () => strToU8("hello"), "it is damaged or not a zip file"],
  ];
  it.each(spoilt)("refuses %s before anything runs", async (_, spoil, why) => {
    const { code, err, out } = await verified(spoil(files));
    expect(err).toContain(why);
    expect(err).not.toContain("running");
    expect(out).toBe("");
    expect(code).toBe(1);
    expect(leftovers()).toEqual([]);
  });

  it("refuses a file that does not exist, and --from with --archive", async () => {
    const absent = await tautline(study, "verify", "--archive", "nowhere.zip");
    expect(absent.code).toBe(2);
    expect(absent.err).toContain("there is no file");
    const both = await tautline(study, "verify", "--archive", "study.zip", "--from", "HEAD");
    expect(both.code).toBe(2);
  });

  it("removes its private folder when it is stopped in the middle", async () => {
    const slow = replace(
      notebook,
      "const study",
      "await new Promise((go) => setTimeout(go, 60000));\\nconst study",
    );
    writeFileSync(study.path("slow.zip"), altered(files, slow));
    const bin = resolve("lib/bin/tautline.js");
    const child = spawn(process.execPath, [bin, "verify", "--archive", "slow.zip", "--run"], {
      cwd: study.root,
    });
    const mine = () =>
      readdirSync(tmpdir()).filter((name) => name.startsWith(`tautline-${child.pid}-`));
    const closed = new Promise((done) => child.once("close", done));
    // the archive's own folder, and the kernel's
    await vi.waitFor(() => expect(mine().length).toBeGreaterThan(1), { timeout: 60_000 });
    child.kill("SIGINT");
    expect(await closed).toBe(130);
    expect(mine()).toEqual([]);
  });

  it("refuses a record that is out of date", async () => {
    study.write(notebook, study.read(notebook).replace("Mean grip", "Average grip"));
    const { code, err } = await tautline(study, "archive", "coach-nine", "--out", "stale.zip");
    expect(code).toBe(1);
    expect(err).toContain("expected records that are up to date; run tautline rebuild first");
    expect(existsSync(study.path("stale.zip"))).toBe(false);
  });

  it("writes nothing when a column looks like names", async () => {
    await tautline(study, "rebuild", "--no-report");
    const people = study.read("data/coach-nine/participants.csv").split("\n");
    const named = people.map((line, i) =>
      line === "" ? line : `${line},${i === 0 ? "surname" : "X"}`,
    );
    study.write("data/coach-nine/participants.csv", named.join("\n"));
    const { code, err } = await tautline(study, "archive", "coach-nine", "--out", "named.zip");
    expect(code).toBe(1);
    expect(err).toContain("surname");
    expect(err).toContain("nothing was written, because these data should not be shared");
    expect(existsSync(study.path("named.zip"))).toBe(false);
  });
});
