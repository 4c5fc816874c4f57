import { mkdirSync, readdirSync, symlinkSync } from "node:fs";
import { afterEach, beforeEach, describe, expect, it, vi } from "vitest";
import { LockedError, takeLock } from "../../lib/workspace/lock.js";
import { type TemporaryStudy, temporaryStudy } from "../notebook/temporary-study.js";

vi.mock("node:fs", async (load) => {
  const fs = await load<typeof import("node:fs")>();
  return { ...fs, mkdirSync: vi.fn(fs.mkdirSync) };
});

const lock = ".tautline/lock";
/** Above the largest process number that Linux gives. */
const nobody = 2 ** 22 + 1;

describe("the lock of a study", () => {
  let study: TemporaryStudy;
  beforeEach(() => {
    study = temporaryStudy([]);
  });
  afterEach(() => study.remove());

  it("holds its owner from its first moment, and leaves nothing when it is given back", () => {
    const release = takeLock(study.root);
    expect(study.read(lock)).toBe(`${process.pid}\n`);
    expect(readdirSync(study.path(".tautline"))).toEqual(["lock"]);
    release();
    expect(readdirSync(study.path(".tautline"))).toEqual([]);
  });

  it("is taken over from a process that is gone, and not from one that is there", () => {
    study.write(lock, `${nobody}\n`);
    takeLock(study.root)();
    study.write(lock, `${process.ppid}\n`);
    expect(() => takeLock(study.root)).toThrow(`another rebuild (process ${process.ppid})`);
  });

  it("does not write through a link planted under its name", () => {
    study.write("foreign.txt", "untouched");
    mkdirSync(study.path(".tautline"));
    symlinkSync(study.path("foreign.txt"), study.path(`${lock}.new.${process.pid}`));
    takeLock(study.root)();
    expect(study.read("foreign.txt")).toBe("untouched");
  });

  it("says that a folder cannot be written, and what works there", () => {
    vi.mocked(mkdirSync).mockImplementationOnce(() => {
      throw Object.assign(new Error("read-only"), { code: "EROFS" });
    });
    expect(() => takeLock(study.root)).toThrow(
      "this folder cannot be written; verify works here and writes nothing",
    );
  });

  it("says what to remove when a stale one cannot be taken away", () => {
    study.write(lock, `${nobody}\n`);
    mkdirSync(study.path(`${lock}.${process.pid}`)); // where it would be moved to
    expect(() => takeLock(study.root)).toThrow(LockedError);
    expect(() => takeLock(study.root)).toThrow(`remove ${study.path(lock)}`);
  });
});
