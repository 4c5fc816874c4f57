import { describe, expect, it } from "vitest";
import { InputError } from "../../../lib/errors.js";
import { openStudy, readStudy } from "../../../lib/study/open.js";
import { resourceDescriptor } from "../../../lib/study/package/descriptor.js";
import { winterBlock } from "../../../lib/study/simulate/demo.js";
import { inventStudy } from "../../../lib/study/simulate/simulate.js";
import { gripInSwing } from "../../../lib/study/tables/grip-in-swing.js";
import { shareOfMaximum } from "../../../lib/swing/hold.js";
import { convert } from "../../../lib/units/convert.js";

/** The demo study with a swing-grip file of these rows. */
function studyWith(rows: string[]) {
  const files = { ...inventStudy(winterBlock).files };
  const descriptor = JSON.parse(files["datapackage.json"]!);
  descriptor.resources.push(resourceDescriptor("swing-grip"));
  const head = "participant,occasion,club,swing,hand,force,unit,status,note";
  const text = (content: string) => new TextEncoder().encode(content);
  const bytes = new Map(
    Object.entries({
      ...files,
      "datapackage.json": JSON.stringify(descriptor),
      "swing-grip.csv": [head, ...rows, ""].join("\n"),
    }).map(([name, content]) => [name, text(content)]),
  );
  const { study, issues } = readStudy({ name: "winter-block", files: bytes, faults: [] });
  if (!study) throw new Error(JSON.stringify(issues));
  return study;
}

describe("grip measured in the swing", () => {
  const study = studyWith([
    "001,w0,driver,1,lead,98.0665,N,valid,",
    "001,w0,driver,2,lead,12,kgf,valid,",
    "001,w0,driver,3,lead,,kgf,device,cable loose",
    "002,w0,driver,1,right,15,kgf,valid,",
    "002,w3,driver,1,left,15,kgf,refused,",
  ]);
  const found = gripInSwing(study, { position: "address" });

  it("is the mean of the peaks in kgf, beside the highest trial of that hand and occasion", () => {
    const { participant, swings, inSwingKgf, maximumKgf } = found.rows[0]!;
    expect([participant, swings]).toEqual(["001", 2]);
    expect(inSwingKgf).toBeCloseTo((10 + 12) / 2, 12);
    const trials = study.gripTrials
      .objects()
      .map((row) => row as Record<string, unknown>)
      .filter((row) => row.participant === "001" && row.occasion === "w0")
      .filter((row) => row.hand === "lead" && row.position === "address");
    expect(maximumKgf).toBe(Math.max(...trials.map((row) => Number(row.force_kgf))));
  });

  it("gives the share of the golfer's own maximum", () => {
    const { inSwingKgf, maximumKgf } = found.rows[0]!;
    const newton = (kgf: number) => convert(kgf, "kgf", "N");
    const share = shareOfMaximum({ inSwingN: newton(inSwingKgf), maximumN: newton(maximumKgf) });
    expect(share).toBeCloseTo((100 * 11) / maximumKgf, 10);
  });

  it("knows a side by how the golfer plays, and counts what is not valid", () => {
    const plays = String(
      study.participants.objects().map((row) => row as Record<string, unknown>)[1]!.plays,
    );
    expect(found.rows[1]!.hand).toBe(plays === "right" ? "trail" : "lead");
    expect(found.notValid).toBe(2);
    expect(found.says).toBe(
      "Grip force in the swing was measured in 2 golfers who also have a maximum.",
    );
  });

  it("names what has no maximum to stand against", () => {
    const gone = study.participants
      .objects()
      .map((row) => row as Record<string, unknown>)
      .find((row) => row.withdrew_on !== null)!;
    const late = studyWith([`${gone.participant},w6,driver,1,lead,15,kgf,valid,`]);
    const { rows, missing } = gripInSwing(late, { position: "address" });
    expect(rows).toEqual([]);
    expect(missing).toEqual([
      { participant: gone.participant, reason: "no valid lead-hand trial at w6" },
    ]);
  });
});

describe("a study that did not measure it", () => {
  it("has no rows and says so; no published share stands in", () => {
    const found = gripInSwing(openStudy("winter-block"), { position: "address" });
    expect(found.n).toBe(0);
    expect(found.says).toMatch(/did not measure grip force in the swing/);
  });

  it("refuses a position that the design does not have", () => {
    expect(() => gripInSwing(openStudy("coach-nine"), { position: "seated" })).toThrow(InputError);
  });
});
