import { fileURLToPath } from "node:url";
import { defineConfig } from "vitest/config";

export default defineConfig({
  root: fileURLToPath(new URL("../..", import.meta.url)),
  test: { include: ["tests/long/**/*.test.ts"], testTimeout: 1_800_000, hookTimeout: 600_000 },
});
