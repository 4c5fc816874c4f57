import { mkdtempSync, readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { journalWidths, writeFlowFiles } from "../../lib/report/figure-files.js";
import { flowData, flowDrawing } from "../../lib/report/flow-drawing.js";
import { fontLetters } from "../../lib/report/font-metrics.js";
import { textWidth } from "../../lib/report/letter-widths.js";
import { analysisDone } from "../../lib/show/analysis-done.js";
import { studyAccounts } from "../../lib/study/study-account.js";

const [study] = studyAccounts(process.cwd(), ["winter-block"]);
const { flow, plan, title } = study!;
const done = analysisDone(plan, []);

/** A spreadsheet reader that is not ours. */
const xlsx = createRequire(import.meta.url)("xlsx") as {
  read(text: string, options: object): { Sheets: Record<string, object> };
  utils: { sheet_to_json(sheet: object, options: object): Record<string, string>[] };
};
const raw = readFileSync("data/winter-block/participants.csv", "utf8");
const people = xlsx.utils.sheet_to_json(
  Object.values(xlsx.read(raw, { type: "string", raw: true }).Sheets)[0]!,
  { defval: "" },
);

describe("the flow of participants as a file", () => {
  it("has a row for each box, with the golfers that the raw files have", () => {
    const { columns, rows } = flowData(flow, done);
    expect(columns).toEqual(["arm", "step", "golfers", "reason"]);
    const ofArm = (arm: string) => people.filter((one) => one.arm === arm);
    for (const [arm, id] of [
      ["Grip block", "grip"],
      ["Swing practice", "swing"],
    ] as const) {
      const own = rows.filter(([name]) => name === arm);
      expect(own[0]).toEqual([arm, `enrolled: ${arm}`, ofArm(id).length, ""]);
      const left = own.filter(([, step]) => String(step).startsWith("withdrew"));
      expect(left.map(([, , count, reason]) => [count, reason])).toEqual(
        ofArm(id)
          .filter((one) => one.withdrew_on !== "")
          .map((one) => [1, one.withdrew_reason]),
      );
    }
  });

  it.each([321, 661])("has every word inside its box, %i px wide", (width) => {
    const svg = flowDrawing(
      { flow, done, title },
      { width, background: "#ffffff", letters: fontLetters },
    );
    const numbers = (pattern: RegExp) =>
      [...svg.matchAll(pattern)].map((match) => match.slice(1, 5).map(Number));
    const boxes = numbers(
      /<rect x="([\d.]+)" y="([\d.]+)" width="([\d.]+)" height="([\d.]+)"/g,
    ).slice(1);
    expect(boxes).toHaveLength(1 + flowData(flow, done).rows.length);
    const texts = [...svg.matchAll(/<text x="([\d.]+)" y="([\d.]+)">([^<]*)</g)];
    expect(texts.length).toBeGreaterThan(boxes.length);
    for (const [, atX, atY, words = ""] of texts) {
      const [x, y] = [Number(atX), Number(atY)];
      const end = x + textWidth(words, { size: 11.3, bold: false }, fontLetters);
      const around = boxes.find(
        ([left = 0, top = 0, wide = 0, high = 0]) =>
          left < x && left + wide > end && top < y - 8 && top + high > y + 2,
      );
      expect(around, words).toBeDefined();
    }
  });

  it("is written as SVG and PNG of a column's width on the colour asked for, and as CSV", () => {
    const out = mkdtempSync(join(tmpdir(), "flow-"));
    const files = writeFlowFiles([{ study: study!, done }], {
      out,
      width: journalWidths.one,
      dpi: 300,
      background: "#f4f1ea",
      formats: ["svg", "png", "csv"],
    });
    expect(files.map((file) => file.slice(out.length + 1))).toEqual([
      "winter-block/flow.csv",
      "winter-block/flow-one-column.svg",
      "winter-block/flow-one-column.png",
    ]);
    const svg = readFileSync(files[1]!, "utf8");
    expect(svg).toMatch(/viewBox="0 0 321 \d+" width="85mm" height="[\d.]+mm"/);
    expect(svg).toContain('fill="#f4f1ea"');
    // 85 mm at 300 dots per inch
    expect(readFileSync(files[2]!).readUInt32BE(16)).toBe(1004);
  });
});
