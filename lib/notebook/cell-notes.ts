import type * as TypeScript from "@tslab/typescript-for-tslab";
import { partsOfTarget } from "./assignment-targets.js";
import type { CellFacts, Unrepeatable } from "./cell-facts.js";
import { argument, importedNames, type Scope } from "./cell-scopes.js";
import { GatheredEffects } from "./gathered-effects.js";
import { standsForAnything, unrepeatableAt } from "./known-calls.js";
import { rootOf, SharedContent } from "./shared-content.js";

type Ts = typeof TypeScript;
type Node = TypeScript.Node;
type Mutable<T> = { -readonly [K in keyof T]: T[K] };

/** What has been read of a cell so far, name by name. */
export class CellNotes {
  /** Which names the value of an expression may share content with. */
  readonly content: SharedContent;
  private readonly declared = new Set<string>();
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
  private owning: readonly string[] = [];
  /** Of the function that is kept with a name: the names around it, and that name. */
  private around: { readonly scope: Scope; readonly owner: string } | undefined;

  constructor(file: TypeScript.SourceFile, ts: Ts) {
    this.file = file;
    this.ts = ts;
    this.content = new SharedContent(file, ts);
  }

  facts(): CellFacts {
    const listed = Object.entries(this.shares).map(([name, set]) => [name, [...set]] as const);
    const later = Object.entries(this.laterOf).map(
      ([name, found]) => [name, found.later()] as const,
    );
    const facts: Mutable<CellFacts> = {
      ...this.now.effects(),
      declares: [...this.declared],
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

  declare(name: string): void {
    this.declared.add(name);
  }

  declares(name: string): boolean {
    return this.declared.has(name);
  }

  import(statement: TypeScript.ImportDeclaration): void {
    const { ts } = this;
    const { moduleSpecifier } = statement;
    const from = ts.isStringLiteral(moduleSpecifier) ? moduleSpecifier.text : "";
    for (const name of importedNames(ts, statement)) {
      this.declare(name);
      this.imports[name] = from;
    }
  }

  /** @param why the cell cannot be read with certainty; the first reason is the one told */
  doubt(why: string): void {
    this.unsure ??= why;
  }

  /** What is read runs when the cell runs, and not when one of its functions is called. */
  get runsNow(): boolean {
    return this.into === this.now;
  }

  use(node: TypeScript.Identifier, scope: Scope): void {
    if (scope.find(node.text) || node.text === "undefined") return;
    if (standsForAnything(node.text)) this.doubt(`it uses ${node.text}`);
    this.useUnrepeatable(node, scope);
    this.into.uses.add(node.text);
  }

  useUnrepeatable(node: Node, scope: Scope): void {
    const root = rootOf(this.ts, node);
    if (root === undefined || scope.find(root)) return;
    const from = this.imports[root];
    if (from === undefined && this.declares(root)) return;
    const found = unrepeatableAt(node.getText(this.file), from, node.parent.getText(this.file));
    if (!found) return;
    const { line } = this.file.getLineAndCharacterOfPosition(node.getStart(this.file));
    const known = this.unrepeatable.some(
      ({ code, line: at }) => code === found.code && at === line + 1,
    );
    if (!known) this.unrepeatable.push({ ...found, line: line + 1 });
  }

  useType(node: Node): void {
    const { ts } = this;
    const visit = (part: Node): void => {
      if (ts.isIdentifier(part) && !ts.isPropertySignature(part.parent)) this.types.add(part.text);
      ts.forEachChild(part, visit);
    };
    ts.forEachChild(node, visit);
    if (ts.isIdentifier(node)) this.types.add(node.text);
  }

  /** What stands on the left of an assignment: a name, a property, or a pattern of them. */
  assignTo(node: Node, scope: Scope, shared: ReadonlySet<string>): void {
    const { ts } = this;
    this.changeKept(node, scope);
    if (ts.isIdentifier(node)) {
      if (!scope.find(node.text)) this.into.assigns.add(node.text);
      this.bind(node.text, shared, scope);
    } else if (ts.isPropertyAccessExpression(node) || ts.isElementAccessExpression(node)) {
      this.change(this.content.of(node.expression, scope), shared);
    } else {
      for (const part of partsOfTarget(ts, node)) this.assignTo(part, scope, shared);
    }
  }

  generate(): void {
    this.into.generates = true;
  }

  /** Notes that the value of a name may share content with other names. */
  bind(name: string, shared: ReadonlySet<string>, scope: Scope, maker?: string): void {
    const local = scope.find(name);
    if (local) for (const other of shared) local.shares.add(other);
    if (local) return;
    this.shares[name] ??= new Set();
    for (const other of shared) if (other !== name) this.shares[name].add(other);
    if (maker !== undefined) this.madeBy[name] = maker;
  }

  /** An object does what its class says. */
  followClass(names: readonly string[], origin: string, scope: Scope): void {
    if (scope.find(origin) || names.some((name) => scope.find(name) || name === origin)) return;
    this.gather(names, scope, () => {
      this.into.uses.add(origin);
      this.into.changesArguments = true; // as far as is known here
    });
  }

  /** The content of these names changes; what was added to it is shared from now on. */
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

  /** Functions that are read meanwhile belong to these names of the notebook. */
  ownedBy(names: readonly string[], scope: Scope, read: () => void): void {
    const before = this.owning;
    if (this.runsNow && names.some((name) => !scope.find(name))) this.owning = names;
    read();
    this.owning = before;
  }

  /** The names of the statement that is read, to which its functions belong. */
  get owners(): readonly string[] {
    return this.owning;
  }

  /** What a function does happens when it is called: it is kept with the names that hold it. */
  gather(owners: readonly string[] | undefined, outer: Scope, read: () => void): void {
    const owner = this.runsNow ? owners?.[0] : undefined;
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
  changeKept(changed: Node, scope: Scope): void {
    if (!this.around) return;
    const { ts } = this;
    const root = rootOf(ts, changed);
    const local = root === undefined ? undefined : scope.find(root);
    const kept = local !== undefined && this.around.scope.find(root ?? "") === local;
    if (kept || isOwnOfGetter(ts, changed)) this.into.mutates.add(this.around.owner);
  }

  /** `rows.forEach(mend)` leaves the list alone, and hands its items to a function by its name. */
  handOn(called: Node, given: readonly Node[], scope: Scope): void {
    for (const part of given) {
      if (!this.ts.isIdentifier(part)) continue;
      const by = scope.find(part.text) ? "" : part.text;
      this.call(by, true, false, this.content.of(called, scope));
    }
  }

  /**
   * A call that may change what it is given.
   * @param by the name at the root of what is called, "" for none of the notebook's
   * @param direct the call is `by(…)` itself
   * @param surely the method always changes what it is called on
   */
  call(by: string, direct: boolean, surely: boolean, names: Set<string>): void {
    if (names.delete(argument)) this.into.changesArguments = true;
    names.delete(direct ? by : "");
    if (names.size > 0 || (direct && by !== ""))
      this.into.calls.push({ by, direct, surely, names: [...names] });
  }
}

/** `this.count` inside a getter, which runs where its object is only looked at. */
function isOwnOfGetter(ts: Ts, changed: Node): boolean {
  let at = changed;
  while (ts.isPropertyAccessExpression(at) || ts.isElementAccessExpression(at)) at = at.expression;
  return at.kind === ts.SyntaxKind.ThisKeyword && ts.isGetAccessor(ownerOfThis(ts, at) ?? at);
}

/** The function or class whose `this` stands at a place; undefined outside all of them. */
export function ownerOfThis(ts: Ts, node: Node): Node | undefined {
  for (let at = node.parent; at; at = at.parent) {
    if (ts.isClassLike(at) || (ts.isFunctionLike(at) && !ts.isArrowFunction(at))) return at;
  }
  return undefined;
}
