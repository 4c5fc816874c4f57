import { build, type ImportKind, type Message } from "esbuild";

/** Packages that a page can run beside this library; others need files, a server, or a compiler. */
const pagePackages = new Set(["arquero", "simple-statistics"]);

/** Whether a cell imports from an entry of this library. */
export function isLibrary(name: string): boolean {
  return /^tautline(?:\/[a-z-]+)?$/.test(name);
}

/** Whether a page may hold this package. */
export function isForPages(name: string): boolean {
  return isLibrary(name) || pagePackages.has(name);
}

/** Ways to load a module that no list of imports shows, and how a reason names them. */
const hidden: Partial<Record<ImportKind, string>> = {
  "dynamic-import": "import()",
  "require-call": "require()",
  "require-resolve": "require.resolve()",
};

/** What the translator says of modules whose names are found only when the cell runs. */
const computed: Readonly<Record<string, string>> = {
  "unsupported-dynamic-import": "loads a module with import() under a name that it computes",
  "unsupported-require-call": "loads a module with require() under a name that it computes",
  "indirect-require": "hands require on",
};

/**
 * Why a page must not hold a cell: a clause for each module it would bring in that is not this
 * library or a package for pages, however it is written. The translator's own parser looks, so that
 * nothing hides in a comment, a string or an odd spelling.
 * @throws when the cell is not TypeScript
 */
export async function foreignImports(source: string): Promise<string[]> {
  const found: string[] = [];
  const { warnings } = await build({
    stdin: { contents: source, loader: "ts" },
    bundle: true,
    write: false,
    format: "esm",
    platform: "browser",
    target: "es2022",
    logLevel: "silent",
    logOverride: Object.fromEntries(Object.keys(computed).map((id) => [id, "warning" as const])),
    tsconfigRaw: { compilerOptions: { verbatimModuleSyntax: true } },
    plugins: [
      {
        name: "look",
        setup(bundler) {
          bundler.onResolve({ filter: /.*/ }, ({ kind, path, with: attributes }) => {
            if (kind === "entry-point") return undefined;
            const way = hidden[kind];
            if (way) found.push(`loads ${path} with ${way}`);
            else if (!isForPages(path)) found.push(`imports ${path}, which a page cannot hold`);
            else if (Object.keys(attributes).length > 0)
              found.push(`imports ${path} with attributes`);
            return { path, external: true };
          });
        },
      },
    ],
  });
  const named = ({ id }: Message) => computed[id] ?? [];
  return [...new Set([...found, ...warnings.flatMap(named)])];
}
