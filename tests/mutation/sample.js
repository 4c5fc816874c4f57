import { readdirSync } from "node:fs";
import { join } from "node:path";

/**
 * The sample of `npm run mutate`, chosen by a rule and not by hand: sorted by path and from the
 * first, every 30th file of lib/stats and every 13th of lib/study/check; and every file of the
 * comparison of a re-run with the record.
 */
const parts = [
  { folder: "lib/stats", every: 30, named: /./ },
  { folder: "lib/study/check", every: 13, named: /./ },
  { folder: "lib/notebook", every: 1, named: /^compare[^/]*$/ },
];

/** Every TypeScript file under a folder, sorted by path. */
export function filesUnder(folder) {
  return readdirSync(folder, { withFileTypes: true })
    .flatMap((entry) => {
      const path = join(folder, entry.name);
      if (entry.isDirectory()) return filesUnder(path);
      return path.endsWith(".ts") ? [path] : [];
    })
    .sort();
}

export const sample = parts.flatMap(({ folder, every, named }) =>
  filesUnder(folder)
    .filter((path) => named.test(path.slice(folder.length + 1)))
    .filter((_, place) => place % every === 0),
);
