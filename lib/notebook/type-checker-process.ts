import { spellOut } from "./shorthand.js";
import { type Converter, loadTslab } from "./tslab.js";
import type { CheckAnswer, CheckRequest } from "./type-checker.js";

/** The program of the type checker's process: one converter for each folder of notebooks. */
const { ts, converter } = loadTslab(false);
const converters = new Map<string, Converter>();

/** tslab's converter takes the working folder for the notebook's. */
function converterIn(folder: string): Converter {
  const known = converters.get(folder);
  if (known) return known;
  process.chdir(folder);
  ts.sys.getCurrentDirectory = () => folder;
  const made = converter.createConverter({ isJS: false, isBrowser: false });
  converters.set(folder, made);
  return made;
}

function answer({ id, folder, previous, source }: CheckRequest): CheckAnswer {
  try {
    const converted = converterIn(folder).convert(previous, spellOut(source, ts).source);
    return converted.sideOutputs ? { id } : { id, converted };
  } catch {
    return { id }; // the kernel will tell what is wrong
  }
}

process.on("message", (request: CheckRequest) => process.send?.(answer(request)));
process.on("disconnect", () => process.exit());
