import { describe, expect, it } from "vitest";
import { onDisplay } from "../../lib/show/display.js";
import { question } from "../../lib/show/question.js";

const options = [
  { says: "Yes.", reply: "No: <b>n</b> is 3." },
  { says: "No.", reply: "Right." },
];

describe("a question to choose an answer to", () => {
  it("shows every answer with its reply, texts as text", () => {
    const shown: Record<string, unknown>[] = [];
    const restore = onDisplay(({ data }) => shown.push(data));
    const made = question({ id: "q", asks: "Is this justified?", options, unlocks: "s" });
    restore();
    expect(Object.isFrozen(made)).toBe(true);
    const html = String(shown[0]!["text/html"]);
    expect(html.match(/<details>/g)).toHaveLength(2);
    expect(html).toContain("No: &lt;b&gt;n&lt;/b&gt; is 3.");
    expect(shown[0]!["text/plain"]).toBe(
      "Is this justified?\n- Yes. → No: <b>n</b> is 3.\n- No. → Right.",
    );
  });

  it("needs two options, an id and sentences", () => {
    expect(() => question({ id: "q", asks: "Why?", options: options.slice(1) })).toThrow(
      /two options/,
    );
    expect(() => question({ id: "", asks: "Why?", options })).toThrow(/id/);
    expect(() => question({ id: "q", asks: " ", options })).toThrow(/asks/);
  });
});
