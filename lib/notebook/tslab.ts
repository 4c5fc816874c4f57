import { createRequire, Module } from "node:module";
import type * as TypeScript from "@tslab/typescript-for-tslab";
import { withLightPrograms } from "./light-program.js";
import { slimTypeFiles } from "./type-files.js";

/** The parts of the tslab package that make up its kernel, and the compiler that it brings. */
export interface Tslab {
  /** The TypeScript compiler. */
  readonly ts: typeof TypeScript;
  /** Checks the types of cells and compiles them. */
  readonly converter: typeof import("tslab/dist/converter.js");
  /** Runs compiled cells and keeps the variables that they declare. */
  readonly executor: typeof import("tslab/dist/executor.js");
  /** Answers messages of the Jupyter protocol. */
  readonly jupyter: typeof import("tslab/dist/jupyter.js");
}

/** Runs the cells of one kernel. */
export type Executor = ReturnType<Tslab["executor"]["createExecutor"]>;
/** The converters of one kernel, for Node and for browsers. */
export type ConverterSet = Parameters<Tslab["executor"]["createExecutor"]>[1];
/** Turns the source of a cell into JavaScript and declarations. */
export type Converter = ConverterSet["node"];
/** A compiled cell: code, declarations for the cells after it, and diagnostics. */
export type Converted = ReturnType<Converter["convert"]>;

const require = createRequire(import.meta.url);
const inTslab = createRequire(require.resolve("tslab/dist/converter.js"));
const compilerFile = inTslab.resolve("@tslab/typescript-for-tslab");

/**
 * Loads tslab into this process.
 * @param interactive a person asks for completions and documentation; otherwise less is loaded, and
 *   the compiler only when it is first needed, since a kernel may get its cells compiled
 */
export function loadTslab(interactive: boolean): Tslab {
  const standIn = standInForCompiler(interactive);
  const parts = {
    converter: require("tslab/dist/converter.js"),
    executor: require("tslab/dist/executor.js"),
    jupyter: require("tslab/dist/jupyter.js"),
  };
  standIn.loadFromNowOn();
  return { ts: interactive ? standIn.load() : standIn.ts, ...parts };
}

/** The compiler of the kernels, for parts that only read the syntax of cells. */
export function kernelCompiler(): typeof TypeScript {
  return inTslab(compilerFile);
}

function compiler(interactive: boolean): typeof TypeScript {
  const ts: typeof TypeScript = inTslab(compilerFile);
  ts.sys.useCaseSensitiveFileNames = true; // as tslab itself sets it
  slimTypeFiles(ts, interactive);
  return ts;
}

/**
 * Takes the place of the compiler's module among the loaded ones and loads it at its first use.
 * While tslab itself loads, it touches `sys` without using it.
 */
function standInForCompiler(interactive: boolean) {
  let loaded: typeof TypeScript | undefined;
  let asleep = true;
  const load = () => {
    if (loaded) return loaded;
    delete inTslab.cache[compilerFile];
    loaded = withLightPrograms(compiler(interactive));
    inTslab.cache[compilerFile] = standIn;
    return loaded;
  };
  const ts = new Proxy({} as typeof TypeScript, {
    get(_, name) {
      if (name === "__esModule") return true; // so that tslab takes the stand-in itself
      if (name === "sys" && asleep) return {};
      return load()[name as keyof typeof TypeScript];
    },
  });
  const standIn = Object.assign(new Module(compilerFile), { exports: ts, loaded: true });
  inTslab.cache[compilerFile] = standIn as NodeJS.Module;
  return {
    ts,
    load,
    loadFromNowOn() {
      asleep = false;
    },
  };
}
