import { present } from "../entry.js";

const entities: Readonly<Record<string, string>> = {
  "&": "&amp;",
  "<": "&lt;",
  ">": "&gt;",
  '"': "&quot;",
  "'": "&#39;",
};

/**
 * Text made safe for an element's content or a quoted attribute.
 */
export function escapeHtml(text: unknown): string {
  return String(text).replace(/[&<>"']/g, (character) => present(entities[character]));
}

const unitAfterNumber =
  /(\d) (?=(?:%|kgf|N|lbf|mph|m\/s|km\/h|kg|lb|g|m|cm|mm|in|s|min|y)(?![A-Za-z/]))/g;

/** Escaped prose in which a number does not part from its unit at the end of a line. */
export function proseHtml(text: string): string {
  return escapeHtml(text).replace(unitAfterNumber, "$1&nbsp;");
}
