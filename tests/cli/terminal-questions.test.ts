import { spawn, spawnSync } from "node:child_process";
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join, resolve } from "node:path";
import { PassThrough } from "node:stream";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { main } from "../../lib/cli/main.js";
import { terminalQuestions } from "../../lib/cli/terminal-questions.js";

let folder = "";
beforeAll(async () => {
  folder = mkdtempSync(join(tmpdir(), "tautline questions "));
  await typed([], "new", "spring", "--title", "Spring block", "--arms", "grip,swing");
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const descriptor = () => join(folder, "data", "spring", "datapackage.json");

/** A person who types these lines and then ends the input. */
function person(lines: readonly string[]) {
  const input = new PassThrough();
  const output = new PassThrough();
  let shown = "";
  output.on("data", (text) => {
    shown += text;
  });
  input.end(lines.map((line) => `${line}\n`).join(""));
  return { questions: terminalQuestions(input, output), shown: () => shown };
}

/** A command called by such a person. */
async function typed(lines: readonly string[], ...args: string[]) {
  const { questions, shown } = person(lines);
  let out = "";
  let err = "";
  const code = await main(args, {
    ...questions,
    out: (text) => {
      out += text;
    },
    err: (text) => {
      err += text;
    },
    cwd: folder,
  });
  return { code, out, err, shown: shown() };
}

describe("a question on a terminal", () => {
  it("is answered by number or by word, each line by one question", async () => {
    const { questions } = person(["2", " kgf "]);
    expect(await questions.chosen("Which hand?", ["lead", "trail"])).toBe("trail");
    expect(await questions.chosen("Which unit?", ["N", "kgf"])).toBe("kgf");
  });

  it("is asked again after an answer that is no choice, with what was expected and found", async () => {
    const { questions, shown } = person(["0", "-1", "1.5", "third", "1"]);
    expect(await questions.chosen("Which hand?", ["lead", "trail"])).toBe("lead");
    expect(shown().match(/Expected a number from 1 to 2, got/g)).toHaveLength(4);
    expect(shown()).toContain('got "third"');
  });

  it("stays open after an empty line and at the end of the input", async () => {
    const { questions } = person([""]);
    expect(await questions.chosen("Which hand?", ["lead", "trail"])).toBeUndefined();
    expect(await questions.chosen("Which hand?", ["lead", "trail"])).toBeUndefined();
  });

  it("agrees only to a yes", async () => {
    const { questions } = person(["yes", "y", "no", "yesterday"]);
    const answers = [];
    for (let i = 0; i < 5; i++) answers.push(await questions.agreed("Run them now?"));
    expect(answers).toEqual([true, true, false, false, false]);
  });
});

describe("the questions of plan", () => {
  const call = ["plan", "data/spring", "--on", "2025-02-24"] as const;

  it("record nothing when the input ends, or a question is left open", async () => {
    const before = readFileSync(descriptor(), "utf8");
    for (const lines of [[], ["1"], ["grip", "", "1"], ["1", "9", "left"]]) {
      const { code, err } = await typed(lines, ...call);
      expect(code).toBe(2);
      expect(err).toContain("nothing was recorded: a question is open");
      expect(readFileSync(descriptor(), "utf8")).toBe(before);
    }
  });

  it("record what was answered", async () => {
    const { code, out, shown } = await typed(["grip", "5", "lead", "1", "mean3", "max"], ...call);
    expect(shown).toContain('Expected a number from 1 to 2, got "5"');
    expect(out).toContain("The plan of 2025-02-24 is recorded");
    expect(code).toBe(0);
    const { plan } = JSON.parse(readFileSync(descriptor(), "utf8")).study;
    expect(plan).toMatchObject({
      decidedOn: "2025-02-24",
      primary: { outcome: "grip", hand: "lead", contrast: "grip − swing" },
      summaries: { grip: "mean3", speed: "max" },
    });
  });
});

describe("the questions of map", () => {
  beforeAll(() => {
    writeFileSync(
      join(folder, "data", "spring", "export.csv"),
      "Player;Arm;Plays;Visit;Hand;Posture;Attempt;Force\nA1;grip;right;week-0;L;seated;1;31,2\nA1;grip;right;week-0;R;seated;1;33,9\nA2;swing;left;week-6;L;seated;1;41,0\n",
    );
  });

  it("leave open what was not answered, and then write nothing", async () => {
    const before = readFileSync(descriptor(), "utf8");
    const { code, out } = await typed(["pounds"], "map", "data/spring", "--write");
    expect(out).toContain("What only you can decide");
    expect(out).toContain("unit of force");
    expect(code).toBe(1);
    expect(readFileSync(descriptor(), "utf8")).toBe(before);
  });

  it("take an answer after a wrong one, and write the mapping", async () => {
    const { out, shown } = await typed(["7", "lbf"], "map", "data/spring", "--write");
    expect(shown).toContain('Expected a number from 1 to 3, got "7"');
    expect(out).not.toContain("What only you can decide");
    expect(readFileSync(descriptor(), "utf8")).toContain('"unit": "lbf"');
  });
});

describe("a plan after the first trial", () => {
  it("is refused before anything is asked, in words", async () => {
    const { code, err, shown } = await typed([], "plan", "data/spring", "--on", "2025-02-24");
    expect(code).toBe(1);
    expect(shown).toBe("");
    expect(err).toContain("expected a plan before any trial is recorded");
    expect(err).not.toContain("recordPlan");
  });
});

const pseudoTerminal = spawnSync("script", ["--version"]).status === 0;

describe.skipIf(!pseudoTerminal)("a pseudo terminal", () => {
  it("is asked one question after another, until the input ends", async () => {
    const program = resolve("lib/bin/tautline.js");
    await typed([], "new", "summer", "--title", "Summer block");
    const call = `"${process.execPath}" "${program}" plan data/summer --on 2025-02-24`;
    const child = spawn("script", ["-qec", call, "/dev/null"], { cwd: folder });
    const answers = ["speed\n", "19\n", "\u0004"];
    let shown = "";
    child.stdout.on("data", (text) => {
      shown += text;
      const asked = shown.split("leave it open: ").length - 1;
      // Each prompt gets its answer once it is there.
      while (3 - answers.length < asked && answers.length > 0) child.stdin.write(answers.shift());
    });
    const code = await new Promise((done) => child.on("close", done));
    expect(code).toBe(2);
    expect(shown).toContain("What is the primary outcome?");
    expect(shown).toContain('got "19"');
    expect(shown).toContain("nothing was recorded: a question is open");
  }, 60_000);
});
