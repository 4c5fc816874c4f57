import { existsSync, readdirSync, statSync, writeFileSync } from "node:fs";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { until } from "../notebook/bystanders.js";
import {
  notebookOf,
  type TemporaryStudy,
  tautline,
  temporaryStudy,
} from "../notebook/temporary-study.js";
import type { Spoken } from "./heard.js";

const findings = "notebooks/states-two-findings.ipynb";
const number = "notebooks/prints-a-number.ipynb";
const broken = "notebooks/throws.ipynb";

/** One study through its life: each test goes on where the one before it stopped. */
describe("tautline rebuild", () => {
  let study: TemporaryStudy;
  let first: Spoken;
  let recorded: string;

  beforeAll(async () => {
    study = temporaryStudy(["states-two-findings", "prints-a-number"]);
    first = await tautline(study, "rebuild");
    recorded = study.read(findings);
  });
  afterAll(() => study.remove());

  it("records, makes the page, and ends with the findings as sentences", () => {
    expect(first.code).toBe(0);
    expect(first.out).toContain(
      "new  Mean grip: 41.6 kgf (95 % CI 40.6 to 42.6), n = 3 golfers, mean.",
    );
    expect(first.out).toContain("The report: out/index.html");
    expect(first.err).toContain(`${findings}: running (not run on this machine yet)`);
    expect(study.read("out/index.html")).toContain("Mean grip");
  });

  it("records a drawing of the figure, and no path of the machine", () => {
    expect(recorded).toContain('"image/svg+xml"');
    expect(recorded).not.toContain(study.root);
    expect(recorded.endsWith("}\n")).toBe(true);
  });

  it("runs nothing when nothing changed, and touches no file", async () => {
    const times = () => study.files().map((path) => [path, statSync(path).mtimeMs]);
    const before = times();
    const { code, out, err } = await tautline(study, "rebuild");
    expect(code).toBe(0);
    expect(err).toBe(`${number}: unchanged\n${findings}: unchanged\n`);
    expect(out).toContain("unchanged  Mean grip");
    expect(times()).toEqual(before);
  });

  it("records the same bytes when it runs everything again", async () => {
    const { out, err } = await tautline(study, "rebuild", "--all");
    expect(err).toContain("running (asked for)");
    expect(out).toContain("reproduced  Mean grip");
    expect(study.read(findings)).toBe(recorded);
  });

  it("runs what depends on a changed file, says why, and says what moved", async () => {
    study.write("data/grip.csv", "kgf\n41.5\n44\n40.2\n");
    const { out, err } = await tautline(study, "rebuild");
    expect(err).toContain(`${findings}: running (data/grip.csv changed)`);
    expect(err).toContain(`${number}: unchanged`);
    expect(out).toMatch(/changed by an edit +Highest grip/);
    expect(out).toContain("Highest grip: 43 → 44 kgf");
  });

  it("names the cell whose source changed", async () => {
    study.write(number, study.read(number).replace("x + 1", "x + 2"));
    const { err } = await tautline(study, "rebuild", "--no-report");
    expect(err).toContain(`${number}: running (cell 2 changed)`);
  });

  it("runs a notebook whose record somebody else changed", async () => {
    study.write(number, study.read(number).replace('"43\\n"', '"44\\n"'));
    const { err, out } = await tautline(study, "rebuild", "--no-report", "prints-a-number");
    expect(err).toContain("the recorded file was changed by something else");
    expect(out).toContain("it reads “44 ” in the record, “43 ” in the re-run");
    expect(out).toContain("Findings, figures, tables and texts: 1 not reproduced.");
    expect(study.read(number)).toContain('"43\\n"');
  });

  it("gives one JSON document with --json", async () => {
    const { out } = await tautline(study, "rebuild", "--json", "--no-report");
    const document = JSON.parse(out);
    expect(document).toMatchObject({ faults: [], recorded: [], ran: [] });
    expect(document.findings[0]).toMatchObject({ id: "mean", status: "unchanged" });
  });

  it("says nothing with --quiet when all is well", async () => {
    expect(await tautline(study, "rebuild", "--quiet")).toEqual({ code: 0, out: "", err: "" });
  });

  it("leaves a notebook that fails as it was, records the others, and exits with 3", async () => {
    const throws = temporaryStudy(["throws"]);
    study.write(broken, throws.read(broken));
    throws.remove();
    study.write("notebooks/truncated.ipynb", '{"cells": [');
    study.write("data/grip.csv", "kgf\n41\n44\n40.2\n");
    const before = study.read(broken);
    const { code, err } = await tautline(study, "rebuild");
    expect(code).toBe(3);
    expect(study.read(broken)).toBe(before);
    expect(err).toContain("throws.ipynb, cell 2, line 3 (while cell 3 ran): RangeError");
    expect(err).toContain("truncated.ipynb: not a notebook that can be run: expected JSON");
    expect(study.read(findings)).toContain("41.73");
  });

  it("leaves nothing temporary behind", () => {
    expect(study.files().filter((name) => name.endsWith(".tmp"))).toEqual([]);
    expect(readdirSync(study.path(".tautline")).sort()).toEqual([
      "checks.json",
      "report-key",
      "runs.json",
    ]);
  });
});

describe("two rebuilds at once", () => {
  it("refuses while the other is alive and names it; takes over the lock of a dead one", async () => {
    const study = temporaryStudy(["prints-a-number"]);
    study.write(".tautline/lock", `${process.ppid}\n`);
    const refused = await tautline(study, "rebuild", "--no-report");
    expect(refused.code).toBe(2);
    expect(refused.err).toContain(
      `another rebuild (process ${process.ppid}) is running in this study`,
    );
    const dead = 2 ** 22 + 1; // above the largest process number of Linux
    study.write(".tautline/lock", `${dead}\n`);
    expect((await tautline(study, "rebuild", "--no-report")).code).toBe(0);
    expect(readdirSync(study.path(".tautline")).sort()).toEqual(["checks.json", "runs.json"]);
    study.remove();
  });

  it("sweeps what a killed run left in the middle of a write", async () => {
    const study = temporaryStudy(["prints-a-number"]);
    const left = study.path(`notebooks/.prints-a-number.ipynb.${2 ** 22 + 1}.tmp`);
    writeFileSync(left, "half a noteb");
    await tautline(study, "rebuild", "--no-report");
    expect(readdirSync(study.path("notebooks"))).toEqual(["prints-a-number.ipynb"]);
    study.remove();
  });
});

describe("a notebook that is saved while it runs", () => {
  it("keeps what was saved, and says that it was not recorded", async () => {
    const study = temporaryStudy(["prints-a-number"]);
    const saved = study.read(number).replace("x + 1", "x + 7");
    // The cell says that it runs, and ends when the notebook has been saved
    const slow = notebookOf(
      'import { existsSync, writeFileSync } from "node:fs";',
      'writeFileSync("../running", "");',
      'while (!existsSync("../saved")) await new Promise((go) => setTimeout(go, 20));',
    );
    study.write(number, slow);
    const running = tautline(study, "rebuild", "--no-report");
    await until(() => existsSync(study.path("running")), 90_000);
    study.write(number, saved);
    study.write("saved", "");
    const { code, err } = await running;
    expect(code).toBe(3);
    expect(err).toContain("it was saved while it ran, so its outputs were not recorded");
    expect(study.read(number)).toBe(saved);
    study.remove();
  });
});

describe("wrong use", () => {
  let study: TemporaryStudy;
  beforeAll(() => {
    study = temporaryStudy(["prints-a-number"]);
  });
  afterAll(() => study.remove());

  it.each([
    [["rebuild", "--limt", "3"], "unknown option --limt; did you mean --limit?"],
    [["rebuild", "--limit"], "--limit needs a value"],
    [["rebuild", "--limit=soon"], '--limit needs a number above 0, got "soon"'],
    [["rebuild", "--jobs", "1.5"], '--jobs needs a whole number above 0, got "1.5"'],
    [["watch", "--port", "70000"], '--port needs a whole number from 1 to 65535, got "70000"'],
    [["rebuild", "-x"], "unknown option -x"],
    [["rebuild", "prints-a-numbr"], 'there is no notebook "prints-a-numbr"'],
    [["rebiuld"], 'unknown command "rebiuld"; did you mean rebuild?'],
    [["verify", "--from", "HEAD"], "this workspace has no git history"],
    [["history"], "history needs the id of one finding"],
  ])("%j exits with 2 and says what is meant", async (args, message) => {
    const { code, err } = await tautline(study, ...args);
    expect(code).toBe(2);
    expect(err).toContain(message);
  });

  it("shows help with examples for every command, and for the program", async () => {
    const { code, out } = await tautline(study, "--help");
    expect(code).toBe(0);
    const names = [...out.matchAll(/^ {2}([a-z]+) {2,}/gm)].map(([, name]) => name!);
    expect(names).toContain("rebuild");
    for (const name of names) {
      const help = await tautline(study, name, "--help");
      expect(help.code, name).toBe(0);
      expect(help.out, name).toMatch(/Usage: tautline [\s\S]+Examples:\n {2}tautline /);
    }
  });
});
