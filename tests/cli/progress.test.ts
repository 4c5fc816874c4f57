import { describe, expect, it } from "vitest";
import { readOptions, UsageError } from "../../lib/cli/arguments.js";
import { progressLines } from "../../lib/cli/progress.js";

function spoken(isTerminal: boolean, columns = 80) {
  const said: string[] = [];
  const io = {
    out() {},
    err: (text: string) => said.push(text.replaceAll("\u001b", "ESC")),
    cwd: "/",
    isTerminal,
    columns,
  };
  return { said, io };
}

describe("progress", () => {
  it("is a redrawn line on a terminal: cell, what it waits for, elapsed time", () => {
    const { said, io } = spoken(true);
    const lines = progressLines(io, false);
    lines.begin("a.ipynb", "cell 2 changed");
    expect(said.at(-1)).toMatch(/^a\.ipynb: starting the kernel, 0\.\d s \(cell 2 changed\)\n$/);
    lines.step("a.ipynb", { state: "running", done: 2, of: 5 });
    lines.begin("b.ipynb", "asked for");
    expect(said.at(-1)).toMatch(/^ESC\[1AESC\[0Ja\.ipynb: cell 3 of 5, running, 0\.\d s\nb\.ipynb/);
    lines.end("a.ipynb", "done");
    expect(said.join("")).toContain("ESC[2AESC[0Ja.ipynb: done\n");
    lines.close();
  });

  it("never draws a line wider than the terminal", () => {
    const { said, io } = spoken(true, 20);
    const lines = progressLines(io, false);
    lines.begin("a-notebook-with-a-long-name.ipynb", "asked for");
    expect(said.at(-1)).toBe("a-notebook-with-a-l\n");
    lines.close();
  });

  it("is plain lines without control characters when piped, and nothing when quiet", () => {
    const { said, io } = spoken(false);
    for (const quiet of [false, true]) {
      const lines = progressLines(io, quiet);
      lines.begin("a.ipynb", "asked for");
      lines.step("a.ipynb", { state: "running", done: 0, of: 1 });
      lines.end("a.ipynb", "done in 1.0 s");
      lines.close();
    }
    expect(said).toEqual(["a.ipynb: running (asked for)\n", "a.ipynb: done in 1.0 s\n"]);
  });
});

describe("the command line", () => {
  const shapes = { limit: "number", quiet: "flag", skip: "list", out: "text" } as const;

  it("reads values with a space or an equals sign, lists, flags and words", () => {
    const args = ["a", "--limit", "3", "--skip=x", "--skip", "y", "--quiet", "--", "--b"];
    expect(readOptions(args, shapes)).toEqual({
      options: { limit: 3, quiet: true, skip: ["x", "y"], out: undefined },
      words: ["a", "--b"],
    });
  });

  it.each([
    [["--quite"], "unknown option --quite; did you mean --quiet?"],
    [["--__proto__"], "unknown option --__proto__"],
    [["--quiet=yes"], "--quiet takes no value"],
    [["--out", "--quiet"], "--out needs a value"],
    [["--limit", "0"], '--limit needs a number above 0, got "0"'],
  ])("refuses %j", (args, message) => {
    expect(() => readOptions(args, shapes)).toThrow(new UsageError(message));
  });
});
