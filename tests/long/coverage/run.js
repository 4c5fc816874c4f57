/**
 * Coverage of every interval and type I error of every test:
 *   node tests/long/coverage/run.js [--scale 0.05] [--only fitVisits] [--planned] [--out file.csv] [--threads 2]
 * With scale 1 (the default) each row has 2 000 studies, or 1 000 or 500 where a fit is dear. The
 * numbers depend on the seed alone, not on the machine or the number of threads. Progress and the
 * time of the dearest methods go to the error stream.
 */
import { writeFileSync } from "node:fs";
import { availableParallelism } from "node:os";
import { parseArgs } from "node:util";
import { coverageCsv, coverageRows } from "./table.js";

const { values } = parseArgs({
  options: {
    scale: { type: "string", default: "1" },
    threads: { type: "string", default: String(availableParallelism()) },
    only: { type: "string" },
    planned: { type: "boolean" },
    out: { type: "string" },
  },
});
const from = performance.now();
const { rows, seconds } = await coverageRows({
  scale: Number(values.scale),
  threads: Number(values.threads),
  only: values.only,
  planned: values.planned,
  progress: (text) => process.stderr.write(`${text}\n`),
});
const csv = coverageCsv(rows);
if (values.out) writeFileSync(values.out, csv);
else process.stdout.write(csv);
const dear = [...seconds].sort((a, b) => b[1] - a[1]).slice(0, 12);
for (const [name, time] of dear)
  process.stderr.write(`${time.toFixed(1).padStart(8)} s  ${name}\n`);
const total = [...seconds.values()].reduce((sum, time) => sum + time, 0);
const wall = (performance.now() - from) / 1000;
process.stderr.write(
  `${rows.length} rows, ${total.toFixed(0)} s of work in ${wall.toFixed(0)} s\n`,
);
