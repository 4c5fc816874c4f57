import { describe, expect, it } from "vitest";
import { readTag } from "../../lib/manuscript/number-tag.js";
import type { ManuscriptFacts } from "../../lib/manuscript/study-facts.js";
import { Editor } from "./edits.js";
import {
  compared,
  documentXml,
  edited,
  missedPlainNumbers,
  picture,
  sampleFacts,
  written,
  wrong,
} from "./sample.js";

const facts = sampleFacts();
const original = written(facts);
const tagsIn = (xml: string) => [...xml.matchAll(/<w:tag w:val="([^"]*)"/g)].map(([, tag]) => tag!);

/** The record after the analysis changed: one field of one finding. */
function changed(id: string, more: object): ManuscriptFacts {
  const [question] = facts.questions;
  const results = question!.results.map((one) => (one.id === id ? { ...one, ...more } : one));
  const versions = [...question!.versions, "1.3.0"];
  return { ...facts, questions: [{ ...question!, results, versions, version: "1.3.0" }] };
}

describe("a manuscript that came back", () => {
  it("agrees when nobody changed it", () => {
    const comparison = compared(facts, original);
    expect(comparison.agrees).toBe(true);
    expect(comparison.numbers).toHaveLength(tagsIn(documentXml(original)).length);
    expect(comparison.figures.map(({ state }) => state)).toEqual(["recorded"]);
  });

  it.each(Array.from({ length: 30 }, (_, i) => i + 1))(
    "shows a changed number (draw %i)",
    (seed) => {
      let how = "";
      let tag = "";
      const files = edited(original, (xml) => {
        const change = new Editor(seed).changeNumber(xml);
        ({ how, tag } = change);
        return change.xml;
      });
      const found = wrong(compared(facts, files));
      const { id, part } = readTag(tag)!;
      expect(
        found.map((one) => `${one.id}/${one.part}`),
        how,
      ).toEqual([`${id}/${part}`]);
    },
  );

  it.each([1, 2, 3, 4, 5])("raises no false alarm about words (draw %i)", (seed) => {
    const files = edited(original, (xml) => new Editor(seed).changeWords(xml));
    expect(documentXml(files)).toContain("reworded");
    expect(wrong(compared(facts, files))).toEqual([]);
  });

  it("shows every changed number that the draft has in its own words, without a tag", () => {
    const changes = Editor.plainNumberChanges(documentXml(original)).filter((_, i) => i % 4 === 0);
    expect(changes.length).toBeGreaterThan(10);
    expect(missedPlainNumbers(facts, original, changes)).toEqual([]);
  });

  it("leaves a passage alone whose words beside a number the author changed", () => {
    const reworded = edited(original, (xml) => xml.replace("at least 60 s of", "about 90 s of"));
    expect(documentXml(reworded)).toContain("about 90 s of");
    expect(wrong(compared(facts, reworded))).toEqual([]);
  });

  it("tells rows of the same words by their numbers and their place when tags are lost", () => {
    const [question] = facts.questions;
    const speed = question!.results.find(({ id }) => id === "speed")!;
    const weeks = [1, 2, 3].map((week) => {
      const title = `Speed and grip, week ${week}, correlation`;
      return {
        ...speed,
        id: `correlation-${week}`,
        title,
        value: week / 7,
        low: week / 9,
        high: week / 6,
      };
    });
    const results = [...question!.results, ...weeks];
    const more = { ...facts, questions: [{ ...question!, results }] };
    const bare = edited(written(more), (xml) =>
      xml.replace(/<w:sdt>.*?<w:sdtContent>(.*?)<\/w:sdtContent><\/w:sdt>/gs, "$1"),
    );
    expect(wrong(compared(more, bare))).toEqual([]);
    const typed = edited(bare, (xml) => xml.replace("week 2, correlation", "week 9, correlation"));
    expect(wrong(compared(more, typed)).map(({ inText, recorded }) => [inText, recorded])).toEqual([
      ["9", "2"],
    ]);
  });

  it("shows both texts and the place when the record moved on", () => {
    const found = wrong(compared(changed("primary", { value: 2.71 }), original));
    expect(found.map(({ part, inText, recorded }) => [part, inText, recorded])).toEqual([
      ["value", "2.4", "2.7"],
      ["value", "2.4", "2.7"],
    ]);
    expect(found[1]!.place).toMatch(/^paragraph \d+ under “What changed over the block\?”$/);
  });

  it("shows a statement whose ground is gone", () => {
    const comparison = compared(changed("primary", { low: -0.2 }), original);
    const words = wrong(comparison).filter(({ part }) => part === "above");
    expect(words).toHaveLength(2);
    expect(words[0]!.recorded).toBe("the interval includes zero");
  });

  it("finds numbers that lost their tags by the text around them", () => {
    const bare = edited(original, (xml) =>
      xml.replace(/<w:sdt>.*?<w:sdtContent>(.*?)<\/w:sdtContent><\/w:sdt>/gs, "$1"),
    );
    const comparison = compared(facts, bare);
    expect(wrong(comparison)).toEqual([]);
    const tags = tagsIn(documentXml(original)).map((tag) => readTag(tag)!);
    const words = ["above", "includes", "supported", "contradicted", "not-settled"];
    const numbers = tags.filter(({ part }) => !words.includes(part));
    expect(comparison.numbers.filter(({ isUntagged }) => isUntagged)).toHaveLength(numbers.length);
  });

  it("says which planned finding appears nowhere", () => {
    const files = edited(original, (xml) =>
      xml.replace(/<w:p>(?:(?!<\/w:p>).)*primary-swing(?:(?!<\/w:p>).)*<\/w:p>/gs, ""),
    );
    const comparison = compared(facts, files);
    expect(comparison.missing.map(({ id }) => id)).toEqual(["primary-swing"]);
    expect(comparison.agrees).toBe(false);
  });

  it("lists what somebody typed by hand, and takes it as a planned finding's appearance", () => {
    const typed = (text: string) => `<w:p><w:r><w:t>${text}</w:t></w:r></w:p><w:sectPr>`;
    const files = edited(original, (xml) =>
      xml
        .replace(/<w:p>(?:(?!<\/w:p>).)*primary-swing(?:(?!<\/w:p>).)*<\/w:p>/gs, "")
        .replace("<w:sectPr>", typed("Practice changed grip by −0.2 kgf, and speed by 88.1 mph.")),
    );
    const { typedByHand, missing } = compared(facts, files);
    expect(typedByHand.map(({ inText, sources }) => [inText, sources[0]?.id])).toEqual([
      ["−0.2 kgf", "primary-swing"],
      ["88.1 mph", undefined],
    ]);
    expect(missing).toEqual([]);
    expect(compared(facts, original).typedByHand).toEqual([]);
  });

  it("knows a replaced picture and one of an earlier record", () => {
    const files = new Map(original).set("word/media/every-golfer.png", picture(10));
    const replaced = compared(facts, files);
    expect(replaced.figures.map(({ state }) => state)).toEqual(["not recorded"]);
    const [question] = facts.questions;
    const figures = question!.figures.map((figure) => ({ ...figure, svg: "<svg/>" }));
    const moved = { ...facts, questions: [{ ...question!, figures }] };
    expect(compared(moved, original).figures.map(({ state }) => state)).toEqual(["earlier"]);
  });

  it("names a version that the record does not have", () => {
    const files = edited(original, (xml) => xml.replaceAll("@1.2.0", "@9.9.9"));
    expect(compared(facts, files).unknownVersions).toEqual([
      { notebook: "notebooks/spring-block/change.ipynb", version: "9.9.9" },
    ]);
  });

  it("notices another unit behind a number, and takes a range with a dash as a range", () => {
    const inNewtons = edited(original, (xml) => xml.replace("> kgf (", "> N ("));
    expect(wrong(compared(facts, inNewtons)).map(({ inText }) => inText)).toEqual(["2.4 N"]);
    const dashes = edited(original, (xml) => xml.replaceAll("> to <", ">–<"));
    expect(wrong(compared(facts, dashes))).toEqual([]);
  });

  it("reads a decimal comma and a plain hyphen as the same number", () => {
    const other = edited(original, (xml) =>
      xml.replace(/>2\.4</g, ">2,4<").replace(/>−0\.2</g, ">-0.2<"),
    );
    expect(documentXml(other)).toContain(">2,4<");
    expect(wrong(compared(facts, other))).toEqual([]);
  });

  it("says so when the record has no such number", () => {
    const files = edited(original, (xml) => xml.replace("/speed/value@", "/spede/value@"));
    expect(wrong(compared(facts, files)).map(({ id, state }) => [id, state])).toContainEqual([
      "spede",
      "unknown",
    ]);
  });
});
