import type * as TypeScript from "@tslab/typescript-for-tslab";
import { present } from "../entry.js";

const installed = /[\\/](?:node_modules|dist)[\\/]/;
const declarations = /\.d\.[cm]?ts$/;
const docComment = /^[ \t]*\/\*\*[\s\S]*?\*\/[ \t]*\r?\n/gm;

/**
 * Makes the type checker of a kernel load less. Installed files do not change under a running
 * kernel and are not watched. Of the type packages in the project only Node's is global in a cell,
 * so that what a cell may say does not depend on the tools that happen to be installed. And where
 * nobody will ask for documentation, the comments of declaration files are left out: they are two
 * thirds of the text to parse when a kernel starts.
 */
export function slimTypeFiles(ts: typeof TypeScript, interactive: boolean): void {
  const { sys } = ts;
  const { watchFile, getDirectories, readFile } = sys;
  sys.watchFile = (path, callback, interval, options) =>
    installed.test(path)
      ? { close() {} }
      : present(watchFile).call(sys, path, callback, interval, options);
  sys.getDirectories = (path) =>
    /[\\/]@types[\\/]?$/.test(path) ? ["node"] : getDirectories.call(sys, path);
  if (interactive) return;
  sys.readFile = (path, encoding) => {
    const text = readFile.call(sys, path, encoding);
    if (text === undefined || !declarations.test(path) || !installed.test(path)) return text;
    return text.replace(docComment, "");
  };
}
