import { spawnSync } from "node:child_process";
import { mkdirSync, readFileSync, writeFileSync } from "node:fs";
import { relatedTests } from "./related-tests.js";
import { sample } from "./sample.js";

/**
 * `npm run mutate`: changes each file of the sample, or each file named, in small ways and runs
 * the related tests on each change. File by file, so that what is done is kept when a run ends early.
 */
const files = process.argv.length > 2 ? process.argv.slice(2) : sample;
const out = "out/mutation";
const leastScore = 85;

/** Runs the tests on every change of one file; nothing where a test fails without any change. */
function mutate(file) {
  const report = `${out}/${file.replaceAll("/", "-")}.json`;
  const run = spawnSync(
    process.execPath,
    [
      "node_modules/@stryker-mutator/core/bin/stryker.js",
      "run",
      "tests/mutation/stryker.config.js",
      "--mutate",
      file,
    ],
    {
      stdio: "inherit",
      env: {
        ...process.env,
        MUTATION_TESTS: relatedTests(file).join(","),
        MUTATION_REPORT: report,
      },
    },
  );
  if (run.status !== 0) return undefined;
  const [{ mutants }] = Object.values(JSON.parse(readFileSync(report, "utf8")).files);
  return mutants;
}

const noticed = new Set(["Killed", "Timeout"]);
const counted = new Set([...noticed, "Survived", "NoCoverage"]);

function row(file, mutants) {
  const all = mutants.filter(({ status }) => counted.has(status));
  const seen = all.filter(({ status }) => noticed.has(status));
  const late = all.filter(({ status }) => status === "Timeout");
  return { file, changes: all.length, noticed: seen.length, byTimeout: late.length };
}

const score = ({ changes, noticed }) => (100 * noticed) / changes;

mkdirSync(out, { recursive: true });
const rows = [];
const untested = [];
for (const file of files) {
  const mutants = mutate(file);
  if (mutants === undefined) untested.push(file);
  else rows.push(row(file, mutants));
  writeFileSync(`${out}/scores.json`, JSON.stringify(rows, null, 2));
}
const total = rows.reduce(
  (sum, one) => ({ changes: sum.changes + one.changes, noticed: sum.noticed + one.noticed }),
  { changes: 0, noticed: 0 },
);
console.table(rows.map((one) => ({ ...one, percent: score(one).toFixed(1) })));
console.log(`${total.noticed} of ${total.changes} changes noticed: ${score(total).toFixed(1)} %`);
for (const file of untested) console.error(`${file}: a test fails before any change.`);
if (untested.length > 0 || score(total) < leastScore) process.exitCode = 1;
