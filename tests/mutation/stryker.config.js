/** `npm run mutate`: changes the code in small ways and runs the related tests on each change. */
export default {
  testRunner: "vitest",
  vitest: { configFile: "tests/mutation/vitest.config.ts" },
  plugins: ["@stryker-mutator/vitest-runner"],
  mutate: [
    "lib/notebook/compare.ts",
    "lib/notebook/compare-data.ts",
    "lib/notebook/compare-text.ts",
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
  timeoutMS: 5_000,
};
