import { fileURLToPath } from "node:url";
import { defineConfig } from "vitest/config";
import { temporaryFolder } from "./temporary-folder.js";

process.env.TMPDIR = temporaryFolder();

/** Code without files, clock or state: one process loads it once for many test files. */
const pure = "tests/{num,stats,units,swing,analysis,show,learn,study}/**/*.test.ts";
const elsewhere = ["tests/long/**", "tests/bench/**"];

export default defineConfig({
  root: fileURLToPath(new URL("..", import.meta.url)),
  test: {
    globalSetup: "tests/temporary-folder.ts",
    env: { TMPDIR: process.env.TMPDIR },
    testTimeout: 120_000,
    hookTimeout: 240_000,
    // a machine may be busy: what is waited for comes or fails for good
    expect: { poll: { timeout: 60_000 } },
    // by itself vitest keeps one core free, which on two cores doubles the time
    maxWorkers: "100%",
    projects: [
      { extends: true, test: { name: "pure", include: [pure], isolate: false } },
      {
        extends: true,
        test: { name: "others", include: ["tests/**/*.test.ts"], exclude: [pure, ...elsewhere] },
      },
    ],
  },
});
