#!/usr/bin/env node
import { existsSync } from "node:fs";

const program = new URL("../dist/cli/main.js", import.meta.url);
if (existsSync(program)) {
  const { main, terminal } = await import(program.href);
  // Exit handlers remove kernels, sockets, locks and half-written files.
  for (const [signal, code] of [
    ["SIGINT", 130],
    ["SIGTERM", 143],
    ["SIGHUP", 129],
  ]) {
    process.on(signal, () => process.exit(code));
  }
  process.exit(await main(process.argv.slice(2), terminal()));
} else {
  console.error("tautline: the library is not built yet. Run 'npm run build' first.");
  process.exitCode = 2;
}
