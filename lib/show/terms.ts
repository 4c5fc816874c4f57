import { type Markup, markup, proseHtml } from "../markup.js";
import { display, mimeTypes, type ReadableForms } from "./display.js";
import { glossary, type Term } from "./glossary.js";
import { termsSchema } from "./output-schemas.js";
import { refuse } from "./record.js";
import { outputRecord } from "./schema.js";
import type { Terms } from "./word-outputs.js";

const byForm = new Map(
  glossary.flatMap((one) =>
    [one.term, ...one.forms].map((form) => [form.toLowerCase(), one] as const),
  ),
);

/**
 * What the glossary says of a word, in any of its forms; undefined for a word it does not hold.
 * @example termFor("MDC95").term // "minimal detectable change"
 */
export function termFor(word: string): Term | undefined {
  return byForm.get(word.toLowerCase());
}

/** The terms as a list of definitions. */
export function termsHtml(terms: readonly Term[]): Markup {
  const items = terms.map(({ term, says }) => markup`<dt>${term}</dt><dd>${proseHtml(says)}</dd>`);
  return markup`<dl>${items}</dl>`;
}

/** How a reader meets explained words, from the record alone. */
export function termsForms(record: Terms): ReadableForms {
  return {
    html: String(termsHtml(record.terms)),
    plain: record.terms.map(({ term, says }) => `${term}: ${says}`).join("\n"),
  };
}

/**
 * Explains words where they are first used, as the glossary has them.
 * @param words terms or their forms: "typical error", "MDC95"
 * @throws InputError for a word that the glossary does not hold
 * @example terms("typical error").terms[0].term // "typical error"
 */
export function terms(...words: string[]): Terms {
  const found = words.map(
    (word) => termFor(String(word)) ?? refuse("a term of the glossary", word, "terms"),
  );
  const record = outputRecord(termsSchema, { kind: "terms", terms: found }, "terms");
  const forms = termsForms(record);
  display({
    [mimeTypes.terms]: record,
    [mimeTypes.html]: forms.html,
    [mimeTypes.plain]: forms.plain,
  });
  return record;
}
