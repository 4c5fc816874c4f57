import type * as TypeScript from "@tslab/typescript-for-tslab";
import type { Scope } from "./cell-scopes.js";
import { needsNoContent } from "./known-calls.js";

type Ts = typeof TypeScript;
type Node = TypeScript.Node;

const builtIns = new Set(Object.getOwnPropertyNames(globalThis));

/** Which names the values of a cell's expressions may share content with. */
export class SharedContent {
  private readonly file: TypeScript.SourceFile;
  private readonly ts: Ts;

  constructor(file: TypeScript.SourceFile, ts: Ts) {
    this.file = file;
    this.ts = ts;
  }

  /** The names that the value of an expression may share content with. */
  of(node: Node, scope: Scope): Set<string> {
    const { ts } = this;
    const none = new Set<string>();
    if (ts.isIdentifier(node)) {
      const local = scope.find(node.text);
      if (local) return new Set(local.shares);
      return node.text === "undefined" || builtIns.has(node.text) ? none : new Set([node.text]);
    }
    if (ts.isPropertyAccessExpression(node)) {
      return node.name.text === "length" || node.name.text === "size"
        ? none
        : this.of(node.expression, scope);
    }
    if (ts.isElementAccessExpression(node)) return this.of(node.expression, scope);
    if (ts.isFunctionLike(node)) return none;
    if (ts.isConditionalExpression(node)) {
      return this.together([node.whenTrue, node.whenFalse], scope);
    }
    if (ts.isBinaryExpression(node)) {
      const kind = node.operatorToken.kind;
      const K = ts.SyntaxKind;
      if (
        kind === K.BarBarToken ||
        kind === K.QuestionQuestionToken ||
        kind === K.AmpersandAmpersandToken
      ) {
        return this.together([node.left, node.right], scope);
      }
      return kind === K.EqualsToken || kind === K.CommaToken ? this.of(node.right, scope) : none;
    }
    if (ts.isPrefixUnaryExpression(node) || ts.isTypeOfExpression(node)) return none;
    if (ts.isTemplateExpression(node) || ts.isLiteralExpression(node) || ts.isTypeNode(node))
      return none;
    if (ts.isCallExpression(node) || ts.isNewExpression(node)) {
      if (needsNoContent(node.expression.getText(this.file))) return none;
      const parts = ts.isPropertyAccessExpression(node.expression)
        ? [node.expression.expression]
        : [];
      return this.together([...parts, ...(node.arguments ?? [])], scope);
    }
    const parts: Node[] = [];
    ts.forEachChild(node, (child) => {
      if (!ts.isPropertyName(child) || ts.isIdentifier(node)) parts.push(child);
      else if (ts.isShorthandPropertyAssignment(node) || !ts.isPropertyAssignment(node))
        parts.push(child);
    });
    return this.together(parts, scope);
  }

  together(nodes: readonly Node[], scope: Scope): Set<string> {
    return new Set(nodes.flatMap((node) => [...this.of(node, scope)]));
  }
}

/** The name at the left end of a chain of calls and properties. */
export function rootOf(ts: Ts, node: Node): string | undefined {
  let at = node;
  while (
    ts.isPropertyAccessExpression(at) ||
    ts.isElementAccessExpression(at) ||
    ts.isCallExpression(at) ||
    ts.isNewExpression(at) ||
    ts.isParenthesizedExpression(at) ||
    ts.isAwaitExpression(at) ||
    ts.isNonNullExpression(at) ||
    ts.isAsExpression(at)
  ) {
    at = at.expression;
  }
  return ts.isIdentifier(at) ? at.text : undefined;
}
