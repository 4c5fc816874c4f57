import { describe, expect, it } from "vitest";
import { onDisplay } from "../../lib/show/display.js";
import { glossary } from "../../lib/show/glossary.js";
import { termFor, terms } from "../../lib/show/terms.js";

describe("the glossary", () => {
  it("is in the order of the alphabet, and no form belongs to two terms", () => {
    const order = new Intl.Collator("en").compare;
    const words = glossary.map(({ term }) => term);
    expect(words).toEqual([...words].sort(order));
    const forms = glossary.flatMap(({ term, forms: others }) => [term, ...others]);
    const plain = forms.map((form) => form.toLowerCase());
    expect(plain.filter((form, i) => plain.indexOf(form) !== i)).toEqual([]);
  });

  it("defines in sentences", () => {
    for (const { term, says } of glossary) expect(says, term).toMatch(/^[\p{Lu}].*\.$/u);
  });

  it("finds a term by any of its forms", () => {
    expect(termFor("mdc95")?.term).toBe("minimal detectable change");
    expect(termFor("Resamples")?.term).toBe("resample");
    expect(termFor("handicap")).toBeUndefined();
  });

  it("shows definitions as a list, and refuses a word it does not hold", () => {
    const shown: Record<string, unknown>[] = [];
    const restore = onDisplay(({ data }) => shown.push(data));
    terms("typical error", "MDC");
    restore();
    expect(shown[0]!["text/html"]).toContain("<dt>minimal detectable change</dt>");
    expect(shown[0]!["text/plain"]).toMatch(/^typical error: The standard deviation/);
    expect(() => terms("handicap")).toThrow('expected a term of the glossary, got "handicap"');
  });
});
