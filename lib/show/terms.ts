import { type Markup, markup, proseHtml } from "../markup.js";
import { display, mimeTypes } from "./display.js";
import { glossary, type Term } from "./glossary.js";
import { termsSchema } from "./output-schemas.js";
import { refuse } from "./record.js";
import { outputRecord } from "./schema.js";

export interface Terms {
  readonly kind: "terms";
  readonly terms: readonly Term[];
}

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

/**
 * Explains words where they are first used, as the glossary has them.
 * @param words terms or their forms: "typical error", "MDC95"
 * @throws InputError for a word that the glossary does not hold
 * @example terms("typical error").terms[0].term // "typical error"
 */
export function terms(...words: string[]): Terms {
  const found = words.map(
    (word) => termFor(String(word)) ?? refuse("a word of the glossary", word, "terms"),
  );
  const record = outputRecord(termsSchema, { kind: "terms", terms: found }, "terms");
  display({
    [mimeTypes.terms]: record,
    [mimeTypes.html]: String(termsHtml(record.terms)),
    [mimeTypes.plain]: record.terms.map(({ term, says }) => `${term}: ${says}`).join("\n"),
  });
  return record;
}
