/** Timing in this process: warm-up, repeats, medians. */

/** Runs a job until its time is known; `once` for jobs too long to repeat. */
export async function timed(job, { once = false, seconds = 1, atLeast = 7 } = {}) {
  let value;
  if (!once) value = await warmUp(job);
  const times = [];
  const start = performance.now();
  while (times.length < (once ? 1 : atLeast) || (!once && elapsed(start) < seconds)) {
    const from = performance.now();
    value = await job();
    times.push(elapsed(from));
  }
  return { median: median(times), runs: times.length, value };
}

/** Runs a job for a second or three hundred times, so that it is compiled before it is timed. */
async function warmUp(job) {
  let value = await job();
  const start = performance.now();
  for (let run = 1; run < 300 && elapsed(start) < 1; run++) value = await job();
  return value;
}

/**
 * Time of a job at each of its sizes, as time of the processor: on a busy machine a long job waits
 * for its turn more often than a short one, which would look like growth.
 */
export async function growthOf({ sizes, job }) {
  const times = [];
  for (const size of sizes) {
    const run = job(size);
    await warmUp(run);
    const used = [];
    const start = performance.now();
    while (used.length < 3 || elapsed(start) < 0.5) {
      const from = process.cpuUsage();
      await run();
      const { user, system } = process.cpuUsage(from);
      used.push((user + system) / 1e6);
    }
    times.push({ size, seconds: median(used) });
  }
  return times;
}

export function median(times) {
  const sorted = times.slice().sort((a, b) => a - b);
  return sorted[Math.floor(sorted.length / 2)];
}

function elapsed(from) {
  return (performance.now() - from) / 1000;
}
