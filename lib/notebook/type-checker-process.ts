import { existsSync } from "node:fs";
import { dirname, join } from "node:path";
import { spellOut } from "./shorthand.js";
import { type Converter, loadTslab } from "./tslab.js";
import type { CheckAnswer, CheckRequest } from "./type-checker.js";

/** The program of the type checker's process: one converter for each folder of installed packages. */
const { ts, converter } = loadTslab(false);
const converters = new Map<string, Converter>();

/**
 * Notebooks that resolve packages from the same place share a converter, which then reads the
 * declarations once. Cells that import files beside the notebook do not come here.
 */
function converterFor(notebooks: string): Converter {
  const folder = homeOfPackages(notebooks) ?? notebooks;
  const known = converters.get(folder);
  if (known) return known;
  process.chdir(folder); // tslab's converter takes the working folder for the notebook's
  ts.sys.getCurrentDirectory = () => folder;
  const made = converter.createConverter({ isJS: false, isBrowser: false });
  converters.set(folder, made);
  return made;
}

/** The nearest folder above the notebooks, or their own, that has node_modules. */
function homeOfPackages(from: string): string | undefined {
  if (existsSync(join(from, "node_modules"))) return from;
  const above = dirname(from);
  return above === from ? undefined : homeOfPackages(above);
}

function answer({ id, folder, previous, source }: CheckRequest): CheckAnswer {
  try {
    const converted = converterFor(folder).convert(previous, spellOut(source, ts).source);
    return converted.sideOutputs ? { id } : { id, converted };
  } catch {
    return { id }; // the kernel will tell what is wrong
  }
}

process.on("message", (request: CheckRequest) => process.send?.(answer(request)));
process.on("disconnect", () => process.exit());
