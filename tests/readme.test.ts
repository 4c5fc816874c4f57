import { existsSync, readdirSync, readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import type { Command } from "../lib/cli/io.js";

const documents = ["README.md", "DEVELOPERS.md"];
const text = (path: string) => readFileSync(path, "utf8");

/** The lines of the fenced blocks that call the program, without their remarks. */
function callsIn(path: string): string[] {
  const blocks = [...text(path).matchAll(/^```[a-z]*\n([\s\S]*?)^```/gm)].map(
    ([, block]) => block!,
  );
  const inline = [...text(path).matchAll(/`(npx tautline [^`]+)`/g)].map(([, call]) => call!);
  return [...blocks.join("").split("\n"), ...inline]
    .map((line) => line.replace(/\s+#.*$/, "").trim())
    .filter((line) => line.startsWith("npx tautline "));
}

describe.each(documents)("%s", (path) => {
  it("shows commands and options that there are", async () => {
    const calls = callsIn(path);
    expect(calls.length).toBeGreaterThan(path === "README.md" ? 9 : 0);
    for (const call of calls) {
      const [, , name, ...words] = call.split(/\s+/);
      expect(existsSync(`lib/cli/${name}.ts`), call).toBe(true);
      const { help } = (await import(`../lib/cli/${name}.ts`)) as Command;
      const known = ["--help", "--json", ...help!.options.map((one) => one.name.split(" ")[0]!)];
      for (const word of words.filter((one) => one.startsWith("--")))
        expect(known, call).toContain(word.split("=")[0]);
    }
  });

  it("names files and folders that there are", () => {
    const named = [...text(path).matchAll(/`((?:lib|tests|data|notebooks|\.ci)\/[\w./-]+)`/g)];
    expect(named.length).toBeGreaterThan(0);
    for (const [, file] of named)
      if (!/spring-block|^lib\/dist/.test(file!)) expect(existsSync(file!), file!).toBe(true);
  });

  it("names scripts of npm that there are", () => {
    const { scripts } = JSON.parse(text("package.json")) as { scripts: object };
    const named = [...text(path).matchAll(/npm run ([\w:]+)/g)].map(([, name]) => name!);
    for (const name of named) expect(Object.keys(scripts)).toContain(name);
  });
});

it("README's table names every notebook but the lessons", () => {
  const section = /## The notebooks([\s\S]*?)\n## /.exec(text("README.md"))![1]!;
  const listed = [...section.matchAll(/^\| `([\w/-]+)` \| [A-Z]/gm)].map(([, name]) => name);
  const there = readdirSync("notebooks", { recursive: true, encoding: "utf8" })
    .filter((name) => /^(?!learn\/|.*\/\.).+\.ipynb$/.test(name))
    .map((name) => name.replace(".ipynb", ""));
  expect(listed.sort()).toEqual(there.sort());
});
