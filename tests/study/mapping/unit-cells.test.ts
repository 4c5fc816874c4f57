import { describe, expect, it } from "vitest";
import { proposeMapping } from "../../../lib/study/mapping/propose.js";
import { agrees } from "../../reference/agree.js";
import { golfersFile, study, swings, trials } from "./layouts.js";

const head = "Player,Visit,Hand,Position,Trial,Force";
const grip = (force: (kgf: number, i: number) => string, heading = head) =>
  `${heading}\n${trials
    .map((t, i) => [t.golfer, t.visit, t.hand, t.position, t.trial, force(t.kgf, i)].join(","))
    .join("\n")}\n`;

function proposed(files: Record<string, string>, answers: Record<string, string> = {}) {
  const all = {
    "datapackage.json": JSON.stringify(study),
    "participants.csv": golfersFile,
    ...files,
  };
  const bytes = Object.entries(all).map(
    ([path, text]) => [path, new TextEncoder().encode(text)] as const,
  );
  return proposeMapping(
    { name: "invented", files: new Map(bytes), faults: [], unread: Object.keys(files) },
    new Map(Object.entries(answers)),
  );
}

const wrong = ({ check }: ReturnType<typeof proposed>) =>
  check.issues
    .filter(({ severity }) => severity === "stop" || severity === "error")
    .map(({ file, row, column, code }) => [file, row, column, code]);
const forces = ({ check }: ReturnType<typeof proposed>) =>
  check.study!.gripTrials.array("force_kgf") as number[];

describe("a unit behind the number of each cell", () => {
  it("is proposed with its meaning, and read", () => {
    const found = proposed({ "force.csv": grip((kgf) => `${kgf} kg`) });
    expect(found.questions).toEqual([]);
    expect(found.resources[0]!.reading.cellUnits).toEqual({ force: { kg: "kgf" } });
    expect(found.resources[0]!.reading.constants).toEqual({ status: "valid" });
    expect(forces(found)).toEqual(trials.map(({ kgf }) => kgf));
    expect(wrong(found)).toEqual([]);
  });

  it("is converted: pounds, with decimal commas and without a space", () => {
    const file = grip((kgf) => `${(kgf / 0.45359237).toFixed(6).replace(".", ",")}lb`);
    const found = proposed({ "force.csv": file.replaceAll(/,(?!\d{6}lb)/g, ";") });
    expect(found.questions).toEqual([]);
    expect(found.resources[0]!.reading.cellUnits).toEqual({ force: { lb: "lbf" } });
    // 1 lbf is 0.453 592 37 kgf: NIST SP 811 (2008), appendix B.8.
    agrees(forces(found)[0]!, trials[0]!.kgf, {
      quantity: "first squeeze, kgf",
      rel: 1e-7,
      why: "six decimals of a pound in the file",
    });
  });

  it("of speed, height and body mass is read too", () => {
    const own =
      "Player,Arm,Plays,Height,Weight\nG01,grip,right,66 in,150 lb\nG02,swing,left,70 in,180 lb\n";
    const speed = `Player,Visit,Club,Shot,Speed\n${swings
      .filter(({ golfer }) => golfer === "G01" || golfer === "G02")
      .map((s) => [s.golfer, s.visit, "driver", s.swing, `${s.mph} mph`].join(","))
      .join("\n")}\n`;
    const files = { "participants.csv": "participant,arm,plays\n", "players.csv": own };
    const found = proposed({ ...files, "speed.csv": speed });
    expect(found.questions).toEqual([]);
    expect(wrong(found)).toEqual([]);
    const { participants, swingTrials } = found.check.study!;
    // 1 in is 2.54 cm and 1 lb is 0.453 592 37 kg, both exact.
    const rounding = { rel: 1e-12, why: "exact factors" };
    const height = participants.array("height_cm")[0] as number;
    agrees(height, 66 * 2.54, { quantity: "height", ...rounding });
    const mass = participants.array("mass_kg")[0] as number;
    agrees(mass, 150 * 0.45359237, { quantity: "mass", ...rounding });
    expect(swingTrials.array("speed")[0]).toBe(swings[0]!.mph);
  });

  it("of trials side by side is read, where only the unit says what is measured", () => {
    const file = `Player,Visit,Hand,Position,Trial 1,Trial 2\n${trials
      .filter(({ trial }) => trial === 1)
      .map((t) => [t.golfer, t.visit, t.hand, t.position, `${t.kgf} kg`, `${t.kgf + 0.5} kg`])
      .map((row) => row.join(","))
      .join("\n")}\n`;
    const found = proposed({ "sides.csv": file });
    expect(found.questions).toEqual([]);
    expect([...forces(found)].sort()).toEqual(trials.map(({ kgf }) => kgf).sort());
  });
});

describe("several units in the cells of one column", () => {
  const mixed = grip((kgf, i) => (i < 3 ? `${kgf * 2} lb` : `${kgf} kg`));
  const key = "force.csv: units of force";

  it("are asked about, with their counts", () => {
    const { questions } = proposed({ "force.csv": mixed });
    expect(questions.map((one) => one.key)).toEqual([key]);
    expect(questions[0]!.text).toContain(`${trials.length - 3} values in kg and 3 values in lb`);
  });

  it("are converted each by its own when that is the answer, and a note names the first row", () => {
    const found = proposed({ "force.csv": mixed }, { [key]: "each by its own unit" });
    agrees(forces(found)[0]!, trials[0]!.kgf * 2 * 0.45359237, {
      quantity: "a squeeze in pounds",
      rel: 1e-12,
      why: "exact factor",
    });
    expect(found.check.issues.find(({ code }) => code === "unit-mixed")?.message).toContain(
      "3 rows in lbf (the first: row 2)",
    );
  });

  it("are else errors of their rows", () => {
    const found = proposed({ "force.csv": mixed }, { [key]: "only kg; report the others" });
    expect(wrong(found)).toEqual(
      [2, 3, 4].map((row) => ["force.csv", row, "force", "unit-in-cell"]),
    );
    expect(forces(found)).toHaveLength(trials.length - 3);
  });
});

describe("what no unit is taken from", () => {
  it("a cell without a unit among cells that have one", () => {
    const found = proposed({ "force.csv": grip((kgf, i) => (i === 4 ? `${kgf}` : `${kgf} kg`)) });
    expect(wrong(found)).toEqual([["force.csv", 6, "unit", "value-needed"]]);
  });

  it("cells that contradict their heading", () => {
    const file = grip((kgf) => `${kgf} lb`, head.replace("Force", "Force (kg)"));
    const { questions } = proposed({ "force.csv": file });
    expect(questions[0]!.text).toContain('Its cells say "lb", its heading says kgf.');
  });

  it("codes of golfers that end in a letter", () => {
    const codes = ["1 m", "2 m", "3 m", "4 m"];
    const renamed = (text: string) =>
      codes.reduce((all, code, i) => all.replaceAll(`G0${i + 1}`, code), text);
    const found = proposed({
      "participants.csv": renamed(golfersFile),
      "force.csv": renamed(grip((kgf) => `${kgf} kg`)),
    });
    expect(found.questions).toEqual([]);
    expect(new Set(found.check.study!.gripTrials.array("participant"))).toEqual(new Set(codes));
  });

  it.each([
    ["force", { kg: "mph" }, "force.kg: expected a unit of force, such as kgf"],
    ["date", { d: "cm" }, "date.d: expected a column of numbers with a unit, such as force"],
    ["handle_mm", { cm: "cm" }, "handle_mm.cm: expected mm, the unit of this column"],
  ])("a unit that %s cannot have", (column, units, message) => {
    const reading = { cellUnits: { [column]: units } };
    const resources = [...study.resources, { name: "grip-trials", path: "f.csv", reading }];
    const described = JSON.stringify({ ...study, resources });
    expect(() => proposed({ "datapackage.json": described, "f.csv": "participant\n" })).toThrow(
      message,
    );
  });
});
