import { describe, expect, it } from "vitest";
import { InputError } from "../../../lib/errors.js";
import { readStudy } from "../../../lib/study/open.js";
import { checkPackage } from "../../../lib/study/package/profile.js";
import { emptyStudy, type StarterOptions } from "../../../lib/study/plan/starter.js";

function inspected(options: StarterOptions) {
  const bytes = [...emptyStudy(options)].map(([path, text]) => {
    return [path, new TextEncoder().encode(text)] as const;
  });
  return readStudy({ name: options.name, files: new Map(bytes), faults: [] });
}

describe("an empty study", () => {
  it("reads back without an issue, in every shape", () => {
    for (const options of [
      { name: "spring" },
      { name: "club-9", arms: ["grip"], weeks: [0, 4] },
      {
        name: "three.arms",
        arms: ["a", "b", "rest"],
        weeks: [0, 3, 6],
        seed: 9,
        title: 'A "title"',
      },
    ]) {
      const { study, issues } = inspected(options);
      expect(issues).toEqual([]);
      expect(study!.gripTrials.numRows()).toBe(0);
    }
  });

  it("follows the Data Package standard", () => {
    const text = emptyStudy({ name: "spring" }).get("datapackage.json")!;
    expect(checkPackage(JSON.parse(text)).faults).toEqual([]);
  });

  it("marks the last of several arms as control, and no arm when there is one", () => {
    expect(
      inspected({ name: "x", arms: ["a", "b"] }).study!.design.arms.map((arm) => arm.control),
    ).toEqual([undefined, true]);
    expect(inspected({ name: "x", arms: ["a"] }).study!.design.arms[0]!.control).toBeUndefined();
  });

  it.each([
    { name: "Spring 2025" },
    { name: "../x" },
    { name: "x", arms: [] },
    { name: "x", arms: ["a", "a"] },
    { name: "x", arms: ["a b"] },
    { name: "x", weeks: [6, 0] },
    { name: "x", weeks: [Number.NaN] },
    { name: "x", weeks: [] },
  ])("refuses %j", (options) => {
    expect(() => emptyStudy(options)).toThrow(InputError);
  });
});
