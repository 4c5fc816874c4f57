import {
  mkdtempSync,
  readdirSync,
  readFileSync,
  renameSync,
  rmSync,
  symlinkSync,
  writeFileSync,
} from "node:fs";
import { tmpdir } from "node:os";
import { join, resolve } from "node:path";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { calledIn } from "./heard.js";

/** An empty folder; the library is linked into it once the study is made. */
let root = "";
beforeAll(() => {
  root = mkdtempSync(join(tmpdir(), "tautline-own-"));
});
afterAll(() => rmSync(root, { recursive: true, force: true }));

const called = (...args: string[]) => calledIn(root, args);

const notebooks = (study: string) => readdirSync(join(root, "notebooks", study)).sort();

describe("a folder of one's own", () => {
  it("is made in an empty folder, with a notebook for every question", async () => {
    const { code, out, err } = await called("new", "spring");
    expect(code, err).toBe(0);
    expect(readdirSync(root).sort()).toEqual([".gitignore", "data", "notebooks", "package.json"]);
    expect(notebooks("spring")).toEqual([
      "1-plan.ipynb",
      "2-measurements.ipynb",
      "3-change.ipynb",
      "4-responders.ipynb",
      "5-dose.ipynb",
      "6-grip-and-speed.ipynb",
      "7-swing-demand.ipynb",
      "explore.ipynb",
    ]);
    expect(out).toContain("npm install");
    symlinkSync(resolve("node_modules"), join(root, "node_modules"));
  });

  it("leaves out what the design cannot answer: one visit, no swings, no log", async () => {
    await called("new", "one-visit", "--arms", "grip", "--weeks", "0");
    const path = join(root, "data/one-visit/datapackage.json");
    const described = JSON.parse(readFileSync(path, "utf8"));
    described.resources = described.resources.filter(
      ({ name }: { name: string }) => !/swing|log/.test(name),
    );
    writeFileSync(path, JSON.stringify(described));
    rmSync(join(root, "notebooks/one-visit"), { recursive: true });
    const { out } = await called("new", "--notebooks", "one-visit", "--json");
    expect(JSON.parse(out).kept).toEqual([]);
    expect(notebooks("one-visit")).toEqual([
      "1-plan.ipynb",
      "2-measurements.ipynb",
      "explore.ipynb",
    ]);
  });

  it("adds what is missing to a study and changes no notebook that is there", async () => {
    const change = join(root, "notebooks/spring/3-change.ipynb");
    const edited = readFileSync(change, "utf8").replace("What changed?", "What is new?");
    writeFileSync(change, edited);
    rmSync(join(root, "notebooks/spring/5-dose.ipynb"));
    const { out } = await called("new", "--notebooks", "spring");
    expect(out).toContain("New in notebooks/spring:\n  notebooks/spring/5-dose.ipynb\n");
    expect(readFileSync(change, "utf8")).toBe(edited);
  });

  it("refuses a study that is not there, and options of a new study", async () => {
    const unknown = await called("new", "--notebooks", "autumn");
    expect(unknown).toMatchObject({
      code: 2,
      err: expect.stringContaining("no study data/autumn"),
    });
    const mixed = await called("new", "--notebooks", "spring", "--weeks", "0,3");
    expect(mixed).toMatchObject({ code: 2, err: expect.stringContaining("--weeks") });
  });

  it("runs in the kernel on a study without data, and says what is missing", async () => {
    rmSync(join(root, "notebooks/one-visit"), { recursive: true });
    rmSync(join(root, "data/one-visit"), { recursive: true });
    const { code, out, err } = await called("rebuild", "--no-report");
    expect(code, `${err}${out}`).toBe(0);
    expect(readFileSync(join(root, "notebooks/spring/3-change.ipynb"), "utf8")).toMatch(
      /needs at least two golfers per arm/,
    );
  }, 240_000);
});

it("new and plan write through no link, and say which", async () => {
  const outside = mkdtempSync(join(tmpdir(), "tautline-outside-"));
  symlinkSync(outside, join(root, "data/linked"));
  const made = await called("new", "data/linked");
  expect(made).toMatchObject({ code: 1, err: expect.stringContaining("got the link") });
  expect(made.err).toContain(join(root, "data/linked"));
  rmSync(join(root, "data/linked"));
  symlinkSync(outside, join(root, "notebooks/away"));
  const away = await called("new", "away");
  expect(away).toMatchObject({ code: 1, err: expect.stringContaining("got the link") });
  expect(readdirSync(outside)).toEqual([]);
  rmSync(join(root, "notebooks/away"));
  await called("new", "data/winter");
  const descriptor = join(root, "data/winter/datapackage.json");
  const plan = ["plan", "winter", "--on", "2026-01-05", "--from", "plan.json"];
  writeFileSync(join(root, "plan.json"), '{"level": 0.9}');
  renameSync(descriptor, join(outside, "datapackage.json"));
  symlinkSync(join(outside, "datapackage.json"), descriptor);
  const before = readFileSync(join(outside, "datapackage.json"), "utf8");
  const refused = await called(...plan);
  expect(refused).toMatchObject({ code: 1, err: expect.stringContaining("got the link") });
  expect(readFileSync(join(outside, "datapackage.json"), "utf8")).toBe(before);
  renameSync(join(outside, "datapackage.json"), descriptor);
  expect((await called(...plan)).code).toBe(0);
  rmSync(outside, { recursive: true });
});
