import { readFileSync } from "node:fs";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { kernelStatuses } from "../../lib/notebook/kernel-status.js";
import { hasServer, JupyterFolders, NotebookServer } from "../notebook/jupyter-peers.js";
import { type TemporaryStudy, temporaryStudy } from "../notebook/temporary-study.js";

const cells = 200;
const passes = 10;

/** Megabytes that a process holds. Needs /proc. */
function heldBy(pid: number): number {
  const [, kilobytes] = /^VmRSS:\s+(\d+) kB$/m.exec(readFileSync(`/proc/${pid}/status`, "utf8"))!;
  return Number(kilobytes) / 1024;
}

describe.skipIf(!hasServer)(
  "a day's editing in a front end (skipped: jupyter-notebook absent)",
  () => {
    let study: TemporaryStudy;
    let jupyter: JupyterFolders;
    let server: NotebookServer;
    beforeAll(async () => {
      study = temporaryStudy([]);
      jupyter = new JupyterFolders();
      await jupyter.register(study);
      server = await NotebookServer.start(jupyter, study.root);
    });
    afterAll(async () => {
      await server.stop();
      jupyter.remove();
      study.remove();
    });

    it("holds the memory of the kernel steady within 20 % over 2 000 runs of the cells of a long notebook", async () => {
      const session = await server.ask("POST", "/api/sessions", {
        path: "notebooks/long.ipynb",
        name: "long.ipynb",
        type: "notebook",
        kernel: { name: "tautline" },
      });
      const channels = await server.channels(session.kernel.id);
      const held: number[] = [];
      const times: number[] = [];
      for (let pass = 0; pass < passes; pass++) {
        for (let i = 0; i < cells; i++) {
          const before = i === 0 ? `${pass}` : `v${i - 1} + ${pass}`;
          const start = performance.now();
          const heard = await channels.run(`const v${i} = ${before};`, `cell-${i}`);
          times.push(performance.now() - start);
          const reply = heard.find(({ channel }) => channel === "shell");
          expect(reply?.content.status).toBe("ok");
        }
        const [status] = kernelStatuses(jupyter.env.JUPYTER_RUNTIME_DIR!);
        held.push(heldBy(status!.pid));
      }
      const median = [...times].sort((a, b) => a - b)[times.length / 2]!;
      console.log(
        `MB after each ${cells} runs: ${held.map(Math.round).join(", ")}; median of a run ${median.toFixed(0)} ms`,
      );
      const settled = held[2]!; // the compiler's caches are full
      expect(Math.max(...held.slice(3))).toBeLessThan(1.2 * settled);
      channels.close();
      await server.ask("DELETE", `/api/sessions/${session.id}`);
    }, 3_600_000);
  },
);
