import { fileURLToPath } from "node:url";
import { defineConfig } from "vitest/config";
import { temporaryFolder } from "../temporary-folder.js";

process.env.TMPDIR = temporaryFolder();

export default defineConfig({
  root: fileURLToPath(new URL("../..", import.meta.url)),
  test: {
    include: ["tests/long/**/*.test.ts"],
    globalSetup: "tests/temporary-folder.ts",
    env: { TMPDIR: process.env.TMPDIR },
    testTimeout: 1_800_000,
    hookTimeout: 600_000,
    // a machine may be busy: what is waited for comes or fails for good
    expect: { poll: { timeout: 60_000 } },
  },
});
