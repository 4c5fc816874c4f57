import { readFileSync } from "node:fs";
import { join } from "node:path";
import { beforeAll, describe, expect, it } from "vitest";
import { root, tool } from "./installed.js";

interface Lacking {
  readonly at: string;
  readonly name: string;
}
interface Report {
  readonly names: number;
  readonly namesWithout: readonly Lacking[];
  readonly fields: number;
  readonly fieldsWithout: readonly Lacking[];
}

/** Public functions and types without a doc comment: add comments and lower the limit. */
const namesAllowed = 0;

/** Limits of fields of exported records without a comment, by folder of lib/; they only shrink. */
const fieldsAllowed: Record<string, number> = {
  analysis: 0,
  archive: 0,
  cli: 0,
  learn: 0,
  notebook: 0,
  report: 0,
  show: 0,
  stats: 0,
  study: 0,
  workspace: 0,
};

const described = (list: readonly Lacking[]) => list.map(({ at, name }) => `${at} ${name}`);

describe("doc comments", () => {
  let report: Report;
  beforeAll(() => {
    report = JSON.parse(tool(root, "reference/comments.js", "--json").stdout);
  });

  it("are looked for in many places, and a missing one is found", () => {
    expect(report.names).toBeGreaterThan(300);
    expect(report.fields).toBeGreaterThan(1000);
    for (const { at, name } of [...report.namesWithout, ...report.fieldsWithout].slice(0, 5)) {
      const [file, line] = at.split(":");
      const text = readFileSync(join(root, file!), "utf8").split("\n")[Number(line) - 1];
      // an index signature has no name: its line begins with a bracket
      const last = name.split(".").at(-1);
      expect(text).toContain(last === "()" ? "[" : last);
    }
  });

  it("describe every public function and type", () => {
    const without = described(report.namesWithout);
    expect(without.length, without.join("\n")).toBeLessThanOrEqual(namesAllowed);
  });

  it("describe the fields of exported records, in more places with time", () => {
    const folderOf = ({ at }: Lacking) => at.split(/[/:]/)[1]!;
    const over = [...new Set(report.fieldsWithout.map(folderOf))].flatMap((folder) => {
      const list = report.fieldsWithout.filter((one) => folderOf(one) === folder);
      const allowed = fieldsAllowed[folder] ?? 0;
      return list.length > allowed ? [`${folder}: ${list.length}`, ...described(list)] : [];
    });
    expect(over).toEqual([]);
  });
});
