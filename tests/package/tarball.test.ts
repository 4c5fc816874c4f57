import { cpSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { build } from "esbuild";
import { afterAll, beforeAll, beforeEach, describe, expect, it, vi } from "vitest";
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

  it("runs its program: help, a new study, its first notebook and the report", () => {
    const program = (...args: string[]) =>
      run(library.project, "npx", "--no-install", "tautline", ...args);
    expect(program("--help")).toMatchObject({ status: 0, stderr: "" });
    expect(program("new", "data/spring")).toMatchObject({ status: 0, stderr: "" });
    const rebuilt = program("rebuild", "data/spring");
    expect(rebuilt.status, rebuilt.stderr).toBe(0);
    expect(rebuilt.stdout).toContain("out/index.html");
  });
});
