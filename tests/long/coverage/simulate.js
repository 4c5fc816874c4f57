import { InputError, randomStream } from "tautline/stats";
import { methods } from "./methods.js";

export const sizes = [9, 12, 24, 60];

/**
 * Replicates of a row when the whole table is asked for: ± 0.49 % (one Monte-Carlo SE) at a share of
 * 95 %, a quarter of the 2 % by which a planned analysis may miss its promise. Twice as many would
 * take the table past 40 minutes on two cores.
 */
export const REPLICATES = 2000;

/** One row of the table. */
export function simulate({ method, n, condition, replicates, seed }) {
  const { name, what, kind, planned = false, run } = methods[method];
  const stream = randomStream(seed, `${name}, ${what}, ${n}, ${condition}`);
  let hits = 0;
  let refused = 0;
  for (let replicate = 0; replicate < replicates; replicate++) {
    try {
      const answer = run(stream, n, condition);
      if (answer === undefined) refused++;
      else if (answer) hits++;
    } catch (error) {
      if (!(error instanceof InputError)) throw error;
      refused++;
    }
  }
  const used = replicates - refused;
  const share = used === 0 ? null : hits / used;
  return {
    ...{ function: name, what, kind, n, condition },
    nominal: kind === "coverage" ? 0.95 : 0.05,
    share,
    mcError: used === 0 ? null : Math.sqrt(Math.max(share * (1 - share), 1 / used) / used),
    ...{ replicates: used, refused, planned },
  };
}

/** Every row that the table has, in its order. */
export function tasksOf({ scale, seed, only, planned }) {
  return methods.flatMap((one, method) => {
    if (planned && !one.planned) return [];
    if (only && !`${one.name} ${one.what}`.includes(only)) return [];
    const replicates = Math.max(20, Math.round(REPLICATES * (one.share ?? 1) * scale));
    return sizes.flatMap((n) =>
      one.on.map((condition) => ({ method, n, condition, replicates, seed })),
    );
  });
}
