import { readdirSync, readFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { describe, expect, it } from "vitest";
import { adjustForBaseline } from "../../../lib/stats/baseline.js";
import { openStudy } from "../../../lib/study/open.js";
import { checkPackage } from "../../../lib/study/package/profile.js";
import { demoStudies, winterBlock } from "../../../lib/study/simulate/demo.js";
import { inventStudy } from "../../../lib/study/simulate/simulate.js";
import { beforeAfter } from "../../../lib/study/tables/before-after.js";
import { summariseGrip } from "../../../lib/study/tables/summary.js";

const folderOf = (name: string) => fileURLToPath(new URL(`../../../data/${name}`, import.meta.url));

describe.each(demoStudies)("the demo study $name", (options) => {
  const { files } = inventStudy(options);

  it("is committed as the simulator writes it, byte for byte", () => {
    const folder = folderOf(options.name);
    expect(readdirSync(folder).sort()).toEqual(Object.keys(files).sort());
    for (const [file, text] of Object.entries(files))
      expect(readFileSync(`${folder}/${file}`, "utf8"), file).toBe(text);
  });

  it("says that it is simulated, in its title, description and study record", () => {
    const descriptor = JSON.parse(files["datapackage.json"]!);
    expect(descriptor.title).toMatch(/simulated/i);
    expect(descriptor.description).toMatch(/^Simulated data: nobody was tested/);
    expect(descriptor.study.simulated).toBe(true);
    expect(openStudy(folderOf(options.name)).simulated).toBe(true);
  });

  it("is a valid Data Package", () => {
    expect(checkPackage(JSON.parse(files["datapackage.json"]!)).faults).toEqual([]);
  });

  it("opens with nothing worse than notes, and every row accounted for", () => {
    const study = openStudy(folderOf(options.name));
    expect(study.issues.filter(({ severity }) => severity !== "note")).toEqual([]);
    for (const { file, rows, used, setAside } of study.account) {
      const lines = files[file]!.trimEnd().split("\n").length - 1;
      expect(rows, file).toBe(lines);
      expect(used + setAside.reduce((sum, part) => sum + part.rows, 0), file).toBe(rows);
    }
  });
});

describe("winter-block", () => {
  const study = openStudy(folderOf("winter-block"));
  const people = study.participants.objects() as Record<string, unknown>[];

  it("has the people the scenario speaks of", () => {
    expect(people.length).toBe(26);
    const ages = people.map(({ age_years }) => age_years as number);
    expect([Math.min(...ages), Math.max(...ages)]).toEqual([19, 74]);
    for (const [column, values] of Object.entries({
      sex: ["female", "male"],
      plays: ["left", "right"],
      arm: ["grip", "swing"],
      gym_training: ["no", "yes"],
    }))
      expect([...new Set(people.map((person) => person[column]))].sort()).toEqual(values);
    expect(people.filter(({ withdrew_on }) => withdrew_on !== null).length).toBe(2);
  });

  it("has mixed units in one file, invalid trials, one set-aside and missed sessions", () => {
    expect([...new Set(study.gripTrials.array("unit"))].sort()).toEqual(["N", "kgf", "lbf"]);
    expect([...new Set(study.swingTrials.array("unit"))].sort()).toEqual(["km/h", "m/s", "mph"]);
    const by = study.setAside.map((one) => one.by);
    expect(by.filter((one) => one === "set-aside").length).toBe(1);
    expect(by.filter((one) => one === "status").length).toBe(6);
    expect(study.trainingLog.array("completed")).toContain("no");
  });

  it("knows its truth, and an adjusted comparison finds it within its interval", () => {
    const { truth } = inventStudy(winterBlock);
    const gainOf = (id: string) => {
      const [first, last] = ["w0", "w6"].map(
        (occasion) => truth.find((v) => v.participant === id && v.occasion === occasion)!,
      );
      return last!.grip["lead address"]! - first!.grip["lead address"]!;
    };
    const pairs = beforeAfter(study, summariseGrip(study, { rule: "mean3" }), {
      before: "w0",
      after: "w6",
      where: { hand: "lead", position: "address" },
    });
    const gains = pairs.participant.filter((_, i) => pairs.arm[i] === "grip").map(gainOf);
    const trueGain = gains.reduce((sum, gain) => sum + gain, 0) / gains.length;
    expect(trueGain).toBeGreaterThan(1.5);
    const { difference } = adjustForBaseline({
      before: pairs.before,
      after: pairs.after,
      group: pairs.arm,
      reference: "swing",
    });
    expect(difference!.interval!.low).toBeLessThan(trueGain);
    expect(difference!.interval!.high).toBeGreaterThan(trueGain);
  });
});
