import { defineConfig } from "vitest/config";
import tests from "../vitest.config.js";

/** The tests that `run.js` found to be nearest to the file that is changed. */
const include = (process.env.MUTATION_TESTS ?? "tests/stats/*.test.ts").split(",");
const { projects: _, ...shared } = tests.test ?? {};

export default defineConfig({ ...tests, test: { ...shared, include } });
