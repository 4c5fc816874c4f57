import { describe, expect, it } from "vitest";
import { readStudy } from "../../../lib/study/open.js";
import type { Parts } from "../small-study.js";
import {
  described,
  descriptor,
  filesOf,
  gripTrials,
  inspect,
  participants,
  swingTrials,
  withLine,
  withResource,
} from "../small-study.js";

const found = (parts: Parts) =>
  inspect(parts).issues.map(({ file, row, column, code }) => [file, row, column, code]);
const codes = (parts: Parts) => inspect(parts).issues.map(({ code }) => code);

describe("a clean study", () => {
  const { study, issues, account, setAside } = inspect();

  it("is read without an issue, every row used", () => {
    expect(issues).toEqual([]);
    expect(setAside).toEqual([]);
    expect(account).toEqual([
      { file: "participants.csv", resource: "participants", rows: 2, used: 2, setAside: [] },
      { file: "grip-trials.csv", resource: "grip-trials", rows: 16, used: 16, setAside: [] },
      { file: "swing-trials.csv", resource: "swing-trials", rows: 28, used: 28, setAside: [] },
    ]);
  });

  it("tells hands by their place on the club: a right-sided player's lead hand is the left", () => {
    const rows = study!.gripTrials.objects() as Record<string, unknown>[];
    const handOf = (id: string, side: string) =>
      new Set(rows.filter((r) => r.participant === id && r.side === side).map((r) => r.hand));
    expect([...handOf("007", "left")]).toEqual(["lead"]);
    expect([...handOf("007", "right")]).toEqual(["trail"]);
    expect([...handOf("042", "left")]).toEqual(["trail"]);
    expect([...handOf("042", "right")]).toEqual(["lead"]);
  });
});

describe("ids stay text", () => {
  it.each(["007", "1-2", "MAR1", "3E5", "1/2", "TRUE", "0x10", "1e3"])("%s", (id) => {
    const parts = {
      participants: participants.replace(/^007/m, id),
      gripTrials: gripTrials.replace(/^007/gm, id),
      swingTrials: swingTrials.replace(/^007/gm, id),
    };
    const { study, issues } = inspect(parts);
    expect(issues).toEqual([]);
    expect(study!.participants.array("participant")).toEqual([id, "042"]);
    expect(new Set(study!.gripTrials.array("participant"))).toEqual(new Set([id, "042"]));
  });
});

describe("a faulty cell is one issue, named by file, row and column, and its row is set aside", () => {
  const line = "007,w0,2025-01-06,left,address,50,D1,1,28.0,kgf,valid,";
  it.each([
    ["text in a number column", line.replace("28.0", "strong"), "force", "not-a-number"],
    ["a unit inside the number", line.replace("28.0", "28 kg"), "force", "unit-in-cell"],
    ["an en dash before a number", line.replace("28.0", "–28.0"), "force", "dash-for-minus"],
    ["a minus sign", line.replace("28.0", "−28.0"), "force", "below-least"],
    ["a number beyond measure", line.replace("28.0", "1e99"), "force", "above-most"],
    ["a bad unit", line.replace("kgf", "stone"), "unit", "unit-unknown"],
    ["a unit of another quantity", line.replace("kgf", "mph"), "unit", "unit-unknown"],
    ["a missing unit", line.replace("kgf", ""), "unit", "value-needed"],
    ["a valid trial without a value", line.replace("28.0", ""), "force", "value-needed"],
    ["a status that is none", line.replace("valid", "fine"), "status", "not-listed"],
    ["an unknown participant", line.replace("007", "7"), "participant", "participant-unknown"],
    ["no participant", line.replace("007", ""), "participant", "value-needed"],
    ["an unknown occasion", line.replace("w0", "w1"), "occasion", "occasion-unknown"],
    ["an unknown position", line.replace("address", "hanging"), "position", "position-unknown"],
    ["an unknown hand", line.replace("left", "L"), "hand", "not-listed"],
    ["half a trial", line.replace("D1,1,", "D1,1.5,"), "trial", "not-whole"],
    ["a formula", line.replace("valid,", "valid,=1+1"), "note", "cell-formula"],
    ["a control character", line.replace("valid,", "valid,\u0007"), "note", "cell-control"],
    ["a date that is none", line.replace("2025-01-06", "2025-02-30"), "date", "not-a-date"],
    ["a date of another kind", line.replace("2025-01-06", "06/01/2025"), "date", "not-a-date"],
  ])("%s", (_, bad, column, code) => {
    const parts = { gripTrials: withLine(gripTrials, 2, bad) };
    expect(found(parts)).toContainEqual(["grip-trials.csv", 2, column, code]);
    const { account, setAside, study } = inspect(parts);
    const { rows, used } = account[1]!;
    expect(rows).toBe(16);
    const kept = ["note", "date"].includes(column) ? 16 : 15;
    expect(used).toBe(kept);
    expect(study!.gripTrials.totalRows()).toBe(kept);
    expect(setAside.map(({ row }) => row)).toEqual(kept === 15 ? [2] : []);
  });

  it("says what is wrong and what to do, in one sentence made in one place", () => {
    const parts = { gripTrials: withLine(gripTrials, 2, line.replace("28.0", "strong")) };
    expect(inspect(parts).issues[0]).toEqual({
      file: "grip-trials.csv",
      row: 2,
      column: "force",
      code: "not-a-number",
      severity: "error",
      value: "strong",
      expected: "a number such as 41.5",
      message:
        '"strong" is not a number. A number such as 41.5 is expected; a value not measured is left empty, with a status that gives the reason.',
      count: 1,
    });
  });

  it("a trial that was not done has a status and no value, and is set aside by it", () => {
    const parts = {
      gripTrials: withLine(gripTrials, 2, line.replace("28.0,kgf,valid", ",,refused")),
    };
    const { issues, setAside } = inspect(parts);
    expect(issues.filter(({ severity }) => severity === "error")).toEqual([]);
    expect(setAside).toMatchObject([
      { row: 2, reason: "not done: refused", by: "status", value: null },
    ]);
  });
});

describe("numbers", () => {
  it("are read with a decimal comma where the file uses one, and it is said", () => {
    const semicolons = gripTrials.replaceAll(",", ";").replace(/(\d\d)\.(\d)/g, "$1,$2");
    const { study, issues } = inspect({ gripTrials: semicolons });
    expect(issues.map(({ code }) => code)).toEqual(["decimal-comma"]);
    expect(study!.gripTrials.get("force_kgf", 0)).toBe(28);
    expect(study!.gripTrials.get("force_kgf", 12)).toBe(44.5);
  });

  it("written with a point among decimal commas are one error each, and the others are read", () => {
    const semicolons = gripTrials.replaceAll(",", ";").replace(/(\d\d)\.(\d)/g, "$1,$2");
    const { study, issues } = inspect({ gripTrials: semicolons.replace("44,5", "44.5") });
    const ofForce = issues.filter(({ column }) => column === "force");
    expect(ofForce.map(({ row, code }) => ({ row, code }))).toEqual([
      { row: 1, code: "decimal-comma" },
      { row: 14, code: "not-a-number" },
    ]);
    expect(ofForce[1]!.message).toContain("such as 41,5");
    expect(study!.gripTrials.get("force_kgf", 0)).toBe(28);
    const comma = inspect({ gripTrials: gripTrials.replace("44.5", '"44,5"') }).issues;
    expect(comma.filter(({ column }) => column === "force")).toMatchObject([
      { row: 14, code: "not-a-number" },
    ]);
  });

  it("are not guessed when a comma may mean thousands", () => {
    const doubtful = gripTrials.replaceAll(",", ";").replace(/(\d\d)\.(\d)/g, "$1,$200");
    const parts = { gripTrials: doubtful };
    expect(new Set(codes(parts))).toEqual(new Set(["thousands-or-decimals"]));
    expect(inspect(parts).account[1]!.used).toBe(0);
  });

  it("follow the decimalChar of the field when the datapackage states it", () => {
    const commas = gripTrials.replaceAll(",", ";").replace(/(\d\d)\.(\d)/g, "$1,$200");
    const fields = [{ name: "force", type: "number", decimalChar: "," }];
    const parts = {
      gripTrials: commas,
      descriptor: withResource("grip-trials", { schema: { fields } }),
    };
    expect(inspect(parts).study!.gripTrials.get("force_kgf", 0)).toBe(28);
    expect(codes(parts)).toEqual([]);
  });

  it("stand in their own unit beside kgf, row by row (1 kgf = 9.80665 N, 1 lb = 0.45359237 kg)", () => {
    const mixed = gripTrials
      .replace("1,28.0,kgf", "1,274.5862,N")
      .replace("2,29.0,kgf", "2,63.934056033790074,lbf");
    const { study, issues } = inspect({ gripTrials: mixed });
    expect(issues.map(({ code }) => code)).toEqual(["unit-mixed"]);
    expect(study!.gripTrials.get("force", 0)).toBe(274.5862);
    expect(study!.gripTrials.get("unit", 0)).toBe("N");
    expect(study!.gripTrials.get("force_kgf", 0)).toBeCloseTo(28, 12);
    expect(study!.gripTrials.get("force_kgf", 1)).toBeCloseTo(29, 7);
  });
});

describe("dates", () => {
  it("are read by the format of the field", () => {
    const parts = {
      gripTrials: gripTrials.replace(/(\d{4})-(\d\d)-(\d\d)/g, "$3/$2/$1"),
      descriptor: withResource("grip-trials", {
        schema: { fields: [{ name: "date", type: "date", format: "%d/%m/%Y" }] },
      }),
    };
    const { study, issues } = inspect(parts);
    expect(issues).toEqual([]);
    expect(study!.gripTrials.get("date", 0)).toBe("2025-01-06");
  });
});

describe("what stops a study", () => {
  it.each<[string, Parts, (string | number)[]]>([
    ["no datapackage.json", { descriptor: "" }, ["datapackage.json", 0, "", "package-unreadable"]],
    ["JSON that is none", { descriptor: "{" }, ["datapackage.json", 0, "", "package-unreadable"]],
    [
      "no study property",
      { descriptor: {} },
      ["datapackage.json", 0, "study", "package-incomplete"],
    ],
    [
      "a wrong header",
      { gripTrials: gripTrials.replace("force", "strength") },
      ["grip-trials.csv", 1, "force", "column-missing"],
    ],
    [
      "two columns of one name",
      { gripTrials: gripTrials.replace("note", "force") },
      ["grip-trials.csv", 1, "force", "header-repeated"],
    ],
    [
      "a column that could harm a record",
      { gripTrials: gripTrials.replace("note", "__proto__") },
      ["grip-trials.csv", 1, "__proto__", "column-refused"],
    ],
    ["a file with nothing in it", { gripTrials: "" }, ["grip-trials.csv", 0, "", "header-missing"]],
  ])("%s", (_, parts, issue) => {
    const inspection = inspect(parts);
    expect(inspection.study).toBeNull();
    expect(found(parts)).toContainEqual(issue);
  });

  it("a file that is not there", () => {
    const { files, ...rest } = filesOf();
    const fewer = new Map(files);
    fewer.delete("grip-trials.csv");
    const { issues, study } = readStudy({ ...rest, files: fewer });
    expect(study).toBeNull();
    expect(issues.map(({ file, code }) => [file, code])).toEqual([
      ["grip-trials.csv", "file-missing"],
    ]);
  });
});

describe("privacy", () => {
  it.each([
    "name",
    "Name",
    "Last name",
    "surname",
    "e-mail",
    "Email",
    "phone",
    "mobile",
    "date_of_birth",
    "DOB",
    "Geburtsdatum",
    "prénom",
    "postcode",
  ])("a column called %s stops the check, with advice", (header) => {
    const { study, issues } = inspect({ participants: participants.replace("sex", header) });
    expect(study).toBeNull();
    const issue = issues.find(({ code }) => code === "personal-data")!;
    expect(issue).toMatchObject({
      file: "participants.csv",
      row: 1,
      column: header,
      severity: "stop",
    });
    expect(issue.message).toMatch(/keep codes here/);
  });

  it.each(["golfer@example.org", "call +44 20 7946 0000"])(
    "a cell with %s stops it, and is not repeated",
    (text) => {
      const line = `007,w0,2025-01-06,left,address,50,D1,1,28.0,kgf,valid,${text}`;
      const { study, issues } = inspect({ gripTrials: withLine(gripTrials, 2, line) });
      expect(study).toBeNull();
      expect(issues).toMatchObject([{ row: 2, column: "note", code: "personal-data" }]);
      expect(JSON.stringify(issues)).not.toContain(text);
    },
  );

  it("a position called address is no postal address", () => {
    expect(codes({})).toEqual([]);
  });
});

describe("a foreign export, read by the mapping in the datapackage", () => {
  const foreign = `Player code;Visit;Side;Squeeze;Peak (kg)
007;pre;L;1;28,5
007;pre;R;1;30,5
042;pre;L;1;44,5
042;pre;R;1;46,5
`;
  const reading = {
    columns: {
      "Player code": "participant",
      Visit: "occasion",
      Side: "hand",
      Squeeze: "trial",
      "Peak (kg)": "force",
    },
    values: { occasion: { pre: "w0" }, hand: { L: "left", R: "right" } },
    constants: { unit: "kgf", status: "valid", position: "address" },
  };

  it("gets our columns, values and constants", () => {
    const parts = { gripTrials: foreign, descriptor: withResource("grip-trials", { reading }) };
    const { study, issues } = inspect(parts);
    expect(issues.filter(({ severity }) => severity !== "note")).toEqual([]);
    expect([...study!.gripTrials.array("force_kgf")]).toEqual([28.5, 30.5, 44.5, 46.5]);
    expect([...study!.gripTrials.array("hand")]).toEqual(["lead", "trail", "trail", "lead"]);
  });

  it("must speak of columns that are there", () => {
    const wrong = { ...reading, columns: { ...reading.columns, Peak: "force" } };
    const parts = {
      gripTrials: foreign,
      descriptor: withResource("grip-trials", { reading: wrong }),
    };
    expect(codes(parts)).toContain("mapping-wrong");
    expect(inspect(parts).study).toBeNull();
  });

  it("reports a value without a mapping once, with its rows and the line to paste", () => {
    const parts = {
      gripTrials: foreign.replaceAll("pre", "Visit 1"),
      descriptor: withResource("grip-trials", { reading }),
    };
    const unmapped = inspect(parts).issues.filter(({ code }) => code === "occasion-unknown");
    expect(unmapped).toMatchObject([{ row: 2, value: "Visit 1", count: 4 }]);
    expect(unmapped[0]!.message).toContain('"Visit 1" (4 rows) is not an occasion of the design');
    expect(unmapped[0]!.message).toContain('"values": {"occasion":{"Visit 1":"… w0 or w6 …"}}');
  });

  it("leaves out rows of other kinds and lines of means, and fills merged cells", () => {
    const mixed = `Test;Golfer;Hand;Peak
Grip;007;left;28,5
;;left;29
Speed;007;;80
Mean;;;45,8
`;
    const { account, issues, study } = inspect({
      gripTrials: mixed,
      descriptor: withResource("grip-trials", {
        reading: {
          columns: { Golfer: "participant", Hand: "hand", Peak: "force" },
          constants: { unit: "kgf", status: "valid", position: "address", occasion: "w0" },
          only: { Test: ["Grip"] },
          leaveOut: { Test: ["Mean"] },
          fillDown: ["Test", "Golfer"],
          numberRows: "trial",
        },
      }),
    });
    expect(issues.filter(({ severity }) => severity === "error")).toEqual([]);
    expect([...study!.gripTrials.array("trial")]).toEqual([1, 2]);
    expect(account[1]).toMatchObject({ rows: 4, used: 2 });
    expect(account[1]!.setAside).toEqual([
      { reason: "belongs to another part of the study", rows: 1 },
      { reason: "no data row, as the datapackage says", rows: 1 },
    ]);
  });

  it("turns a wide sheet into rows, an empty cell being no trial", () => {
    const wide = `participant,occasion,hand,first,second,third
007,w0,left,28,29,27
007,w0,right,30,,31
`;
    const parts = {
      gripTrials: wide,
      descriptor: withResource("grip-trials", {
        reading: {
          constants: { unit: "kgf", status: "valid", position: "address" },
          wide: {
            columns: { first: { trial: "1" }, second: { trial: "2" }, third: { trial: "3" } },
            valueColumn: "force",
          },
        },
      }),
    };
    const { study, account, setAside } = inspect(parts);
    expect(account[1]).toMatchObject({ rows: 6, used: 5 });
    expect([...study!.gripTrials.array("force_kgf")]).toEqual([28, 29, 27, 30, 31]);
    expect([...study!.gripTrials.array("trial")]).toEqual([1, 2, 3, 1, 3]);
    expect([...study!.gripTrials.array("file_row")]).toEqual([2, 2, 2, 3, 3]);
    expect(setAside).toMatchObject([
      { row: 3, by: "status", reason: "no trial: the cell is empty" },
    ]);
  });
});

describe("oddities that are said and do no harm", () => {
  it("a column that the datapackage does not describe", () => {
    const parts = { participants: participants.replace("plays", "plays,shoe") };
    expect(
      found({
        participants: parts.participants
          .replace("right\n", "right,43\n")
          .replace("left\n", "left,44\n"),
      }),
    ).toContainEqual(["participants.csv", 1, "shoe", "column-unknown"]);
  });

  it("a guessed encoding", () => {
    const latin = Uint8Array.from(
      withLine(gripTrials, 2, "007,w0,2025-01-06,left,address,50,D1,1,28.0,kgf,valid,épaule"),
      (letter) => letter.charCodeAt(0),
    );
    const { study, issues } = inspect({ gripTrials: latin });
    expect(issues).toMatchObject([{ code: "encoding-said", value: "windows-1252" }]);
    expect(study!.gripTrials.get("note", 0)).toBe("épaule");
  });

  it("a flood of one kind is counted to the end, and every row is accounted for", () => {
    const many = Array.from(
      { length: 500 },
      (_, i) => `x${i},w0,2025-01-06,left,address,50,D1,1,28,kgf,valid,`,
    );
    const { issues, account } = inspect({ gripTrials: `${gripTrials}${many.join("\n")}\n` });
    const unknown = issues.filter(({ code }) => code === "participant-unknown");
    expect(unknown.length).toBe(500);
    expect(account[1]).toMatchObject({ rows: 516, used: 16 });
  });
});

describe("grip force in swings", () => {
  it("is read like a trial: hands by their place on the club, force in kgf, repeats set aside", () => {
    const { study, account } = inspect({
      descriptor: described({
        resources: (list) => [...list, { name: "swing-grip", path: "swing-grip.csv" }],
      }),
      more: {
        "swing-grip.csv": `participant,occasion,club,swing,hand,force,unit,status,note
007,w0,driver,1,left,196.133,N,valid,
007,w0,driver,1,right,18,kgf,valid,
007,w0,driver,1,right,18,kgf,valid,
042,w0,driver,1,left,,N,device,
`,
      },
    });
    expect(study!.swingGrip.objects()).toMatchObject([
      { participant: "007", hand: "lead", side: "left", club: "driver", swing: 1, force_kgf: 20 },
      { participant: "007", hand: "trail", force_kgf: 18 },
    ]);
    expect(account[3]).toMatchObject({ rows: 4, used: 2 });
  });
});

describe("participants", () => {
  it("listed twice: the first row counts, another arm is named", () => {
    const twice = `${participants}007,swing,female,40,right\n`;
    expect(found({ participants: twice })).toEqual([
      ["participants.csv", 4, "participant", "participant-repeated"],
      ["participants.csv", 4, "arm", "arm-changed"],
    ]);
    expect(inspect({ participants: twice }).account[0]).toMatchObject({ rows: 3, used: 2 });
  });

  it("in an arm that is not in the design", () => {
    const other = participants.replace("grip", "gripp");
    expect(found({ participants: other })).toContainEqual([
      "participants.csv",
      2,
      "arm",
      "arm-unknown",
    ]);
  });
});

describe("the descriptor", () => {
  it.each([
    ["no arms", { arms: [] }, "study.arms"],
    ["two occasions of one id", { occasions: [{ id: "a" }, { id: "a" }] }, "study.occasions[1].id"],
    ["a level in percent", { plan: { level: 95 } }, "study.plan.level"],
    ["hands that are none", { hands: ["left"] }, "study.hands[0]"],
    ["a rule that is none", { plan: { summaries: { grip: "best" } } }, "study.plan.summaries.grip"],
    [
      "a rule that is none on one occasion",
      { plan: { summaries: { speed: { w0: "mean", w6: "mode" } } } },
      "study.plan.summaries.speed.w6",
    ],
    [
      "a smallest change in words",
      { plan: { smallestWorthwhile: { grip: "2" } } },
      "study.plan.smallestWorthwhile.grip",
    ],
    ["a calibration that is none", { plan: { calibration: "yes" } }, "study.plan.calibration"],
    ["a change without a reason", { changes: [{ on: "2025", what: "x" }] }, "study.changes[0].why"],
  ])("%s", (_, study, column) => {
    expect(found({ descriptor: described({ study }) })).toContainEqual([
      "datapackage.json",
      0,
      column,
      "package-incomplete",
    ]);
  });

  it("a pattern that could take for ever is refused", () => {
    const fields = [{ name: "note", type: "string", constraints: { pattern: "(a+)+$" } }];
    const parts = { descriptor: withResource("grip-trials", { schema: { fields } }) };
    expect(codes(parts)).toEqual(["package-incomplete"]);
  });

  it.each([
    ["minimum", "abc", "a number"],
    ["maximum", "", "a number"],
    ["maximum", {}, "a number"],
    ["required", "yes", "true or false"],
    ["enum", "valid", "a list of values"],
  ])("a constraint that cannot be read is said, not dropped: %s %j", (name, value, expected) => {
    const fields = [{ name: "force", type: "number", constraints: { [name]: value } }];
    const { issues } = inspect({ descriptor: withResource("grip-trials", { schema: { fields } }) });
    const place = issues.find(({ column }) => column.endsWith(`fields[0].constraints.${name}`))!;
    expect(place).toMatchObject({ severity: "stop", value: JSON.stringify(value), expected });
    expect(place.message).toContain(`constraints.${name} needs ${expected}; it has`);
  });

  it("a limit may be a number or the text of one, and is held to", () => {
    for (const minimum of [30, "30"]) {
      const fields = [{ name: "force", type: "number", constraints: { minimum } }];
      const parts = { descriptor: withResource("grip-trials", { schema: { fields } }) };
      expect(codes(parts)).toContain("below-least");
    }
  });

  it("keys that reach for a prototype do no harm", () => {
    const text = JSON.stringify(descriptor).replace(
      '"name":"two-golfers"',
      '"name":"x","__proto__":{"polluted":1}',
    );
    expect(inspect({ descriptor: text }).study).not.toBeNull();
    expect(({} as Record<string, unknown>).polluted).toBeUndefined();
  });
});
