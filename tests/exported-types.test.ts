import { createRequire } from "node:module";
import { join, resolve } from "node:path";
import { fileURLToPath } from "node:url";
import type * as TypeScript from "@tslab/typescript-for-tslab";
import { describe, expect, it } from "vitest";

const dist = resolve(fileURLToPath(import.meta.url), "../../lib/dist");
const require = createRequire(import.meta.url);
// The compiler that the kernel brings has a programming interface; the one that builds has none.
const ts: typeof TypeScript = createRequire(require.resolve("tslab/dist/converter.js"))(
  "@tslab/typescript-for-tslab",
);

const entries = ["index", "entries/stats", "entries/units", "entries/learn", "entries/simulate"];

/** Types of the library that declarations of an entry name and the entry does not export. */
function unexported(entry: string): string[] {
  const file = join(dist, `${entry}.d.ts`);
  const program = ts.createProgram([file], {
    module: ts.ModuleKind.NodeNext,
    moduleResolution: ts.ModuleResolutionKind.NodeNext,
    target: ts.ScriptTarget.ES2022,
    skipLibCheck: true,
    types: [],
  });
  const checker = program.getTypeChecker();
  const meant = (symbol: TypeScript.Symbol) =>
    symbol.flags & ts.SymbolFlags.Alias ? checker.getAliasedSymbol(symbol) : symbol;
  const module = checker.getSymbolAtLocation(program.getSourceFile(file)!)!;
  const exported = new Set(checker.getExportsOfModule(module).map(meant));
  const missing = new Set<string>();
  const visit = (node: TypeScript.Node, from: TypeScript.Symbol): void => {
    if (ts.isTypeReferenceNode(node) || ts.isExpressionWithTypeArguments(node)) {
      const name = ts.isTypeReferenceNode(node) ? node.typeName : node.expression;
      const found = checker.getSymbolAtLocation(name);
      if (found) judge(meant(found), from);
    }
    if (ts.isImportTypeNode(node) && node.qualifier) {
      const found = checker.getSymbolAtLocation(node.qualifier);
      if (found) judge(meant(found), from);
    }
    ts.forEachChild(node, (child) => visit(child, from));
  };
  const judge = (symbol: TypeScript.Symbol, from: TypeScript.Symbol) => {
    const declared = symbol.declarations?.[0];
    if (!declared || ts.isTypeParameterDeclaration(declared)) return;
    const place = declared.getSourceFile().fileName;
    if (place.startsWith(dist) && !exported.has(symbol))
      missing.add(`${symbol.name} (${place.slice(dist.length + 1)}), named by ${from.name}`);
  };
  expect(exported.size).toBeGreaterThan(3);
  for (const symbol of exported)
    for (const declaration of symbol.declarations ?? []) visit(declaration, symbol);
  return [...missing].sort();
}

describe("types that public signatures name", () => {
  it.each(entries)("are exported by the entry itself: %s", (entry) => {
    expect(unexported(entry)).toEqual([]);
  });
});
