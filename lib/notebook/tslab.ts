import { createRequire } from "node:module";
import type * as TypeScript from "@tslab/typescript-for-tslab";
import { withLightPrograms } from "./light-program.js";
import { slimTypeFiles } from "./type-files.js";

/** The parts of the tslab package that make up its kernel, and the compiler that it brings. */
export interface Tslab {
  readonly ts: typeof TypeScript;
  readonly converter: typeof import("tslab/dist/converter.js");
  readonly executor: typeof import("tslab/dist/executor.js");
  readonly jupyter: typeof import("tslab/dist/jupyter.js");
}

export type Executor = ReturnType<Tslab["executor"]["createExecutor"]>;
export type ConverterSet = Parameters<Tslab["executor"]["createExecutor"]>[1];

const require = createRequire(import.meta.url);

/**
 * Loads tslab into this process, which becomes a kernel.
 * @param interactive a person asks this kernel for completions and documentation; a kernel that
 *   only runs cells loads less
 */
export function loadTslab(interactive: boolean): Tslab {
  const inTslab = createRequire(require.resolve("tslab/dist/converter.js"));
  const compiler = inTslab.resolve("@tslab/typescript-for-tslab");
  const ts: typeof TypeScript = inTslab(compiler);
  slimTypeFiles(ts, interactive);
  if (!interactive) inTslab.cache[compiler]!.exports = withLightPrograms(ts);
  return {
    ts,
    converter: require("tslab/dist/converter.js"),
    executor: require("tslab/dist/executor.js"),
    jupyter: require("tslab/dist/jupyter.js"),
  };
}
