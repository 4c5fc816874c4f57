import { transform } from "esbuild";
import type { RecordedNotebook } from "./recorded.js";

/** A notebook as a JavaScript function body, or why it cannot run in a page. */
export type NotebookProgram =
  | { readonly slug: string; readonly body: string; readonly modules: readonly string[] }
  | { readonly slug: string; readonly problem: string };

const importing =
  /^import\s*(?:([\w$]+)\s*,?\s*)?(?:\{([^}]*)\}|\*\s*as\s+([\w$]+))?\s*(?:from\s*)?"([^"]+)";$/gm;

/** Packages that a page can run; others need files, a server, or a compiler. */
const pagePackages = new Set(["arquero", "simple-statistics"]);

/** Whether a cell imports from an entry of this library. */
export function isLibrary(name: string): boolean {
  return /^tautline(?:\/|$)/.test(name);
}

function bindings(
  first: string | undefined,
  named: string | undefined,
  all: string | undefined,
): string {
  if (all) return all;
  const parts = (named ?? "")
    .split(",")
    .map((part) => part.trim().replace(/\s+as\s+/, ": "))
    .filter(Boolean);
  if (first) parts.push(`default: ${first}`);
  return `{ ${parts.join(", ")} }`;
}

/** Import lines become look-ups: the cells stand inside a function. */
function withoutImports(code: string, modules: Set<string>): string {
  return code.replace(importing, (_, first, named, all, from: string) => {
    modules.add(from);
    // the library loads data frames when it is asked for one
    if (from === "tautline" && /\btoFrame\b/.test(named ?? "")) modules.add("danfojs-node");
    return `const ${bindings(first, named, all)} = __module(${JSON.stringify(from)});`;
  });
}

async function cellCode(source: string): Promise<string> {
  const { code } = await transform(source, {
    loader: "ts",
    format: "esm",
    target: "es2022",
    charset: "utf8",
    // an import that only a later cell uses must stay
    tsconfigRaw: { compilerOptions: { verbatimModuleSyntax: true } },
  });
  return code;
}

/**
 * The code cells one inside another, so that each sees what the earlier ones declared and may
 * declare it again, as in the kernel.
 */
export async function notebookProgram(notebook: RecordedNotebook): Promise<NotebookProgram> {
  const { slug } = notebook;
  const modules = new Set<string>();
  const cells: string[] = [];
  for (const cell of notebook.cells.filter(({ kind }) => kind === "code")) {
    try {
      const code = withoutImports(await cellCode(cell.source), modules);
      cells.push(`await __cell(${cell.number});\n${code}`);
    } catch {
      return { slug, problem: `cell ${cell.number} is not TypeScript that can be translated` };
    }
  }
  const foreign = [...modules].filter((name) => !isLibrary(name) && !pagePackages.has(name));
  if (foreign.length)
    return { slug, problem: `it uses ${foreign.join(", ")}, which needs more than a page` };
  return {
    slug,
    body: `${cells.join("\n{\n")}${"\n}".repeat(Math.max(0, cells.length - 1))}`,
    modules: [...modules],
  };
}
