import { readdirSync, readFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { describe, expect, it } from "vitest";
import { adjustForBaseline } from "../../../lib/stats/baseline.js";
import { proposeMapping } from "../../../lib/study/mapping/propose.js";
import { openStudy } from "../../../lib/study/open.js";
import { checkPackage } from "../../../lib/study/package/profile.js";
import { coachNine, demoStudies, winterBlock } from "../../../lib/study/simulate/demo.js";
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

describe("the speed meter of coach-nine", () => {
  const { files } = inventStudy(coachNine);
  const described = JSON.parse(files["datapackage.json"]!);
  const isSwings = ({ kind, name }: Record<string, unknown>) => (kind ?? name) === "swing-trials";
  const given = described.resources.find(isSwings);

  it("has headings, codes, dates and decimals of its own", () => {
    expect(files["speed-meter.csv"]!.split("\n").slice(0, 2)).toEqual([
      "Player;Test;Day;Club;Device;Swing no.;Club speed (mph)",
      "1-1;Pre;03.03.2025;driver;S1;1;81,4",
    ]);
  });

  it("is read as the same swings in our own columns are", () => {
    const { exports: _, ...plain } = coachNine;
    const ours = inventStudy(plain).files["swing-trials.csv"]!.trimEnd().split("\n").slice(1);
    const read = openStudy(folderOf("coach-nine")).swingTrials.objects() as unknown as Record<
      string,
      unknown
    >[];
    const columns = "participant,occasion,date,club,device,swing,speed,unit,status".split(",");
    expect(read.map((row) => `${columns.map((name) => row[name]).join(",")},`)).toEqual(ours);
  });

  it("is read as map proposes it, without a question", () => {
    const resources = described.resources.filter((one: Record<string, unknown>) => !isSwings(one));
    const texts = { ...files, "datapackage.json": JSON.stringify({ ...described, resources }) };
    const bytes = Object.entries(texts).map(
      ([name, text]) => [name, new TextEncoder().encode(text)] as const,
    );
    const { questions, resources: proposed } = proposeMapping({
      name: "coach-nine",
      files: new Map(bytes),
      faults: [],
    });
    expect(questions).toEqual([]);
    expect(proposed).toHaveLength(1);
    expect(proposed[0]).toMatchObject({
      kind: "swing-trials",
      path: given.path,
      dialect: given.dialect,
      reading: given.reading,
    });
  });

  it("is refused where an export would lose a column", () => {
    const meter = coachNine.exports!["swing-trials"]!;
    const { status: _, ...constants } = meter.reading.constants!;
    const reading = { ...meter.reading, constants };
    expect(() =>
      inventStudy({ ...coachNine, exports: { "swing-trials": { ...meter, reading } } }),
    ).toThrow(/a column for status, or a constant that every row has/);
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
