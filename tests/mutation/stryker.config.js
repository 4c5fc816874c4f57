/** `npm run mutate`: changes the code in small ways and runs the related tests on each change. */
export default {
  testRunner: "vitest",
  vitest: { configFile: "tests/mutation/vitest.config.ts" },
  plugins: ["@stryker-mutator/vitest-runner"],
  // A sample; `npm run mutate -- --mutate lib/stats/deming.ts` takes any other file.
  mutate: [
    "lib/notebook/compare.ts",
    "lib/notebook/compare-data.ts",
    "lib/notebook/compare-text.ts",
    "lib/study/check/calibration.ts",
    "lib/study/check/fates.ts",
    "lib/study/check/outlying-rule.ts",
    "lib/stats/arm-effect.ts",
    "lib/stats/change.ts",
    "lib/stats/signed-rank.ts",
  ],
  concurrency: 2,
  // Words of messages are held by their own tests; a mutated message says nothing about a number.
  mutator: { excludedMutations: ["StringLiteral"] },
  // Our compiler has no programming interface, and no path of tsconfig.json leaves the project.
  tsconfigFile: "none.json",
  ignorePatterns: ["/out", "/lib/dist", "/notebooks", "/.ci"],
  tempDirName: "out/mutation/sandbox",
  reporters: ["clear-text", "progress-append-only", "html", "json"],
  htmlReporter: { fileName: "out/mutation/mutation.html" },
  jsonReporter: { fileName: "out/mutation/mutation.json" },
  clearTextReporter: { allowColor: false, logTests: false, reportTests: false },
  thresholds: { high: 95, low: 90, break: 85 },
  // all tests run once, uncounted, before the first change
  dryRunTimeoutMinutes: 30,
  timeoutMS: 5_000,
};
