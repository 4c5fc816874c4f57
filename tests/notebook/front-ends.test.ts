import { readFileSync } from "node:fs";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { compareNotebooks } from "../../lib/notebook/compare.js";
import { type CodeCell, parseNotebook } from "../../lib/notebook/nbformat.js";
import {
  hasNbclient,
  hasServer,
  JupyterFolders,
  NotebookServer,
  nbclientRun,
} from "./jupyter-peers.js";
import { type TemporaryStudy, tautline, temporaryStudy } from "./temporary-study.js";

const findings = "notebooks/states-two-findings.ipynb";
let study: TemporaryStudy;
let jupyter: JupyterFolders;

beforeAll(async () => {
  study = temporaryStudy(["states-two-findings"]);
  await tautline(study, "rebuild", "--no-report");
  study.write(
    "notebooks/throws.ipynb",
    readFileSync(new URL("files/throws.ipynb", import.meta.url), "utf8"),
  );
  jupyter = new JupyterFolders();
  await jupyter.register(study);
});
afterAll(() => {
  jupyter.remove();
  study.remove();
});

describe.skipIf(!hasNbclient)("nbclient through our kernel (skipped: nbclient absent)", () => {
  it("runs a notebook from its folder and gets the recorded results", () => {
    const run = nbclientRun(jupyter, study.path(findings), study.path("notebooks"));
    expect(run.stderr).toBe("");
    const comparison = compareNotebooks(
      parseNotebook(study.read(findings)),
      parseNotebook(run.stdout),
      { without: ["drawing"] },
    );
    expect(comparison.counts).toMatchObject({ same: 5, different: 0, missing: 0, new: 0 });
  });

  it("is told name, text and place of an error", () => {
    const run = nbclientRun(jupyter, study.path("notebooks/throws.ipynb"), study.path("notebooks"));
    expect(run.status).toBe(7);
    expect(run.stderr).toContain("RangeError: no third trial for 7");
    expect(run.stderr).toContain("line 3: throw new RangeError(");
    expect(run.stderr).not.toContain("node_modules");
  });
});

describe.skipIf(!hasServer)(
  "a notebook server with our kernel (skipped: jupyter-notebook absent)",
  () => {
    let server: NotebookServer;
    beforeAll(async () => {
      server = await NotebookServer.start(jupyter, study.root);
    });
    afterAll(() => server.stop());

    it("lists the kernel", async () => {
      const { kernelspecs } = await server.ask("GET", "/api/kernelspecs");
      expect(kernelspecs.tautline.spec.display_name).toBe("Tautline (TypeScript)");
    });

    it("opens a notebook, runs its cells over the websocket, and saves it with the same results", async () => {
      const path = `/api/contents/${findings}`;
      const model = await server.ask("GET", path);
      const session = await server.ask("POST", "/api/sessions", {
        path: findings,
        name: "states-two-findings.ipynb",
        type: "notebook",
        kernel: { name: "tautline" },
      });
      const channels = await server.channels(session.kernel.id);
      for (const cell of model.content.cells) {
        if (cell.cell_type !== "code") continue;
        const heard = await channels.run(cell.source, cell.id);
        expect(heard.find(({ channel }) => channel === "shell")!.content.status).toBe("ok");
        cell.outputs = heard.flatMap(({ header, content }) => asOutput(header.msg_type, content));
      }
      channels.close();
      await server.ask("PUT", path, { type: "notebook", content: model.content });
      await server.ask("DELETE", `/api/sessions/${session.id}`);

      const saved = parseNotebook(study.read(findings));
      expect(saved.cells.filter((cell) => (cell as CodeCell).outputs?.length > 0)).toHaveLength(4);
      const rerun = await tautline(study, "verify", "states-two-findings");
      expect(rerun.out).toContain("Everything agrees with the record.");
    });

    it("tells which outputs are stale, takes it back when they are not, and lists them", async () => {
      const session = await server.ask("POST", "/api/sessions", {
        path: "notebooks/untitled.ipynb",
        name: "untitled.ipynb",
        type: "notebook",
        kernel: { name: "tautline" },
      });
      const channels = await server.channels(session.kernel.id);
      const run = async (cell: string, code: string) => notes(await channels.run(code, cell));
      expect(await run("a", "const kgf = 41;")).toEqual([]);
      expect(await run("b", "const twice = kgf * 2;")).toEqual([]);
      expect(await run("c", "console.log(twice)")).toEqual([]);

      expect(await run("a", "const kgf = 43;")).toEqual([
        "Cells [2] and [3] were computed before this cell ran; run them again.",
      ]);
      const stale = "Computed before cell [4] changed; run cells [2] and [5] again.";
      expect(await run("c", "console.log(twice)")).toEqual([
        stale,
        "Cells [2] and [5] were computed before this cell ran; run them again.",
      ]);
      const earlier = process.env.JUPYTER_RUNTIME_DIR;
      process.env.JUPYTER_RUNTIME_DIR = jupyter.env.JUPYTER_RUNTIME_DIR;
      const { out } = await tautline(study, "kernel", "--status");
      if (earlier === undefined) delete process.env.JUPYTER_RUNTIME_DIR;
      else process.env.JUPYTER_RUNTIME_DIR = earlier;
      expect(out).toContain("3 cells ran, 2 stale.");
      expect(out).toContain(`  Cell [5]: ${stale}`);

      const asked = 'import { staleCells } from "tautline"; console.log(staleCells()[1].sentence)';
      const heard = await channels.run(asked, "d");
      expect(heard.find(({ header }) => header.msg_type === "stream")?.content.text).toBe(
        `${stale}\n`,
      );
      expect(await run("b", "const twice = kgf * 2;")).toContain(
        "Cell [5] was computed before this cell ran; run it again.",
      );
      const fresh = await run("c", "console.log(twice)");
      expect(fresh.length).toBeGreaterThan(0); // the lines under cells a and b are taken back
      expect(fresh.every((text) => text === "")).toBe(true);
      expect(await run("e", "1;\nconst drawn = Math.random();")).toEqual([
        "Not repeatable, line 2: Math.random draws other numbers at each run; draw from randomStream(seed) of tautline/stats, or give the function a seed.",
      ]);
      const reads =
        'import { readFileSync } from "node:fs"; const csv = readFileSync("../data/grip.csv", "utf8");';
      expect(await run("f", reads)).toEqual([]);
      study.write("data/other.csv", study.read("data/grip.csv"));
      study.write("data/grip.csv", `${study.read("data/grip.csv")}39\n`);
      const shown = await run("g", "console.log(csv.length)");
      expect(shown).toContain(
        "Computed before data/grip.csv changed; run cells [10] and [11] again.",
      );
      expect(await run("h", "console.log(1)")).toContain(
        "Cell [10]: computed before data/grip.csv changed; run cell [10] again.",
      );
      study.write("data/grip.csv", study.read("data/other.csv"));
      channels.close();
      await server.ask("DELETE", `/api/sessions/${session.id}`);
    });
  },
);

/** Lines about stale outputs among what a cell said. */
function notes(
  heard: readonly { header: { msg_type: string }; content: Record<string, unknown> }[],
) {
  return heard
    .filter(({ header }) => /display_data$/.test(header.msg_type))
    .map(({ content }) => (content.data as Record<string, string>)["text/plain"]);
}

/** What a front end stores of a message. */
function asOutput(type: string, content: Record<string, unknown>): object[] {
  if (type === "stream") return [{ output_type: type, ...content }];
  if (type !== "display_data") return [];
  return [{ output_type: type, data: content.data, metadata: content.metadata }];
}
