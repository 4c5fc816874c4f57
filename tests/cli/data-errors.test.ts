import { cpSync } from "node:fs";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { type TemporaryStudy, tautline, temporaryStudy } from "../notebook/temporary-study.js";

const trials = "data/coach-nine/grip-trials.csv";
const notebook = "notebooks/prints-a-number.ipynb";

/** A notebook about a study with one cell that is no number: it runs, but without that row. */
describe("raw data that cannot be used", () => {
  let study: TemporaryStudy;
  let whole: string;

  beforeAll(async () => {
    study = temporaryStudy(["prints-a-number"]);
    cpSync("data/coach-nine", study.path("data/coach-nine"), { recursive: true });
    cpSync("data/published", study.path("data/published"), { recursive: true });
    const json = JSON.parse(study.read(notebook));
    json.metadata.tautline = { study: "coach-nine" };
    study.write(notebook, JSON.stringify(json));
    whole = study.read(trials);
    expect((await tautline(study, "rebuild", "--no-report")).code).toBe(0);
    const lines = whole.split("\n");
    const at = lines[0]!.split(",").indexOf("force");
    lines[4] = lines[4]!
      .split(",")
      .map((cell, k) => (k === at ? "forty" : cell))
      .join(",");
    study.write(trials, lines.join("\n"));
  });
  afterAll(() => study.remove());

  it("are named by rebuild with file, row and column, though nothing had to run", async () => {
    const { code, err } = await tautline(study, "rebuild", "--no-report");
    expect(code).toBe(1);
    expect(err).toMatch(new RegExp(`${trials}, row 5, force: .*forty`));
  });

  it("stand in the JSON document", async () => {
    const { out } = await tautline(study, "rebuild", "--no-report", "--json");
    expect(JSON.parse(out).dataErrors).toMatchObject([{ file: trials, row: 5, column: "force" }]);
  });

  it("keep verify from passing", async () => {
    const { code, err, out } = await tautline(study, "verify", "--json");
    expect(code).toBe(1);
    expect(err).toContain(`${trials}, row 5, force`);
    expect(JSON.parse(out)).toMatchObject({ agrees: false, dataErrors: [{ row: 5 }] });
  });

  it("are told, with a file that is missing, beside the notebook that fails for it", async () => {
    const json = JSON.parse(study.read(notebook));
    json.cells[0].source = 'throw new Error("no study");';
    study.write("notebooks/fails.ipynb", JSON.stringify(json));
    study.write("data/coach-nine/participants.csv", "");
    const { code, err } = await tautline(study, "rebuild", "fails", "--no-report");
    expect(code).toBe(3);
    expect(err).toMatch(/data\/coach-nine\/participants\.csv/);
  });

  it("are no matter for a notebook that is about another study or none", async () => {
    const json = JSON.parse(study.read(notebook));
    json.metadata.tautline = { study: "published" };
    study.write(notebook, JSON.stringify(json));
    expect(await tautline(study, "rebuild", "prints-a-number", "--no-report", "--quiet")).toEqual({
      code: 0,
      out: "",
      err: "",
    });
  });
});
