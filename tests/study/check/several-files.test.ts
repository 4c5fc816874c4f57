import { describe, expect, it } from "vitest";
import {
  described,
  descriptor,
  gripTrials,
  inspect,
  participants,
  withResource,
} from "../small-study.js";

const [header = "", ...lines] = gripTrials.trim().split("\n");
const visit = (id: string) =>
  `${[header, ...lines.filter((line) => line.includes(id))].join("\n")}\n`;
const trialFiles = (resources: Record<string, unknown>[]) => ({
  ...descriptor,
  resources: [...descriptor.resources.filter(({ name }) => name !== "grip-trials"), ...resources],
});

describe("several files of one kind", () => {
  const perVisit = trialFiles([
    { name: "grip-before", kind: "grip-trials", path: "before.csv" },
    { name: "grip-after", kind: "grip-trials", path: "after.csv" },
  ]);

  it("are one table, each row with its file; checks see across them", () => {
    const { study, account, issues } = inspect({
      descriptor: perVisit,
      more: { "before.csv": visit(",w0,"), "after.csv": visit(",w6,") },
    });
    expect(issues).toEqual([]);
    const one = inspect().study!;
    for (const name of ["participant", "occasion", "hand", "force_kgf"])
      expect([...study!.gripTrials.array(name)].sort()).toEqual(
        [...one.gripTrials.array(name)].sort(),
      );
    expect(account.map(({ file, rows, used }) => [file, rows, used])).toEqual([
      ["participants.csv", 2, 2],
      ["swing-trials.csv", 28, 28],
      ["before.csv", 8, 8],
      ["after.csv", 8, 8],
    ]);
    expect(new Set(study!.gripTrials.array("file"))).toEqual(new Set(["before.csv", "after.csv"]));
  });

  it("a trial that is in two files is named with both places", () => {
    const { issues, setAside } = inspect({
      descriptor: perVisit,
      more: { "before.csv": visit(",w0,"), "after.csv": `${visit(",w6,")}${lines[0]}\n` },
    });
    expect(issues).toMatchObject([
      { file: "after.csv", row: 10, code: "trial-repeated", expected: "before.csv, row 2" },
    ]);
    expect(setAside).toMatchObject([{ file: "after.csv", row: 10 }]);
  });

  it("a folder with one file per golfer gives the golfer's code by its name", () => {
    const ofGolfer = (id: string) =>
      `${[header, ...lines.filter((line) => line.startsWith(id))].map((line) => line.replace(/^[^,]*,/, "")).join("\n")}\n`;
    const { study, issues, account } = inspect({
      descriptor: trialFiles([
        {
          name: "grip",
          kind: "grip-trials",
          path: ["golfers/007.csv", "golfers/042.csv"],
          reading: { fileName: "golfers/{participant}.csv" },
        },
      ]),
      more: { "golfers/007.csv": ofGolfer("007"), "golfers/042.csv": ofGolfer("042") },
    });
    expect(issues).toEqual([]);
    expect(study!.gripTrials.array("participant")).toEqual(
      inspect().study!.gripTrials.array("participant"),
    );
    expect(account.slice(2).map(({ file, used }) => [file, used])).toEqual([
      ["golfers/007.csv", 8],
      ["golfers/042.csv", 8],
    ]);
  });

  it("one file may hold golfers and their trials side by side", () => {
    const wide = `participant,arm,sex,age_years,plays,Pre lead,Post lead
007,grip,female,40,right,28.0,30.0
042,swing,male,52,left,46.0,46.5
`;
    const wideColumns = {
      "Pre lead": { occasion: "w0", hand: "lead", trial: "1" },
      "Post lead": { occasion: "w6", hand: "lead", trial: "1" },
    };
    const { study, issues } = inspect({
      descriptor: {
        ...descriptor,
        resources: [
          { name: "participants", path: "all.csv" },
          {
            name: "grip-trials",
            path: "all.csv",
            reading: {
              wide: { valueColumn: "force", columns: wideColumns },
              constants: { unit: "kgf", status: "valid", position: "address" },
            },
          },
        ],
      },
      more: { "all.csv": wide },
    });
    expect(issues.filter(({ code }) => code === "column-unknown")).toEqual([]);
    expect([...study!.gripTrials.array("force_kgf")]).toEqual([28, 30, 46, 46.5]);
  });
});

describe("nothing is passed over silently", () => {
  const parts = (change: Record<string, unknown>) =>
    inspect({ descriptor: described({ study: change }) });
  const found = (
    issues: readonly { code: string; column: string; value: string; expected: string }[],
  ) => issues.map(({ code, column, value, expected }) => [code, column, value, expected]);

  it("a misspelt key of the study and of a mapping", () => {
    expect(found(parts({ clubz: ["driver"], clubs: undefined }).issues)).toContainEqual([
      "key-unknown",
      "study",
      "clubz",
      "clubs",
    ]);
    const { issues } = inspect({
      descriptor: withResource("grip-trials", { reading: { valeus: { hand: { L: "left" } } } }),
    });
    expect(found(issues)).toContainEqual([
      "key-unknown",
      "resources[1].reading",
      "valeus",
      "values",
    ]);
  });

  it("a misspelt key beside a fault that stops the check", () => {
    const plan = { summaries: { grip: "best3", speed: "mean" }, level: 0.95, seed: 1 };
    const { issues } = parts({ plan, clubz: ["driver"], clubs: undefined });
    expect(issues.map(({ code }) => code).sort()).toEqual(["key-unknown", "package-incomplete"]);
  });

  it("an entry of the plan that the design does not have", () => {
    const primary = {
      outcome: "grip",
      hand: "trail",
      position: "adress",
      before: "w0",
      after: "w12",
      contrast: "grip − swng",
    };
    const plan = { primary, summaries: { grip: "mean2", speed: "mean" }, level: 0.95, seed: 1 };
    const where = "study.plan.primary";
    expect(found(parts({ plan, hands: ["lead"] }).issues)).toEqual([
      ["plan-unknown", `${where}.after`, "w12", '"w0"'],
      ["plan-unknown", `${where}.hand`, "trail", "one of lead"],
      ["plan-unknown", `${where}.position`, "adress", '"address"'],
      ["plan-unknown", `${where}.contrast`, "swng", '"swing"'],
    ]);
  });

  it("a summary rule that does not exist, with the nearest one", () => {
    const plan = { summaries: { grip: "best3", speed: "mean" }, level: 0.95, seed: 1 };
    expect(parts({ plan }).issues[0]!.message).toMatch(/it has "best3"/);
    expect(parts({ plan }).issues[0]!.message).toMatch(/mean3/);
  });

  it("visits, positions, clubs and arms without any trial", () => {
    const { issues } = parts({
      occasions: [
        { id: "w0", week: 0 },
        { id: "w6", week: 6 },
        { id: "w12", week: 12 },
      ],
      positions: [{ id: "address" }, { id: "seated" }],
      arms: [{ id: "grip" }, { id: "swing" }, { id: "wait", control: true }],
      clubs: ["driver", "7-iron"],
    });
    expect(issues.filter(({ code }) => code === "no-trials").map(({ value }) => value)).toEqual([
      "the occasion w12",
      "the position seated",
      "the club 7-iron",
      "the arm wait",
    ]);
  });

  it("body mass in pounds and height in inches are converted, and that is said", () => {
    const pounds = participants
      .replace("plays", "plays,mass_kg,height_cm")
      .replace("right\n", "right,177,70\n")
      .replace("left\n", "left,200,72\n");
    const { study, issues } = inspect({
      participants: pounds,
      descriptor: withResource("participants", {
        reading: { units: { mass_kg: "lb", height_cm: "in" } },
      }),
    });
    // 1 lb = 0.453 592 37 kg and 1 in = 2.54 cm exactly: NIST SP 811, appendix B.8.
    expect(study!.participants.array("mass_kg")[0]).toBeCloseTo(177 * 0.45359237, 10);
    expect(study!.participants.array("height_cm")[0]).toBeCloseTo(177.8, 10);
    expect(issues.map(({ code }) => code)).toEqual(["unit-converted", "unit-converted"]);
  });

  it("a golfer whose own row is refused is reported there, not at each trial", () => {
    const { issues, account } = inspect({
      participants: participants.replace("042,swing", "042,swimg"),
    });
    expect(issues.filter(({ severity }) => severity === "error")).toMatchObject([
      { file: "participants.csv", row: 3, code: "arm-unknown", value: "swimg" },
    ]);
    expect(issues.find(({ code }) => code === "arm-unknown")!.message).toContain(
      '"values": {"arm":{"swimg":"swing"}}',
    );
    expect(account[1]).toMatchObject({
      used: 8,
      setAside: [{ reason: "golfer’s own row cannot be used", rows: 8 }],
    });
  });
});
