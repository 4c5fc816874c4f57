import { fileURLToPath } from "node:url";
import { defineConfig } from "vitest/config";
import { temporaryFolder } from "./temporary-folder.js";

process.env.TMPDIR = temporaryFolder();

export default defineConfig({
  root: fileURLToPath(new URL("..", import.meta.url)),
  test: {
    include: ["tests/**/*.test.ts"],
    globalSetup: "tests/temporary-folder.ts",
    env: { TMPDIR: process.env.TMPDIR },
    exclude: ["tests/long/**", "tests/bench/**"],
    testTimeout: 120_000,
    hookTimeout: 240_000,
  },
});
