import type * as TypeScript from "@tslab/typescript-for-tslab";

type Ts = typeof TypeScript;
type Node = TypeScript.Node;

/** Whether an operator gives its left side a value: =, += and their like. */
export function isAssignment(ts: Ts, node: TypeScript.BinaryExpression): boolean {
  const { kind } = node.operatorToken;
  return kind >= ts.SyntaxKind.FirstAssignment && kind <= ts.SyntaxKind.LastAssignment;
}

/** What the operators ++, -- and delete stand beside. */
export function changedOperand(ts: Ts, node: Node): Node | undefined {
  if (ts.isDeleteExpression(node)) return node.expression;
  if (!ts.isPrefixUnaryExpression(node) && !ts.isPostfixUnaryExpression(node)) return undefined;
  const { PlusPlusToken, MinusMinusToken } = ts.SyntaxKind;
  const counts = node.operator === PlusPlusToken || node.operator === MinusMinusToken;
  return counts ? node.operand : undefined;
}

/** The parts of a pattern that an assignment gives values to. */
export function partsOfTarget(ts: Ts, node: Node): readonly Node[] {
  if (ts.isArrayLiteralExpression(node)) return node.elements;
  if (ts.isParenthesizedExpression(node) || ts.isSpreadElement(node)) return [node.expression];
  if (ts.isBinaryExpression(node)) return [node.left];
  if (!ts.isObjectLiteralExpression(node)) return [];
  return node.properties.flatMap((each) => {
    if (ts.isPropertyAssignment(each)) return [each.initializer];
    if (ts.isShorthandPropertyAssignment(each)) return [each.name];
    return ts.isSpreadAssignment(each) ? [each.expression] : [];
  });
}
