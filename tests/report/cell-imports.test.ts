import { mkdtempSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { foreignImports } from "../../lib/report/cell-imports.js";
import { workerBundle } from "../../lib/report/worker-bundle.js";
import { recordedIn, sampleNotebook, sampleRoot } from "./sample.js";

const secret = join(mkdtempSync(join(tmpdir(), "secret-")), "secret.json");
const words = "Rowan Halloway, 41 Mill Lane";
writeFileSync(secret, JSON.stringify({ who: words }));
const path = JSON.stringify(secret);

/** Cells that would bring something foreign into a published page, and the reason each is refused. */
const attacks: [string, RegExp][] = [
  [`import who from ${path} with { type: "json" };\nwho;`, /^imports .*secret\.json, which/],
  [`import who from ${path};\nwho;`, /^imports .*secret\.json, which/],
  [`import { sum } from "simple-statistics" with { type: "js" };\nsum;`, /with attributes$/],
  [`const who = await import(${path}, { with: { type: "json" } });`, /^loads .* with import\(\)$/],
  [`const os = await import("node:os");`, /^loads node:os with import\(\)$/],
  ["const os = await /* a */ import(/* b */ `node:os`);", /^loads node:os with import\(\)$/],
  [
    `const name = ["node", "os"].join(":");\nconst os = await import(name);`,
    /with import\(\) under a name that it computes$/,
  ],
  [`const who = require(${path});`, /^loads .*secret\.json with require\(\)$/],
  [`const who = require(String(${path}));`, /with require\(\) under a name that it computes$/],
  [`const load = require;\nload(${path});`, /^hands require on$/],
  [`import fs = require("node:fs");\nfs;`, /^loads node:fs with require\(\)$/],
  [`import { readFileSync } from "fs";\nreadFileSync;`, /^imports fs, which a page cannot hold$/],
  [`export { default } from ${path};`, /^imports .*secret\.json, which/],
  [`import "tautline/../../secret.json";`, /which a page cannot hold$/],
];

describe("the modules of a cell", () => {
  it.each(attacks)("%s", async (source, reason) => {
    expect((await foreignImports(source))[0]).toMatch(reason);
  });

  it("are fine when they are the library or a package for pages, and words stay words", async () => {
    const fine = `import { openStudy } from "tautline";
      import { describe } from "tautline/stats";
      import * as aq from "arquero";
      import { mean } from "simple-statistics";
      import type { Table } from "arquero";
      // await import("node:os")
      const note = 'require("./secret.json") and import("x")';`;
    expect(await foreignImports(fine)).toEqual([]);
  });
});

describe("the program of the pages", () => {
  it("holds no foreign file, and the other notebooks still run in their pages", async () => {
    const cells: Record<string, object> = {};
    const sources = [...attacks.map(([source]) => source), "export const x = 1;"];
    for (const [i, code] of sources.entries()) {
      cells[`attack-${i + 10}.ipynb`] = sampleNotebook("", [{ markdown: "# A" }, { code }]);
    }
    cells["good.ipynb"] = sampleNotebook("", [{ code: "console.log('kept as it is');" }]);
    const { text, problems } = await workerBundle(recordedIn(sampleRoot(cells)), []);
    expect([text?.includes("kept as it is"), text?.includes(words)]).toEqual([true, false]);
    expect(problems.size).toBe(sources.length);
    expect(problems.has("good")).toBe(false);
    for (const reason of problems.values()) expect(reason).toMatch(/^cell 2 /);
  });
});
