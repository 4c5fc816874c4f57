import { type Markup, markup, proseHtml } from "../markup.js";
import { display, mimeTypes } from "./display.js";
import { proseSchema } from "./output-schemas.js";
import { text } from "./record.js";
import { outputRecord } from "./schema.js";
import type { Prose } from "./word-outputs.js";

/**
 * Shows a paragraph made by a cell, so that a number in a sentence is computed and never typed. A
 * blank line begins a new paragraph; the text is shown as it is, without markup.
 * @throws InputError when the text is empty
 * @example prose("Of 26 golfers 24 came back.").kind // "prose"
 */
export function prose(words: string): Prose {
  const proseRecord = { kind: "prose", text: text(words, "prose").trim() };
  const record = outputRecord(proseSchema, proseRecord, "prose");
  display({
    [mimeTypes.prose]: record,
    [mimeTypes.html]: String(paragraphsHtml(record.text)),
    [mimeTypes.plain]: record.text,
  });
  return record;
}

/** A text as paragraphs: a blank line begins a new one. */
export function paragraphsHtml(words: string): Markup {
  const paragraphs = words.split(/\n\s*\n/);
  return markup`${paragraphs.map((part) => markup`<p>${proseHtml(part)}</p>`)}`;
}
