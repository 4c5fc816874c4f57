import { readdirSync, readFileSync } from "node:fs";
import { dirname, join, posix, resolve } from "node:path";
import { fileURLToPath } from "node:url";
import { describe, expect, it } from "vitest";

const lib = resolve(dirname(fileURLToPath(import.meta.url)), "../lib");

/** Who may import whom; everything may import `errors`, `entry`, `first-letter`, `options`, `markup` and `csv-writing`. Files at the top of lib/ count as a folder of their own name. */
const mayImport: Record<string, { folders: string[]; packages: string[]; typesFrom?: string[] }> = {
  errors: { folders: [], packages: [] },
  entry: { folders: [], packages: [] },
  "first-letter": { folders: [], packages: [] },
  markup: { folders: [], packages: [] },
  "csv-writing": { folders: [], packages: [] },
  options: { folders: [], packages: [] },
  "whole-file": { folders: [], packages: [] },
  "sealed-file": { folders: ["whole-file"], packages: [] },
  num: { folders: [], packages: [] },
  stats: { folders: ["num"], packages: [] },
  units: { folders: [], packages: [] },
  swing: { folders: ["units"], packages: [] },
  study: {
    folders: ["units", "stats", "num"],
    packages: ["ajv", "arquero", "danfojs-node", "xlsx", "fflate"],
  },
  analysis: { folders: ["study", "stats", "units", "swing", "num"], packages: [] },
  show: { folders: [], packages: ["valibot"], typesFrom: ["stats", "study", "analysis"] },
  learn: { folders: ["show", "stats", "swing", "units", "num"], packages: [] },
  // host.ts finds the copy of the library to run, and starts its kernel-program.ts.
  notebook: { folders: ["whole-file", "kernel-program"], packages: ["*"] },
  workspace: {
    folders: ["notebook", "whole-file", "sealed-file"],
    packages: ["*"],
    typesFrom: ["study"],
  },
  // The form runs the checks of the study's files at entry, so it stands beside the report.
  form: { folders: ["study", "num"], packages: [] },
  report: {
    folders: ["show", "whole-file", "sealed-file"],
    packages: ["*"],
    typesFrom: ["notebook", "learn", "study", "analysis", "form"],
  },
  manuscript: { folders: ["show", "whole-file"], packages: ["saxes"] },
  archive: {
    folders: ["notebook", "report", "workspace", "whole-file"],
    packages: ["*"],
    typesFrom: ["study"],
  },
  // The public names carry nothing of the process they run in.
  entries: {
    folders: ["learn", "study", "stats", "swing", "units", "num"],
    packages: [],
    typesFrom: ["show"],
  },
  index: {
    folders: ["study", "analysis", "show"],
    packages: ["arquero"],
    typesFrom: ["stats"],
  },
};

/** Folders that must run in a browser as they are. */
const pure = [
  "errors",
  "entry",
  "first-letter",
  "options",
  "markup",
  "csv-writing",
  "num",
  "stats",
  "units",
  "swing",
  "analysis",
  "show",
  "learn",
];
const impure =
  /\bconsole\.|\bMath\.random\b|\bDate\.now\b|\bnew Date\(\)|\bprocess\.|\brequire\(|from "node:|\bperformance\.|\bfetch\(/;

/** Names that several files of lib/ have, each with the reason. */
const sharedNames: Record<string, string> = {
  "answers.ts": "answers to the exercises: computed in learn/, listed by the command",
  "exercise.ts": "an exercise: in learn/, and its controls in the page",
  "flow.ts": "the flow of participants: counted in study/, drawn in report/",
  "form.ts": "the recording form: the program in its page, and the command that writes it",
  "groups.ts": "groups of people: selected in study/, compared in stats/",
  "kernel.ts": "the kernel: in notebook/, and the command that registers it",
  "leave-one-out.ts": "leaving each person out: rows in study/, estimates in stats/",
  "ledger.ts": "findings in order: on a page of report/, and in the terminal",
  "marks.ts": "marks of a class: checked in learn/, written by the command",
  "people.ts": "people: rows of each in stats/, drawn in show/, read from the file in study/",
  "plan.ts": "the plan: sample sizes in stats/, and the command that records it",
  "programs.ts": "the programs in a page: bundled in report/, started in the page",
  "record.ts": "a record: of a cell's output in show/, of a notebook's file in notebook/",
  "repeats.ts": "repeated trials: their error in stats/, the same row twice in study/",
  "selection.ts": "the k-th smallest value in stats/, rows with given values in study/",
  "sheets.ts": "recording sheets: made in study/, written by the command",
  "simulate.ts": "simulated studies: made in study/, and their entry of the package",
  "simulation.ts":
    "a simulation: its model in learn/, its controls in the page; and a simulated study",
  "site.ts": "the report as a site: made in report/, its script in the page",
  "specification.ts": "specifications: computed in stats/, drawn in show/",
  "terms.ts": "terms of a model in stats/, terms of the glossary in show/",
  "trials.ts": "trials: numbers by person in stats/, rows of a file in study/",
  "visits.ts": "visits: fitted in stats/, tabulated in study/",
  "workbook.ts": "a workbook: read in study/, written in report/",
};

/** Lines that are no comment: describing a field must not make a file too long. */
function linesOfCode(text: string): number {
  return text.split("\n").filter((line) => !/^\s*(?:\/\*\*|\*|\/\/)/.test(line)).length - 1;
}

/** Files of more than 250 lines, each with the reason. */
const longFiles: Record<string, string> = {
  "learn/practice.ts": "the invented golfers of every lesson, side by side",
  "learn/words/english.ts": "all words of the lessons in one language",
  "learn/words/german.ts": "all words of a lesson in one language",
  "learn/words/spanish.ts": "all words of a lesson in one language",
  "form/page/trial-form.ts": "one trial, from the typed value to the stored row",
  "index.ts": "a list of names, and nothing else",
  "notebook/kernel.ts": "one conversation with a kernel process",
  "notebook/nbformat.ts": "the rules of one file format",
  "notebook/run.ts": "one run of a notebook, from start to record",
  "entries/stats.ts": "a list of names, and nothing else",
  "num/random.ts": "one random stream and the distributions drawn from it",
  "report/drawn-extent.ts": "the extent of one drawn element, path by path",
  "report/recorded.ts": "the reading of every kind of recorded output",
  "show/output-schemas.ts": "the shape of every kind of output, side by side",
  "workspace/rebuild-engine.ts": "one rebuild, from reading to recording",
  "stats/adjusted-means.ts": "means of one term and the differences of all pairs",
  "stats/bootstrap/bootstrap.ts": "one function with its published variants",
  "stats/cluster-errors.ts": "one published family of standard errors",
  "stats/fit-effects.ts": "contrasts, joint tests and means of one fit",
  "stats/linear-model.ts": "one fit with its published standard errors",
  "stats/mixed/components.ts": "one published model",
  "stats/mixed/criterion.ts": "one published criterion with its derivatives",
  "stats/mixed/inference.ts": "two published methods for degrees of freedom, side by side",
  "stats/mixed/visits.ts": "one published model",
  "stats/plan-by-simulation.ts": "one method with its designs",
  "stats/plan.ts": "sample sizes of related designs",
  "stats/pool/pool-bayes.ts": "one published model, by quadrature",
  "stats/pool/pool-people.ts": "one published method",
  "stats/pool/pool-regression.ts": "one published method with its tests",
  "stats/pool/pool.ts": "one function with its published variants",
  "study/norms.ts": "reference values and the percentile from each",
  "study/study-account.ts": "one record of a study, field by field, and its making",
  "study/simulate/demo.ts": "the parameters of the demo studies",
};

interface SourceFile {
  path: string;
  folder: string;
  text: string;
}

function sources(): SourceFile[] {
  return readdirSync(lib, { recursive: true, encoding: "utf8" })
    .map((path) => path.split("\\").join("/"))
    .filter((path) => path.endsWith(".ts") && !/^(dist|node_modules)\//.test(path))
    .map((path) => ({ path, folder: folderOf(path), text: readFileSync(join(lib, path), "utf8") }));
}

function folderOf(path: string): string {
  return path.includes("/") ? path.split("/")[0]! : path.replace(/\.ts$/, "");
}

interface Import {
  from: string;
  typeOnly: boolean;
}

function importsOf(text: string): Import[] {
  const found: Import[] = [];
  const statement = /^\s*(?:import|export)\s+(type\s)?[^;"']*?from\s+["']([^"']+)["']/gm;
  for (const [, type, from] of text.matchAll(statement))
    found.push({ from: from!, typeOnly: !!type });
  for (const [, from] of text.matchAll(/\bimport\(\s*["']([^"']+)["']\s*\)/g))
    found.push({ from: from!, typeOnly: false });
  return found;
}

function breaches(file: SourceFile): string[] {
  const rule = mayImport[file.folder];
  if (!rule) return []; // browser, page-library, kernel-display, kernel-program and cli join everything
  return importsOf(file.text)
    .filter(({ from, typeOnly }) => !allowed(file, rule, from, typeOnly))
    .map(({ from }) => `${file.path} imports ${from}`);
}

function allowed(
  file: SourceFile,
  rule: (typeof mayImport)[string],
  from: string,
  typeOnly: boolean,
): boolean {
  if (from.startsWith("node:")) return !pure.includes(file.folder);
  if (/^tautline(?:\/|$)/.test(from)) return true; // a cell of the starter's notebook
  const path = targetOf(file, from);
  if (path === undefined) return rule.packages.some((name) => name === "*" || name === from);
  const target = folderOf(path);
  if (["errors", "entry", "first-letter", "options", "markup", "csv-writing"].includes(target))
    return true;
  if (target === file.folder || rule.folders.includes(target)) return true;
  return typeOnly && (rule.typesFrom ?? []).includes(target);
}

/** The file that a relative import reaches, by its path below lib/; undefined for a package. */
function targetOf(file: SourceFile, from: string): string | undefined {
  if (!from.startsWith(".")) return undefined;
  return posix.normalize(posix.join(posix.dirname(file.path), from)).replace(/\.js$/, ".ts");
}

/** Circles of imports, types included: each as the files on the way, ending where it begins. */
function cycles(files: readonly SourceFile[]): string[] {
  const imported = new Map(
    files.map((file) => [file.path, importsOf(file.text).map(({ from }) => targetOf(file, from))]),
  );
  const found: string[] = [];
  const settled = new Set<string>();
  const visit = (path: string, way: readonly string[]) => {
    if (way.includes(path)) found.push([...way.slice(way.indexOf(path)), path].join(" → "));
    if (settled.has(path) || way.includes(path)) return;
    for (const next of imported.get(path) ?? []) if (next) visit(next, [...way, path]);
    settled.add(path);
  };
  for (const { path } of files) visit(path, []);
  return found;
}

describe("the layers of lib/", () => {
  const files = sources();

  it("no file imports itself by way of others, not even for a type", () => {
    expect(cycles(files)).toEqual([]);
    const file = (path: string, text: string) => ({ path, folder: "stats", text });
    const circle = [
      file("stats/a.ts", 'import { b } from "./b.js";\n'),
      file("stats/b.ts", 'import type { C } from "./c.js";\n'),
      file("stats/c.ts", 'import { b } from "./b.js";\n'),
    ];
    expect(cycles(circle)).toEqual(["stats/b.ts → stats/c.ts → stats/b.ts"]);
  });

  it("each folder imports only what the map allows", () => {
    expect(files.flatMap(breaches)).toEqual([]);
  });

  it("the numeric folders use no I/O, clock, environment, console or Math.random", () => {
    const found = files
      .filter((file) => pure.includes(file.folder))
      .flatMap((file) =>
        file.text
          .split("\n")
          .map((line, i) => ({ line, at: `${file.path}:${i + 1}` }))
          .filter(({ line }) => !/^\s*(\*|\/\/|\/\*)/.test(line) && impure.test(line))
          .map(({ at }) => at),
      );
    expect(found).toEqual([]);
  });

  it("the lists of public names do nothing else", () => {
    const lists = files.filter(({ path }) => /^(?:index\.ts|browser\.ts|entries\/)/.test(path));
    expect(lists).toHaveLength(6);
    for (const { text } of lists) {
      const code = text.replace(/^\s*(?:\/?\*|\/\/).*$/gm, "");
      const rest = code.replace(/export (?:type )?(?:\*|\{[^}]*\}) from "[^"]+";/g, "");
      expect(rest.trim()).toBe("");
    }
  });

  it("only one file of study/ reads the disk", () => {
    const readers = files
      .filter((file) => file.folder === "study" && /from "node:fs/.test(file.text))
      .map((file) => file.path);
    expect(readers.length).toBeLessThanOrEqual(1);
  });

  it("no folder or file is a catch-all", () => {
    const vague = files.filter((file) =>
      /(^|\/)(utils?|helpers?|common|misc)(\/|\.ts$)/.test(file.path),
    );
    expect(vague.map((file) => file.path)).toEqual([]);
  });

  it("no two files share a name, unless they are one concept in two layers", () => {
    const byName = new Map<string, string[]>();
    for (const { path } of files) {
      const name = posix.basename(path);
      byName.set(name, [...(byName.get(name) ?? []), path]);
    }
    const shared = [...byName].filter(([, paths]) => paths.length > 1).map(([name]) => name);
    expect(shared.sort()).toEqual(Object.keys(sharedNames).sort());
  });

  it("a file has at most 250 lines beside its comments, unless a reason is given", () => {
    const long = files.filter(({ text }) => linesOfCode(text) > 250);
    expect(long.map(({ path }) => path).filter((path) => !(path in longFiles))).toEqual([]);
    const there = new Set(files.map(({ path }) => path));
    expect(Object.keys(longFiles).filter((path) => !there.has(path))).toEqual([]);
  });

  it("only whole-file.ts renames a file into its place", () => {
    const renamers = files
      .filter(({ text }) => /\brenameSync\(|\brename\(/.test(text))
      .map(({ path }) => path);
    // A new study's folder and a lock's claim are no files with content of their own.
    expect(renamers.sort()).toEqual(["cli/new.ts", "whole-file.ts", "workspace/lock.ts"]);
  });

  it("a forbidden import would be caught", () => {
    const bad = {
      path: "stats/change.ts",
      folder: "stats",
      text: 'import { x } from "../study/open.js";\n',
    };
    expect(breaches(bad)).toEqual(["stats/change.ts imports ../study/open.js"]);
  });
});
