import {
  mkdirSync,
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
import { afterAll, beforeAll, expect, it } from "vitest";
import { main } from "../../lib/cli/main.js";
import { csvText } from "../../lib/csv-writing.js";
import { dictionary } from "../../lib/study/package/dictionary.js";

/** A study repository of its own that uses the library of this one. */
let root = "";
beforeAll(() => {
  root = mkdtempSync(join(tmpdir(), "tautline-starter-"));
  mkdirSync(join(root, "data"));
  mkdirSync(join(root, "notebooks"));
  writeFileSync(join(root, "package.json"), '{"private":true,"type":"module"}\n');
  symlinkSync(resolve("node_modules"), join(root, "node_modules"));
});
afterAll(() => rmSync(root, { recursive: true, force: true }));

async function called(...args: string[]): Promise<{ code: number; said: string }> {
  let said = "";
  const say = (text: string) => {
    said += text;
  };
  const code = await main(args, { out: say, err: say, cwd: root });
  return { code, said };
}

interface Shown {
  readonly cells: {
    id: string;
    outputs?: { data?: Record<string, { rows: Record<string, unknown>[] }> }[];
  }[];
}

/** Rows of the table that a cell of the recorded notebook shows. */
function tableOf(id: string): Record<string, unknown>[] | undefined {
  const text = readFileSync(join(root, "data/spring/first-look.ipynb"), "utf8");
  const cell = (JSON.parse(text) as Shown).cells.find((one) => one.id === id);
  return cell?.outputs?.[0]?.data?.["application/vnd.tautline.table+json"]?.rows;
}

it("the first notebook of a new study runs on the empty study, and once there are trials", async () => {
  await called("new", "data/spring");
  const empty = await called("rebuild", "data/spring/first-look.ipynb");
  expect(empty.code, empty.said).toBe(0);
  expect(tableOf("rows")).toContainEqual({ file: "grip-trials.csv", rows: 0, used: 0, aside: 0 });
  expect(tableOf("grip")).toBeUndefined();

  const columns = (name: "participants" | "grip-trials") => dictionary[name].map((one) => one.name);
  const write = (name: "participants" | "grip-trials", rows: Record<string, string | number>[]) =>
    writeFileSync(join(root, "data/spring", `${name}.csv`), csvText(columns(name), rows));
  const trial = {
    occasion: "week-0",
    hand: "lead",
    position: "seated",
    unit: "kgf",
    status: "valid",
  };
  write("participants", [
    { participant: "A", arm: "training", plays: "right" },
    { participant: "B", arm: "control", plays: "left" },
  ]);
  write(
    "grip-trials",
    ["A", "B"].flatMap((participant, i) =>
      [1, 2, 3].map((n) => ({ ...trial, participant, trial: n, force: 40 + i })),
    ),
  );
  const recorded = await called("rebuild", "data/spring/first-look.ipynb");
  expect(recorded.code, recorded.said).toBe(0);
  expect(tableOf("grip")![0]).toMatchObject({ n: 2, mean: 40.5 });
}, 240_000);

it("new and plan write through no link, and say which", async () => {
  const outside = mkdtempSync(join(tmpdir(), "tautline-outside-"));
  symlinkSync(outside, join(root, "data/linked"));
  for (const folder of ["data/linked", "data/linked/autumn"]) {
    const made = await called("new", folder);
    expect(made.code).toBe(1);
    expect(made.said).toContain(`got the link ${join(root, "data/linked")}`);
  }
  await called("new", "data/winter");
  const descriptor = join(root, "data/winter/datapackage.json");
  const plan = ["plan", "winter", "--on", "2026-01-05", "--from", "plan.json"];
  writeFileSync(join(root, "plan.json"), '{"level": 0.9}');
  renameSync(descriptor, join(outside, "datapackage.json"));
  symlinkSync(join(outside, "datapackage.json"), descriptor);
  const before = readFileSync(join(outside, "datapackage.json"), "utf8");
  const refused = await called(...plan);
  expect(refused.code).toBe(1);
  expect(refused.said).toContain(`got the link ${descriptor}`);
  expect(readFileSync(join(outside, "datapackage.json"), "utf8")).toBe(before);
  expect(readdirSync(outside)).toEqual(["datapackage.json"]);
  renameSync(join(outside, "datapackage.json"), descriptor);
  expect((await called(...plan)).code).toBe(0);
  rmSync(outside, { recursive: true });
});
