import { createRequire } from "node:module";
import fc from "fast-check";
import { expect } from "vitest";
import { readStudy } from "../../lib/study/open.js";
import { winterBlock } from "../../lib/study/simulate/demo.js";
import { inventStudy } from "../../lib/study/simulate/simulate.js";
import { summariseGrip, summariseSpeed } from "../../lib/study/tables/summary.js";

const { files: winter } = inventStudy({
  ...winterBlock,
  arms: winterBlock.arms.map((arm) => ({ ...arm, people: 2 })),
  withdrawals: [],
  missedVisits: [],
  faults: [],
  otherUnits: [],
  setAside: {
    person: 1,
    occasion: "w6",
    hand: "lead",
    position: "seated",
    trial: 2,
    reason: "slipped",
    decidedOn: "2025-02-20",
  },
});
/** The same study as a lab may have it: a second file of grip with headings of its own, swings side by side. */
const foreign: Record<string, string> = (() => {
  const { "grip-trials.csv": grip = "", "swing-trials.csv": swings = "", ...rest } = winter;
  const [header = "", ...lines] = grip.trim().split("\n");
  const half = Math.floor(lines.length / 2);
  const titles = header.split(",").map((name) => `Their ${name}`);
  const [swingHeader = "", ...swingLines] = swings.trim().split("\n");
  const at = (name: string) => swingHeader.split(",").indexOf(name);
  const visits = new Map<string, string[]>();
  for (const line of swingLines) {
    const cells = line.split(",");
    const key = ["participant", "occasion", "club"].map((name) => cells[at(name)]).join(",");
    visits.set(key, [...(visits.get(key) ?? []), cells[at("speed")] ?? ""]);
  }
  const shots = [1, 2, 3, 4, 5, 6, 7, 8];
  const descriptor = JSON.parse(winter["datapackage.json"] ?? "{}");
  for (const resource of descriptor.resources)
    if (resource.name === "swing-trials")
      resource.reading = {
        constants: { unit: "mph", status: "valid" },
        wide: {
          valueColumn: "speed",
          columns: Object.fromEntries(shots.map((n) => [`Shot ${n}`, { swing: String(n) }])),
        },
      };
  descriptor.resources.push({
    name: "grip-second",
    kind: "grip-trials",
    path: "grip-b.csv",
    reading: {
      columns: Object.fromEntries(header.split(",").map((name) => [`Their ${name}`, name])),
      values: { status: { ok: "valid" } },
      leaveOut: { "Their participant": ["Mean"] },
    },
  });
  return {
    ...rest,
    "datapackage.json": JSON.stringify(descriptor),
    "grip-trials.csv": `${[header, ...lines.slice(0, half)].join("\n")}\n`,
    "grip-b.csv": `${[titles.join(","), ...lines.slice(half)].join("\n").replaceAll(",valid,", ",ok,")}\nMean${",".repeat(titles.length - 1)}\n`,
    "swing-trials.csv": `participant,occasion,club,${shots.map((n) => `Shot ${n}`).join(",")}\n${[
      ...visits,
    ]
      .map(([key, speeds]) => `${key},${shots.map((_, i) => speeds[i] ?? "").join(",")}`)
      .join("\n")}\n`,
  };
})();
const names = Object.keys(foreign);
const csvNames = names.filter((name) => name.endsWith(".csv"));
const book = createRequire(import.meta.url)("xlsx");

/** Texts that have broken readers of files before. */
const nasty = [
  "",
  " ",
  '"',
  '""',
  '"open',
  "a,b",
  "a;b",
  "a\nb",
  "\r",
  "\u0000",
  "\u0007",
  "\u202egnp",
  "\ufeff",
  "=1+1",
  '=HYPERLINK("http://example.org","x")',
  "@SUM(A1)",
  "+1",
  "-1",
  "−1",
  "–1",
  "1e400",
  "-1e400",
  "1e-400",
  "NaN",
  "Infinity",
  "0x1F",
  "1,5",
  "1.234,5",
  "1_000",
  "١٢",
  "99999999999999999999",
  "2025-02-30",
  "0000-00-00",
  "9999-12-31",
  "31.12.2025",
  "25:61",
  "24:00:00",
  "__proto__",
  "constructor",
  "toString",
  "hasOwnProperty",
  "null",
  "undefined",
  "true",
  "row 1",
  "row 999999999",
  "all",
  "<script>alert(1)</script>",
  "golfer@example.org",
  "+44 20 7946 0000",
  "😀",
  "e\u0301",
  "\ud800",
  "x".repeat(20_000),
  "kgf",
  "N",
  "lead",
  "../../etc/passwd",
  "C:\\x",
];

const hostileText = fc.oneof(
  fc.constantFrom(...nasty),
  fc.string({ unit: "binary", maxLength: 12 }),
);
/** Somewhere along a file, each place equally likely: the first line is not the most telling. */
const place = fc.noBias(fc.integer({ min: 0, max: 99_999 })).map((n) => n / 100_000);

type Bytes = Uint8Array;
type Change = (files: Map<string, Bytes>) => void;

const text = (bytes: Bytes) => new TextDecoder().decode(bytes);
const bytesOf = (one: string) => new TextEncoder().encode(one);
const at = (share: number, length: number) => Math.floor(share * Math.max(1, length));

/** A change of one CSV file as lines of cells. */
function onLines(change: (lines: string[][], where: number, across: number, word: string) => void) {
  return fc.tuple(fc.constantFrom(...csvNames), place, place, hostileText).map(
    ([name, where, across, word]): Change =>
      (files) => {
        const lines = text(files.get(name) ?? bytesOf(""))
          .split("\n")
          .map((line) => line.split(","));
        change(lines, where, across, word);
        files.set(name, bytesOf(lines.map((cells) => cells.join(",")).join("\n")));
      },
  );
}

const cell = onLines((lines, where, across, word) => {
  const line = lines[at(where, lines.length)]!;
  line[at(across, line.length)] = word;
});
const columnOfWords = onLines((lines, _, across, word) => {
  const c = at(across, lines[0]!.length);
  for (const line of lines.slice(1)) line[c] = word;
});
const headerCell = onLines((lines, _, across, word) => {
  lines[0]![at(across, lines[0]!.length)] = word;
});
const lostLine = onLines((lines, where) => {
  lines.splice(at(where, lines.length), 1);
});
const twiceLine = onLines((lines, where, across) => {
  lines.splice(at(across, lines.length), 0, [...lines[at(where, lines.length)]!]);
});
const lostCell = onLines((lines, where, across) => {
  const line = lines[at(where, lines.length)]!;
  line.splice(at(across, line.length), 1);
});
const lostColumn = onLines((lines, _, across) => {
  const c = at(across, lines[0]!.length);
  for (const line of lines) line.splice(c, 1);
});
const shuffledLine = onLines((lines, where, across) => {
  const [taken] = lines.splice(at(where, lines.length), 1);
  if (taken) lines.splice(at(across, lines.length), 0, taken);
});

/** Changes that know nothing of lines. */
const rawBytes = fc
  .tuple(fc.constantFrom(...names), place, fc.uint8Array({ maxLength: 40 }), fc.nat(40))
  .map(
    ([name, where, more, less]): Change =>
      (files) => {
        const bytes = files.get(name) ?? bytesOf("");
        const from = at(where, bytes.length);
        files.set(
          name,
          Uint8Array.from([...bytes.slice(0, from), ...more, ...bytes.slice(from + less)]),
        );
      },
  );
const cut = fc.tuple(fc.constantFrom(...names), place).map(
  ([name, where]): Change =>
    (files) => {
      const bytes = files.get(name) ?? bytesOf("");
      files.set(name, bytes.slice(0, at(where, bytes.length)));
    },
);
const gone = fc.constantFrom(...names).map(
  (name): Change =>
    (files) =>
      void files.delete(name),
);
const recoded = fc
  .tuple(
    fc.constantFrom(...csvNames),
    fc.constantFrom("semicolon", "tab", "crlf", "utf-16", "mark"),
  )
  .map(
    ([name, how]): Change =>
      (files) => {
        const one = text(files.get(name) ?? bytesOf(""));
        if (how === "semicolon") files.set(name, bytesOf(one.replaceAll(",", ";")));
        if (how === "tab") files.set(name, bytesOf(one.replaceAll(",", "\t")));
        if (how === "crlf") files.set(name, bytesOf(one.replaceAll("\n", "\r\n")));
        if (how === "mark") files.set(name, bytesOf(`\ufeff${one}`));
        if (how === "utf-16")
          files.set(name, new Uint8Array(Buffer.from(`\ufeff${one}`, "utf16le")));
      },
  );
const asWorkbook = fc.tuple(fc.constantFrom(...csvNames), place, fc.nat(30)).map(
  ([name, where, harm]): Change =>
    (files) => {
      const rows = text(files.get(name) ?? bytesOf("a"))
        .split("\n")
        .map((line) => line.split(",").map((one) => one.slice(0, 1000)));
      const record = { SheetNames: ["s"], Sheets: { s: book.utils.aoa_to_sheet(rows) } };
      const bytes = new Uint8Array(book.write(record, { type: "array", bookType: "xlsx" }));
      for (let i = 0; i < harm % 7; i++) bytes[at(where, bytes.length - 10) + i] = harm;
      files.set(name, bytes);
    },
);

/** Replaces one value somewhere in the descriptor. */
const descriptorValue = fc
  .tuple(place, fc.oneof(fc.jsonValue({ maxDepth: 2 }), hostileText, fc.constant(undefined)))
  .map(
    ([where, value]): Change =>
      (files) => {
        const root = parsed(files.get("datapackage.json"));
        if (root === null) return;
        const places = placesIn(root);
        const chosen = places[at(where, places.length)];
        if (!chosen) return;
        if (value === undefined) delete chosen.of[chosen.key];
        else chosen.of[chosen.key] = value;
        files.set("datapackage.json", bytesOf(JSON.stringify(root)));
      },
  );
const deepDescriptor = fc.constant<Change>((files) => {
  const deep = `${"[".repeat(50_000)}${"]".repeat(50_000)}`;
  files.set("datapackage.json", bytesOf(`{"resources":${deep},"study":{"arms":${deep}}}`));
});

function parsed(bytes: Bytes | undefined): Record<string, unknown> | null {
  // Not the one that is nested beyond all measure.
  if (bytes && bytes.length > 100_000) return null;
  try {
    const root = JSON.parse(text(bytes ?? bytesOf("")));
    return typeof root === "object" ? root : null;
  } catch {
    return null;
  }
}

type Spot = { of: Record<string, unknown>; key: string };

function placesIn(of: Record<string, unknown>): Spot[] {
  return Object.keys(of).flatMap((key) => {
    const value = of[key];
    const inner = typeof value === "object" && value !== null ? placesIn(value as never) : [];
    return [{ of, key }, ...inner];
  });
}

const change = fc.oneof(
  { weight: 200, arbitrary: cell },
  { weight: 25, arbitrary: columnOfWords },
  { weight: 8, arbitrary: headerCell },
  { weight: 30, arbitrary: lostLine },
  { weight: 30, arbitrary: twiceLine },
  { weight: 30, arbitrary: lostCell },
  { weight: 6, arbitrary: lostColumn },
  { weight: 30, arbitrary: shuffledLine },
  { weight: 20, arbitrary: rawBytes },
  { weight: 8, arbitrary: cut },
  { weight: 4, arbitrary: gone },
  { weight: 20, arbitrary: recoded },
  { weight: 20, arbitrary: asWorkbook },
  { weight: 30, arbitrary: descriptorValue },
  { weight: 1, arbitrary: deepDescriptor },
);

/** The files of a small simulated study after one to five harmful changes. */
export const mangledStudy = fc
  .tuple(fc.constantFrom(winter, foreign), fc.array(change, { minLength: 1, maxLength: 5 }))
  .map(([study, changes]) => {
    const files = new Map(Object.entries(study).map(([name, one]) => [name, bytesOf(one)]));
    for (const one of changes) one(files);
    return files;
  });

/** The mapped, wide and many-file study before any harm. */
export const soundForeignStudy = (): Map<string, Uint8Array> =>
  new Map(Object.entries(foreign).map(([name, one]) => [name, bytesOf(one)]));

/** No more records than lines, whatever the file is; a workbook's rows are not told by its lines. */
function mostRows(bytes: Bytes | undefined): number {
  if (!bytes) return 0;
  if (bytes[0] === 0x50 && bytes[1] === 0x4b) return 1_048_576;
  let lines = 1;
  for (const byte of bytes) if (byte === 10 || byte === 13) lines++;
  return lines;
}

/** What holds of every study, however harmed. */
export function holds(files: Map<string, Uint8Array>): void {
  const inspection = readStudy({ name: "mangled", files, faults: [] }, { today: "2026-01-01" });
  const { study, issues, setAside, account } = inspection;
  for (const { file, rows, used, setAside: left } of account) {
    const sum = left.reduce((total, one) => total + one.rows, 0);
    expect(used + sum, `account of ${file}`).toBe(rows);
    expect(setAside.filter((one) => one.file === file).length, `set-asides of ${file}`).toBe(sum);
    expect(
      left.every(({ reason }) => reason !== ""),
      `reasons in ${file}`,
    ).toBe(true);
  }
  for (const issue of issues) {
    expect(issue.row, issue.message).toBeGreaterThanOrEqual(0);
    expect(issue.row, issue.message).toBeLessThanOrEqual(
      mostRows(files.get(issue.file.replace(/, sheet .*$/s, ""))),
    );
    expect(issue.message.length).toBeGreaterThan(10);
    expect(/\p{Cc}/u.test(issue.message), issue.code).toBe(false);
  }
  expect(JSON.parse(JSON.stringify(issues))).toEqual(issues);
  expect(study === null).toBe(issues.some(({ severity }) => severity === "stop"));
  if (study) {
    const usedOf = (resource: string) =>
      account
        .filter((line) => line.resource === resource)
        .reduce((sum, line) => sum + line.used, 0);
    expect(study.gripTrials.totalRows()).toBe(usedOf("grip-trials"));
    expect(study.swingTrials.totalRows()).toBe(usedOf("swing-trials"));
    expect(study.participants.totalRows()).toBe(usedOf("participants"));
    const values = [...(study.gripTrials.array("force_kgf") as Iterable<number>)];
    expect(values.every(Number.isFinite)).toBe(true);
    summariseGrip(study, { rule: "mean3" });
    summariseSpeed(study, { rule: "mean" });
  }
  expect(Object.keys(Object.prototype)).toEqual([]);
}
