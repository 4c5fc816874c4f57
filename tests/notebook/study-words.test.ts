import { mkdirSync, writeFileSync } from "node:fs";
import { dirname, join } from "node:path";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { studyWords } from "../../lib/notebook/study-words.js";
import { type TemporaryStudy, temporaryStudy } from "./temporary-study.js";

let study: TemporaryStudy;
const descriptor = {
  study: {
    arms: [{ id: "block" }, { id: "usual" }],
    occasions: [{ id: "w0" }, { id: "w6" }],
    positions: [{ id: "address" }],
    clubs: ["driver"],
  },
  resources: [{ schema: { fields: [{ name: "participant" }, { name: "kgf_raw" }] } }],
};

beforeAll(() => {
  study = temporaryStudy([]);
  for (const name of ["autumn", "spring"]) {
    const path = study.path(`data/${name}/datapackage.json`);
    mkdirSync(dirname(path), { recursive: true });
    writeFileSync(path, JSON.stringify(descriptor));
  }
  const output = {
    output_type: "display_data",
    data: { "application/vnd.tautline.finding+json": { kind: "finding", id: "primary" } },
    metadata: {},
  };
  const cells = [{ cell_type: "code", source: "", outputs: [output] }];
  study.write("notebooks/one.ipynb", JSON.stringify({ cells }));
});
afterAll(() => study.remove());

function offered(before: string): string[] | undefined {
  return studyWords(study.root, join(study.root, "notebooks"), before, [])?.candidates;
}

describe("words of the study's files that a front end offers", () => {
  it.each([
    ['openStudy("', ["autumn", "spring"]],
    ["openStudy('sp", ["spring"]],
    ['grip.change({ before: "', ["w0", "w6"]],
    ['grip.change({ before: "w0", at: "', ["w0", "w6"]],
    ['changeWithin(change, { arm: "', ["block", "usual"]],
    ['study.outcome("grip", { position: "', ["address"]],
    ['study.outcome("speed", { club: "', ["driver"]],
    ['study.participants.array("k', ["kgf_raw"]],
    ['finding("', ["primary"]],
  ])("%s", (before, expected) => {
    expect(offered(before)).toEqual(expected);
  });

  it.each(["openStudy(", 'const a = "', '"done" + a', 'study.outcome("'])(
    "%s: nothing",
    (before) => {
      expect(offered(before)).toBeUndefined();
    },
  );
});
