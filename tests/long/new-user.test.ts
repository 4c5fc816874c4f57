import { spawnSync } from "node:child_process";
import {
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  symlinkSync,
  writeFileSync,
} from "node:fs";
import { tmpdir } from "node:os";
import { join, resolve } from "node:path";
import { afterAll, expect, it } from "vitest";
import { csv, golfers, longGrip, longSwings, swings, workbook } from "../study/mapping/layouts.js";

/** From the exports of three devices to a study's page, by the program's own commands. */
const root = mkdtempSync(join(tmpdir(), "tautline-new-user-"));
afterAll(() => rmSync(root, { recursive: true, force: true }));

const program = resolve("lib/bin/tautline.js");
function fine(...args: string[]): string {
  const { status, stdout, stderr } = spawnSync(process.execPath, [program, ...args], {
    cwd: root,
    encoding: "utf8",
  });
  expect(status, `tautline ${args.join(" ")}\n${stdout}${stderr}`).toBe(0);
  return stdout;
}
const data = (name: string) => join(root, "data", "spring", name);

it("maps a workbook, a file with decimal commas and a file per visit, and makes the page", () => {
  symlinkSync(resolve("node_modules"), join(root, "node_modules"));
  const design = ["--arms", "grip,swing", "--positions", "address,seated"];
  fine("new", "spring", ...design, "--trials", "2", "--swings", "3");
  writeFileSync(
    data("Golfers.xlsx"),
    workbook({
      Golfers: [
        ["Code", "Group", "Sex", "Age (years)", "Plays"],
        ...golfers.map(({ code, arm, sex, age, plays }) => [code, arm, sex, age, plays]),
      ],
    }),
  );
  writeFileSync(
    data("kraft.csv"),
    csv(
      longGrip({
        heads: ["Spieler", "Termin", "Hand", "Haltung", "Versuch", "Kraft (lbs)"],
        visit: { w0: "Vor", w6: "Nach" },
        hand: { left: "Li", right: "Re" },
        position: { address: "Ansprechposition", seated: "sitzend" },
        factor: 1 / 0.45359237,
        digits: 6,
      }),
      { delimiter: ";", decimal: "," },
    ),
  );
  for (const [visit, name] of [
    ["w0", "speed pre.csv"],
    ["w6", "speed post.csv"],
  ] as const) {
    const of = swings.filter((swing) => swing.visit === visit);
    const [heads, ...rows] = longSwings(
      ["Player", "", "Club", "Shot", "Club speed (mph)"],
      { w0: "", w6: "" },
      { of },
    );
    writeFileSync(data(name), csv([heads!, ...rows].map((row) => [row[0]!, ...row.slice(2)])));
  }
  fine("map", "spring", "--write");
  const found = fine("check", "spring");
  expect(found).toMatch(/kraft\.csv +64 +64 +0/);
  expect(found).toMatch(/speed post\.csv +12 +12 +0/);
  expect(found).toMatch(/speed pre\.csv +12 +12 +0/);
  fine("rebuild");
  const notebook = readFileSync(join(root, "notebooks", "spring", "3-change.ipynb"), "utf8");
  const { cells } = JSON.parse(notebook) as {
    cells: { outputs?: { data?: Record<string, unknown> }[] }[];
  };
  const primary = cells
    .flatMap(({ outputs = [] }) => outputs)
    .flatMap(({ data: shown = {} }) => Object.values(shown))
    .find((output) => (output as { id?: string }).id === "primary");
  expect(primary).toMatchObject({ unit: "kgf", count: { of: "golfers" } });
  const pages = readdirSync(join(root, "out")).filter((name) => name.endsWith(".html"));
  expect(pages).toContain("index.html");
  expect(pages.some((name) => name.includes("spring"))).toBe(true);
}, 300_000);
