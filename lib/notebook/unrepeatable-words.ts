import type { Unrepeatable } from "./cell-facts.js";

/** For each sort: what is the matter with it, and what to do instead. */
const words: Readonly<Record<Unrepeatable["what"], readonly [matter: string, instead: string]>> = {
  random: [
    "draws other numbers at each run",
    "draw from randomStream(seed) of tautline/stats, or give the function a seed",
  ],
  clock: ["tells another time at each run", "write the day down, or take it from the data"],
  timer: ["runs code at a moment that differs between runs", "await the work itself"],
  network: [
    "fetches what may be different tomorrow",
    "save the answer under data/ and read it there",
  ],
  environment: ["differs between machines", "write the value into the cell"],
  program: [
    "starts another program, which the record does not cover",
    "save its output under data/",
  ],
};

/** "line 2: Math.random draws other numbers at each run; draw from randomStream(seed) …" */
export function unrepeatableClause({ what, code, line }: Unrepeatable): string {
  const [matter, instead] = words[what];
  return `line ${line}: ${code} ${matter}; ${instead}`;
}
