import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { writeArchive } from "../../lib/archive/zip.js";
import { manuscriptDraft } from "../../lib/manuscript/manuscript-draft.js";
import { markdownText } from "../../lib/manuscript/markdown-draft.js";
import { numberKey, readTag, tagText } from "../../lib/manuscript/number-tag.js";
import { wordFiles } from "../../lib/manuscript/word-draft.js";
import { readXml } from "../../lib/manuscript/xml-tree.js";
import { sampleFacts } from "./sample.js";

const facts = sampleFacts();
const markdown = markdownText(manuscriptDraft(facts));

describe("the manuscript", () => {
  it("has the sections of a paper, in order", () => {
    const sections = [...markdown.matchAll(/^## (.*)$/gm)].map(([, title]) => title);
    expect(sections).toEqual([
      ...["Abstract", "Introduction", "Methods", "Results", "Discussion"],
      ...["Declarations", "References", "Reporting checklist"],
    ]);
  });

  it("states the planned findings in the abstract and first in the results", () => {
    const [abstract = "", results = ""] = [
      /## Abstract[\s\S]*?## Intro/,
      /## Results[\s\S]*?## Disc/,
    ].map((part) => part.exec(markdown)?.[0]);
    const sentence = "2.4 kgf (95 % CI 0.5 to 4.2; p = 0.014), n = 24 golfers";
    expect(abstract).toContain(sentence);
    expect(results.indexOf(sentence)).toBeLessThan(results.indexOf("Driver speed"));
    expect(results).toContain("findings that were not planned");
  });

  it("says plainly what is not settled, and asserts no claim without support", () => {
    expect(markdown).toContain(
      "The block raised grip more than practice did (supported by these data).",
    );
    expect(markdown).toContain(
      "Not settled by these data: “The rise exceeds the smallest worthwhile change”.",
    );
    expect(markdown).toContain(
      "These data contradict the statement “The block lowered club speed”.",
    );
    expect(markdown).toContain("The interval includes zero: the direction is not settled");
  });

  it("takes limitations from the findings' own warnings and losses", () => {
    const limits = /### Limitations[\s\S]*?###/.exec(markdown)?.[0] ?? "";
    expect(limits).toContain("grip block − swing practice: the spread of the arms differs.");
    expect(limits).toContain("left out: 014 and 018");
    expect(limits).toContain(
      "The training log has no minutes. For this reason 1 finding is not answered.",
    );
    expect(markdown).toContain(
      "Not answered: lead-hand grip by session. The training log has no minutes.",
    );
    expect(limits).toContain("Golfers enrolled who are not in the primary comparison: 2");
  });

  it("leaves what only the author knows as a visible gap, and takes what the authors stated", () => {
    expect(markdown).toContain("[author: who paid, and what part they had]");
    expect(markdown).toContain("Twelve golfers per arm give a power of 80 %");
    expect(markdown).not.toContain("[author: how the number of golfers was chosen]");
  });

  it("cites the source of each method with its DOI, in the order of the text", () => {
    const numbers = [...markdown.matchAll(/\[(\d+(?:, \d+)*)\]/g)].flatMap(([, list]) =>
      list!.split(", ").map(Number),
    );
    const first = numbers.filter((number, i) => numbers.indexOf(number) === i);
    expect(first).toEqual([...first].sort((a, b) => a - b));
    expect(markdown).toContain("Vickers AJ, Altman DG (2001)");
    expect(markdown).toContain("doi:10.1136/bmj.323.7321.1123");
    expect(markdown).not.toContain("Wilcoxon");
  });

  it("is the same bytes for the same record", () => {
    const bytes = () =>
      Buffer.from(writeArchive(wordFiles(manuscriptDraft(sampleFacts())), facts.day));
    expect(bytes().equals(bytes())).toBe(true);
  });

  it("stays well-formed whatever a study writes, and invents no element", () => {
    const text = fc.oneof(
      fc.string({ maxLength: 20 }),
      fc.constantFrom("]]>", "<w:p/>", "&amp;", "\u0007"),
    );
    fc.assert(
      fc.property(text, text, (title, statement) => {
        const [question] = facts.questions;
        const claims = question!.claims.map((claim) => ({ ...claim, statement }));
        const hostile = { ...facts, questions: [{ ...question!, title, claims }] };
        const files = wordFiles(manuscriptDraft(hostile));
        const count = (xml: string) => xml.split("<w:p>").length;
        const plain = wordFiles(manuscriptDraft(facts)).get("word/document.xml")!;
        const xml = Buffer.from(files.get("word/document.xml")!).toString("utf8");
        readXml(xml, "document");
        expect(count(xml)).toBe(count(Buffer.from(plain).toString("utf8")));
      }),
      { seed: 19, numRuns: 25 },
    );
  });
});

describe("tags of numbers", () => {
  it("say study, finding, part and version", () => {
    const number = { study: "winter-block", id: "primary", part: "low", version: "1.3.0" };
    expect(tagText(number)).toBe("tautline:winter-block/primary/low@1.3.0");
    expect(readTag(tagText(number))).toEqual(number);
  });

  it("fit into the 64 characters that a word processor takes, and stay apart", () => {
    const of = (study: string, id: string) => ({
      study,
      id,
      part: "reference-12",
      version: "10.11.12",
    });
    const long = "a".repeat(110);
    const tags = [of(long, `${long}1`), of(long, `${long}2`), of("b", `${long}1`)].map(tagText);
    for (const tag of tags) expect(tag.length).toBeLessThanOrEqual(64);
    expect(new Set(tags).size).toBe(3);
    const back = readTag(tags[0]!)!;
    expect(numberKey(back)).toBe(numberKey(of(long, `${long}1`)));
  });

  it.each(["", "tautline:", "another:a/b/c@1", "tautline:a/b@1"])("leave %s alone", (text) => {
    expect(readTag(text)).toBeUndefined();
  });
});
