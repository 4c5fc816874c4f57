import type { Block, DraftTable, Inline } from "./draft.js";
import { inlineText } from "./draft.js";
import { type NumberedDraft, referenceNumber } from "./manuscript-draft.js";

/** The manuscript as Markdown; pictures stand in the folder figures/ beside it. */
export function markdownText(draft: NumberedDraft): string {
  const numberOf = referenceNumber(draft);
  const blocks = draft.blocks.map((block) => blockText(block, numberOf));
  return `${blocks.join("\n\n")}\n`;
}

type NumberOf = (key: string) => number;

function blockText(block: Block, numberOf: NumberOf): string {
  if (block.kind === "heading") return `${"#".repeat(block.level + 1)} ${plain(block.text)}`;
  if (block.kind === "paragraph") return runs(block.text, numberOf);
  if (block.kind === "table") return tableText(block, numberOf);
  const { file, number, caption, alt } = block;
  return `![${plain(alt)}](figures/${file}.png)\n\n**Figure ${number}.** ${plain(caption)}`;
}

/** Characters that Markdown would take for marks. */
function plain(text: string): string {
  return text.replace(/[\\`*_<>[\]|#]/g, "\\$&").replace(/\s*\n\s*/g, " ");
}

function runs(pieces: readonly Inline[], numberOf: NumberOf): string {
  return pieces
    .map((piece) => {
      if (piece.kind === "gap") return `**[author: ${plain(piece.asks)}]**`;
      if (piece.kind === "citation") return inlineText(piece, numberOf);
      const text = plain(inlineText(piece, numberOf));
      if (piece.kind !== "text" || piece.style === undefined) return text;
      const mark = piece.style === "bold" ? "**" : "*";
      return `${mark}${text}${mark}`;
    })
    .join("");
}

function tableText({ number, caption, head, rows, notes }: DraftTable, numberOf: NumberOf): string {
  const line = (cells: readonly string[]) => `| ${cells.join(" | ")} |`;
  return [
    `**Table ${number}.** ${runs(caption, numberOf)}`,
    "",
    line(head.map(plain)),
    line(head.map(() => "---")),
    ...rows.map((row) => line(row.map((cell) => runs(cell, numberOf)))),
    "",
    runs(notes, numberOf),
  ].join("\n");
}
