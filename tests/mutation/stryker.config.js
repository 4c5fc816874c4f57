/** Settings of one run of `run.js`: one file, and the tests that are nearest to it. */
export default {
  testRunner: "vitest",
  // which tests run is decided in related-tests.js, once, and not anew for each change
  vitest: { configFile: "tests/mutation/vitest.config.ts", related: false },
  plugins: ["@stryker-mutator/vitest-runner"],
  coverageAnalysis: "perTest",
  concurrency: 1,
  // Words of messages are held by their own tests; a mutated message says nothing about a number.
  mutator: { excludedMutations: ["StringLiteral"] },
  // Our compiler has no programming interface, and no path of tsconfig.json leaves the project.
  tsconfigFile: "none.json",
  ignorePatterns: ["/out", "/lib/dist", "/notebooks", "/.ci"],
  tempDirName: "out/mutation/sandbox",
  reporters: ["clear-text", "json"],
  jsonReporter: { fileName: process.env.MUTATION_REPORT ?? "out/mutation/mutation.json" },
  clearTextReporter: { allowColor: false, logTests: false, reportTests: false },
  // all tests run once, uncounted, before the first change
  dryRunTimeoutMinutes: 30,
  // On a busy machine a slow test must not count as a change noticed. A change that makes a loop
  // endless is stopped by the count of its turns, long before this.
  timeoutMS: 60_000,
  timeoutFactor: 5,
};
