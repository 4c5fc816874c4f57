import { plainCode } from "../check/alike-codes.js";
import { plainHeading } from "./heading-words.js";
import type { RawTable } from "./raw-table.js";
import { isVisitWord } from "./visit-words.js";

/** How the names of files or sheets give the golfer. */
export interface GolferNames {
  /** Code of the golfer for each table. */
  readonly codes: readonly string[];
  /** Pattern of the paths, where one fits all of them. */
  readonly fileName?: string;
}

/**
 * The golfer's code in the names of files that are laid out alike: the part that differs from file
 * to file, that a participants file knows, or that is no word for a visit.
 */
export function golferNames(
  tables: readonly RawTable[],
  known: readonly string[],
): GolferNames | undefined {
  const names = tables.map(({ path, sheet }) => sheet ?? path.replace(/\.[^.]*$/, ""));
  const parts = names.map((name) => name.split(/([_/\s.-]+)/));
  const [first] = parts;
  if (!first || parts.some((one) => one.length !== first.length)) return undefined;
  const places = first.map((_, k) => k).filter((k) => k % 2 === 0);
  const plain = new Set(known.map(plainCode));
  const scored = places
    .map((k) => {
      const texts = parts.map((one) => one[k] ?? "");
      const different = new Set(texts).size;
      const golfers = texts.filter((text) => plain.has(plainCode(text))).length;
      const visits = texts.filter((text) => isVisitWord(plainHeading(text))).length;
      return { k, texts, different, golfers, visits };
    })
    .filter(({ different, visits, texts }) => different > 1 && visits < texts.length)
    .sort((a, b) => b.golfers - a.golfers || b.different - a.different);
  const best = scored[0];
  if (!best) return undefined;
  const rival = scored[1];
  if (best.golfers === 0 && rival && rival.different === best.different) return undefined;
  const others = places.filter((k) => k !== best.k);
  const fixed = others.every((k) => new Set(parts.map((one) => one[k])).size === 1);
  const marks = first.every((mark, k) => k % 2 === 0 || parts.every((one) => one[k] === mark));
  const paths = tables.every(({ sheet }) => sheet === undefined);
  const [path = ""] = tables.map((table) => table.path);
  const ending = /\.[^.]*$/.exec(path)?.[0] ?? "";
  const fits = fixed && marks && paths && tables.every((table) => table.path.endsWith(ending));
  return {
    codes: best.texts,
    ...(fits
      ? {
          fileName: `${first.map((part, k) => (k === best.k ? "{participant}" : part)).join("")}${ending}`,
        }
      : {}),
  };
}
