import { readdirSync } from "node:fs";
import { NotebookFileError, parseNotebook } from "../../lib/notebook/nbformat.js";
import { randomStream } from "../../lib/num/random.js";
import { processesIn, socketFolders, startProgram, until } from "./bystanders.js";
import type { TemporaryStudy } from "./temporary-study.js";

/** What random kills left behind; every list must be empty. */
export interface KillReport {
  readonly kills: number;
  /** Notebooks that are neither the old file nor a whole new one. */
  readonly damaged: string[];
  readonly orphans: number[];
  readonly sockets: string[];
  readonly temporaries: string[];
}

/**
 * Rebuilds everything over and over, and each time kills a kernel, all kernels or the program
 * itself with SIGKILL at a random moment; then lets one rebuild run to its end.
 */
export async function randomKills(
  study: TemporaryStudy,
  { kills, seed }: { kills: number; seed: number },
): Promise<KillReport> {
  const random = randomStream(seed, "kills");
  const damaged: string[] = [];
  const pids: number[] = [];
  const command = ["rebuild", "--all", "--no-report", "--quiet"];
  // kills fall anywhere in the time that a whole run takes on this machine
  const from = performance.now();
  await startProgram(study, command).ended;
  const whole = performance.now() - from;
  for (let i = 0; i < kills; i++) {
    const running = startProgram(study, command);
    pids.push(running.child.pid!);
    await new Promise((resolve) => setTimeout(resolve, random.uniform() * whole));
    if (random.below(2) === 0) running.child.kill("SIGKILL");
    else killOne(processesIn(study), random.below(1000));
    await running.ended;
    damaged.push(...damagedIn(study).map((name) => `${name} at kill ${i + 1}`));
  }
  await until(() => processesIn(study).length === 0, 20_000).catch(() => {});
  const orphans = processesIn(study);
  const last = startProgram(study, command);
  const { code } = await last.ended;
  if (code !== 0) damaged.push(`the last rebuild ended with ${code}: ${last.err()}`);
  return {
    kills,
    damaged,
    orphans,
    sockets: pids.flatMap(socketFolders),
    temporaries: study.files().filter((path) => /\.tmp$|\.tautline\/lock/.test(path)),
  };
}

function killOne(pids: readonly number[], choice: number): void {
  const pid = pids[choice % Math.max(1, pids.length)];
  if (pid === undefined) return;
  try {
    process.kill(pid, "SIGKILL");
  } catch {
    // it had ended by itself
  }
}

function damagedIn(study: TemporaryStudy): string[] {
  return readdirSync(study.path("notebooks"))
    .filter((name) => name.endsWith(".ipynb"))
    .filter((name) => {
      try {
        parseNotebook(study.read(`notebooks/${name}`));
        return false;
      } catch (error) {
        if (error instanceof NotebookFileError) return true;
        throw error;
      }
    });
}
