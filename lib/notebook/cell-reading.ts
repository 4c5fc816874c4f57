import type * as TypeScript from "@tslab/typescript-for-tslab";
import { changedOperand, isAssignment, partsOfTarget } from "./assignment-targets.js";
import { type CellFacts, type Unrepeatable, unknownCell } from "./cell-facts.js";
import {
  argument,
  blockNames,
  hoistedNames,
  importedNames,
  isTypeOnly,
  namesOfBlock,
  opensBlock,
  patternNames,
  Scope,
} from "./cell-scopes.js";
import { GatheredEffects } from "./gathered-effects.js";
import {
  changesContent,
  keepsContent,
  needsNoContent,
  standsForAnything,
  unrepeatableAt,
} from "./known-calls.js";
import { rootOf, SharedContent } from "./shared-content.js";

type Ts = typeof TypeScript;
type Node = TypeScript.Node;
type Mutable<T> = { -readonly [K in keyof T]: T[K] };

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

class CellReading {
  private readonly declares = new Set<string>();
  private readonly types = new Set<string>();
  private readonly imports: Record<string, string> = Object.create(null);
  private readonly shares: Record<string, Set<string>> = Object.create(null);
  private readonly madeBy: Record<string, string> = Object.create(null);
  private readonly laterOf: Record<string, GatheredEffects> = Object.create(null);
  private readonly unrepeatable: Unrepeatable[] = [];
  private readonly now = new GatheredEffects();
  private into = this.now;
  private unsure: string | undefined;
  private readonly file: TypeScript.SourceFile;
  private readonly ts: Ts;
  private readonly content: SharedContent;
  /** The names of the statement that is read, to which its functions belong. */
  private owners: readonly string[] = [];
  /** Of the function that is kept with a name: the names around it, and that name. */
  private around: { readonly scope: Scope; readonly owner: string } | undefined;

  constructor(file: TypeScript.SourceFile, ts: Ts) {
    this.file = file;
    this.ts = ts;
    this.content = new SharedContent(file, ts);
  }

  facts(): CellFacts {
    const { ts, file } = this;
    for (const name of [...blockNames(ts, file.statements), ...hoistedNames(ts, file)]) {
      this.declares.add(name);
    }
    for (const statement of file.statements) {
      if (!ts.isImportDeclaration(statement)) continue;
      const from = ts.isStringLiteral(statement.moduleSpecifier)
        ? statement.moduleSpecifier.text
        : "";
      for (const name of importedNames(ts, statement)) {
        this.declares.add(name);
        this.imports[name] = from;
      }
    }
    const top = new Scope();
    for (const statement of file.statements) this.read(statement, top);
    const listed = Object.entries(this.shares).map(([name, set]) => [name, [...set]] as const);
    const later = Object.entries(this.laterOf).map(
      ([name, found]) => [name, found.later()] as const,
    );
    const facts: Mutable<CellFacts> = {
      ...this.now.effects(),
      declares: [...this.declares],
      types: [...this.types],
      imports: { ...this.imports },
      shares: Object.fromEntries(listed),
      madeBy: { ...this.madeBy },
      later: Object.fromEntries(later),
      unrepeatable: this.unrepeatable,
    };
    if (this.unsure !== undefined) facts.unsure = this.unsure;
    return facts;
  }

  private read(node: Node, scope: Scope): void {
    if (this.readDeclaration(node, scope) || this.readExpression(node, scope)) return;
    this.ts.forEachChild(node, (child) => this.read(child, scope));
  }

  /** @returns whether the node was one of these, and is read with all its parts */
  private readDeclaration(node: Node, scope: Scope): boolean {
    const { ts } = this;
    if (isTypeOnly(ts, node)) this.readType(node);
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
      this.unsure ??= "it uses this outside a function";
    if (ts.isWithStatement(node)) this.unsure ??= "it uses with";
    const changed = changedOperand(ts, node);
    if (changed) this.target(changed, scope, new Set());
    if (ts.isTaggedTemplateExpression(node)) this.possibleChange(node.tag, [node.template], scope);
    if (ts.isPropertyAccessExpression(node)) this.noteUnrepeatable(node, scope);

    if (ts.isIdentifier(node)) this.use(node, scope);
    else if (ts.isBinaryExpression(node) && isAssignment(ts, node))
      this.readAssignment(node, scope);
    else if (ts.isCallExpression(node) || ts.isNewExpression(node)) this.readCall(node, scope);
    else if (ts.isPropertyAccessExpression(node)) this.read(node.expression, scope);
    else if (ts.isShorthandPropertyAssignment(node)) this.use(node.name, scope);
    else if (ts.isLabeledStatement(node)) this.read(node.statement, scope);
    else if (ts.isPropertyAssignment(node) || ts.isEnumMember(node)) {
      if (ts.isComputedPropertyName(node.name)) this.read(node.name, scope);
      if (node.initializer) this.read(node.initializer, scope);
    } else return ts.isBreakOrContinueStatement(node);
    return true;
  }

  private use(node: TypeScript.Identifier, scope: Scope): void {
    if (scope.find(node.text) || node.text === "undefined") return;
    if (standsForAnything(node.text)) this.unsure ??= `it uses ${node.text}`;
    this.noteUnrepeatable(node, scope);
    this.into.uses.add(node.text);
  }

  private noteUnrepeatable(node: Node, scope: Scope): void {
    const root = rootOf(this.ts, node);
    if (root === undefined || scope.find(root)) return;
    const from = this.imports[root];
    if (from === undefined && this.declares.has(root)) return;
    const found = unrepeatableAt(node.getText(this.file), from, node.parent.getText(this.file));
    if (!found) return;
    const { line } = this.file.getLineAndCharacterOfPosition(node.getStart(this.file));
    const known = this.unrepeatable.some(
      ({ code, line: at }) => code === found.code && at === line + 1,
    );
    if (!known) this.unrepeatable.push({ ...found, line: line + 1 });
  }

  private readType(node: Node): void {
    const { ts } = this;
    const visit = (part: Node): void => {
      if (ts.isIdentifier(part) && !ts.isPropertySignature(part.parent)) this.types.add(part.text);
      ts.forEachChild(part, visit);
    };
    ts.forEachChild(node, visit);
    if (ts.isIdentifier(node)) this.types.add(node.text);
  }

  private readVariable(node: TypeScript.VariableDeclaration, scope: Scope): void {
    const { ts } = this;
    const names = patternNames(ts, node.name);
    const before = this.owners;
    if (this.into === this.now && names.some((name) => !scope.find(name))) this.owners = names;
    if (node.type) this.readType(node.type);
    if (!ts.isIdentifier(node.name)) this.read(node.name, scope);
    if (node.initializer) this.read(node.initializer, scope);
    this.owners = before;
    const shared = node.initializer ? this.content.of(node.initializer, scope) : new Set<string>();
    const maker = node.initializer && rootOf(this.ts, node.initializer);
    if (names.length > 1 && maker !== undefined) for (const name of names) shared.add(name);
    for (const name of names) this.bind(name, shared, scope, maker);
    if (node.initializer) this.followClass(names, node.initializer, scope);
  }

  /** An object does what its class says. */
  private followClass(names: readonly string[], from: Node, scope: Scope): void {
    const { ts } = this;
    if (!ts.isNewExpression(from) || !ts.isIdentifier(from.expression)) return;
    const origin = from.expression;
    if (scope.find(origin.text)) return;
    if (names.some((name) => scope.find(name) || name === origin.text)) return;
    this.gathering(names, scope, () => {
      this.into.uses.add(origin.text);
      this.into.changesArguments = true; // as far as is known here
    });
  }

  /** Notes that the value of a name may share content with other names. */
  private bind(name: string, shared: ReadonlySet<string>, scope: Scope, maker?: string): void {
    const local = scope.find(name);
    if (local) for (const other of shared) local.shares.add(other);
    if (local) return;
    this.shares[name] ??= new Set();
    for (const other of shared) if (other !== name) this.shares[name].add(other);
    if (maker !== undefined) this.madeBy[name] = maker;
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
    const owners = named && this.into === this.now ? [node.name.text] : this.owners;
    this.gathering(given ? undefined : owners, outer, () => {
      if ("asteriskToken" in node && node.asteriskToken) this.into.generates = true;
      for (const parameter of node.parameters) {
        if (!ts.isIdentifier(parameter.name)) this.read(parameter.name, scope);
        if (parameter.type) this.readType(parameter.type);
        if (parameter.initializer) this.read(parameter.initializer, scope);
      }
      if (node.type) this.readType(node.type);
      if (body) this.read(body, scope);
    });
  }

  /** What a function does happens when it is called: it is kept with the names that hold it. */
  private gathering(owners: readonly string[] | undefined, outer: Scope, read: () => void): void {
    const owner = this.into === this.now ? owners?.[0] : undefined;
    if (owner === undefined) {
      read();
      return;
    }
    const gathered = this.laterOf[owner] ?? new GatheredEffects();
    for (const name of owners ?? []) this.laterOf[name] = gathered;
    const before = this.into;
    this.into = gathered;
    this.around = { scope: outer, owner };
    read();
    this.into = before;
    this.around = undefined;
  }

  /** A function that changes what it keeps from call to call changes the name that holds it. */
  private noteKept(changed: Node, scope: Scope): void {
    if (!this.around) return;
    const { ts } = this;
    const root = rootOf(ts, changed);
    const local = root === undefined ? undefined : scope.find(root);
    const kept = local !== undefined && this.around.scope.find(root ?? "") === local;
    if (kept || this.isOwnOfGetter(changed)) this.into.mutates.add(this.around.owner);
  }

  /** `this.count` inside a getter, which runs where its object is only looked at. */
  private isOwnOfGetter(changed: Node): boolean {
    const { ts } = this;
    let at = changed;
    while (ts.isPropertyAccessExpression(at) || ts.isElementAccessExpression(at))
      at = at.expression;
    return at.kind === ts.SyntaxKind.ThisKeyword && ts.isGetAccessor(ownerOfThis(ts, at) ?? at);
  }

  /** What a function that is put into a list or an object does when somebody calls it from there. */
  private keepHanded(holder: string | undefined, part: Node, scope: Scope): void {
    if (holder === undefined || scope.find(holder) || this.into !== this.now) return;
    if (!this.declares.has(holder)) this.unsure ??= `it puts a function into ${holder}`;
    this.gathering([holder], scope, () => {
      if (this.ts.isFunctionLike(part)) this.readFunction(part, scope, new Set());
    });
  }

  private readClass(node: TypeScript.ClassDeclaration, scope: Scope): void {
    const before = this.owners;
    if (node.name && this.into === this.now && !scope.find(node.name.text)) {
      this.owners = [node.name.text];
    }
    for (const part of [...(node.heritageClauses ?? []), ...node.members]) this.read(part, scope);
    this.owners = before;
  }

  private readLoop(
    node: TypeScript.ForOfStatement | TypeScript.ForInStatement,
    outer: Scope,
  ): void {
    const { ts } = this;
    this.read(node.expression, outer);
    const scope = new Scope(outer);
    const shared = this.content.of(node.expression, outer);
    if (ts.isVariableDeclarationList(node.initializer)) {
      const local = (node.initializer.flags & ts.NodeFlags.BlockScoped) !== 0;
      for (const { name } of node.initializer.declarations) {
        for (const each of patternNames(ts, name)) {
          if (local) scope.declare(each, shared);
          else this.bind(each, shared, outer);
        }
      }
    } else this.target(node.initializer, outer, shared);
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
    this.target(node.left, scope, this.content.of(node.right, scope));
    const whole = node.operatorToken.kind === ts.SyntaxKind.EqualsToken;
    if (!whole || !ts.isIdentifier(node.left)) this.read(node.left, scope);
  }

  /** What stands on the left of an assignment: a name, a property, or a pattern of them. */
  private target(node: Node, scope: Scope, shared: ReadonlySet<string>): void {
    const { ts } = this;
    this.noteKept(node, scope);
    if (ts.isIdentifier(node)) {
      if (!scope.find(node.text)) this.into.assigns.add(node.text);
      this.bind(node.text, shared, scope);
    } else if (ts.isPropertyAccessExpression(node) || ts.isElementAccessExpression(node)) {
      this.change(this.content.of(node.expression, scope), shared);
    } else {
      for (const part of partsOfTarget(ts, node)) this.target(part, scope, shared);
    }
  }

  private change(names: ReadonlySet<string>, added: ReadonlySet<string> = new Set()): void {
    for (const name of names) {
      if (name === argument) this.into.changesArguments = true;
      else {
        this.into.mutates.add(name);
        for (const other of added) if (other !== argument) this.shareWith(name, other);
      }
    }
  }

  private shareWith(name: string, other: string): void {
    if (name === other) return;
    this.shares[name] ??= new Set();
    this.shares[name].add(other);
  }

  private readCall(node: TypeScript.CallExpression | TypeScript.NewExpression, scope: Scope): void {
    const { ts } = this;
    const given = [...(node.arguments ?? [])];
    if (node.expression.kind === ts.SyntaxKind.ImportKeyword)
      this.unsure ??= "it imports as it runs";
    this.possibleChange(node.expression, given, scope);
    this.readCalled(node.expression, scope);
    const handed = new Set<string>();
    for (const part of [node.expression, ...given]) {
      if (!ts.isFunctionLike(part))
        for (const name of this.content.of(part, scope)) handed.add(name);
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
    const global = root !== undefined && !scope.find(root) && !this.declares.has(root);
    const harmless = global && needsNoContent(called.getText(this.file));
    const method = ts.isPropertyAccessExpression(called) ? called.name.text : "";
    if (changesContent(method)) {
      this.noteKept(called, scope);
      for (const part of given) if (ts.isFunctionLike(part)) this.keepHanded(root, part, scope);
    }
    if (keepsContent(method)) {
      this.handedOn(called, given, scope);
      return;
    }
    const parts: Node[] = harmless ? [] : [...given];
    if (!harmless && !ts.isIdentifier(called) && "expression" in called) {
      parts.push(called.expression as Node);
    }
    const by = root === undefined || scope.find(root) ? "" : root;
    this.noteCall(
      by,
      ts.isIdentifier(called),
      changesContent(method),
      this.content.together(parts, scope),
    );
  }

  /** `rows.forEach(mend)` leaves the list alone, and hands its items to a function by its name. */
  private handedOn(called: Node, given: readonly Node[], scope: Scope): void {
    for (const part of given) {
      if (!this.ts.isIdentifier(part)) continue;
      const by = scope.find(part.text) ? "" : part.text;
      this.noteCall(by, true, false, this.content.of(called, scope));
    }
  }

  private noteCall(by: string, direct: boolean, surely: boolean, names: Set<string>): void {
    if (names.delete(argument)) this.into.changesArguments = true;
    names.delete(direct ? by : "");
    if (names.size > 0 || (direct && by !== ""))
      this.into.calls.push({ by, direct, surely, names: [...names] });
  }
}

/** The function or class whose `this` stands at a place; undefined outside all of them. */
function ownerOfThis(ts: Ts, node: Node): Node | undefined {
  for (let at = node.parent; at; at = at.parent) {
    if (ts.isClassLike(at) || (ts.isFunctionLike(at) && !ts.isArrowFunction(at))) return at;
  }
  return undefined;
}
