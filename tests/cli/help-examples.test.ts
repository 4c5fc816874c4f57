import { spawnSync } from "node:child_process";
import { cpSync, readFileSync } from "node:fs";
import { afterAll, beforeAll, describe, expect, it, vi } from "vitest";
import { commands } from "../../lib/cli/main.js";
import { handedIn } from "../../lib/learn/hand-in.js";
import { freePorts } from "../../lib/notebook/connection.js";
import { startProgram } from "../notebook/bystanders.js";
import { notebookOf, type TemporaryStudy, temporaryStudy } from "../notebook/temporary-study.js";
import { calledIn } from "./heard.js";

vi.setConfig({ testTimeout: 240_000, hookTimeout: 240_000 });

const documents = ["README.md", "DEVELOPERS.md"];

/** Calls of the program in the fenced blocks of a document, without their remarks. */
function callsIn(document: string): string[] {
  const text = readFileSync(document, "utf8");
  const blocks = [...text.matchAll(/^```[a-z]*\n([\s\S]*?)^```/gm)].map(([, block]) => block!);
  const inline = [...text.matchAll(/`((?:npx )?tautline [a-z][^`]*)`/g)].map(([, call]) => call!);
  return [...blocks.join("").split("\n"), ...inline]
    .map((line) =>
      line
        .replace(/\s+#.*$/, "")
        .replace(/^npx /, "")
        .trim(),
    )
    .filter((line) => line.startsWith("tautline "));
}

const helps = await Promise.all(
  Object.values(commands).map(async ({ load }) => (await load()).help!),
);
const examples = [
  ...new Set([
    ...helps.flatMap((help) => help.examples.map(({ line }) => line)),
    ...documents.flatMap(callsIn),
  ]),
];

/** The words of a line as a shell splits them. */
function wordsOf(line: string): string[] {
  return [...line.matchAll(/"([^"]*)"|(\S+)/g)].map(([, quoted, plain]) => quoted ?? plain!);
}

/** A place in which every example can run: two studies of the demo and one small notebook. */
function workspaceOfExamples(): TemporaryStudy {
  const study = temporaryStudy([]);
  for (const name of ["coach-nine", "winter-block", "published"])
    cpSync(`data/${name}`, study.path(`data/${name}`), { recursive: true });
  const notebook = JSON.parse(
    notebookOf(
      `import { figure, finding, openStudy, table } from "tautline";
const { participants } = openStudy("winter-block");
const n = participants.numRows();`,
      `finding({ id: "primary", title: "Golfers", value: n, unit: "golfers", count: { n, of: "golfers" }, method: "count" });`,
      `figure({ id: "golfers", data: [{ type: "bar", x: ["all"], y: [n] }], layout: { xaxis: { title: "Group" }, yaxis: { title: "Golfers (count)" } }, caption: "Golfers.", alt: "One bar." });`,
      `table({ id: "golfers", rows: [{ n }], columns: [{ name: "n", label: "Golfers" }], caption: "Golfers." });`,
    ),
  );
  const changes = [{ version: "1.0.0", date: "2026-02-01", what: "First version." }];
  notebook.metadata.tautline = { version: "1.0.0", study: "winter-block", changes };
  study.write("notebooks/winter-block/3-change.ipynb", JSON.stringify(notebook));
  study.write("codes.txt", "heron\nplover\n");
  // what a student hands in
  study.write(
    "handed-in/heron.txt",
    handedIn({
      code: "heron",
      minutes: 18,
      work: [{ exercise: "line-slope", answer: "0.4", tries: 0, wrong: [] }],
    }),
  );
  study.write("mail.txt", "All 26 golfers came.\n");
  // what a tablet hands out on which nothing was recorded yet
  study.write(
    "grip-trials-4f2a1c.csv",
    "participant,occasion,date,time,hand,position,handle_mm,device,trial,force,unit,status,note\n",
  );
  study.write("plan.json", JSON.stringify({ level: 0.9 }));
  study.write(".gitignore", "node_modules\nout\n.tautline\n");
  return study;
}

/** Commits everything; a second call makes HEAD~1 a revision. */
function commit(study: TemporaryStudy, message: string): void {
  const identity = ["-c", "user.name=A Researcher", "-c", "user.email=researcher@example.org"];
  for (const args of [
    ["init", "-q"],
    ["add", "."],
    ["commit", "-q", "--allow-empty", "-m", message],
  ]) {
    const { status, stderr } = spawnSync("git", [...identity, ...args], { cwd: study.root });
    if (status !== 0) throw new Error(String(stderr));
  }
}

/** Earlier commands make what later ones need, as they do for a person. */
const order =
  "rebuild verify history figures tables report manuscript archive new plan sheets".split(" ");

function rank(line: string): number {
  const [, name = ""] = wordsOf(line);
  if (/--archive/.test(line)) return order.indexOf("archive") + 0.5;
  if (/--manuscript/.test(line)) return order.indexOf("manuscript") + 0.5;
  return order.includes(name) ? order.indexOf(name) : order.length;
}

describe("the examples of help, README.md and DEVELOPERS.md", () => {
  let study: TemporaryStudy;
  const jupyter = process.env.JUPYTER_DATA_DIR;

  beforeAll(async () => {
    study = workspaceOfExamples();
    process.env.JUPYTER_DATA_DIR = study.path("jupyter");
    const { code, err } = await called(["rebuild", "--no-report"]);
    expect(code, err).toBe(0);
    commit(study, "Record the notebook");
    commit(study, "Change nothing");
  });
  afterAll(() => {
    if (jupyter === undefined) delete process.env.JUPYTER_DATA_DIR;
    else process.env.JUPYTER_DATA_DIR = jupyter;
    study.remove();
  });

  const called = (args: readonly string[]) => calledIn(study.root, args);

  const lines = examples
    .filter((line) => !line.startsWith("tautline watch"))
    .sort((a, b) => rank(a) - rank(b));

  it("are found in all three places", () => {
    expect(helps.every((help) => help.examples.length > 0)).toBe(true);
    for (const document of documents) expect(callsIn(document).length).toBeGreaterThan(1);
  });

  it.each(lines)("%s", async (line) => {
    const [, ...args] = wordsOf(line);
    if (/[<…]/.test(line)) throw new Error(`${line} cannot be run as it is written`);
    // a study is made once, by the examples of `new`
    const { code, out, err } = await called(args);
    expect(code, `${err}${out}`).toBe(0);
    expect(out).not.toBe("");
  });

  it("rebuilds a new study's notebook by study and name", async () => {
    expect((await called(["rebuild", "explore", "--no-report"])).err).toContain("give the path");
    const { code, err } = await called(["rebuild", "spring/explore", "--no-report"]);
    expect(code, err).toBe(0);
  });

  it.each(examples.filter((line) => line.startsWith("tautline watch")))("%s", async (line) => {
    const [free] = await freePorts(1);
    const [, ...args] = wordsOf(line).map((word, i, all) =>
      all[i - 1] === "--port" ? String(free) : word,
    );
    const running = startProgram(study, args);
    await running.says(/The report: http/);
    running.child.kill("SIGINT");
    await running.ended;
  });
});

describe("the notebooks and findings that the examples name", () => {
  it("are those of this repository", () => {
    const names = examples.flatMap((line) => /\b[a-z-]+\/\d+-[a-z][a-z-]*/.exec(line) ?? []);
    expect(names.length).toBeGreaterThan(3);
    for (const name of names) expect(() => readFileSync(`notebooks/${name}.ipynb`)).not.toThrow();
    const findings = examples.flatMap((line) => /^tautline history (\S+)/.exec(line)?.[1] ?? []);
    for (const id of findings)
      expect(readFileSync("notebooks/winter-block/3-change.ipynb", "utf8")).toContain(
        `"id": "${id}"`,
      );
  });
});
