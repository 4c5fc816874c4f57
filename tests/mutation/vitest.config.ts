import { defineConfig } from "vitest/config";
import tests from "../vitest.config.js";

/** The tests of the code that is mutated: no kernel, no browser, no command. */
const include = [
  "tests/num/**/*.test.ts",
  "tests/stats/**/*.test.ts",
  "tests/study/**/*.test.ts",
  "tests/notebook/compare*.test.ts",
];
const { projects: _, ...shared } = tests.test ?? {};

export default defineConfig({ ...tests, test: { ...shared, include } });
