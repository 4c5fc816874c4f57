import fc from "fast-check";
import { strFromU8, strToU8, zipSync } from "fflate";
import { describe, expect, it } from "vitest";
import { archiveAccount, fileFaults, fileFaultText, sha256 } from "../../lib/archive/hashes.js";
import { ArchiveFault, archiveLimits, readArchive, strayPart } from "../../lib/archive/reading.js";
import { writeArchive } from "../../lib/archive/zip.js";

const files = new Map([
  ["data/grip.csv", strToU8("kgf\n41.5\n".repeat(2000))],
  ["a.txt", strToU8("a")],
  ["empty", new Uint8Array()],
]);

function refusal(bytes: Uint8Array, limits = archiveLimits): string {
  try {
    readArchive(bytes, limits);
  } catch (error) {
    expect(error).toBeInstanceOf(ArchiveFault);
    return (error as Error).message;
  }
  return "none";
}

/** An archive in which one name is replaced by another of the same length, in all its places. */
function renamed(from: string, to: string): Uint8Array {
  const bytes = zipSync(
    { [from]: strToU8("x".repeat(200)), other: strToU8("y") },
    { mtime: "1980-01-02" },
  );
  return latin(strFromU8(bytes, true).replaceAll(from, to));
}

const latin = (text: string) => strToU8(text, true);

const day = "2026-02-01";

describe("an archive", () => {
  it("holds the same bytes whatever the order of files and the time zone", () => {
    const zone = process.env.TZ;
    const first = writeArchive(files, day);
    for (const other of ["Asia/Tokyo", "America/St_Johns", "Pacific/Kiritimati"]) {
      process.env.TZ = other;
      expect(sha256(writeArchive(new Map([...files].reverse()), day))).toBe(sha256(first));
    }
    if (zone === undefined) delete process.env.TZ;
    else process.env.TZ = zone;
  });

  it("comes back as it was, whatever it holds", () => {
    const path = fc.stringMatching(/^[a-z][a-z0-9é_-]{0,8}(\/[a-z][a-z0-9 ]{0,8}[a-z]){0,3}$/);
    const content = fc.uint8Array({ maxLength: 3000 });
    fc.assert(
      fc.property(fc.array(fc.tuple(path, content), { maxLength: 8 }), (entries) => {
        const wanted = new Map(entries.map(([name, bytes], i) => [`${i}-${name}`, bytes]));
        const got = readArchive(writeArchive(wanted, day));
        expect([...got.keys()]).toEqual([...wanted.keys()].sort());
        for (const [name, bytes] of got) expect(sha256(bytes)).toBe(sha256(wanted.get(name)!));
      }),
      { seed: 7, numRuns: 60 },
    );
  });
});

describe("an archive that cannot be trusted", () => {
  it.each([
    ["../../a", "leads out of the folder"],
    ["a/../../b", "leads out of the folder"],
    ["/etc/thing", "is an absolute path"],
    ["C:/thing", "is an absolute path"],
    ["\\\\host\\x", "is an absolute path"],
    ["a\\..\\b", "contains a character that no path should have"],
    ["a/./b", "is not a plain path"],
    ["a//b", "is not a plain path"],
    ["a/con.csv", "is the name of a device"],
    ["ends.", "is not a plain path"],
  ])("refuses the name %s", (name, why) => {
    expect(refusal(zipSync({ [name]: strToU8("x") }))).toContain(why);
  });

  it("refuses two files of one name, also where only case or accents' writing differ", () => {
    expect(refusal(renamed("outer", "other"))).toBe('it contains two files named "other"');
    expect(refusal(zipSync({ "A.csv": strToU8("1"), "a.csv": strToU8("2") }))).toContain(
      "are one name on some systems",
    );
    const accents = { "\u00e9": strToU8("1"), "e\u0301": strToU8("2") };
    expect(refusal(zipSync(accents))).toContain("are one name on some systems");
    expect(refusal(zipSync({ a: strToU8("1"), "a/b": strToU8("2") }))).toContain(
      "a file and a folder",
    );
  });

  it("refuses links and devices", () => {
    const link = { os: 3, attrs: 0o120777 << 16 } as const;
    expect(refusal(zipSync({ link: [strToU8("/etc"), link] }))).toContain("is a link or a device");
  });

  it("refuses a bomb by its announced size, and one that lies about it while it unpacks", () => {
    const limits = { packedBytes: 2 ** 20, bytes: 2 ** 20, files: 10 };
    const bomb = zipSync({ bomb: new Uint8Array(3 * 2 ** 20) });
    expect(bomb.length).toBeLessThan(10_000);
    expect(refusal(bomb, limits)).toBe("it is more than 1 MB when unpacked");
    const view = new DataView(bomb.buffer, bomb.byteOffset);
    const size = [0, 1, 2, 3].map((i) => ((3 * 2 ** 20) >> (8 * i)) & 255);
    for (let at = 0; at < bomb.length - 4; at++) {
      if (size.every((byte, i) => bomb[at + i] === byte)) view.setUint32(at, 1000, true);
    }
    expect(refusal(bomb, limits)).toBe('"bomb" does not have the size that it says');
    const many = Object.fromEntries(Array.from({ length: 11 }, (_, i) => [`${i}`, strToU8("x")]));
    expect(refusal(zipSync(many), limits)).toBe("it contains more than 10 files");
    expect(refusal(new Uint8Array(2 ** 20 + 1), limits)).toBe("it is larger than 1 MB");
  });

  it("refuses a name that differs between the directory and the file", () => {
    const text = strFromU8(renamed("outer", "inner"), true);
    expect(refusal(latin(text.replace("inner", "outer")))).toBe('"inner" is named "outer" inside');
  });

  it("holds nothing beside its files: no comment, no bytes before, between or after them", () => {
    const whole = writeArchive(files, day);
    const end = whole.length - 22;
    expect(strayPart(whole)).toBeUndefined();
    const joined = (...parts: Uint8Array[]) => Uint8Array.from(parts.flatMap((part) => [...part]));
    const word = strToU8("9.9 kgf");
    /** The archive with bytes at a place, and its directory and the offsets in it moved. */
    const with9 = (at: number, offsetsFrom: number) => {
      const bytes = joined(whole.subarray(0, at), word, whole.subarray(at));
      const view = new DataView(bytes.buffer);
      const add = (place: number) =>
        view.setUint32(place, view.getUint32(place, true) + word.length, true);
      add(bytes.length - 22 + 16);
      let record = view.getUint32(bytes.length - 22 + 16, true);
      while (view.getUint32(record, true) === 0x02014b50) {
        if (view.getUint32(record + 42, true) >= offsetsFrom) add(record + 42);
        record += 46 + view.getUint16(record + 28, true) + view.getUint16(record + 30, true);
      }
      return bytes;
    };
    const second = new DataView(whole.buffer, whole.byteOffset).getUint32(18, true) + 30 + 5;
    const directory = new DataView(whole.buffer, whole.byteOffset).getUint32(end + 16, true);
    const commented = joined(whole, word);
    commented[end + 20] = word.length;
    expect(strayPart(commented)).toBe("it carries a comment, which is not a part of the study");
    expect(strayPart(joined(whole, word))).toBe("bytes follow after its end");
    expect(strayPart(with9(0, 0))).toBe('bytes that belong to no file stand before "a.txt"');
    expect(strayPart(with9(second, second))).toBe(
      'bytes that belong to no file stand before "data/grip.csv"',
    );
    expect(strayPart(with9(directory, directory))).toBe(
      "bytes that belong to no file stand after its files",
    );
  });

  it("refuses anything damaged with one clear sentence", () => {
    const whole = writeArchive(files, day);
    expect(refusal(strToU8("no zip at all"))).toBe("it is damaged or not a zip file");
    expect(refusal(whole.subarray(0, whole.length - 30))).toBe("it is damaged or not a zip file");
    const change = fc.tuple(fc.nat(whole.length - 1), fc.integer({ min: 1, max: 255 }));
    fc.assert(
      fc.property(fc.array(change, { minLength: 1, maxLength: 4 }), (changes) => {
        const mangled = Uint8Array.from(whole);
        for (const [at, by] of changes) mangled[at]! ^= by;
        try {
          readArchive(mangled);
        } catch (error) {
          expect(error).toBeInstanceOf(ArchiveFault);
        }
      }),
      { seed: 7, numRuns: 400 },
    );
  });
});

describe("an archive against its own list", () => {
  const list = (entries: readonly object[]) =>
    strToU8(JSON.stringify({ "@context": "", "@graph": entries }));
  const entity = (path: string, content: string) => ({
    "@id": path,
    "@type": "File",
    sha256: sha256(content),
  });

  it("reports what is missing, changed, not listed and without a hash", () => {
    const metadata = list([
      entity("a", "a"),
      entity("gone%20file", "x"),
      entity("b", "b"),
      { "@id": "c", "@type": ["File"] },
    ]);
    const there = new Map([
      ["ro-crate-metadata.json", metadata],
      ["a", strToU8("a")],
      ["b", strToU8("other")],
      ["c", strToU8("c")],
      ["d", strToU8("d")],
    ]);
    const faults = fileFaults(there, archiveAccount(there));
    expect(faults.map(fileFaultText)).toEqual([
      "gone file is listed and missing",
      "b was changed after the archive was made: its SHA-256 differs",
      "c is listed without its SHA-256, so it cannot be checked",
      "d is not listed",
    ]);
  });

  it.each([
    ["no list", new Map(), "it has no ro-crate-metadata.json"],
    ["no JSON", new Map([["ro-crate-metadata.json", strToU8("{")]]), "is not JSON"],
    ["no graph", new Map([["ro-crate-metadata.json", strToU8("{}")]]), "is not a list"],
    [
      "one thing twice",
      new Map([["ro-crate-metadata.json", list([entity("a", "a"), entity("a", "b")])]]),
      'describes "a" twice',
    ],
  ])("refuses an archive with %s", (_, there, why) => {
    expect(() => archiveAccount(there)).toThrow(why);
  });
});
