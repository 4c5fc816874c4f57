import { describe, expect, it } from "vitest";
import { descriptorName } from "../../../lib/study/files.js";
import type { Parts } from "../small-study.js";
import {
  described,
  gripTrials,
  inspect,
  participants,
  swingTrials,
  withLine,
  withResource,
} from "../small-study.js";

const found = (parts: Parts, today?: string) =>
  inspect(parts, today).issues.map(({ file, row, column, code }) => [file, row, column, code]);
const only = (parts: Parts, code: string) =>
  inspect(parts).issues.filter((one) => one.code === code);

/** The force of some lines multiplied; lines are counted from 1. */
function scaled(text: string, lines: number[], factor: number): string {
  return text
    .split("\n")
    .map((line, i) =>
      lines.includes(i + 1)
        ? line.replace(
            /,(\d+\.\d),(kgf|mph)/,
            (_, value, unit) => `,${(value * factor).toFixed(1)},${unit}`,
          )
        : line,
    )
    .join("\n");
}

// The ratios a mistaken unit leaves: exact unit definitions, see domain facts of NIST SP 811 B.8.
describe("unit mix-ups are asked about, never converted", () => {
  it.each([
    ["one trial in newtons", [2], 9.80665, /it were in N;/],
    ["one trial in pounds", [2], 2.20462, /it were in lbf, or the sum of both hands;/],
    ["both hands summed", [2], 2, /it were in lbf, or the sum of both hands;/],
    ["one trial in kgf called newtons", [2], 1 / 9.80665, /in kgf and called N;/],
  ])("%s, against the person's own median", (_, lines, factor, meaning) => {
    const parts = { gripTrials: scaled(gripTrials, lines, factor) };
    const [issue, ...others] = only(parts, "unit-mix-up");
    expect(others).toEqual([]);
    expect(issue).toMatchObject({
      file: "grip-trials.csv",
      row: 2,
      column: "force",
      severity: "ask",
    });
    expect(issue!.expected).toMatch(meaning);
    const raw = inspect(parts).study!.gripTrials;
    expect(raw.get("force_kgf", 0)).toBe(raw.get("force", 0));
    expect(inspect(parts).account[1]!.used).toBe(16);
  });

  it("a whole visit is asked about once, with the number of its trials", () => {
    const [issue, ...others] = only(
      { gripTrials: scaled(gripTrials, [6, 7, 8], 2.20462) },
      "unit-mix-up",
    );
    expect(others).toEqual([]);
    expect(issue!.value).toMatch(/and 2 more of this visit/);
  });

  it("all of a person's trials, against the norm for age and sex", () => {
    const [issue, ...others] = only(
      { gripTrials: scaled(gripTrials, [2, 3, 4, 5, 6, 7, 8, 9], 2.20462) },
      "unit-mix-up",
    );
    expect(others).toEqual([]);
    // Median of women of 40 to 44: 29.4 kgf, Tomkinson et al. (2025) J Sport Health Sci 14:101014.
    expect(issue!.expected).toBe(
      "it were in lbf, or the sum of both hands; the norm for age and sex is 29.4 kgf",
    );
  });

  it.each([
    ["m/s called mph", 1 / 2.23694, /in m\/s and called mph/],
    ["km/h called mph", 1.60934, /in km\/h and called mph/],
  ])("club speed: %s", (_, factor, meaning) => {
    const [issue] = only({ swingTrials: scaled(swingTrials, [2], factor) }, "unit-mix-up");
    expect(issue!.expected).toMatch(meaning);
  });

  it("stays silent on trials within 15 % of each other", () => {
    const even = scaled(scaled(gripTrials, [2, 5, 9], 1.1), [3, 12], 0.9);
    expect(only({ gripTrials: even }, "unit-mix-up")).toEqual([]);
  });
});

describe("values", () => {
  it("no person reaches", () => {
    const strong = withLine(
      gripTrials,
      10,
      "042,w0,2025-01-07,left,address,55,D1,1,150.0,kgf,valid,",
    );
    expect(found({ gripTrials: strong })).toContainEqual([
      "grip-trials.csv",
      10,
      "force",
      "implausible",
    ]);
  });

  it("far from the person's others are flagged by the named rule, and stay in", () => {
    const [third, fourth] = ["w0", "w6"].map((occasion) =>
      [3, 4, 5].map((n) => `007,${occasion},,left,address,50,D1,${n},29.5,kgf,valid,`).join("\n"),
    );
    const more = `${gripTrials}${third}\n${fourth}\n`;
    expect(only({ gripTrials: more }, "trial-outlying")).toEqual([]);
    // Median 29.5; the spread is at least 1.5 kgf, so four of them reach 6.0 kgf: 23.4 is outside.
    const low = withLine(more, 2, "007,w0,2025-01-06,left,address,50,D1,1,23.4,kgf,valid,");
    const [issue] = only({ gripTrials: low }, "trial-outlying");
    expect(issue).toMatchObject({ row: 2, severity: "ask", value: "23.4 kgf" });
    expect(inspect({ gripTrials: low }).account[1]!.used).toBe(22);
    const inside = withLine(more, 2, "007,w0,2025-01-06,left,address,50,D1,1,23.6,kgf,valid,");
    expect(only({ gripTrials: inside }, "trial-outlying")).toEqual([]);
  });

  describe("that were asked about for another reason are not asked about again as outlying", () => {
    const trial = (n: number, force: number) =>
      `042,w0,2025-01-07,left,address,55,D1,${n},${force.toFixed(1)},kgf,valid,`;
    /** Ten trials of 042's trail hand in all: four of the small study and six more. */
    const with042 = (...forces: number[]) =>
      `${gripTrials}${forces.map((force, i) => trial(i + 3, force)).join("\n")}\n`;
    const codesOfRow = (text: string, row: number) =>
      found({ gripTrials: text })
        .filter((one) => one[1] === row)
        .map((one) => one[3]);

    it("a value that nobody reaches", () => {
      expect(codesOfRow(with042(45, 44, 46, 45, 44, 150), 23)).toEqual(["implausible"]);
    });

    it("a value that looks like another unit", () => {
      expect(codesOfRow(with042(45, 44, 46, 45, 44, 45 * 2.2), 23)).toEqual(["unit-mix-up"]);
    });

    it("a value far off among trials that all look like another unit", () => {
      // In lbf: the median is twice the norm, and one trial is a third below the others.
      const pounds = gripTrials.replace(
        /^(042.*,)(\d+\.\d)(,kgf.*)$/gm,
        (_, a, force, b) => `${a}${(Number(force) * 2.2).toFixed(1)}${b}`,
      );
      const more = [99, 98, 100, 99, 98, 72].map((force, i) => trial(i + 3, force)).join("\n");
      const codes = inspect({ gripTrials: `${pounds}${more}\n` }).issues.map(({ code }) => code);
      expect(codes).toEqual(["unit-mix-up"]);
    });

    it("though a value as far off is asked about where no other reason is", () => {
      expect(codesOfRow(with042(45, 44, 46, 45, 44, 33), 23)).toEqual(["trial-outlying"]);
    });
  });
});

describe("repeated trials", () => {
  const same = "007,w0,2025-01-06,left,address,50,D1,1,28.0,kgf,valid,";

  it("with one value: the first is used", () => {
    const parts = { gripTrials: `${gripTrials}${same}\n` };
    expect(only(parts, "trial-repeated")).toMatchObject([{ row: 18, expected: "row 2" }]);
    expect(inspect(parts).setAside).toMatchObject([{ row: 18, reason: "repeat of a trial" }]);
  });

  it("with two values: neither is used, for nobody can tell which is right", () => {
    const parts = { gripTrials: `${gripTrials}${same.replace("28.0", "29.0")}\n` };
    expect(inspect(parts).setAside.map(({ row }) => row)).toEqual([2, 18]);
  });

  it("a line of the set-aside file about the row settles it", () => {
    const parts = {
      gripTrials: `${gripTrials}${same.replace("28.0", "29.0")}\n`,
      descriptor: described({
        resources: (list) => [...list, { name: "set-aside", path: "set-aside.csv" }],
      }),
      more: {
        "set-aside.csv": `file,participant,occasion,hand,position,club,number,reason,decided_on
grip-trials,007,w0,left,address,,row 18,typed twice,2025-02-20
`,
      },
    };
    const { issues, setAside } = inspect(parts);
    expect(issues).toEqual([]);
    expect(setAside).toMatchObject([{ row: 18, by: "set-aside", reason: "typed twice" }]);
  });
});

describe("protocol", () => {
  const timed = (times: Record<number, string>, hands?: string[]) => {
    const lines = gripTrials.trimEnd().split("\n").slice(0, 5);
    const rows = lines.map((line, i) => {
      if (i === 0) return line.replace("date,", "date,time,");
      const withHand = hands ? line.replace(/left|right/, hands[i - 1]!) : line;
      return withHand.replace("2025-01-06,", `2025-01-06,${times[i + 1] ?? ""},`);
    });
    return `${rows.join("\n")}\n`;
  };
  const design = described({ study: { restSeconds: 60 } });

  it("rest below the plan", () => {
    const times = { 2: "10:00:00", 4: "10:00:30", 3: "10:00:50", 5: "10:01:40" };
    const short = only({ gripTrials: timed(times), descriptor: design }, "rest-short");
    expect(short).toMatchObject([{ row: 3, column: "time", value: "50", expected: "60" }]);
  });

  it("trials numbered against the clock", () => {
    const times = { 3: "10:00:00", 4: "10:00:30", 2: "10:01:10", 5: "10:01:40" };
    expect(only({ gripTrials: timed(times) }, "trial-order")).toMatchObject([
      { row: 3, column: "trial", value: "2", expected: "1" },
    ]);
  });

  it("three trials of one hand in a row are no alternation, two may meet between positions", () => {
    const three = { 2: "10:00:00", 3: "10:02:00", 4: "10:04:00", 5: "10:06:00" };
    expect(only({ gripTrials: timed(three) }, "hands-not-alternated")).toEqual([]);
    const lines = timed(three, ["left", "left", "left", "right"]).replace("D1,1,30.0", "D1,3,30.0");
    expect(only({ gripTrials: lines }, "hands-not-alternated")).toMatchObject([{ row: 4 }]);
  });

  it("handle or device changed between occasions", () => {
    const changed = gripTrials
      .replace("007,w6,2025-02-17,left,address,50,D1,1", "007,w6,2025-02-17,left,address,45,D1,1")
      .replaceAll("042,w6,2025-02-18,right,address,55,D1", "042,w6,2025-02-18,right,address,55,D2");
    expect(found({ gripTrials: changed })).toEqual([
      ["grip-trials.csv", 6, "handle_mm", "handle-changed"],
      ["grip-trials.csv", 7, "handle_mm", "handle-changed"],
      ["grip-trials.csv", 14, "device", "device-changed"],
      ["grip-trials.csv", 16, "device", "device-changed"],
    ]);
  });

  it("fewer trials or swings than planned, and fewer than seven swings", () => {
    const fewer = { gripTrials: gripTrials.replace(/^007,w6.*left.*,2,.*\n/m, "") };
    expect(only(fewer, "trials-few")).toMatchObject([
      { row: 6, value: "3 valid trials on one visit", expected: "4", count: 1 },
    ]);
    const swings = { swingTrials: swingTrials.replace(/^007,w0.*,driver,7,.*\n/m, "") };
    expect(only(swings, "swings-few")).toMatchObject([
      {
        row: 2,
        value: "6 valid swings on one visit",
        expected: "7; the mean of fewer than 7 is not stable",
      },
    ]);
  });

  it("a summary rule that changes between occasions is an error of the plan", () => {
    const plan = { summaries: { grip: { w0: "mean2", w6: "max2" }, speed: "mean" } };
    expect(found({ descriptor: described({ study: { plan } }) })).toEqual([
      [descriptorName, 0, "study.plan.summaries.grip", "rule-changed"],
    ]);
  });
});

describe("people", () => {
  it("with one occasion only", () => {
    const parts = {
      gripTrials: gripTrials.replace(/^042,w6.*\n/gm, ""),
      swingTrials: swingTrials.replace(/^042,w6.*\n/gm, ""),
    };
    expect(found(parts)).toEqual([["participants.csv", 3, "participant", "one-occasion"]]);
  });

  it("with dates out of order", () => {
    const parts = { gripTrials: gripTrials.replaceAll("2025-02-17", "2025-01-02") };
    expect(only(parts, "dates-out-of-order")).toMatchObject([
      { row: 6, value: "2025-01-02", expected: "2025-01-06" },
    ]);
  });

  it("with dates in the future of the day that is given, and only then", () => {
    expect(found({}, "2025-02-17").map(([file, row]) => [file, row])).toEqual([
      ...[14, 15, 16, 17].map((row) => ["grip-trials.csv", row]),
      ...[23, 24, 25, 26, 27, 28, 29].map((row) => ["swing-trials.csv", row]),
    ]);
    expect(found({})).toEqual([]);
  });

  it("with trials after they left", () => {
    const parts = {
      participants: `participant,arm,sex,age_years,plays,withdrew_on
007,grip,female,40,right,
042,swing,male,52,left,2025-02-01
`,
    };
    const after = only(parts, "after-withdrawal");
    expect(after.length).toBe(4 + 7);
    expect(after[0]).toMatchObject({ row: 14, value: "2025-02-18", expected: "2025-02-01" });
  });

  it("whose hands may have been exchanged on one occasion", () => {
    // Lead (left) 4 kgf above trail before, 4 kgf below it after.
    const one = (occasion: string, lead: number, trail: number) =>
      [1, 2]
        .flatMap((trial) => [
          `007,${occasion},,left,address,50,D1,${trial},${lead}.0,kgf,valid,`,
          `007,${occasion},,right,address,50,D1,${trial},${trail}.0,kgf,valid,`,
        ])
        .join("\n");
    const head = gripTrials.split("\n")[0];
    const swapped = `${head}\n${one("w0", 34, 30)}\n${one("w6", 30, 34)}\n`;
    const [issue] = only({ gripTrials: swapped }, "side-doubt");
    expect(issue).toMatchObject({ row: 6, column: "hand", severity: "ask" });
    expect(issue!.message).toBe(
      "At w6 the lead hand is 12 % below the trail hand; expected as at w0, 13 % above it. Are the sides mixed up?",
    );
    const kept = `${head}\n${one("w0", 34, 30)}\n${one("w6", 35, 31)}\n`;
    expect(only({ gripTrials: kept }, "side-doubt")).toEqual([]);
  });

  it("whose file names hands both by side and by club is asked about once", () => {
    const both = gripTrials.replace("007,w6,2025-02-17,left", "007,w6,2025-02-17,lead");
    expect(only({ gripTrials: both }, "side-doubt")).toMatchObject([
      { row: 6, column: "hand", expected: "left or right, as above" },
    ]);
  });

  it("a stronger non-dominant hand raises no alarm: one right-hander in nine has one", () => {
    const weak = participants
      .replace("plays", "plays,writes_with")
      .replace("right\n", "right,right\n")
      .replace("left\n", "left,right\n");
    expect(found({ participants: weak })).toEqual([]);
  });
});

describe("the set-aside file", () => {
  const list = described({
    resources: (files) => [...files, { name: "set-aside", path: "set-aside.csv" }],
  });
  const decide = (lines: string) => ({
    descriptor: list,
    more: {
      "set-aside.csv": `file,participant,occasion,hand,position,club,number,reason,decided_on\n${lines}\n`,
    },
  });

  it("leave out what they name, with their reason, and nothing else", () => {
    const parts = decide(
      "grip-trials,007,w0,left,address,,2,handle slipped,2025-02-20\nswing-trials,042,w6,,,driver,all,club broke,2025-02-20",
    );
    const { setAside, account } = inspect(parts);
    expect(setAside.length).toBe(8);
    expect(setAside[0]).toMatchObject({
      file: "grip-trials.csv",
      row: 3,
      participant: "007",
      occasion: "w0",
      what: "lead hand, address, trial 2",
      value: 29,
      unit: "kgf",
      reason: "handle slipped",
      by: "set-aside",
    });
    expect(account[1]).toMatchObject({
      rows: 16,
      used: 15,
      setAside: [{ reason: "handle slipped", rows: 1 }],
    });
    expect(account[2]).toMatchObject({
      rows: 28,
      used: 21,
      setAside: [{ reason: "club broke", rows: 7 }],
    });
  });

  it.each([
    ["a file that is none", "grips,007,w0,left,address,,2,x,2025-02-20", "set-aside-wrong"],
    ["an unknown person", "grip-trials,008,w0,left,address,,2,x,2025-02-20", "set-aside-wrong"],
    [
      "a number that is none",
      "grip-trials,007,w0,left,address,,second,x,2025-02-20",
      "set-aside-wrong",
    ],
    ["a hand that is none", "grip-trials,007,w0,both,address,,2,x,2025-02-20", "set-aside-wrong"],
    [
      "a trial that is not there",
      "grip-trials,007,w0,left,address,,9,x,2025-02-20",
      "set-aside-unmatched",
    ],
    ["no reason", "grip-trials,007,w0,left,address,,2,,2025-02-20", "value-needed"],
    ["no day", "grip-trials,007,w0,left,address,,2,x,", "value-needed"],
  ])("%s is an error in its row", (_, line, code) => {
    const { issues, account } = inspect(decide(line));
    expect(issues).toMatchObject([{ file: "set-aside.csv", row: 2, code, severity: "error" }]);
    expect(account[1]!.used).toBe(16);
    expect(account[3]).toMatchObject({ rows: 1, used: 0 });
  });
});

describe("calibration", () => {
  const files = (plan: string, lines: string) => ({
    descriptor: described({
      resources: (list) => [...list, { name: "calibration", path: "calibration.csv" }],
      study: { plan: { summaries: { grip: "mean2", speed: "mean" }, calibration: plan } },
    }),
    more: { "calibration.csv": `date,device,known_load,reading,unit,note\n${lines}\n` },
  });
  const load = (device: string, known: number, reading: number) =>
    `2025-01-05,${device},${known},${reading},kgf,`;

  it("a device that reads 10 % high is asked about, though its readings correlate perfectly", () => {
    const lines = [10, 20, 40, 60].map((known) => load("D1", known, known * 1.1)).join("\n");
    const { issues, study } = inspect(files("none", lines));
    expect(issues).toMatchObject([
      { file: "calibration.csv", code: "calibration-off", column: "reading" },
    ]);
    const [line] = study!.calibrationLines;
    expect(line!.slope).toBeCloseTo(1.1, 12);
    expect(line!.worstPercent).toBeCloseTo(10, 9);
    expect(line!.accepted).toBe(false);
    expect(study!.gripTrials.get("force_kgf", 0)).toBe(28);
  });

  it("one reading more than 5 % off is asked about by its row", () => {
    const lines = [
      load("D1", 10, 10.6),
      load("D1", 20, 20.1),
      load("D1", 40, 40.1),
      load("D1", 60, 60),
    ];
    const { issues } = inspect(files("none", lines.join("\n")));
    expect(issues).toMatchObject([{ row: 2, code: "calibration-off" }]);
  });

  it("corrects readings only when the plan says so: force = (reading − a) / b", () => {
    const lines = [10, 20, 40].map((known) => load("D1", known, 0.5 + 1.02 * known)).join("\n");
    expect(inspect(files("none", lines)).study!.gripTrials.get("force_kgf", 0)).toBe(28);
    const { study, issues } = inspect(files("correct", lines));
    expect(study!.gripTrials.get("force_kgf", 0)).toBeCloseTo((28 - 0.5) / 1.02, 10);
    expect(study!.gripTrials.get("force", 0)).toBe(28);
    expect(issues.map(({ code }) => code)).toContain("calibration-applied");
  });

  it.each([
    ["falls with the load", [40, 30, 10]],
    ["stays the same at every load", [20, 20, 20]],
  ])("never corrects by a line that %s", (_, readings) => {
    const lines = [10, 20, 40].map((known, i) => load("D1", known, readings[i]!)).join("\n");
    const { account, issues } = inspect(files("correct", lines));
    expect(account[1]).toMatchObject({ rows: 16, used: 0 });
    const codes = issues.map(({ code }) => code);
    expect(codes).not.toContain("calibration-applied");
    expect(codes.filter((code) => code === "calibration-impossible").length).toBe(16);
  });

  it("sets aside trials of a device that the plan would correct and cannot", () => {
    const { account, issues } = inspect(files("correct", load("D9", 10, 10)));
    expect(account[1]).toMatchObject({ rows: 16, used: 0 });
    expect(issues.filter(({ code }) => code === "calibration-impossible").length).toBe(16);
  });
});

describe("a resource with further limits", () => {
  it("may narrow ours, not widen them", () => {
    const fields = [
      { name: "force", type: "number", constraints: { maximum: 46 } },
      { name: "trial", type: "integer", constraints: { maximum: 900 } },
    ];
    const parts = { descriptor: withResource("grip-trials", { schema: { fields } }) };
    expect(only(parts, "above-most").map(({ row, column }) => [row, column])).toEqual([
      [13, "force"],
      [16, "force"],
      [17, "force"],
    ]);
    const far = { ...parts, gripTrials: gripTrials.replace("D1,2,29.0", "D1,60,29.0") };
    expect(found(far)).toContainEqual(["grip-trials.csv", 3, "trial", "above-most"]);
  });
});
