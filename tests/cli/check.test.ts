import {
  existsSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  writeFileSync,
} from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterEach, beforeEach, describe, expect, it } from "vitest";
import { csvText } from "../../lib/csv-writing.js";
import { dictionary } from "../../lib/study/package/dictionary.js";
import { calledIn } from "./heard.js";

let folder = "";
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), "tautline-commands-"));
  mkdirSync(join(folder, "data"));
});
afterEach(() => rmSync(folder, { recursive: true, force: true }));

/** Runs a command in the temporary folder and keeps what it said. */
const called = (...args: string[]) => calledIn(folder, args);

const study = (...path: string[]) => join(folder, "data", "spring", ...path);
const columns = (resource: keyof typeof dictionary) => dictionary[resource].map(({ name }) => name);

/** Three golfers, entered after the study was made. */
function enrol(): void {
  const rows = [
    { participant: "007", arm: "training", sex: "female", age_years: 34, plays: "right" },
    { participant: "1-2", arm: "control", sex: "male", age_years: 51, plays: "left" },
    { participant: "MAR1", arm: "training", sex: "male", age_years: 24, plays: "right" },
  ];
  writeFileSync(study("participants.csv"), csvText(columns("participants"), rows));
}

/** Fills in a sheet as a tester would, in its order, a minute between squeezes of one hand. */
function filled(path: string, day: string): Record<string, string>[] {
  const [header, ...lines] = readFileSync(path, "utf8").trimEnd().split("\n");
  const names = header!.split(",");
  return lines.map((line, i) => {
    const row = Object.fromEntries(line.split(",").map((cell, k) => [names[k]!, cell]));
    const seconds = 9 * 3600 + 40 * i;
    const time = [seconds / 3600, (seconds / 60) % 60, seconds % 60]
      .map((part) => String(Math.floor(part)).padStart(2, "0"))
      .join(":");
    const measured: Record<string, string> = names.includes("force")
      ? { force: String(36 + (i % 3)), handle_mm: "50", device: "D1" }
      : { speed: String(90 + (i % 4)), device: "R1" };
    return { ...row, date: day, time, ...measured, status: "valid" };
  });
}

describe("a study from nothing to checked trials", () => {
  it("new, sheets, filled sheets, check: not one issue on the way", async () => {
    expect((await called("new", "data/spring")).code).toBe(0);
    const empty = await called("check", "spring");
    expect(empty.code).toBe(0);
    expect(empty.out).toMatch(/No issues\./);
    expect(empty.out).toMatch(/No trials yet/);

    enrol();
    const sheets = await called("sheets", "spring", "--json");
    expect(sheets.code).toBe(0);
    const { files } = JSON.parse(sheets.out) as { files: string[] };
    expect(files).toContain("week-0.html");
    for (const file of files) expect(existsSync(study("sheets", file))).toBe(true);
    expect((await called("check", "spring")).out).toMatch(/No issues\./);

    for (const resource of ["grip-trials", "swing-trials"] as const) {
      const rows = [
        ...filled(study("sheets", `week-0-${resource}.csv`), "2025-03-03"),
        ...filled(study("sheets", `week-6-${resource}.csv`), "2025-04-14"),
      ];
      writeFileSync(study(`${resource}.csv`), csvText(columns(resource), rows));
    }
    const after = await called("check", "data/spring", "--json", "--today", "2025-05-01");
    const account = JSON.parse(after.out);
    expect(account.issues).toEqual([]);
    expect(after.code).toBe(0);
    const grip = account.account.find(
      ({ resource }: { resource: string }) => resource === "grip-trials",
    );
    expect([grip.rows, grip.used]).toEqual([3 * 2 * 2 * 2 * 3, 72]);
  });
});

describe("check", () => {
  it("names file and row, sums up like issues, and ends with 1 on errors", async () => {
    await called("new", "data/spring");
    enrol();
    const row = {
      participant: "007",
      occasion: "week-0",
      hand: "lead",
      position: "seated",
      unit: "kgf",
      status: "valid",
    };
    const rows = [
      { ...row, trial: 1, force: "41" },
      { ...row, trial: 2, force: "4l" },
      { ...row, trial: 3, force: "4O" },
      { ...row, trial: 1, position: "address", participant: "nobody", force: "40" },
    ];
    writeFileSync(study("grip-trials.csv"), csvText(columns("grip-trials"), rows));
    const { code, out } = await called("check", "spring");
    expect(code).toBe(1);
    expect(out).toMatch(/error\s+grip-trials\.csv, row 3, force\n\s+"4l" is not a number/);
    expect(out).toMatch(/and 1 more of this kind: row 4/);
    expect(out).toMatch(/grip-trials\.csv\s+4\s+1\s+3/);
    const all = await called("check", "spring", "--all");
    expect(all.out).toMatch(/row 4, force\n\s+"4O" is not a number/);
  });

  it("does not let a file steer the terminal", async () => {
    await called("new", "data/spring");
    enrol();
    const row = {
      participant: "\u001b[2Jx\u202e",
      occasion: "week-0",
      hand: "lead",
      position: "seated",
      trial: 1,
      force: 40,
      unit: "kgf",
      status: "valid",
    };
    writeFileSync(study("grip-trials.csv"), csvText(columns("grip-trials"), [row]));
    const { out } = await called("check", "spring");
    // biome-ignore lint/suspicious/noControlCharactersInRegex: looking for them is the test
    expect(out).not.toMatch(/[\u001b\u202e]/);
  });

  it("wrong use ends with 2 and says what is meant", async () => {
    expect(await called("check")).toMatchObject({
      code: 2,
      err: expect.stringMatching(/name one study/),
    });
    expect(await called("check", "nowhere")).toMatchObject({ code: 2 });
    await called("new", "data/spring");
    const day = await called("check", "spring", "--today", "1 May");
    expect(day).toMatchObject({ code: 2, err: expect.stringMatching(/--today needs a day/) });
  });

  it("a broken datapackage.json is told, not thrown", async () => {
    await called("new", "data/spring");
    writeFileSync(study("datapackage.json"), "{");
    const { code, out } = await called("check", "spring");
    expect(code).toBe(1);
    expect(out).toMatch(/stop\s+datapackage\.json/);
  });
});

describe("new", () => {
  it("leaves a folder that is not empty alone", async () => {
    await called("new", "data/spring");
    writeFileSync(study("notes.txt"), "mine");
    const again = await called("new", "data/spring");
    expect(again).toMatchObject({ code: 2, err: expect.stringMatching(/not empty/) });
    expect(readFileSync(study("notes.txt"), "utf8")).toBe("mine");
    expect(readdirSync(join(folder, "data"))).toEqual(["spring"]);
  });

  it("takes arms, weeks, title and seed", async () => {
    const made = await called(
      "new",
      "data/club",
      "--arms",
      "grip",
      "--weeks",
      "0,4",
      "--title",
      "Nine",
      "--seed",
      "5",
    );
    expect(made.code).toBe(0);
    const { title, study: record } = JSON.parse(
      readFileSync(join(folder, "data/club/datapackage.json"), "utf8"),
    );
    expect([title, record.arms.length, record.occasions[1].week, record.plan.seed]).toEqual([
      "Nine",
      1,
      4,
      5,
    ]);
  });

  it("refuses a name that is not plain, and weeks that are not numbers", async () => {
    expect((await called("new", "data/My Study")).code).toBe(2);
    expect((await called("new", "data/x", "--weeks", "0,six")).code).toBe(2);
    expect(readdirSync(join(folder, "data"))).toEqual([]);
  });
});

describe("sheets", () => {
  beforeEach(() => called("new", "data/spring"));

  it("gives out codes when nobody is enrolled yet", async () => {
    expect((await called("sheets", "spring")).code).toBe(2);
    const made = await called(
      "sheets",
      "spring",
      "--people",
      "12",
      "--occasion",
      "week-6",
      "--force-unit",
      "N",
    );
    expect(made.code).toBe(0);
    expect(readdirSync(study("sheets")).sort()).toEqual([
      "week-6-grip-trials.csv",
      "week-6-swing-trials.csv",
      "week-6.html",
    ]);
    expect(readFileSync(study("sheets", "week-6-grip-trials.csv"), "utf8")).toMatch(
      /^G01,week-6,.*,N,,$/m,
    );
  });

  it("refuses units of another quantity and unknown occasions", async () => {
    expect(
      (await called("sheets", "spring", "--people", "2", "--force-unit", "mph")).code,
    ).not.toBe(0);
    expect((await called("sheets", "spring", "--people", "2", "--occasion", "later")).code).toBe(2);
    expect(existsSync(study("sheets"))).toBe(false);
  });

  it("writes the same files again for the same seed, others for another", async () => {
    const grip = (...path: string[]) =>
      readFileSync(study(...path, "week-0-grip-trials.csv"), "utf8");
    await called("sheets", "spring", "--people", "6");
    const first = grip("sheets");
    expect((await called("sheets", "spring", "--people", "6")).code).toBe(0);
    expect(grip("sheets")).toBe(first);
    await called("sheets", "spring", "--people", "6", "--seed", "99", "--out", "data/spring/other");
    expect(grip("other")).not.toBe(first);
  });

  it("never writes over a sheet that may be filled in", async () => {
    await called("sheets", "spring", "--people", "6");
    const path = study("sheets", "week-6-grip-trials.csv");
    const filledIn = readFileSync(path, "utf8").replace(",kgf,,", ",kgf,valid,");
    writeFileSync(path, filledIn);
    rmSync(study("sheets", "week-0.html"));
    const again = await called("sheets", "spring", "--people", "6");
    expect(again).toMatchObject({ code: 2, err: expect.stringMatching(/may be filled in/) });
    expect(readFileSync(path, "utf8")).toBe(filledIn);
    expect(existsSync(study("sheets", "week-0.html"))).toBe(false);
  });

  it("leaves out golfers who withdrew", async () => {
    enrol();
    const text = readFileSync(study("participants.csv"), "utf8").replace(
      /^(MAR1.*),,$/m,
      "$1,2025-03-01,moved",
    );
    writeFileSync(study("participants.csv"), text);
    await called("sheets", "spring", "--occasion", "week-6");
    expect(readFileSync(study("sheets", "week-6-grip-trials.csv"), "utf8")).not.toMatch(/MAR1/);
  });
});

describe("plan", () => {
  const plan = { summaries: { grip: "max3", speed: "mean" }, sample: { n: 26 } };
  const record = () => JSON.parse(readFileSync(study("datapackage.json"), "utf8")).study;

  beforeEach(async () => {
    await called("new", "data/spring");
    writeFileSync(join(folder, "plan.json"), JSON.stringify(plan));
  });

  it("writes the plan, then only changes with a reason", async () => {
    const first = ["plan", "spring", "--from", "plan.json", "--on", "2025-02-24"];
    expect((await called(...first)).code).toBe(0);
    expect(record().plan).toMatchObject({ ...plan, decidedOn: "2025-02-24", level: 0.95 });
    expect(await called(...first)).toMatchObject({ code: 1, err: expect.stringMatching(/change/) });
    const change = ["plan", "spring", "--on", "2025-03-10", "--change", "Six swings"];
    expect((await called(...change)).code).toBe(1);
    expect((await called(...change, "--why", "Hail")).code).toBe(0);
    expect(record().changes).toEqual([{ on: "2025-03-10", what: "Six swings", why: "Hail" }]);
    expect((await called("check", "spring")).out).toMatch(/No issues\./);
  });

  it("is refused once there are trials, and the file stays as it was", async () => {
    enrol();
    const row = { participant: "007", occasion: "week-0", hand: "lead", position: "seated" };
    const trial = { ...row, trial: 1, force: 40, unit: "kgf", status: "valid" };
    writeFileSync(study("grip-trials.csv"), csvText(columns("grip-trials"), [trial]));
    const before = readFileSync(study("datapackage.json"), "utf8");
    const late = await called("plan", "spring", "--from", "plan.json", "--on", "2025-02-24");
    expect(late).toMatchObject({ code: 1, err: expect.stringMatching(/before any trial.*got 1/) });
    expect(readFileSync(study("datapackage.json"), "utf8")).toBe(before);
  });

  it("says what is missing", async () => {
    expect((await called("plan", "spring", "--from", "plan.json")).code).toBe(2);
    expect((await called("plan", "spring", "--on", "2025-02-24")).code).toBe(2);
    expect((await called("plan", "spring", "--from", "no.json", "--on", "2025-02-24")).code).toBe(
      2,
    );
  });
});
