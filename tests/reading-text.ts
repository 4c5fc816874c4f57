/** A piece of text that a person reads in a source file: a comment or the words of a string. */
export interface ReadText {
  readonly kind: "comment" | "string";
  /** Line on which it begins, from 1. */
  readonly line: number;
  readonly text: string;
}

const afterRegexAllowed = /(?:^|[=(,:;!&|?{}[\n]|=>|\breturn|\btypeof|\bcase)\s*$/;

/** Index after a quoted string that opens at `at`. */
function quotedEnd(source: string, at: number): number {
  const quote = source[at];
  let i = at + 1;
  while (i < source.length && source[i] !== quote && source[i] !== "\n")
    i += source[i] === "\\" ? 2 : 1;
  return i + 1;
}

/** Index after a regular expression that opens at `at`. */
function regexEnd(source: string, at: number): number {
  let inClass = false;
  let i = at + 1;
  for (; i < source.length && source[i] !== "\n"; i++) {
    if (source[i] === "\\") i++;
    else if (source[i] === "[") inClass = true;
    else if (source[i] === "]") inClass = false;
    else if (source[i] === "/" && !inClass) break;
  }
  return i + 1;
}

/**
 * The comments and strings of TypeScript or JavaScript text. Names in code are left out; each
 * `${…}` of a template is one "…" in the words around it, and its own strings are read too.
 */
export function readTexts(source: string): readonly ReadText[] {
  const found: ReadText[] = [];
  let line = 1;
  let counted = 0;
  const lineOf = (at: number) => {
    for (; counted < at; counted++) if (source[counted] === "\n") line++;
    return line;
  };
  const add = (kind: ReadText["kind"], at: number, text: string) =>
    found.push({ kind, line: lineOf(at), text });

  /** Reads code up to the end, or to the brace that closes a template's hole. */
  function code(from: number, inTemplate: boolean): number {
    let depth = 0;
    let i = from;
    let codeStart = from;
    while (i < source.length) {
      const two = source.slice(i, i + 2);
      const one = source[i];
      if (two === "//" || two === "/*") {
        const end = two === "//" ? source.indexOf("\n", i) : source.indexOf("*/", i + 2) + 2;
        const stop = end < 2 ? source.length : end;
        add("comment", i, source.slice(i, stop));
        i = stop;
      } else if (one === '"' || one === "'") {
        const end = quotedEnd(source, i);
        add("string", i, source.slice(i + 1, end - 1));
        i = end;
        codeStart = i;
      } else if (one === "`") {
        i = template(i + 1);
        codeStart = i;
      } else if (
        one === "/" &&
        afterRegexAllowed.test(source.slice(Math.max(codeStart, i - 20), i))
      )
        i = regexEnd(source, i);
      else if (inTemplate && one === "}" && depth === 0) return i + 1;
      else {
        if (one === "{") depth++;
        if (one === "}") depth--;
        i++;
      }
    }
    return i;
  }

  function template(from: number): number {
    let words = "";
    let i = from;
    const at = from;
    const place = lineOf(at);
    const index = found.length;
    while (i < source.length && source[i] !== "`") {
      if (source[i] === "\\") {
        words += source.slice(i, i + 2);
        i += 2;
      } else if (source.startsWith("${", i)) {
        words += "…";
        i = code(i + 2, true);
      } else words += source[i++];
    }
    found.splice(index, 0, { kind: "string", line: place, text: words });
    return i + 1;
  }

  code(0, false);
  return found;
}
