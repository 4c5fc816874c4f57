import { mkdirSync, mkdtempSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { type RecordedNotebook, readNotebooks } from "../../lib/report/recorded.js";
import { changeStrip } from "../../lib/show/change-strip.js";
import { claim } from "../../lib/show/claim.js";
import { type DisplayBundle, onDisplay } from "../../lib/show/display.js";
import { boxPlot, histogram } from "../../lib/show/distribution.js";
import { figure } from "../../lib/show/figure.js";
import { finding } from "../../lib/show/finding.js";
import { forestPlot } from "../../lib/show/forest.js";
import { pairedDots } from "../../lib/show/people.js";
import { prose } from "../../lib/show/prose.js";
import { agreementPlot, fittedScatter } from "../../lib/show/relation.js";
import { slopePlot } from "../../lib/show/slope-plot.js";
import { table } from "../../lib/show/table.js";
import type { StudyAccount } from "../../lib/study/study-account.js";
import { notebookPaths } from "../../lib/workspace/notebook-files.js";

/** What a cell holds and what it shows when the sample is made. */
export interface SampleCell {
  readonly markdown?: string;
  readonly code?: string;
  readonly shows?: () => void;
  /** Outputs as they stand, to plant what our functions would never write. */
  readonly outputs?: readonly object[];
}

/** A recorded notebook made by the show functions themselves. */
export function sampleNotebook(study: string, cells: readonly SampleCell[]): object {
  return {
    nbformat: 4,
    nbformat_minor: 5,
    metadata: {
      tautline: {
        version: "1.0",
        study,
        changes: [{ version: "1.0", date: "2026-01-10", what: "first" }],
      },
    },
    cells: cells.map((cell, i) => {
      const base = { id: `c${i + 1}`, metadata: {} };
      if (cell.markdown !== undefined) {
        return { ...base, cell_type: "markdown", source: cell.markdown };
      }
      const outputs = [...recorded(cell.shows), ...(cell.outputs ?? [])];
      return { ...base, cell_type: "code", source: cell.code ?? "", execution_count: i, outputs };
    }),
  };
}

function recorded(shows: (() => void) | undefined): object[] {
  const bundles: DisplayBundle[] = [];
  const restore = onDisplay((bundle) => bundles.push(bundle));
  try {
    shows?.();
  } finally {
    restore();
  }
  return bundles.map((bundle) => ({ output_type: "display_data", ...bundle }));
}

/** A root folder with these notebooks in it. */
export function sampleRoot(notebooks: Readonly<Record<string, object>>): string {
  const root = mkdtempSync(join(tmpdir(), "report-"));
  mkdirSync(join(root, "notebooks"));
  for (const [name, notebook] of Object.entries(notebooks)) {
    writeFileSync(join(root, "notebooks", name), JSON.stringify(notebook));
  }
  return root;
}

/** Invented values without chance: the same in every run. */
function spread(middle: number, width: number, count: number, phase = 0): number[] {
  return Array.from({ length: count }, (_, i) => {
    const turn = Math.sin((i + 1) * 12.9898 + phase) * 43758.5453;
    return Math.round((middle + width * (turn - Math.floor(turn) - 0.5) * 2) * 10) / 10;
  });
}

const force = { quantity: "Grip force", unit: "kgf" };
const speed = { quantity: "Club speed", unit: "mph" };
const interval = (low: number, high: number) => ({ low, high, level: 0.95, method: "t" });
const before = spread(40, 7, 13);
const after = before.map((value, i) => value + spread(2.6, 2, 13, 3)[i]!);
const before2 = spread(39, 7, 13, 5);
const after2 = before2.map((value, i) => value + spread(0.4, 1.5, 13, 7)[i]!);
const grip = spread(40, 10, 26);
const mph = grip.map(
  (value, i) => Math.round((62 + 0.8 * value + spread(0, 7, 26, 9)[i]!) * 10) / 10,
);
const codes = Array.from({ length: 13 }, (_, i) => `G${String(i + 1).padStart(2, "0")}`);

const lead = () =>
  finding({
    id: "lead-address-change",
    title: "Lead-hand grip at address: change",
    value: 2.641,
    low: 1.881,
    high: 3.377,
    unit: "kgf",
    count: { n: 12, of: "golfers" },
    method: "paired t",
    source: {
      files: ["grip-trials.csv", "participants.csv"],
      rowsUsed: 72,
      setAside: [
        { reason: "device fault", rows: 2 },
        { reason: "stopped for pain", rows: 1 },
      ],
      participants: codes,
    },
    leaveOneOut: { low: 2.31, high: 2.88, changesConclusion: [] },
    references: [
      { name: "smallest worthwhile change", value: 1.6 },
      { name: "minimal detectable change", value: 4.1 },
    ],
  });

const value = (id: string, says: string, v: number, low: number, high: number, unit: string) =>
  finding({
    id,
    title: says,
    value: v,
    low,
    high,
    unit,
    count: { n: 24, of: "golfers" },
    method: "Welch t, trained − control",
  });

const figureCells: SampleCell[] = [
  () =>
    pairedDots({
      arms: [
        { name: "grip block", before, after, participant: codes },
        { name: "swing practice", before: before2, after: after2, role: "control" },
      ],
      occasions: ["week 0", "week 6"],
      ...force,
    }),
  () =>
    changeStrip({
      groups: [
        {
          name: "grip block",
          changes: after.map((v, i) => v - before[i]!),
          estimate: { value: 2.6, interval: interval(1.9, 3.4) },
        },
        {
          name: "swing practice",
          changes: after2.map((v, i) => v - before2[i]!),
          estimate: { value: 0.4, interval: interval(-0.3, 1.1) },
          role: "control",
        },
      ],
      quantity: "Change of grip force",
      unit: "kgf",
      references: [{ says: "smallest worthwhile", value: 1.6 }],
    }),
  () =>
    fittedScatter({
      groups: [{ name: "golfers", x: grip, y: mph }],
      line: [30, 35, 40, 45, 50].map((x) => ({
        x,
        y: 62 + 0.8 * x,
        mean: interval(61 + 0.8 * x - Math.abs(x - 40) / 6, 63 + 0.8 * x + Math.abs(x - 40) / 6),
        single: interval(54 + 0.8 * x, 70 + 0.8 * x),
      })),
      x: force,
      y: speed,
    }),
  () =>
    slopePlot({
      people: codes.map((participant, i) => ({
        participant,
        x: [grip[i]!, grip[i]! + 2, grip[i]! + 3],
        y: [mph[i]!, mph[i]! + 0.6, mph[i]! + 1.4],
        slope: 0.4,
        intercept: mph[i]! - 0.4 * grip[i]!,
      })),
      x: force,
      y: speed,
      role: "speed",
    }),
  () =>
    agreementPlot({
      means: before,
      differences: spread(0.2, 3, 13, 2),
      bias: { value: 0.2, interval: interval(-0.6, 1) },
      lower: { value: -3.6, interval: interval(-4.6, -2.6) },
      upper: { value: 4, interval: interval(3, 5) },
      ...force,
    }),
  () =>
    forestPlot({
      rows: [
        { label: "women", estimate: { value: 2.2, interval: interval(1, 3.4) } },
        { label: "men", estimate: { value: 2.9, interval: interval(1.8, 4) }, role: "trail" },
      ],
      quantity: "Change of grip force",
      unit: "kgf",
    }),
  () =>
    boxPlot({
      groups: [
        { name: "lead hand", values: before, participant: codes },
        { name: "trail hand", values: before2, participant: codes, role: "trail" },
      ],
      ...force,
    }),
  () =>
    histogram({
      values: spread(2.6, 1.2, 300, 1),
      ...force,
      counted: "resamples",
      binWidth: 0.2,
      references: [{ says: "estimate", value: 2.6 }],
    }),
].map((make, i) => ({
  code: `figure({ id: "figure-${i + 1}", … });`,
  shows: () => {
    figure({
      id: `figure-${i + 1}`,
      ...make(),
      caption: `Every golfer is a dot; the interval is drawn beside them (figure ${i + 1}).`,
      alt: `Dots for thirteen golfers, most of them higher in week 6 than in week 0; figure ${i + 1}.`,
    });
  },
}));

const changeCells: SampleCell[] = [
  {
    markdown:
      "# What changed over the block\n\nThe question is whether *six weeks* of grip work change grip force more than swing practice does.\n\n## Lead hand\n\n- trained against control\n- every golfer drawn",
  },
  {
    code: 'const study = openStudy("winter-block");\nconst grip = summariseGrip(study, { rule: "mean3" });\nfinding({ id: "lead-address-change", title: "Lead-hand grip at address: change", estimate, unit: "kgf", count: { n, of: "golfers" } });',
    shows: () => {
      const found = lead();
      claim({
        statement: "The lead hand gained 1 kgf or more.",
        finding: found,
        relation: "is above",
        bound: 1,
      });
      claim({
        id: "three",
        statement: "The lead hand gained 3 kgf or more.",
        finding: found,
        relation: "is above",
        bound: 3,
      });
    },
  },
  {
    code: "difference",
    shows: () => {
      value("trail-address-change", "Trail-hand grip at address: change", 1.82, 0.95, 2.69, "kgf");
      value(
        "lead-difference",
        "Lead hand, trained − control: difference of changes",
        2.2,
        1.04,
        3.37,
        "kgf",
      );
      value("lead-percent", "Lead-hand grip at address: change in percent", 6.9, 4.8, 9.1, "%");
      value("speed-change", "Club speed: change", -0.42, -1.31, 0.48, "mph");
      value("baseline", "Lead-hand grip at week 0: mean", 41.3, 38.2, 44.4, "kgf");
    },
  },
  ...figureCells.slice(0, 3),
  {
    code: "table(…)",
    shows: () => {
      table({
        id: "changes",
        rows: codes.map((code, i) => ({
          code,
          before: before[i]!,
          after: after[i]!,
          note: i === 3 ? null : "",
        })),
        columns: [
          { name: "code", label: "Golfer" },
          { name: "before", label: "Week 0", unit: "kgf", digits: 1 },
          { name: "after", label: "Week 6", unit: "kgf", digits: 1 },
          { name: "note", label: "Note" },
        ],
        caption: "Lead-hand grip of every golfer.",
      });
      prose("Of 26 golfers 24 came back in week 6.");
    },
  },
];

export const changeNotebook = () => sampleNotebook("winter-block", changeCells);

/** A page with twelve figures, as many as the first paint is measured with. */
export const figureNotebook = () =>
  sampleNotebook("winter-block", [
    { markdown: "# Does grip go with speed?\n\nBetween golfers and within golfers." },
    ...[...figureCells, ...figureCells.slice(0, 4)].map((cell, i) => ({
      ...cell,
      outputs: recorded(cell.shows).map((output) => renamed(output, i)),
      shows: () => undefined,
    })),
  ]);

function renamed(output: object, i: number): object {
  return JSON.parse(JSON.stringify(output).replaceAll(/"figure-\d+"/g, `"plot-${i + 1}"`));
}

export const sampleAccount: StudyAccount = {
  name: "winter-block",
  title: "Winter block",
  question:
    "Do six weeks of grip work change grip force and club speed more than swing practice does?",
  simulated: true,
  licence: "CC0-1.0",
  design: {
    arms: [
      { id: "grip", title: "grip block" },
      { id: "swing", title: "swing practice", control: true },
    ],
    occasions: [
      { id: "w0", week: 0, title: "week 0" },
      { id: "w3", week: 3, title: "week 3" },
      { id: "w6", week: 6, title: "week 6" },
    ],
    hands: ["lead", "trail"],
    positions: [{ id: "address", title: "address", how: "as at the ball" }],
    clubs: ["driver"],
    gripTrials: 3,
    swings: 8,
    restSeconds: 60,
  },
  plan: {
    decidedOn: "2025-10-01",
    primary: "change of lead-hand grip at address, grip block against swing practice",
    gripRule: "mean3",
    speedRule: "mean",
    level: 0.95,
    seed: 20251001,
    smallestWorthwhile: { grip: 1.6 },
  },
  cautions: ["Two golfers asked for a smaller handle: change it with the same allen key."],
  changes: [{ on: "2025-11-02", what: "Week 3 moved by two days", why: "snow" }],
  statements: { "consort 5a": "No funding: invented study." },
  flow: {
    kind: "peopleFlow",
    enrolled: 26,
    compared: ["week 0", "week 6"],
    arms: [
      {
        title: "grip block",
        enrolled: 13,
        seen: [
          { occasion: "week 0", people: 13, missed: 0 },
          { occasion: "week 3", people: 13, missed: 0 },
          { occasion: "week 6", people: 12, missed: 0 },
        ],
        participants: Array.from({ length: 13 }, (_, i) => `G${i + 1}`),
        withdrew: [{ reason: "moved away", people: 1, after: "week 3", before: "week 6" }],
        atBothVisits: 12,
      },
      {
        title: "swing practice",
        enrolled: 13,
        seen: [
          { occasion: "week 0", people: 13, missed: 0 },
          { occasion: "week 3", people: 12, missed: 0 },
          { occasion: "week 6", people: 12, missed: 0 },
        ],
        participants: Array.from({ length: 13 }, (_, i) => `S${i + 1}`),
        withdrew: [
          { reason: "wrist injury at work", people: 1, after: "week 0", before: "week 3" },
        ],
        atBothVisits: 12,
      },
    ],
  },
  dates: { first: "2025-10-06", last: "2025-11-19" },
  training: [
    {
      kind: "armTraining",
      title: "grip block",
      people: 13,
      logged: 230,
      completed: 201,
      discomfort: 9,
      minutes: 14,
    },
  ],
  people: [{ label: "Age", says: "19 to 74 years" }],
  files: [
    {
      path: "grip-trials.csv",
      rows: 1404,
      used: 1398,
      setAside: [{ reason: "device fault", rows: 6 }],
      sha256: "a".repeat(64),
      bytes: 80_000,
    },
    {
      path: "datapackage.json",
      rows: 0,
      used: 0,
      setAside: [],
      sha256: "b".repeat(64),
      bytes: 4000,
    },
  ],
  issues: [
    {
      severity: "ask",
      file: "grip-trials.csv",
      row: 17,
      column: "force",
      message: "120 kgf is more than most people squeeze; is the unit right?",
      value: "120",
      expected: "0 to 100 kgf",
    },
  ],
  setAside: [
    {
      file: "grip-trials.csv",
      row: 44,
      participant: "G07",
      what: "lead, address, trial 2",
      reason: "device fault",
    },
  ],
};

/** The recorded notebooks of a folder with notebooks/ and data/. */
export function recordedIn(root: string): RecordedNotebook[] {
  return readNotebooks(root, notebookPaths(root));
}
