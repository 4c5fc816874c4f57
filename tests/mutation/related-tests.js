import { existsSync, readFileSync } from "node:fs";
import { dirname, join } from "node:path";
import { filesUnder } from "./sample.js";

/** Tests of code without a kernel, a browser or a command: the folders of what is mutated. */
const places = /^tests\/((num|stats|study)\/|notebook\/compare).*\.test\.ts$/;

/** An entry imports everything, so a path through it says nothing. */
const entry = /^lib\/(index|browser|entries\/.*)\.ts$/;

/** The mutation tool runs tests in threads, which share one working folder. */
const runsInThread = (path) => !readFileSync(path, "utf8").includes("process.chdir");

/** Files that a file imports by a relative path. */
function importsOf(path) {
  const found = readFileSync(path, "utf8").matchAll(/\bfrom "(\.[^"]*)\.js"/g);
  return [...found].map(([, to]) => `${join(dirname(path), to)}.ts`);
}

/**
 * The tests nearest to a file: its own, where `tests/` has a file of the same path; else those that
 * reach it by the fewest imports, or by one more, and of these those in the folder of tests that
 * mirrors the file's, where there are any. Other tests pass through the file on their way to
 * something else, and cost each change time.
 */
export function relatedTests(file) {
  const mirrored = file.replace(/^lib/, "tests").replace(/\.ts$/, ".test.ts");
  if (places.test(mirrored) && existsSync(mirrored) && runsInThread(mirrored)) return [mirrored];
  const all = [...filesUnder("lib"), ...filesUnder("tests")].filter(
    (path) => !(path.includes("/dist/") || entry.test(path)),
  );
  const imports = new Map(all.map((path) => [path, importsOf(path)]));
  const oneFurther = (from) => [
    ...from,
    ...all.filter(
      (path) => !from.includes(path) && imports.get(path).some((to) => from.includes(to)),
    ),
  ];
  const testsOf = (files) => files.filter((path) => places.test(path) && runsInThread(path)).sort();
  let reached = [file];
  while (testsOf(reached).length === 0) {
    const wider = oneFurther(reached);
    if (wider.length === reached.length) throw new Error(`No test reaches ${file}`);
    reached = wider;
  }
  const near = testsOf(oneFurther(reached));
  const mirror = dirname(file).replace(/^lib/, "tests");
  const own = near.filter((path) => path.startsWith(mirror));
  return own.length > 0 ? own : near;
}
