import { existsSync } from "node:fs";
import { dirname, join, resolve } from "node:path";
import { itemAt } from "../entry.js";
import { descriptorName, studyFolder } from "../study/files.js";
import { UsageError } from "./arguments.js";

/**
 * The folder of the study that a command names: a path from where the command was called, or a name
 * looked up as data/<name> there and in every folder above.
 * @throws UsageError when there is no such study
 */
export function namedStudy(words: readonly string[], cwd: string): string {
  if (words.length !== 1 || words[0] === "") throw new UsageError("name one study");
  const word = itemAt(words, 0);
  const found = candidates(word, cwd).find((folder) => existsSync(join(folder, descriptorName)));
  if (found) return found;
  try {
    return studyFolder(word);
  } catch (error) {
    throw new UsageError((error as Error).message);
  }
}

function candidates(word: string, cwd: string): string[] {
  const direct = resolve(cwd, word);
  if (/[\\/]|^\.+$/.test(word)) return [direct];
  const above = [resolve(cwd)];
  for (let at = itemAt(above, 0); dirname(at) !== at; at = dirname(at)) above.push(dirname(at));
  return [...above.map((folder) => join(folder, "data", word)), direct];
}
