import { spawn, spawnSync } from "node:child_process";
import {
  existsSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  realpathSync,
  rmSync,
  writeFileSync,
} from "node:fs";
import { tmpdir } from "node:os";
import { extname, join, resolve } from "node:path";
import { afterAll, beforeAll, expect, it, vi } from "vitest";
import { randomStream } from "../lib/num/random.js";
import { notebookOf } from "./notebook/temporary-study.js";

vi.setConfig({ testTimeout: 240_000 });

/**
 * The road of a researcher with own data, in a folder of their own outside of this repository, by
 * the program's real commands: one story, each test goes on where the one before it stopped.
 */
let parent = "";
let root = "";
beforeAll(() => {
  parent = realpathSync(mkdtempSync(join(tmpdir(), "tautline road-")));
  root = join(parent, "Frühjahr 2026");
  mkdirSync(root);
});
afterAll(() => rmSync(parent, { recursive: true, force: true }));

interface Ended {
  readonly code: number | null;
  readonly out: string;
  readonly err: string;
}

function started(program: string, ...args: string[]): Promise<Ended> {
  const isCommandFile = process.platform === "win32" && program === "npm";
  const child = isCommandFile
    ? spawn([program, ...args].map((word) => JSON.stringify(word)).join(" "), {
        cwd: root,
        shell: true,
      })
    : spawn(program, args, { cwd: root });
  let [out, err] = ["", ""];
  child.stdout.on("data", (piece) => {
    out += piece;
  });
  child.stderr.on("data", (piece) => {
    err += piece;
  });
  return new Promise((done, failed) => {
    child.once("error", failed);
    child.once("close", (code) => done({ code, out, err }));
  });
}

/** As a researcher calls it: the program that npm linked into the study's folder. */
const tautline = (...args: string[]) =>
  started(process.execPath, join(root, "node_modules", ".bin", "tautline"), ...args);

/** The command must end well; what it said is the message when it does not. */
async function fine(...args: string[]): Promise<Ended> {
  const ended = await tautline(...args);
  expect(ended.code, `tautline ${args.join(" ")}\n${ended.out}${ended.err}`).toBe(0);
  return ended;
}

const read = (path: string) => readFileSync(join(root, path), "utf8");
const write = (path: string, text: string) => writeFileSync(join(root, path), text);

interface Row {
  [column: string]: string;
}

function rowsOf(path: string): Row[] {
  const [header, ...lines] = read(path).trim().split(/\r?\n/);
  const names = header!.split(",");
  return lines.map((line) =>
    Object.fromEntries(line.split(",").map((cell, i) => [names[i]!, cell])),
  );
}

function addRows(path: string, rows: readonly Row[]): void {
  const names = read(path).trim().split("\n")[0]!.trim().split(",");
  const lines = rows.map((row) => names.map((name) => row[name] ?? "").join(","));
  write(path, `${read(path).trim()}\n${lines.join("\n")}\n`);
}

const people = Array.from({ length: 12 }, (_, i) => `S${String(i + 1).padStart(2, "0")}`);
const armOf = (participant: string) => (Number(participant.slice(1)) % 2 ? "grip" : "swing");
const recorded: {
  participant: string;
  occasion: string;
  hand: string;
  position: string;
  force: number;
}[] = [];

it("begins in an empty folder, and says how its notebooks get the library", async () => {
  const bin = resolve("lib/bin/tautline.js");
  const lost = await started(process.execPath, bin, "rebuild");
  expect(lost.code).toBe(2);
  expect(lost.err).toContain("is not in a workspace of studies");
  const made = await started(process.execPath, bin, "new", "first");
  expect(made.code, made.err).toBe(0);
  for (const name of readdirSync(join(root, "notebooks/first")))
    if (name !== "explore.ipynb") rmSync(join(root, "notebooks/first", name));
  const command = `npm install ${JSON.stringify(resolve("lib"))}`;
  for (const { out, err } of [made, lost]) expect(out + err).toContain(command);
  const alone = await started(process.execPath, bin, "rebuild");
  expect(alone.code).toBe(3);
  expect(alone.err).toContain(`Cannot find module 'tautline'`);
  expect(alone.err).toContain(command);
  for (const folder of ["data/first", "notebooks/first"])
    rmSync(join(root, folder), { recursive: true });
});

it("gets the library by npm, without the network", async () => {
  const installed = await started(
    "npm",
    "install",
    "--offline",
    "--no-audit",
    "--no-fund",
    resolve("lib"),
  );
  expect(installed.code, installed.err).toBe(0);
  const { out } = await fine(
    "new",
    "spring",
    "--title",
    "Spring block",
    "--arms",
    "grip,swing",
    "--seed",
    "11",
  );
  expect(out).toContain("data/spring");
  // One notebook of the set is enough here: tests/cli/new-notebooks.test.ts runs them all
  for (const name of readdirSync(join(root, "notebooks/spring")))
    if (name !== "3-change.ipynb") rmSync(join(root, "notebooks/spring", name));
});

it("enrols golfers and writes the plan before anybody is tested", async () => {
  addRows(
    "data/spring/participants.csv",
    people.map((participant, i) => ({
      participant,
      arm: armOf(participant),
      sex: i % 3 === 0 ? "female" : "male",
      age_years: String(24 + 3 * i),
      plays: i === 5 ? "left" : "right",
      writes_with: "right",
    })),
  );
  write("plan.json", JSON.stringify({ level: 0.9, smallestWorthwhile: { grip_kgf: 1 } }));
  const { out } = await fine("plan", "spring", "--from", "plan.json", "--on", "2026-01-05");
  expect(out).toBe("The plan of 2026-01-05 is recorded in data/spring/datapackage.json.\n");
});

it("fills in the recording sheets, and the check finds nothing wrong", async () => {
  await fine("sheets", "spring");
  const chance = randomStream(20260105, "road");
  const level = new Map(people.map((participant) => [participant, 30 + 12 * chance.uniform()]));
  for (const [occasion, date, gain] of [
    ["week-0", "2026-01-12", 0],
    ["week-6", "2026-02-23", 2],
  ] as const) {
    const seconds = new Map<string, number>();
    const clock = (participant: string) => {
      const now = (seconds.get(participant) ?? 9 * 3600) + 70;
      seconds.set(participant, now);
      return new Date(now * 1000).toISOString().slice(11, 19);
    };
    const grip = rowsOf(`data/spring/sheets/${occasion}-grip-trials.csv`).map((row) => {
      const participant = row.participant!;
      const trained = armOf(participant) === "grip" ? gain : 0;
      const force = Number((level.get(participant)! + trained + chance.normal()).toFixed(1));
      recorded.push({ participant, occasion, hand: row.hand!, position: row.position!, force });
      return {
        ...row,
        date,
        time: clock(participant),
        device: "D1",
        handle_mm: "48",
        force: String(force),
        status: "valid",
      };
    });
    const swings = rowsOf(`data/spring/sheets/${occasion}-swing-trials.csv`).map((row) => {
      const speed = (60 + level.get(row.participant!)! + 1.5 * chance.normal()).toFixed(1);
      return { ...row, date, time: clock(row.participant!), device: "R1", speed, status: "valid" };
    });
    addRows("data/spring/grip-trials.csv", grip);
    addRows("data/spring/swing-trials.csv", swings);
  }
  const { out } = await fine("check", "spring", "--today", "2026-03-01", "--json");
  const { counts, account, issues } = JSON.parse(out);
  expect(issues).toEqual([]);
  expect(counts).toEqual({ stop: 0, error: 0, ask: 0, note: 0 });
  const used = Object.fromEntries(
    account.map(({ file, used: n }: { file: string; used: number }) => [file, n]),
  );
  expect(used["grip-trials.csv"]).toBe(recorded.length);
});

const analysis = [
  `import {
  beforeAfter,
  figure,
  finding,
  openStudy,
  pairedDots,
  sourceOf,
  summariseGrip,
} from "tautline";
import { pairedChange } from "tautline/stats";
const study = openStudy("spring");`,
  `const grip = summariseGrip(study, { rule: "mean3" });
const where = { hand: "lead", position: "seated" };
const all = beforeAfter(study, grip, { before: "week-0", after: "week-6", where });`,
  `const inArm = (column: readonly number[]) => column.filter((_, i) => all.arm[i] === "grip");
const change = pairedChange(inArm(all.before), inArm(all.after), { level: study.plan.level });
finding({
  id: "grip-change",
  title: "Lead-hand grip, seated: change",
  estimate: change.change,
  unit: "kgf",
  count: { n: change.n, of: "golfers" },
  method: "paired t",
  source: sourceOf(study, { trials: "grip", where }),
});`,
  `figure({
  id: "grip-before-after",
  caption: "Lead-hand grip of every golfer of the grip arm, before and after.",
  alt: "Two columns of dots, one a golfer, joined by lines.",
  ...pairedDots({
    arms: [{ name: "grip", before: inArm(all.before), after: inArm(all.after) }],
    occasions: ["week 0", "week 6"],
    quantity: "Grip force",
    unit: "kgf",
  }),
});`,
];

it("records a notebook of its own, with the number that the sheets give", async () => {
  const notebook = JSON.parse(notebookOf(...analysis));
  notebook.metadata.tautline = {
    version: "1.0.0",
    study: "spring",
    changes: [{ version: "1.0.0", date: "2026-03-02", what: "First version." }],
  };
  write("notebooks/spring/own.ipynb", JSON.stringify(notebook));
  const { out } = await fine("rebuild");
  expect(out).toContain("Lead-hand grip, seated: change");
  expect(out).toContain("The report: out/index.html");
  expect(existsSync(join(root, "out/spring-3-change.html"))).toBe(true);

  const mean = (values: readonly number[]) => values.reduce((sum, x) => sum + x, 0) / values.length;
  const meanOf = (participant: string, occasion: string) => {
    const lead = participant === "S06" ? "right" : "left"; // S06 plays left-handed
    const own = recorded.filter(
      (row) =>
        row.participant === participant &&
        row.occasion === occasion &&
        row.position === "seated" &&
        row.hand === lead,
    );
    expect(own).toHaveLength(3);
    return mean(own.map(({ force }) => force));
  };
  const arm = people.filter((participant) => armOf(participant) === "grip");
  const wanted = mean(arm.map((one) => meanOf(one, "week-6") - meanOf(one, "week-0")));
  const shown = JSON.parse(read("notebooks/spring/own.ipynb")).cells[2].outputs[0].data;
  const finding = shown["application/vnd.tautline.finding+json"];
  expect(finding.count.n).toBe(6);
  expect(finding.level).toBe(0.9);
  expect(finding.value).toBeCloseTo(wanted, 10);
});

it("verifies, and writes figures, tables, handouts and the report", async () => {
  const { out } = await fine("verify");
  expect(out).toContain("Everything agrees with the record.");
  await fine("figures");
  const drawn = readdirSync(join(root, "out/figures"), { recursive: true, encoding: "utf8" });
  const endings = drawn
    .filter((name) => name.includes("grip-before-after"))
    .map((name) => extname(name));
  expect(new Set(endings)).toEqual(new Set([".svg", ".png", ".csv"]));
  await fine("tables");
  await fine("handouts", "spring");
  expect(readdirSync(join(root, "out/handouts/spring"))).toHaveLength(people.length + 1);
  const page = read("out/index.html");
  expect(page).toContain("Spring block");
});

it("tells the history of a finding once the study is under git", async () => {
  const git = (...args: string[]) => {
    const identity = ["-c", "user.name=A Researcher", "-c", "user.email=researcher@example.org"];
    const run = spawnSync("git", [...identity, ...args], { cwd: root, encoding: "utf8" });
    if (run.status !== 0) throw new Error(run.stderr);
  };
  git("init", "-q");
  git("add", "data", "notebooks", "package.json");
  git("commit", "-q", "-m", "Record the change");
  const { out } = await fine("history", "grip-change");
  expect(out).toContain("notebooks/spring/own.ipynb");
  expect(out).toContain("version 1.0.0");
});

it("archives the study, and the archive reproduces", async () => {
  const made = await fine("archive", "spring", "--json");
  const { file, notes } = JSON.parse(made.out);
  expect(file).toBe(join("out", "spring.zip"));
  expect(notes).toContain("no licence is stated: add licenses to data/spring/datapackage.json");
  const looked = await fine("verify", "--archive", file);
  expect(looked.out).toContain("all as listed.");
  expect(looked.out).toContain("nothing run");
  const { out } = await fine("verify", "--archive", file, "--run");
  expect(out).not.toContain("Different ");
  expect(out).toContain("notebooks/spring/3-change.ipynb");
  expect(out).toContain("Everything agrees with the record.");
});
