import { cpSync, readFileSync, writeFileSync } from "node:fs";
import { afterAll, beforeAll, describe, expect, it, vi } from "vitest";
import { readArchive } from "../../lib/archive/reading.js";
import { writeArchive } from "../../lib/archive/zip.js";
import { type TemporaryStudy, tautline, temporaryStudy } from "../notebook/temporary-study.js";

vi.setConfig({ testTimeout: 60_000, hookTimeout: 60_000 });

const docx = "out/coach-nine/manuscript.docx";

describe("tautline manuscript, and its check", () => {
  let study: TemporaryStudy;

  beforeAll(async () => {
    study = temporaryStudy([]);
    for (const name of ["data/coach-nine", "data/winter-block", "notebooks/coach-nine"]) {
      cpSync(name, study.path(name), { recursive: true });
    }
    const { code, err } = await tautline(study, "manuscript", "coach-nine");
    expect(code, err).toBe(0);
  });
  afterAll(() => study.remove());

  /** The manuscript with one part changed, beside it. */
  function withPart(file: string, name: string, change: (text: string) => string): string {
    const files = new Map(readArchive(readFileSync(study.path(docx))));
    files.set(name, Buffer.from(change(Buffer.from(files.get(name)!).toString("utf8"))));
    writeFileSync(study.path(file), writeArchive(files, "2025-01-01"));
    return file;
  }

  it("writes a Word document, Markdown and figures, the same bytes each time", async () => {
    const names = ["manuscript.docx", "manuscript.md", "figures/every-golfer.png"];
    const bytes = () => names.map((name) => readFileSync(study.path(`out/coach-nine/${name}`)));
    const before = bytes();
    const { out } = await tautline(study, "manuscript", "coach-nine", "--json");
    expect(JSON.parse(out).files).toContain(docx);
    expect(bytes()).toEqual(before);
    const fresh = await tautline(study, "manuscript", "coach-nine", "--out", "again");
    expect(fresh.code).toBe(0);
    for (const [i, name] of names.entries()) {
      expect(readFileSync(study.path(`again/${name}`)).equals(before[i]!)).toBe(true);
    }
    const svg = study.read("out/coach-nine/figures/every-golfer.svg");
    expect(/<rect x="0" y="0"[^>]*/.exec(svg)?.[0]).toContain("fill: rgb(255, 255, 255)");
  });

  it("agrees when nothing was changed", async () => {
    const { code, out } = await tautline(study, "verify", "--manuscript", docx);
    expect(out).toContain("Everything agrees.");
    expect(code).toBe(0);
  });

  it("ends with 1 when a number was changed, and --update writes it as a tracked change", async () => {
    const file = withPart("typed.docx", "word/document.xml", (xml) =>
      xml.replace(/(<w:tag w:val="[^"]*\/value@.*?<w:t [^>]*>)(\d)/s, "$19$2"),
    );
    const first = await tautline(study, "verify", "--manuscript", file, "--update");
    expect(first.code).toBe(1);
    expect(first.out).toMatch(/differs .*the manuscript says “9[\d.]+”, the record “[\d.]+”/);
    expect(first.out).toContain(
      "1 number brought up to date as tracked changes: typed-updated.docx",
    );
    const again = await tautline(study, "verify", "--manuscript", "typed-updated.docx");
    expect(again.code, again.out).toBe(0);
    const before = readFileSync(study.path("typed-updated.docx"));
    const second = await tautline(study, "verify", "--manuscript", file, "--update");
    expect(second.out).toContain("typed-updated-2.docx");
    expect(readFileSync(study.path("typed-updated.docx")).equals(before)).toBe(true);
  });

  it.each<[string, () => string[], number, RegExp]>([
    ["a file that is not there", () => ["none.docx"], 2, /there is no file none\.docx/],
    [
      "a file of another kind",
      () => {
        study.write("text.docx", "plain text");
        return ["text.docx"];
      },
      1,
      /expected a Word document \(\.docx\).*not a zip file/,
    ],
    [
      "another study's manuscript",
      () => [docx, "winter-block"],
      1,
      /a manuscript of the study winter-block, got a manuscript of the study coach-nine/,
    ],
    [
      "a study that is not here",
      () => [
        withPart("far.docx", "docProps/custom.xml", (xml) =>
          xml.replace("coach-nine", "elsewhere"),
        ),
      ],
      1,
      /in this workspace.*"elsewhere"/,
    ],
    [
      "a study named as a path",
      () => [
        withPart("path.docx", "docProps/custom.xml", (xml) =>
          xml.replace("coach-nine", "../../etc"),
        ),
      ],
      1,
      /in this workspace/,
    ],
    [
      "a version that the record does not have",
      () => [
        withPart("later.docx", "word/document.xml", (xml) =>
          xml.replaceAll(/@1\.\d\.\d"/g, '@8.8.8"'),
        ),
      ],
      1,
      /no version 8\.8\.8: get the record that has it/,
    ],
    [
      "a bomb",
      () => {
        const files = new Map(readArchive(readFileSync(study.path(docx))));
        const bytes = Buffer.from(
          writeArchive(files.set("zeros.png", new Uint8Array(9)), "2025-01-01"),
        );
        // The directory announces 512 MB for the file that it lists last.
        bytes.writeUInt32LE(2 ** 29, bytes.lastIndexOf("PK\u0001\u0002", undefined, "latin1") + 24);
        writeFileSync(study.path("bomb.docx"), bytes);
        return ["bomb.docx"];
      },
      1,
      /more than 192 MB when unpacked/,
    ],
    [
      "a climbing name",
      () => {
        const files = new Map(readArchive(readFileSync(study.path(docx))));
        files.set("../../outside.xml", Buffer.from("x"));
        writeFileSync(study.path("climbs.docx"), writeArchive(files, "2025-01-01"));
        return ["climbs.docx"];
      },
      1,
      /leads out of the folder/,
    ],
  ])("says what to do about %s", async (_, words, exit, message) => {
    const { code, out, err } = await tautline(study, "verify", "--manuscript", ...words());
    expect(`${out}${err}`).toMatch(message);
    expect(code).toBe(exit);
  });

  it("refuses options that do not fit", async () => {
    for (const words of [["--update"], ["--manuscript", docx, "--twice"], ["--text", "a.txt"]]) {
      study.write("a.txt", "Grip rose.");
      expect((await tautline(study, "verify", ...words)).code).toBe(2);
    }
  });

  it("lists the numbers of a text with the findings they may come from", async () => {
    study.write("mail.txt", "The driver got 99.5 mph faster.\n");
    const none = await tautline(study, "verify", "--text", "mail.txt", "coach-nine");
    expect(none.out).toContain("line 1: 99.5 mph is in no finding");
    expect(none.code).toBe(1);
    const { out } = await tautline(study, "verify", "--manuscript", docx, "--json");
    const kgf = JSON.parse(out).numbers.find((one: { part: string }) => one.part === "value");
    study.write("mail.txt", `The value was ${kgf.inText} kgf.\n`);
    const some = await tautline(study, "verify", "--text", "mail.txt", "coach-nine");
    expect(some.out).toContain(`  ${kgf.id}, value: ${kgf.inText}`);
    expect(some.code).toBe(0);
  });
});
