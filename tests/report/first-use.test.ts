import { describe, expect, it } from "vitest";
import { trustedMarkup } from "../../lib/markup.js";
import { withFirstUses } from "../../lib/report/first-use.js";

const link = (anchor: string) => `glossary.html#${anchor}`;
const linked = (html: string, seen = new Set<string>()) =>
  String(withFirstUses(trustedMarkup(html), seen, link));

describe("first uses of the trade's words", () => {
  it("are linked once, with the definition as their title", () => {
    const html = linked("<p>The slope is a slope. Slopes differ.</p>");
    expect(html.match(/class="term"/g)).toHaveLength(1);
    expect(html).toMatch(
      /^<p>The <a class="term" href="glossary\.html#term-slope" title="The change of y [^"]+">slope<\/a> is a slope/,
    );
  });

  it("keep the longest wording and the writer's capitals", () => {
    const html = linked("<p>Minimal detectable change, and error.</p>");
    expect(html).toContain(">Minimal detectable change</a>");
  });

  it("leave headings, links and code alone, and parts of words", () => {
    const still =
      '<h2 id="slope">The slope</h2><p><a href="#x">median</a> <code>slope</code> slopewise</p>';
    expect(linked(still)).toBe(still);
  });

  it("stay within what other pages of the same set have explained", () => {
    expect(linked("<p>A median.</p>", new Set(["median"]))).toBe("<p>A median.</p>");
  });

  it("read words that markup has escaped or kept together", () => {
    expect(linked("<p>95&nbsp;% interval, Welch&#39;s t</p>").match(/class="term"/g)).toHaveLength(
      2,
    );
  });
});
