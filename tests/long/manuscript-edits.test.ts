import { describe, expect, it } from "vitest";
import { readTag } from "../../lib/manuscript/number-tag.js";
import { Editor } from "../manuscript/edits.js";
import {
  compared,
  documentXml,
  edited,
  missedPlainNumbers,
  sampleFacts,
  written,
  wrong,
} from "../manuscript/sample.js";

describe("a manuscript edited at random", () => {
  const facts = sampleFacts();
  const original = written(facts);

  it("200 changed numbers: none is missed", () => {
    const missed: string[] = [];
    for (let seed = 1001; seed <= 1200; seed++) {
      let change = { xml: "", tag: "", how: "" };
      const files = edited(original, (xml) => {
        change = new Editor(seed).changeNumber(xml);
        return change.xml;
      });
      const { id, part } = readTag(change.tag)!;
      const found = wrong(compared(facts, files)).map((one) => `${one.id}/${one.part}`);
      if (found.join() !== `${id}/${part}`) missed.push(`${seed}: ${change.how}: ${found}`);
    }
    expect(missed).toEqual([]);
  });

  it("every number without a tag, changed by itself: none is missed", () => {
    const changes = Editor.plainNumberChanges(documentXml(original));
    expect(missedPlainNumbers(facts, original, changes)).toEqual([]);
  });

  it("200 manuscripts with changed words: no false alarm", () => {
    const alarms = Array.from({ length: 200 }, (_, i) => {
      const files = edited(original, (xml) => new Editor(2001 + i).changeWords(xml));
      return wrong(compared(facts, files)).length;
    });
    expect(alarms.filter((count) => count > 0)).toEqual([]);
  });
});
