import type * as TypeScript from "@tslab/typescript-for-tslab";

type Ts = typeof TypeScript;
type Node = TypeScript.Node;

/** A name inside a function or a block, and what its value may share content with. */
export interface LocalName {
  /** Names of the notebook, and `argument` for what a function is given. */
  readonly shares: Set<string>;
}

/** Stands among names for what a function was given by its caller. */
export const argument = "(argument)";

/** The local names that can be seen at one place of a cell, block by block. */
export class Scope {
  private readonly names = new Map<string, LocalName>();
  private readonly outer: Scope | undefined;

  constructor(outer?: Scope) {
    this.outer = outer;
  }

  declare(name: string, shares: Iterable<string> = []): void {
    const known = this.names.get(name);
    if (known) for (const other of shares) known.shares.add(other);
    else this.names.set(name, { shares: new Set(shares) });
  }

  /** The local of that name; undefined when the name is one of the notebook or of the language. */
  find(name: string): LocalName | undefined {
    return this.names.get(name) ?? this.outer?.find(name);
  }
}

/** The names that a pattern such as `{ a, b: [c] }` declares. */
export function patternNames(ts: Ts, name: TypeScript.BindingName): string[] {
  if (ts.isIdentifier(name)) return [name.text];
  return name.elements.flatMap((element) =>
    ts.isOmittedExpression(element) ? [] : patternNames(ts, element.name),
  );
}

/** Names that the statements of a block declare for the whole block, before any of it runs. */
export function blockNames(ts: Ts, statements: readonly Node[]): string[] {
  return statements.flatMap((statement) => {
    if (ts.isVariableStatement(statement)) {
      return statement.declarationList.declarations.flatMap(({ name }) => patternNames(ts, name));
    }
    const named =
      ts.isFunctionDeclaration(statement) ||
      ts.isClassDeclaration(statement) ||
      ts.isEnumDeclaration(statement) ||
      (ts.isModuleDeclaration(statement) && ts.isIdentifier(statement.name));
    return named && statement.name ? [statement.name.text] : [];
  });
}

/** Names declared with `var` anywhere inside, which the whole function or cell sees. */
export function hoistedNames(ts: Ts, within: Node): string[] {
  const found: string[] = [];
  const visit = (node: Node): void => {
    if (ts.isFunctionLike(node) || ts.isClassLike(node)) return;
    if (ts.isVariableDeclarationList(node) && (node.flags & ts.NodeFlags.BlockScoped) === 0) {
      for (const { name } of node.declarations) found.push(...patternNames(ts, name));
    }
    ts.forEachChild(node, visit);
  };
  ts.forEachChild(within, visit);
  return found;
}

/** The imported names of one import, each with the package. */
export function importedNames(ts: Ts, statement: TypeScript.ImportDeclaration): string[] {
  const { importClause: clause } = statement;
  if (!clause || clause.isTypeOnly) return [];
  const names = clause.name ? [clause.name.text] : [];
  const { namedBindings: bindings } = clause;
  if (bindings && ts.isNamespaceImport(bindings)) names.push(bindings.name.text);
  else if (bindings) {
    names.push(...bindings.elements.filter((e) => !e.isTypeOnly).map(({ name }) => name.text));
  }
  return names;
}

/** Whether a node says something about types and nothing about values. */
export function isTypeOnly(ts: Ts, node: Node): boolean {
  if (ts.isInterfaceDeclaration(node) || ts.isTypeAliasDeclaration(node)) return true;
  return ts.isTypeNode(node) && !ts.isExpressionWithTypeArguments(node);
}

/** Whether names that are declared in a node end with it. */
export function opensBlock(ts: Ts, node: Node): boolean {
  return (
    ts.isBlock(node) ||
    ts.isModuleBlock(node) ||
    ts.isForStatement(node) ||
    ts.isCatchClause(node) ||
    ts.isCaseBlock(node)
  );
}

/** The names that such a node declares for itself. */
export function namesOfBlock(ts: Ts, node: Node): string[] {
  const ofList = (list: Node | undefined) =>
    list && ts.isVariableDeclarationList(list) && (list.flags & ts.NodeFlags.BlockScoped) !== 0
      ? list.declarations.flatMap(({ name }) => patternNames(ts, name))
      : [];
  if (ts.isForStatement(node)) return ofList(node.initializer);
  if (ts.isCatchClause(node)) {
    return node.variableDeclaration ? patternNames(ts, node.variableDeclaration.name) : [];
  }
  const statements = ts.isCaseBlock(node)
    ? node.clauses.flatMap((clause) => [...clause.statements])
    : ts.isBlock(node) || ts.isModuleBlock(node)
      ? [...node.statements]
      : [];
  return statements.flatMap((statement) =>
    ts.isVariableStatement(statement)
      ? ofList(statement.declarationList)
      : blockNames(ts, [statement]),
  );
}
