import { cpSync, mkdirSync, readdirSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { dirname, join } from "node:path";
import { build } from "esbuild";
import { strFromU8, strToU8 } from "fflate";
import { afterAll, beforeAll, beforeEach, describe, expect, it, vi } from "vitest";
import { libraryFiles } from "../../lib/archive/library.js";
import { libraryDifference } from "../../lib/archive/library-form.js";
import { readArchive } from "../../lib/archive/reading.js";
import type { ArchiveFiles } from "../../lib/archive/zip.js";
import { PackedLibrary, type Ran, root, run, tool } from "./installed.js";

const unreachable = /ENOTFOUND|EAI_AGAIN|ECONNREFUSED|ECONNRESET|ETIMEDOUT|ENOTCACHED|E40[134]\b/;
// npm installs, a kernel starts and a report is made
vi.setConfig({ testTimeout: 240_000, hookTimeout: 300_000 });
let library: PackedLibrary;
let installed: Ran;

beforeAll(() => {
  library = new PackedLibrary();
  installed = library.install();
});
afterAll(() => library?.remove());

const node = (...args: string[]) => run(library.project, process.execPath, ...args);

describe("the tarball", () => {
  it("has the build, its entries and the texts, and no sources or tests", () => {
    const { exports, bin } = JSON.parse(readFileSync(join(root, "lib/package.json"), "utf8"));
    const named = [bin, exports].flatMap(function leaves(part: object): string[] {
      return Object.values(part).flatMap((one) => (typeof one === "string" ? [one] : leaves(one)));
    });
    expect(named.length).toBeGreaterThan(15);
    const wanted = [
      ...named.map((path) => path.replace("./", "")),
      "README.md",
      "LICENSE",
      "NOTICE",
    ];
    expect(wanted.filter((path) => !library.files.includes(path))).toEqual([]);
    const other = library.files.filter((path) => !/^(?:bin|dist)\/.*\.(?:js|d\.c?ts)$/.test(path));
    expect(other.sort()).toEqual(["LICENSE", "NOTICE", "README.md", "dist/.built", "package.json"]);
  });
});

describe("the tarball in an empty folder", () => {
  // npm asks the registry for what the tarball depends on. Without a network that says nothing of
  // the tarball, so only these errors of the connection skip; every other failure fails.
  beforeEach((test) => {
    const reason = installed.status === 0 ? undefined : unreachable.exec(installed.stderr)?.[0];
    test.skip(reason !== undefined, `no registry answers: ${reason}`);
  });

  it("installs without overrides; npm asks about two install scripts and nothing else", () => {
    expect(installed.status, installed.stderr).toBe(0);
    const warnings = installed.stderr
      .split("\n")
      .filter((line) => /^npm warn install-scripts {3}/.test(line) || !/install-scripts/.test(line))
      .filter((line) => /^npm /.test(line));
    expect(warnings.map((line) => /\S+(?=@[\d.]+ \()/.exec(line)?.[0] ?? line)).toEqual(
      warnings.length === 0 ? [] : ["esbuild", "zeromq"],
    );
  });

  it("brings one reader of columnar files, the patched reader of workbooks, and no data frames", () => {
    const { packages } = library.json("package-lock.json") as { packages: Record<string, object> };
    const found = Object.entries(packages)
      .filter(([path]) => /(?:flechette|xlsx|danfojs-node|tfjs[\w-]*)$/.test(path))
      .map(([path, { name, version }]: [string, { name?: string; version?: string }]) => [
        name ?? path.replace("node_modules/", ""),
        version,
      ]);
    expect(found).toEqual([
      ["@uwdata/flechette", "2.6.0"],
      ["@e965/xlsx", "0.20.3"],
    ]);
  });

  const probe = `
    const names = () => [...Object.getOwnPropertyNames(globalThis), ...Object.getOwnPropertySymbols(globalThis)].length;
    const before = names();
    const done = (root, stats) => console.log(JSON.stringify({
      added: names() - before,
      listeners: process.eventNames().length - events,
      value: stats.pairedChange([1, 2, 3], [2, 4, 6]).change.value,
      rows: root.openStudy("coach-nine").gripTrials.numRows() > 100,
    }));
    const events = process.eventNames().length;`;
  const probed = { added: 0, listeners: 0, value: 2, rows: true };

  it.each([
    ["ES modules", "module", 'done(await import("tautline"), await import("tautline/stats"))'],
    ["CommonJS", "commonjs", 'done(require("tautline"), require("tautline/stats"))'],
  ])("loads by %s, opens a study, changes no global, starts nothing", (_, type, end) => {
    cpSync(join(root, "data/coach-nine"), join(library.project, "data/coach-nine"), {
      recursive: true,
    });
    const { stdout, stderr } = node(`--input-type=${type}`, "--eval", `${probe}\n${end};`);
    expect(stderr).toBe("");
    expect(JSON.parse(stdout)).toEqual(probed);
  });

  it("runs the example of its README", () => {
    const example = /```js\n([\s\S]*?)```/.exec(
      readFileSync(join(root, "lib/README.md"), "utf8"),
    )![1]!;
    const { stdout, stderr } = node("--input-type=module", "--eval", example);
    expect(stderr).toBe("");
    expect(Number(stdout.split(" ")[0])).toBeCloseTo(1.66, 10); // mean of 1.8, 1.5, 0.6, 2.9, 1.5
  });

  it("says what to install for data frames", () => {
    const code = `const { openStudy, toFrame } = await import("tautline");
      await toFrame(openStudy("coach-nine").gripTrials).catch((error) => console.log(error.name, error.message));`;
    expect(node("--input-type=module", "--eval", code).stdout).toMatch(
      /^InputError toFrame: expected .*npm install danfojs-node/,
    );
  });

  it("bundles for a browser: one statistic under 60 kB, and every entry", async () => {
    const bundled = (contents: string) =>
      build({
        stdin: { contents, resolveDir: library.project },
        bundle: true,
        minify: true,
        write: false,
        format: "esm",
        platform: "browser",
        logLevel: "silent",
        metafile: true,
      });
    const one = await bundled('export { pairedChange } from "tautline/stats";');
    expect(one.outputFiles[0]!.contents.length).toBeLessThan(60_000);
    expect(one.outputFiles[0]!.text).not.toMatch(/"node:/);
    const { exports } = library.json("node_modules/tautline/package.json");
    const entries = Object.keys(exports).filter((name) => !name.endsWith(".json"));
    expect(entries).toHaveLength(5);
    const all = await bundled(
      entries.map((name, i) => `export * as entry${i} from "tautline${name.slice(1)}";`).join("\n"),
    );
    const inside = Object.keys(all.metafile.inputs);
    expect(inside.some((path) => path.endsWith("dist/browser-files.js"))).toBe(true);
    expect(all.outputFiles[0]!.text).not.toMatch(/"node:/);
  });

  describe("the types of its entries", () => {
    const some = `import { type Estimate, pairedChange } from "tautline/stats";
import { convert } from "tautline/units";
import { type Exercise, exercise } from "tautline/learn";
import { inventStudy } from "tautline/simulate";
const change: Estimate = pairedChange([1, 2, 4], [2, 3, 7]).change;
export const made: [number, typeof exercise, typeof inventStudy] = [convert(change.value, "kgf", "N"), exercise, inventStudy];
export type { Exercise };
`;
    const studies = `import { type Finding, finding, InputError, openStudy } from "tautline";
const stated: Finding = finding({ id: "a", title: "A value", value: 1, unit: "kgf", count: { n: 3, of: "golfers" }, method: "mean" });
export const rows: number = openStudy(".").gripTrials.numRows();
export const refused = (error: unknown) => error instanceof InputError && error.expected + stated.id;
`;
    const wrong = `import { pairedChange } from "tautline/stats";
export const text: string = pairedChange([1, 2], [2, 3]).n;
`;
    const check = (resolution: string, files: string[]) => {
      const module = resolution === "bundler" ? "es2022" : resolution;
      const options = `--noEmit --strict --target es2022 --module ${module} --moduleResolution ${resolution}`;
      const compiler = "node_modules/typescript/bin/tsc";
      const { stdout } = tool(library.project, compiler, ...options.split(" "), ...files);
      return stdout.split("\n").filter((line) => /error TS/.test(line));
    };

    // Under the oldest way, of Node 10, the cell of the new study's notebook below resolves them.
    it.each([
      ["nodenext", ["cts", "mts"]],
      ["node16", ["cts", "mts"]],
      ["bundler", ["ts"]],
    ])("resolve under %s, all declarations checked", (resolution, endings) => {
      const programs = Object.entries({ some, studies, wrong });
      const files = endings.flatMap((ending) =>
        programs.map(([name, text]) => {
          library.write(`${name}.${ending}`, text);
          return `${name}.${ending}`;
        }),
      );
      // arquero and its reader ship three errors of their own
      const found = check(resolution, files).filter(
        (line) => !/^node_modules\/(?:arquero|@uwdata)\//.test(line),
      );
      expect(found.map((line) => line.replace(/\(.*/, ""))).toEqual(
        endings.map((ending) => `wrong.${ending}`),
      );
    });

    it("are without any error for the entries that need no tables", () => {
      library.write("some.ts", some);
      expect(check("nodenext", ["some.ts"])).toEqual([]);
    });
  });

  const program = (...args: string[]) =>
    run(library.project, "npx", "--no-install", "tautline", ...args);

  it("runs its program: help, a new study, a notebook of it and the report", () => {
    expect(program("--help")).toMatchObject({ status: 0, stderr: "" });
    expect(program("new", "data/spring")).toMatchObject({ status: 0, stderr: "" });
    // One notebook of the set is enough here: tests/cli/new-notebooks.test.ts runs them all
    const notebooks = join(library.project, "notebooks/spring");
    for (const name of readdirSync(notebooks))
      if (name !== "2-measurements.ipynb") rmSync(join(notebooks, name));
    const rebuilt = program("rebuild", "data/spring");
    expect(rebuilt.status, rebuilt.stderr).toBe(0);
    expect(rebuilt.stdout).toContain("out/index.html");
  });

  describe("the archive of a study there", () => {
    let files: ArchiveFiles;
    const textIn = (path: string) => strFromU8(files.get(path)!);

    it("carries the library as it was installed, and says so", () => {
      const made = program("archive", "spring", "--date", "2026-03-01");
      expect(made.status, made.stderr).toBe(0);
      files = readArchive(readFileSync(join(library.project, "out/spring.zip")));
      const carried = [...files.keys()].filter((path) => path.startsWith("lib/"));
      const packed = library.files.filter((path) => path !== "README.md");
      expect(carried.sort()).toEqual(packed.map((path) => `lib/${path}`).sort());
      expect(JSON.parse(textIn("lib/package.json")).scripts).toBeUndefined();
      expect(textIn("README.md")).toMatch(
        /carried built, as it was installed, not as sources: version \d+\.\d+\.\d+, SHA-256 of the list of its files [0-9a-f]{64}\./,
      );
      for (const [path, content] of files) {
        for (const folder of [root, library.folder])
          expect(strFromU8(content).includes(folder), path).toBe(false);
      }
    });

    it("locks every package to the installed one, from the public registry", () => {
      const locked = JSON.parse(textIn("package-lock.json")).packages;
      const { packages } = library.json("package-lock.json");
      expect(locked["node_modules/tautline"]).toEqual({ resolved: "lib", link: true });
      expect(locked.lib.dependencies).toEqual(packages["node_modules/tautline"].dependencies);
      const names = Object.keys(locked).filter((path) => !["", "lib"].includes(path));
      expect(names.sort()).toEqual(
        Object.keys(packages)
          .filter((path) => path !== "")
          .sort(),
      );
      for (const path of names.filter((name) => name !== "node_modules/tautline")) {
        const { resolved, version, integrity } = locked[path];
        expect([version, integrity]).toEqual([packages[path].version, packages[path].integrity]);
        expect(resolved).toMatch(/^https:\/\/registry\.npmjs\.org\/.*\.tgz$/);
      }
    });

    it("agrees for the installed program and for that of the repository", () => {
      const here = join(root, "lib/bin/tautline.js");
      for (const { status, stdout } of [
        program("verify", "--archive", "out/spring.zip"),
        node(here, "verify", "--archive", "out/spring.zip"),
      ]) {
        expect(status, stdout).toBe(0);
        expect(stdout).toContain("Compared byte by byte.");
      }
    });

    it("is compared with the library here in the form of each, and a change is named", () => {
      const folder = join(library.project, "node_modules/tautline");
      const sources = libraryFiles("spring").files;
      const changed = (all: ArchiveFiles, path: string) =>
        new Map([...all, [path, strToU8("// another\n")]]);
      expect(libraryDifference(sources, folder)).toEqual([]);
      const differs = (all: ArchiveFiles) => libraryDifference(all, folder).map(({ name }) => name);
      expect(differs(changed(sources, "lib/stats/change.ts"))).toEqual([
        "source of tautline (compared with the record of the build here)",
      ]);
      expect(differs(changed(files, "lib/dist/stats/change.js"))).toEqual(["build of tautline"]);
      expect(differs(changed(files, "lib/dist/more.js"))).toEqual(["build of tautline"]);
    });

    it("installs and verifies itself where it is unpacked, without a build", () => {
      const folder = join(library.folder, "unpacked");
      for (const [path, content] of files) {
        mkdirSync(dirname(join(folder, path)), { recursive: true });
        writeFileSync(join(folder, path), content);
      }
      const ci = run(folder, "npm", "ci", "--prefer-offline", "--fetch-retries=0");
      expect(ci.status, ci.stderr).toBe(0);
      const verified = run(folder, "npm", "run", "verify");
      expect(verified.stdout + verified.stderr).toContain("Everything agrees with the record.");
      expect(verified.status).toBe(0);
    });
  });
});
