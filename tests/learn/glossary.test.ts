import { describe, expect, it } from "vitest";
import { InputError } from "../../lib/errors.js";
import { onDisplay } from "../../lib/show/display.js";
import { glossary } from "../../lib/show/glossary.js";
import { termFor, terms, termsHtml } from "../../lib/show/terms.js";

describe("glossary", () => {
  it("stands in the order of the alphabet, each word once in all its forms", () => {
    const words = glossary.map(({ term }) => term);
    expect(words).toEqual([...words].sort(new Intl.Collator("en").compare));
    const forms = glossary.flatMap(({ term, forms }) =>
      [term, ...forms].map((w) => w.toLowerCase()),
    );
    expect(forms.filter((form, i) => forms.indexOf(form) !== i)).toEqual([]);
  });

  it("explains in sentences, not by the word itself", () => {
    for (const { term, says } of glossary) {
      expect(says, term).toMatch(/^[A-Z0-9].{20,}[.?]$/s);
      expect(says.toLowerCase().startsWith(`${term.toLowerCase()} `), term).toBe(false);
    }
  });

  it("finds a word in each of its forms, whatever its capitals", () => {
    for (const one of glossary) {
      for (const form of [one.term, ...one.forms]) {
        expect(termFor(form.toUpperCase())).toBe(one);
      }
    }
    expect(termFor("zither")).toBeUndefined();
  });
});

describe("terms", () => {
  it("shows the glossary's own words, in the order asked", () => {
    const shown: Record<string, unknown>[] = [];
    const stop = onDisplay(({ data }) => shown.push(data));
    const record = terms("SEM", "BCa");
    stop();
    expect(record.terms.map(({ term }) => term)).toEqual(["typical error", "BCa"]);
    expect(shown).toHaveLength(1);
    expect(shown[0]!["text/plain"]).toBe(
      record.terms.map(({ term, says }) => `${term}: ${says}`).join("\n"),
    );
  });

  it("refuses a word that is not explained", () => {
    expect(() => terms("zither")).toThrow(InputError);
  });

  it("writes markup as text", () => {
    const html = String(termsHtml([{ term: "<b>", forms: [], says: "A tag & no more." }]));
    expect(html).toBe("<dl><dt>&lt;b&gt;</dt><dd>A tag &amp; no more.</dd></dl>");
  });
});
