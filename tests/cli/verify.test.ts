import { spawnSync } from "node:child_process";
import { rmSync, statSync } from "node:fs";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import {
  notebookOf,
  type TemporaryStudy,
  tautline,
  temporaryStudy,
} from "../notebook/temporary-study.js";

const notebook = "notebooks/states-two-findings.ipynb";

function git(study: TemporaryStudy, ...args: string[]): void {
  const identity = ["-c", "user.name=A Researcher", "-c", "user.email=researcher@example.org"];
  const run = spawnSync("git", [...identity, ...args], { cwd: study.root, encoding: "utf8" });
  if (run.status !== 0) throw new Error(run.stderr);
}

function commit(study: TemporaryStudy, subject: string): void {
  git(study, "add", "notebooks", "data", "package.json");
  git(study, "commit", "-q", "-m", subject);
}

/** All files of the study with their times, to show that nothing was written. */
function filesOf(study: TemporaryStudy): string[] {
  return study
    .files()
    .map((path) => `${path} ${statSync(path).mtimeMs}`)
    .sort();
}

function setVersion(study: TemporaryStudy, version: string, what?: string): void {
  const json = JSON.parse(study.read(notebook));
  json.metadata.tautline.version = version;
  if (what) json.metadata.tautline.changes.push({ version, date: "2026-03-01", what });
  study.write(notebook, JSON.stringify(json));
}

/** A study through its life in git: each test goes on where the one before it stopped. */
describe("tautline verify and history", () => {
  let study: TemporaryStudy;

  beforeAll(async () => {
    study = temporaryStudy(["states-two-findings"]);
    await tautline(study, "rebuild", "--no-report");
    git(study, "init", "-q");
    commit(study, "Record the findings");
  });
  afterAll(() => study.remove());

  it("agrees with the record, and writes no file", async () => {
    const before = filesOf(study);
    const { code, out } = await tautline(study, "verify");
    expect(out).toBe(`${notebook}: 5 reproduced\nEverything agrees with the record.\n`);
    expect(code).toBe(0);
    expect(filesOf(study)).toEqual(before);
  });

  it("shows exactly what a changed data cell moves, as sentences, and advises a new version", async () => {
    study.write("data/grip.csv", "kgf\n41.5\n43\n40\n");
    const { code, out } = await tautline(study, "verify");
    expect(code).toBe(1);
    const lines = out.split("\n");
    expect(lines[0]).toBe(`${notebook}: 2 reproduced, 3 different`);
    expect(lines[1]).toBe("  data/grip.csv was changed since the notebook was recorded");
    expect(lines[2]).toBe(
      "  Mean grip: 41.57 → 41.50 kgf [40.57 to 42.57 → 40.50 to 42.50] (cell 3, different)",
    );
    expect(lines[3]).toBe(
      "  figure trials: drawn values: first difference 40.2 → 40.0 (cell 5, different)",
    );
    expect(lines[4]).toBe("  table trials: row 3, value: 40.2 → 40.0 (cell 5, different)");
    expect(lines[5]).toContain("findings moved, but the version is still 1.0.0");
    expect(lines[6]).toBe("1 of 1 notebooks do not agree with the record.");
  });

  it("fails on a moved finding under an unchanged version, though the record is up to date", async () => {
    await tautline(study, "rebuild", "--no-report");
    const { code, out } = await tautline(study, "verify", "--json");
    expect(code).toBe(1);
    const document = JSON.parse(out);
    expect(document.notebooks[0]).toMatchObject({
      agrees: false,
      counts: { same: 5, different: 0 },
      version: { versionThen: "1.0.0", versionNow: "1.0.0", moved: ["mean"] },
    });
  });

  it("asks for a word on the change when only the version was raised", async () => {
    setVersion(study, "1.1.0");
    const { code, out } = await tautline(study, "verify");
    expect(code).toBe(1);
    expect(out).toContain("the version is now 1.1.0, but no change tells why");
  });

  it("is content when the notebook tells of the move, and shows it with --from", async () => {
    setVersion(study, "1.1.0", "Trial 3 read again from the sheet");
    expect((await tautline(study, "verify")).code).toBe(0);
    const { code, out } = await tautline(study, "verify", "--from", "HEAD");
    expect(code).toBe(0);
    expect(out).toContain("Mean grip: 41.57 → 41.50 kgf");
    expect(out).toContain(
      "The notebooks' lists of changes report every result that moved since the record at HEAD.",
    );
  });

  it("lists a finding's values through its versions", async () => {
    commit(study, "Read trial 3 again");
    const { code, out } = await tautline(study, "history", "mean");
    expect(code).toBe(0);
    const lines = out.trimEnd().split("\n");
    expect(lines).toHaveLength(3);
    expect(lines[1]).toMatch(/version 1\.0\.0: Mean grip: 41\.6 kgf .* \(Record the findings\)$/);
    expect(lines[2]).toMatch(
      /version 1\.1\.0: Mean grip: 41\.5 kgf .* \(Trial 3 read again from the sheet\)$/,
    );
    const { points } = JSON.parse((await tautline(study, "history", "mean", "--json")).out);
    expect(points.map(({ version }: { version: string }) => version)).toEqual(["1.0.0", "1.1.0"]);
    const wrong = await tautline(study, "history", "maen");
    expect(wrong.code).toBe(2);
    expect(wrong.err).toContain("did you mean mean?");
  });

  it("names the field of a recorded finding that is not what its schema says", async () => {
    const asRecorded = study.read(notebook);
    const record = JSON.parse(asRecorded);
    const type = "application/vnd.tautline.finding+json";
    const [output] = record.cells
      .flatMap(({ outputs = [] }: { outputs?: { data?: object }[] }) => outputs)
      .filter(({ data = {} }: { data?: object }) => type in data);
    output.data[type].value = "41.5";
    study.write(notebook, JSON.stringify(record));
    const { code, out, err } = await tautline(study, "history", "mean");
    expect(code).toBe(0);
    expect(err).toMatch(
      /^notebooks\/.+\.ipynb, cell \d+, finding, value: expected a finite number, found "41\.5"\n$/,
    );
    expect(out).toContain("version 1.1.0: cannot be read");
    study.write(notebook, asRecorded);
  });

  it("finds the past of a notebook whose name is not plain ASCII", async () => {
    const other = 'notebooks/größe "a" [1].ipynb';
    study.write(other, study.read(notebook).replaceAll('\\"mean\\"', '\\"middle\\"'));
    await tautline(study, "rebuild", "--no-report");
    commit(study, "Another notebook");
    const { points } = JSON.parse((await tautline(study, "history", "middle", "--json")).out);
    expect(points).toHaveLength(1);
    rmSync(study.path(other));
    commit(study, "Without the other notebook");
  });

  it("refuses a revision that git does not know", async () => {
    const { code, err } = await tautline(study, "verify", "--from", "no-such-tag");
    expect(code).toBe(2);
    expect(err).toContain('git knows no revision "no-such-tag"');
  });

  it("calls out an interval that now includes zero", async () => {
    study.write("data/grip.csv", "kgf\n1.5\n1.2\n0.9\n");
    setVersion(study, "1.2.0", "Another unit");
    await tautline(study, "rebuild", "--no-report");
    study.write("data/grip.csv", "kgf\n0.5\n0.2\n0.9\n");
    const { out, err } = await tautline(study, "verify");
    expect(err).not.toContain("failed");
    expect(out).toContain("its interval now includes zero (cell 3, different)");
  });

  it("exits with 3 and names the cell when a notebook fails", async () => {
    study.remove();
    study = temporaryStudy(["wrong-type"]);
    const { code, err, out } = await tautline(study, "verify");
    expect(code).toBe(3);
    expect(err).toContain("notebooks/wrong-type.ipynb, cell 2, line 2: Type error");
    expect(out).toBe("Nothing could be compared.\n");
  });
});

describe("tautline verify --twice", () => {
  it("finds a notebook that is not deterministic", async () => {
    const study = temporaryStudy([]);
    study.write(
      "notebooks/luck.ipynb",
      notebookOf(
        'import { finding } from "tautline";\nfinding({ id: "luck", title: "Luck", value: 1 + Math.random(), unit: "", count: { n: 1, of: "results" }, method: "a throw", tolerance: 2 });',
      ),
    );
    await tautline(study, "rebuild", "--no-report");
    const loose = await tautline(study, "verify");
    expect(loose.code).toBe(0);
    expect(loose.out).toContain("1 within tolerance");
    study.write(
      "notebooks/luck.ipynb",
      study.read("notebooks/luck.ipynb").replace(", tolerance: 2", ""),
    );
    const { code, out } = await tautline(study, "verify", "--twice");
    expect(code).toBe(1);
    expect(out).toContain("The notebook is not deterministic; a second run differs:");
    study.remove();
  });
});
