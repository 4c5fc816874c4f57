import { deflateSync } from "node:zlib";
import { stampedFigure } from "../../lib/manuscript/figure-stamp.js";
import {
  compareManuscript,
  type ManuscriptComparison,
} from "../../lib/manuscript/manuscript-comparison.js";
import { manuscriptDraft } from "../../lib/manuscript/manuscript-draft.js";
import { returnedPackage } from "../../lib/manuscript/returned-package.js";
import { returnedText } from "../../lib/manuscript/returned-text.js";
import type { ManuscriptFacts, ResultFacts } from "../../lib/manuscript/study-facts.js";
import { wordFiles } from "../../lib/manuscript/word-draft.js";
import type { RecordedFinding } from "../../lib/show/finding-record.js";

/** A grey picture of 4 × 3 pixels. @see PNG specification, third edition, section 11 */
export function picture(shade: number): Uint8Array {
  const header = Buffer.from([0, 0, 0, 4, 0, 0, 0, 3, 8, 0, 0, 0, 0]);
  const rows = Buffer.concat(
    Array.from({ length: 3 }, () => Buffer.from([0, ...Array(4).fill(shade)])),
  );
  return Buffer.concat([
    Buffer.from([0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a]),
    chunk("IHDR", header),
    chunk("IDAT", deflateSync(rows)),
    chunk("IEND", Buffer.alloc(0)),
  ]);
}

function chunk(type: string, body: Buffer): Buffer {
  const length = Buffer.alloc(4);
  length.writeUInt32BE(body.length);
  return Buffer.concat([length, Buffer.from(type, "latin1"), body, Buffer.alloc(4)]);
}

const result = (id: string, more: Partial<ResultFacts>): ResultFacts => ({
  id,
  title: id,
  unit: "kgf",
  count: { n: 24, of: "golfers" },
  method: "analysis of covariance",
  planned: false,
  warnings: [],
  changesConclusion: [],
  leaving: "person",
  references: [],
  ...more,
});

const svg = (what: string) =>
  `<svg xmlns="http://www.w3.org/2000/svg"><title>${what}</title></svg>`;

const primaryFinding: RecordedFinding = {
  kind: "finding",
  id: "primary",
  title: "Lead-hand grip at address, week 6: grip block − swing practice",
  measure: {
    outcome: "grip",
    name: "Lead-hand grip at address",
    hand: "lead",
    position: "address",
  },
  visits: { before: { title: "Before", week: 0 }, at: { title: "After", week: 6 } },
  rule: "median of all trials",
  value: 2.364,
  unit: "kgf",
  count: { n: 24, of: "golfers" },
  method: "analysis of covariance",
  sentence: "Lead-hand grip at address, week 6: 2.4 kgf.",
};

/** An invented study of two arms with a planned finding, others, and claims of every state. */
export function sampleFacts(): ManuscriptFacts {
  const figure = { id: "every-golfer", file: "every-golfer", svg: svg("golfers") };
  return {
    study: {
      name: "spring-block",
      title: "Spring block",
      version: "1.0.0",
      question: "Does a grip block raise grip strength more than swing practice?",
      simulated: true,
      licence: "CC0-1.0",
      design: {
        arms: [{ title: "Grip block" }, { title: "Swing practice", control: true }],
        occasions: [
          { week: 0, title: "Before" },
          { week: 6, title: "After" },
        ],
        hands: ["lead", "trail"],
        positions: [{ title: "At address", how: "Standing as if to a ball" }],
        clubs: ["driver"],
        gripTrials: 3,
        swings: 8,
        restSeconds: 60,
      },
      plan: {
        decidedOn: "2025-01-06",
        primary: "grip of the lead hand, week 6",
        gripRule: "Mean of the first three trials",
        speedRule: "Mean of all swings",
        level: 0.95,
        seed: 7,
        smallestWorthwhile: { grip_kgf: 1.5 },
        correctsCalibration: false,
      },
      changes: [{ on: "2025-02-01", what: "Six swings", why: "Hail" }],
      cautions: ["Stop at once if it hurts."],
      statements: { "consort 16a": "Twelve golfers per arm give a power of 80 %" },
      flow: {
        enrolled: 26,
        analysedWords: "in the primary comparison",
        arms: [
          {
            title: "Grip block",
            enrolled: 13,
            seen: [
              { occasion: "Before", people: 13 },
              { occasion: "After", people: 12 },
            ],
            withdrew: [{ reason: "moved away", people: 1, after: "Before", before: "After" }],
            analysed: 12,
          },
          {
            title: "Swing practice",
            enrolled: 13,
            seen: [
              { occasion: "Before", people: 13 },
              { occasion: "After", people: 12 },
            ],
            withdrew: [{ reason: "ill", people: 1 }],
            analysed: 12,
          },
        ],
      },
      baseline: [
        {
          label: "Age",
          unit: "years",
          cells: [
            { mean: 44.21, sd: 12.08, n: 13 },
            { mean: 46.9, sd: 11.3, n: 13 },
          ],
        },
        { label: "Sex: female", unit: "", cells: [{ count: 5 }, { count: 4 }] },
      ],
      dates: { first: "2025-01-13", last: "2025-02-28" },
      training: [{ title: "Grip block", people: 13, logged: 230, completed: 210, discomfort: 6 }],
      devices: [{ device: "D1", n: 12, worstPercent: 2.04, accepted: true }],
      setAside: [{ reason: "stopped for pain", rows: 2 }],
      done: {
        primary: [primaryFinding],
        participants: [],
        departures: ["Rule: planned mean of all trials, used median of all trials."],
        rules: [{ outcome: "grip", rule: "median of all trials", findings: 3 }],
        planned: 2,
        notPlanned: 3,
      },
    },
    questions: [
      {
        notebook: "notebooks/spring-block/change.ipynb",
        title: "What changed over the block?",
        version: "1.2.0",
        versions: ["1.0.0", "1.1.0", "1.2.0"],
        results: [
          result("primary", {
            title: "Lead-hand grip at address, week 6: grip block − swing practice",
            ...{ value: 2.364, low: 0.512, high: 4.183, level: 0.95, p: 0.0141, planned: true },
            changesConclusion: ["014", "018"],
            references: [{ name: "Smallest worthwhile change", value: 1.5 }],
          }),
          result("primary-swing", {
            title: "Lead-hand grip at address: change, swing practice",
            ...{ value: -0.242, low: -1.318, high: 0.871, level: 0.95, planned: true },
            count: { n: 12, of: "golfers" },
            method: "paired t",
          }),
          result("speed", {
            title: "Driver speed, week 6: grip block − swing practice",
            ...{ value: 1.562, low: 0.381, high: 2.741, level: 0.95, p: 0.00042, unit: "mph" },
            warnings: ["The spread of the arms differs."],
          }),
          result("responders", {
            title: "Golfers whose rise exceeds the minimal detectable change",
            ...{ value: 3, unit: "", method: "counting" },
            count: { n: 12, of: "golfers" },
          }),
          result("dose", {
            title: "Lead-hand grip by session",
            unanswered: "The training log has no minutes.",
          }),
        ],
        claims: [
          claim("more-than-control", "The block raised grip more than practice did.", "supported"),
          claim("worthwhile", "The rise exceeds the smallest worthwhile change.", "not settled"),
          claim("no-harm", "The block lowered club speed.", "contradicted"),
        ],
        figures: [
          {
            ...figure,
            caption: "Grip of every golfer before and after the block.",
            alt: "Lines that mostly rise.",
            png: stampedFigure(picture(90), { study: "spring-block", ...figure }),
          },
        ],
      },
    ],
    checklist: [
      { guideline: "consort", id: "14", matter: "Outcomes" },
      { guideline: "cert", id: "8", matter: "Each exercise" },
    ],
    programs: [{ name: "tautline", version: "0.2.0" }],
    day: "2025-03-01",
  };
}

function claim(id: string, statement: string, support: string) {
  return { id, statement, finding: "primary", support, planned: true };
}

/** A document as the files of its package. */
export type Files = ReadonlyMap<string, Uint8Array>;

/** The manuscript of a record. */
export function written(facts: ManuscriptFacts): Files {
  return wordFiles(manuscriptDraft(facts));
}

const mainPart = "word/document.xml";

/** The document after a change of its main part. */
export function edited(files: Files, change: (xml: string) => string): Files {
  return new Map(files).set(mainPart, Buffer.from(change(documentXml(files)), "utf8"));
}

/** The main part of a document. */
export function documentXml(files: Files): string {
  return Buffer.from(files.get(mainPart)!).toString("utf8");
}

/** A returned document beside the record. */
export function compared(facts: ManuscriptFacts, files: Files): ManuscriptComparison {
  const text = returnedText(returnedPackage(files, "returned.docx"));
  return compareManuscript(facts, manuscriptDraft(facts), text);
}

/** What a comparison found that an author must look at. */
export function wrong(comparison: ManuscriptComparison) {
  return comparison.numbers.filter(({ state }) => state !== "agrees");
}

/** Of changes of a number that has no tag, those that a comparison does not report as the one fault. */
export function missedPlainNumbers(
  facts: ManuscriptFacts,
  original: Files,
  changes: readonly { readonly xml: string; readonly how: string }[],
): string[] {
  return changes.flatMap(({ xml, how }) => {
    const found = wrong(
      compared(
        facts,
        edited(original, () => xml),
      ),
    );
    return found.length === 1 && found[0]?.id === "~text" ? [] : [how];
  });
}
