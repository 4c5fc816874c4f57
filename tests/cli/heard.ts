import type { Io } from "../../lib/cli/io.js";
import { main } from "../../lib/cli/main.js";

/** What a command printed and how it ended. */
export interface Spoken {
  readonly code: number;
  readonly out: string;
  readonly err: string;
}

/** The two outputs of a command that is started in a folder, and what they have said so far. */
export function heard(cwd: string): { io: Io; out: () => string; err: () => string } {
  let [out, err] = ["", ""];
  const io = {
    out: (text: string) => {
      out += text;
    },
    err: (text: string) => {
      err += text;
    },
    cwd,
  };
  return { io, out: () => out, err: () => err };
}

/** Runs a command of the program in this process, as if it was called in a folder. */
export async function calledIn(cwd: string, args: readonly string[]): Promise<Spoken> {
  const { io, out, err } = heard(cwd);
  const code = await main([...args], io);
  return { code, out: out(), err: err() };
}
