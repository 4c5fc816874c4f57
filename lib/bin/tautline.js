#!/usr/bin/env node
import { existsSync } from "node:fs";

const program = new URL("../dist/cli/main.js", import.meta.url);
if (existsSync(program)) {
  await import(program.href);
} else {
  console.error("tautline: the library is not built yet. Run 'npm run build' first.");
  process.exitCode = 2;
}
