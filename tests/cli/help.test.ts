import { describe, expect, it } from "vitest";
import { commands } from "../../lib/cli/main.js";

const helps = await Promise.all(
  Object.entries(commands).map(async ([name, { load }]) => ({ name, help: (await load()).help! })),
);

describe("the help", () => {
  it.each(helps)("of $name writes what an option takes in one form", ({ help }) => {
    expect(help.options.length).toBeGreaterThan(0);
    for (const { name } of help.options) expect(name).toMatch(/^--[a-z-]+( <[a-z0-9,]+>)?$/);
  });

  it("of the commands that run notebooks words a shared option once", () => {
    const lineOf = (command: string, option: string) =>
      helps
        .find(({ name }) => name === command)!
        .help.options.find(({ name }) => name.startsWith(option));
    for (const option of ["--limit", "--memory"]) {
      expect(lineOf("verify", option)).toEqual(lineOf("rebuild", option));
      expect(lineOf("watch", option)).toEqual(lineOf("rebuild", option));
    }
    expect(lineOf("verify", "--jobs")).toEqual(lineOf("rebuild", "--jobs"));
  });
});
