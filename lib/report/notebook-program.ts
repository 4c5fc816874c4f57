import { transform } from "esbuild";
import { foreignImports } from "./cell-imports.js";
import type { RecordedNotebook } from "./recorded.js";

/** A notebook as a JavaScript function body, or why it cannot run in a page. */
export type NotebookProgram =
  | { readonly slug: string; readonly body: string; readonly modules: readonly string[] }
  | { readonly slug: string; readonly problem: string };

const importing =
  /^import\s*(?:([\w$]+)\s*,?\s*)?(?:\{([^}]*)\}|\*\s*as\s+([\w$]+))?\s*(?:from\s*)?"([^"]+)";$/gm;

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
    return `const ${bindings(first, named, all)} = __module(${JSON.stringify(from)});`;
  });
}

/** A cell as the statements of a function body. */
async function cellCode(source: string, modules: Set<string>): Promise<string> {
  const { code } = await transform(source, {
    loader: "ts",
    format: "esm",
    target: "es2022",
    charset: "utf8",
    // an import that only a later cell uses must stay
    tsconfigRaw: { compilerOptions: { verbatimModuleSyntax: true } },
  });
  const body = withoutImports(code, modules);
  await transform(`async () => {\n${body}\n}`); // an export, say, cannot stand in a function
  return body;
}

/** Why a cell cannot run in a page, or nothing. */
async function obstacleIn(source: string): Promise<string | undefined> {
  // the library loads data frames when it is asked for one
  const framed = /\bimport\b[^;]*\btoFrame\b[^;]*["']tautline["']/.test(source);
  const found = await foreignImports(source);
  return framed ? "uses data frames, which do not run in a browser" : found[0];
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
      const obstacle = await obstacleIn(cell.source);
      if (obstacle) return { slug, problem: `cell ${cell.number} ${obstacle}` };
      cells.push(`await __cell(${cell.number});\n${await cellCode(cell.source, modules)}`);
    } catch {
      return { slug, problem: `cell ${cell.number} is not TypeScript that can be translated` };
    }
  }
  return {
    slug,
    body: `${cells.join("\n{\n")}${"\n}".repeat(Math.max(0, cells.length - 1))}`,
    modules: [...modules],
  };
}
