import type * as TypeScript from "@tslab/typescript-for-tslab";

/** A cell's source as it is given to the kernel, and the way back to what its author wrote. */
export interface SpelledOut {
  /** The source with every `{ name }` written as `{ name: name }`. */
  readonly source: string;
  /** The author's column (from 1) for a column of the given line (from 1). */
  columnOf(line: number, column: number): number;
}

interface Insertion {
  readonly at: number;
  readonly text: string;
}

/**
 * Writes `{ level }` as `{ level: level }`. tslab turns a name that an earlier cell declared into
 * `exports.level`; where the name stands alone in an object, it prints nothing in its place, and
 * the property is gone without a word.
 */
export function spellOut(source: string, ts: typeof TypeScript): SpelledOut {
  const insertions = source.includes("{") ? shorthands(source, ts) : [];
  if (insertions.length === 0) return { source, columnOf: (_, column) => column };
  let text = "";
  let from = 0;
  for (const { at, text: added } of insertions) {
    text += source.slice(from, at) + added;
    from = at;
  }
  return { source: text + source.slice(from), columnOf: columnMap(source, insertions) };
}

function shorthands(source: string, ts: typeof TypeScript): Insertion[] {
  const file = ts.createSourceFile("cell.ts", source, ts.ScriptTarget.ES2022);
  const found: Insertion[] = [];
  const visit = (node: TypeScript.Node): void => {
    if (ts.isShorthandPropertyAssignment(node)) {
      found.push({ at: node.name.end, text: `: ${node.name.text}` });
    }
    ts.forEachChild(node, visit);
  };
  visit(file);
  return found.sort((a, b) => a.at - b.at);
}

function columnMap(source: string, insertions: readonly Insertion[]) {
  const starts = [0];
  for (let i = 0; i < source.length; i++) if (source[i] === "\n") starts.push(i + 1);
  return (line: number, column: number): number => {
    const start = starts[line - 1] ?? 0;
    const end = starts[line] ?? source.length + 1;
    let shift = 0;
    for (const { at, text } of insertions) {
      if (at < start || at >= end) continue;
      const written = at - start + 1 + shift;
      if (column <= written) break;
      shift += Math.min(text.length, column - written);
    }
    return column - shift;
  };
}
