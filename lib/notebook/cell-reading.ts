import type * as TypeScript from "@tslab/typescript-for-tslab";
import { changedOperand, isAssignment } from "./assignment-targets.js";
import { type CellFacts, unknownCell } from "./cell-facts.js";
import { CellNotes, ownerOfThis } from "./cell-notes.js";
import {
  argument,
  blockNames,
  hoistedNames,
  isTypeOnly,
  namesOfBlock,
  opensBlock,
  patternNames,
  Scope,
} from "./cell-scopes.js";
import { changesContent, keepsContent, needsNoContent } from "./known-calls.js";
import { rootOf } from "./shared-content.js";

type Ts = typeof TypeScript;
type Node = TypeScript.Node;

/**
 * Reads from the syntax of one cell what it declares, uses, assigns and may change. Nothing is run.
 * Where the syntax does not say who changes what, the facts name what may be changed, so that a
 * dependency may be named too often and is not missed.
 * @param ts the compiler that the kernel uses
 */
export function readCell(source: string, ts: Ts): CellFacts {
  if (/^\s*(?:\/\/|\/?\*).*@(?:module|browser|jsx)\b/m.test(source)) {
    return unknownCell("it is a module of its own");
  }
  const file = ts.createSourceFile("cell.ts", source, ts.ScriptTarget.ES2022, true);
  const { parseDiagnostics } = file as unknown as { parseDiagnostics?: readonly unknown[] };
  if (parseDiagnostics && parseDiagnostics.length > 0) return unknownCell("it is not complete");
  return new CellReading(file, ts).facts();
}

/** One walk over the syntax of a cell. */
class CellReading {
  private readonly file: TypeScript.SourceFile;
  private readonly ts: Ts;
  private readonly notes: CellNotes;

  constructor(file: TypeScript.SourceFile, ts: Ts) {
    this.file = file;
    this.ts = ts;
    this.notes = new CellNotes(file, ts);
  }

  facts(): CellFacts {
    const { ts, file, notes } = this;
    for (const name of [...blockNames(ts, file.statements), ...hoistedNames(ts, file)]) {
      notes.declare(name);
    }
    for (const statement of file.statements) {
      if (ts.isImportDeclaration(statement)) notes.import(statement);
    }
    const top = new Scope();
    for (const statement of file.statements) this.read(statement, top);
    return notes.facts();
  }

  private read(node: Node, scope: Scope): void {
    if (this.readDeclaration(node, scope) || this.readExpression(node, scope)) return;
    this.ts.forEachChild(node, (child) => this.read(child, scope));
  }

  /** @returns whether the node was one of these, and is read with all its parts */
  private readDeclaration(node: Node, scope: Scope): boolean {
    const { ts } = this;
    if (isTypeOnly(ts, node)) this.notes.useType(node);
    else if (ts.isVariableDeclaration(node)) this.readVariable(node, scope);
    else if (ts.isFunctionLike(node)) this.readFunction(node, scope, undefined);
    else if (ts.isClassDeclaration(node) && node.name) this.readClass(node, scope);
    else if (ts.isForOfStatement(node) || ts.isForInStatement(node)) this.readLoop(node, scope);
    else if (opensBlock(ts, node)) this.readBlock(node, scope);
    else return ts.isImportDeclaration(node) || ts.isExportDeclaration(node);
    return true;
  }

  private readExpression(node: Node, scope: Scope): boolean {
    const { ts } = this;
    if (node.kind === ts.SyntaxKind.ThisKeyword && !ownerOfThis(ts, node))
      this.notes.doubt("it uses this outside a function");
    if (ts.isWithStatement(node)) this.notes.doubt("it uses with");
    const changed = changedOperand(ts, node);
    if (changed) this.notes.assignTo(changed, scope, new Set());
    if (ts.isTaggedTemplateExpression(node)) this.possibleChange(node.tag, [node.template], scope);
    if (ts.isPropertyAccessExpression(node)) this.notes.useUnrepeatable(node, scope);

    if (ts.isIdentifier(node)) this.notes.use(node, scope);
    else if (ts.isBinaryExpression(node) && isAssignment(ts, node))
      this.readAssignment(node, scope);
    else if (ts.isCallExpression(node) || ts.isNewExpression(node)) this.readCall(node, scope);
    else if (ts.isPropertyAccessExpression(node)) this.read(node.expression, scope);
    else if (ts.isShorthandPropertyAssignment(node)) this.notes.use(node.name, scope);
    else if (ts.isLabeledStatement(node)) this.read(node.statement, scope);
    else if (ts.isPropertyAssignment(node) || ts.isEnumMember(node)) {
      if (ts.isComputedPropertyName(node.name)) this.read(node.name, scope);
      if (node.initializer) this.read(node.initializer, scope);
    } else return ts.isBreakOrContinueStatement(node);
    return true;
  }

  private readVariable(node: TypeScript.VariableDeclaration, scope: Scope): void {
    const { ts } = this;
    const names = patternNames(ts, node.name);
    this.notes.ownedBy(names, scope, () => {
      if (node.type) this.notes.useType(node.type);
      if (!ts.isIdentifier(node.name)) this.read(node.name, scope);
      if (node.initializer) this.read(node.initializer, scope);
    });
    const shared = node.initializer
      ? this.notes.content.of(node.initializer, scope)
      : new Set<string>();
    const maker = node.initializer && rootOf(this.ts, node.initializer);
    if (names.length > 1 && maker !== undefined) for (const name of names) shared.add(name);
    for (const name of names) this.notes.bind(name, shared, scope, maker);
    const made = node.initializer;
    if (made && ts.isNewExpression(made) && ts.isIdentifier(made.expression))
      this.notes.followClass(names, made.expression.text, scope);
  }

  private readFunction(
    node: TypeScript.SignatureDeclaration,
    outer: Scope,
    given: ReadonlySet<string> | undefined,
  ): void {
    const { ts } = this;
    const body = (node as TypeScript.FunctionLikeDeclaration).body;
    const scope = new Scope(outer);
    if (node.name && ts.isComputedPropertyName(node.name)) this.read(node.name, outer);
    if (ts.isFunctionExpression(node) && node.name) scope.declare(node.name.text);
    for (const parameter of node.parameters) {
      for (const name of patternNames(ts, parameter.name)) scope.declare(name, given ?? [argument]);
    }
    if (body) for (const name of hoistedNames(ts, body)) scope.declare(name);
    const named = ts.isFunctionDeclaration(node) && node.name && !outer.find(node.name.text);
    const owners = named ? [node.name.text] : this.notes.owners;
    this.notes.gather(given ? undefined : owners, outer, () => {
      if ("asteriskToken" in node && node.asteriskToken) this.notes.generate();
      for (const parameter of node.parameters) {
        if (!ts.isIdentifier(parameter.name)) this.read(parameter.name, scope);
        if (parameter.type) this.notes.useType(parameter.type);
        if (parameter.initializer) this.read(parameter.initializer, scope);
      }
      if (node.type) this.notes.useType(node.type);
      if (body) this.read(body, scope);
    });
  }

  /** What a function that is put into a list or an object does when somebody calls it from there. */
  private keepHanded(holder: string | undefined, part: Node, scope: Scope): void {
    if (holder === undefined || scope.find(holder) || !this.notes.runsNow) return;
    if (!this.notes.declares(holder)) this.notes.doubt(`it puts a function into ${holder}`);
    this.notes.gather([holder], scope, () => {
      if (this.ts.isFunctionLike(part)) this.readFunction(part, scope, new Set());
    });
  }

  private readClass(node: TypeScript.ClassDeclaration, scope: Scope): void {
    this.notes.ownedBy(node.name ? [node.name.text] : [], scope, () => {
      for (const part of [...(node.heritageClauses ?? []), ...node.members]) this.read(part, scope);
    });
  }

  private readLoop(
    node: TypeScript.ForOfStatement | TypeScript.ForInStatement,
    outer: Scope,
  ): void {
    const { ts } = this;
    this.read(node.expression, outer);
    const scope = new Scope(outer);
    const shared = this.notes.content.of(node.expression, outer);
    if (ts.isVariableDeclarationList(node.initializer)) {
      const local = (node.initializer.flags & ts.NodeFlags.BlockScoped) !== 0;
      for (const { name } of node.initializer.declarations) {
        for (const each of patternNames(ts, name)) {
          if (local) scope.declare(each, shared);
          else this.notes.bind(each, shared, outer);
        }
      }
    } else this.notes.assignTo(node.initializer, outer, shared);
    this.read(node.statement, scope);
  }

  private readBlock(node: Node, outer: Scope): void {
    const scope = new Scope(outer);
    for (const name of namesOfBlock(this.ts, node)) scope.declare(name);
    this.ts.forEachChild(node, (child) => this.read(child, scope));
  }

  private readAssignment(node: TypeScript.BinaryExpression, scope: Scope): void {
    const { ts } = this;
    this.read(node.right, scope);
    if (ts.isFunctionLike(node.right) && !ts.isIdentifier(node.left))
      this.keepHanded(rootOf(ts, node.left), node.right, scope);
    this.notes.assignTo(node.left, scope, this.notes.content.of(node.right, scope));
    const whole = node.operatorToken.kind === ts.SyntaxKind.EqualsToken;
    if (!whole || !ts.isIdentifier(node.left)) this.read(node.left, scope);
  }

  private readCall(node: TypeScript.CallExpression | TypeScript.NewExpression, scope: Scope): void {
    const { ts } = this;
    const given = [...(node.arguments ?? [])];
    if (node.expression.kind === ts.SyntaxKind.ImportKeyword)
      this.notes.doubt("it imports as it runs");
    this.possibleChange(node.expression, given, scope);
    this.readCalled(node.expression, scope);
    const handed = new Set<string>();
    for (const part of [node.expression, ...given]) {
      if (!ts.isFunctionLike(part))
        for (const name of this.notes.content.of(part, scope)) handed.add(name);
    }
    for (const part of given) {
      if (ts.isArrowFunction(part) || ts.isFunctionExpression(part))
        this.readFunction(part, scope, handed);
      else this.read(part, scope);
    }
  }

  /** A function that is called where it stands runs at once. */
  private readCalled(node: Node, scope: Scope): void {
    const { ts } = this;
    let called = node;
    while (ts.isParenthesizedExpression(called)) called = called.expression;
    if (ts.isArrowFunction(called) || ts.isFunctionExpression(called)) {
      this.readFunction(called, scope, new Set());
    } else this.read(called, scope);
  }

  private possibleChange(called: Node, given: readonly Node[], scope: Scope): void {
    const { ts } = this;
    const root = rootOf(this.ts, called);
    const global = root !== undefined && !scope.find(root) && !this.notes.declares(root);
    const harmless = global && needsNoContent(called.getText(this.file));
    const method = ts.isPropertyAccessExpression(called) ? called.name.text : "";
    if (changesContent(method)) {
      this.notes.changeKept(called, scope);
      for (const part of given) if (ts.isFunctionLike(part)) this.keepHanded(root, part, scope);
    }
    if (keepsContent(method)) {
      this.notes.handOn(called, given, scope);
      return;
    }
    const parts: Node[] = harmless ? [] : [...given];
    if (!harmless && !ts.isIdentifier(called) && "expression" in called) {
      parts.push(called.expression as Node);
    }
    const by = root === undefined || scope.find(root) ? "" : root;
    this.notes.call(
      by,
      ts.isIdentifier(called),
      changesContent(method),
      this.notes.content.together(parts, scope),
    );
  }
}
