import { readdirSync, readFileSync } from "node:fs";
import { dirname, join, posix, resolve } from "node:path";
import { fileURLToPath } from "node:url";
import { describe, expect, it } from "vitest";

const lib = resolve(dirname(fileURLToPath(import.meta.url)), "../lib");

/** Who may import whom; everything may import `errors`, `entry`, `options` and `markup`. Files at the top of lib/ count as a folder of their own name. */
const mayImport: Record<string, { folders: string[]; packages: string[]; typesFrom?: string[] }> = {
  errors: { folders: [], packages: [] },
  entry: { folders: [], packages: [] },
  markup: { folders: [], packages: [] },
  options: { folders: [], packages: [] },
  "whole-file": { folders: [], packages: [] },
  num: { folders: [], packages: [] },
  stats: { folders: ["num"], packages: [] },
  units: { folders: [], packages: [] },
  swing: { folders: ["units"], packages: [] },
  study: {
    folders: ["units", "stats", "num"],
    packages: ["ajv", "arquero", "danfojs-node", "xlsx", "fflate"],
  },
  show: { folders: [], packages: [], typesFrom: ["stats", "study", "analysis"] },
  learn: { folders: ["show", "stats", "swing", "units", "num"], packages: [] },
  // host.ts is the program of a kernel and starts it with what kernel-display.ts connects.
  notebook: { folders: ["whole-file", "kernel-display"], packages: ["*"] },
  workspace: { folders: ["notebook", "whole-file"], packages: ["*"], typesFrom: ["study"] },
  report: {
    folders: ["show", "whole-file"],
    packages: ["*"],
    typesFrom: ["notebook", "learn", "study", "analysis"],
  },
  archive: {
    folders: ["notebook", "report", "workspace", "whole-file"],
    packages: ["*"],
    typesFrom: ["study"],
  },
  // The public names carry nothing of the process they run in.
  entries: {
    folders: ["learn", "study", "stats", "swing", "units", "num"],
    packages: [],
  },
  index: {
    folders: ["study", "show"],
    packages: ["arquero"],
    typesFrom: ["stats"],
  },
};

/** Folders that must run in a browser as they are. */
const pure = [
  "errors",
  "entry",
  "options",
  "markup",
  "num",
  "stats",
  "units",
  "swing",
  "show",
  "learn",
];
const impure =
  /\bconsole\.|\bMath\.random\b|\bDate\.now\b|\bnew Date\(\)|\bprocess\.|\brequire\(|from "node:|\bperformance\.|\bfetch\(/;

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
  if (!rule) return []; // browser, page-library, kernel-display and cli join everything
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
  if (!from.startsWith(".")) {
    return rule.packages.some((name) => name === "*" || name === from);
  }
  const target = folderOf(
    posix.normalize(posix.join(posix.dirname(file.path), from)).replace(/\.js$/, ".ts"),
  );
  if (["errors", "entry", "options", "markup"].includes(target)) return true;
  if (target === file.folder || rule.folders.includes(target)) return true;
  return typeOnly && (rule.typesFrom ?? []).includes(target);
}

describe("the layers of lib/", () => {
  const files = sources();

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
