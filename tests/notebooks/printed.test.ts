import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { type CodeCell, parseNotebook } from "../../lib/notebook/nbformat.js";
import { notebookPaths } from "../../lib/workspace/notebook-files.js";

describe("what the recorded notebooks show", () => {
  it.each(notebookPaths(process.cwd()))(
    "%s shows findings, figures, tables and texts, and prints no value as the program holds it",
    (path) => {
      const { cells } = parseNotebook(readFileSync(path, "utf8"));
      const printed = cells
        .filter((cell): cell is CodeCell => cell.cell_type === "code")
        .flatMap(({ id, outputs }) =>
          outputs
            .filter(({ output_type: type }) => type === "stream" || type === "execute_result")
            .map(() => id),
        );
      expect(printed).toEqual([]);
    },
  );
});
