import { mkdirSync, readdirSync } from "node:fs";
import { afterEach, beforeEach, describe, expect, it } from "vitest";
import { LockedError, takeLock } from "../../lib/workspace/lock.js";
import { type TemporaryStudy, temporaryStudy } from "../notebook/temporary-study.js";

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

  it("says what to remove when a stale one cannot be taken away", () => {
    study.write(lock, `${nobody}\n`);
    mkdirSync(study.path(`${lock}.${process.pid}`)); // where it would be moved to
    expect(() => takeLock(study.root)).toThrow(LockedError);
    expect(() => takeLock(study.root)).toThrow(`remove ${study.path(lock)}`);
  });
});
