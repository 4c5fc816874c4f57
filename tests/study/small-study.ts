import type { StudyFiles } from "../../lib/study/files.js";
import { readStudy } from "../../lib/study/open.js";

/** A study small enough to be read at a glance: two golfers, two occasions, one position. */
export const descriptor = {
  name: "two-golfers",
  title: "Two golfers",
  resources: [
    { name: "participants", path: "participants.csv" },
    { name: "grip-trials", path: "grip-trials.csv" },
    { name: "swing-trials", path: "swing-trials.csv" },
  ] as Record<string, unknown>[],
  study: {
    title: "Two golfers",
    arms: [{ id: "grip" }, { id: "swing", control: true }],
    occasions: [
      { id: "w0", week: 0 },
      { id: "w6", week: 6 },
    ],
    positions: [{ id: "address" }],
    clubs: ["driver"],
    gripTrials: 2,
    swings: 7,
    plan: { summaries: { grip: "mean2", speed: "mean" }, level: 0.95, seed: 1 },
  } as Record<string, unknown>,
};

export const participants = `participant,arm,sex,age_years,plays
007,grip,female,40,right
042,swing,male,52,left
`;

/** 007 is right-sided, 042 left-sided; two trials a hand on each occasion. */
export const gripTrials = `participant,occasion,date,hand,position,handle_mm,device,trial,force,unit,status,note
007,w0,2025-01-06,left,address,50,D1,1,28.0,kgf,valid,
007,w0,2025-01-06,left,address,50,D1,2,29.0,kgf,valid,
007,w0,2025-01-06,right,address,50,D1,1,30.0,kgf,valid,
007,w0,2025-01-06,right,address,50,D1,2,31.0,kgf,valid,
007,w6,2025-02-17,left,address,50,D1,1,30.0,kgf,valid,
007,w6,2025-02-17,left,address,50,D1,2,31.0,kgf,valid,
007,w6,2025-02-17,right,address,50,D1,1,32.0,kgf,valid,
007,w6,2025-02-17,right,address,50,D1,2,33.0,kgf,valid,
042,w0,2025-01-07,left,address,55,D1,1,44.0,kgf,valid,
042,w0,2025-01-07,left,address,55,D1,2,45.0,kgf,valid,
042,w0,2025-01-07,right,address,55,D1,1,46.0,kgf,valid,
042,w0,2025-01-07,right,address,55,D1,2,47.0,kgf,valid,
042,w6,2025-02-18,left,address,55,D1,1,44.5,kgf,valid,
042,w6,2025-02-18,left,address,55,D1,2,45.5,kgf,valid,
042,w6,2025-02-18,right,address,55,D1,1,46.5,kgf,valid,
042,w6,2025-02-18,right,address,55,D1,2,47.5,kgf,valid,
`;

const visits = [
  ["007", "w0", "2025-01-06", 80],
  ["007", "w6", "2025-02-17", 82],
  ["042", "w0", "2025-01-07", 92],
  ["042", "w6", "2025-02-18", 93],
] as const;

/** Seven swings a visit, from half a mph below to one above the visit's speed. */
export const swingTrials = `participant,occasion,date,club,swing,speed,unit,status,note
${visits
  .flatMap(([id, occasion, date, mph]) =>
    [0, 0.5, -0.5, 1, 0, 0.5, -0.5].map(
      (more, i) =>
        `${id},${occasion},${date},driver,${i + 1},${(mph + more).toFixed(1)},mph,valid,`,
    ),
  )
  .join("\n")}
`;

export interface Parts {
  descriptor?: unknown;
  participants?: string | Uint8Array;
  gripTrials?: string | Uint8Array;
  swingTrials?: string | Uint8Array;
  /** Further files by their path. */
  more?: Record<string, string | Uint8Array>;
}

const bytesOf = (part: string | Uint8Array) =>
  typeof part === "string" ? new TextEncoder().encode(part) : part;

/** The small study with some of its files exchanged, as bytes. */
export function filesOf(parts: Parts = {}): StudyFiles {
  const described = parts.descriptor ?? descriptor;
  const all: Record<string, string | Uint8Array> = {
    "datapackage.json": typeof described === "string" ? described : JSON.stringify(described),
    "participants.csv": parts.participants ?? participants,
    "grip-trials.csv": parts.gripTrials ?? gripTrials,
    "swing-trials.csv": parts.swingTrials ?? swingTrials,
    ...parts.more,
  };
  const files = new Map(Object.entries(all).map(([path, part]) => [path, bytesOf(part)]));
  return { name: "two-golfers", files, faults: [] };
}

export const inspect = (parts: Parts = {}, today?: string) =>
  readStudy(filesOf(parts), today === undefined ? {} : { today });

/** The small study's descriptor with another resource list or study record. */
export function described(change: {
  resources?: (list: Record<string, unknown>[]) => Record<string, unknown>[];
  study?: Record<string, unknown>;
}): unknown {
  return {
    ...descriptor,
    resources: change.resources?.(descriptor.resources) ?? descriptor.resources,
    study: { ...descriptor.study, ...change.study },
  };
}

/** One resource of the descriptor with further properties. */
export function withResource(name: string, properties: Record<string, unknown>): unknown {
  return described({
    resources: (list) => list.map((one) => (one.name === name ? { ...one, ...properties } : one)),
  });
}

/** A file with one line exchanged; lines are counted from 1, as issues count rows. */
export function withLine(text: string, line: number, replacement: string): string {
  return text
    .split("\n")
    .map((old, i) => (i === line - 1 ? replacement : old))
    .join("\n");
}
