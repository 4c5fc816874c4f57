import { withOutcomes } from "../../lib/analysis/study-outcomes.js";
import * as tautline from "../../lib/index.js";
import { onDisplay } from "../../lib/show/display.js";
import { readStudy } from "../../lib/study/open.js";
import type { StudyOutline } from "../../lib/study/package/study-outline.js";
import { winterBlock } from "../../lib/study/simulate/demo.js";
import { inventStudy } from "../../lib/study/simulate/simulate.js";
import type { SimulationOptions } from "../../lib/study/simulate/simulation.js";
import type { Study } from "../../lib/study/study.js";
import { studyNotebooks } from "../../lib/workspace/notebook-set/study-notebooks.js";

/** A study of a random design: its text files, and the study read from them. */
export interface RandomStudy {
  readonly files: Readonly<Record<string, string>>;
  readonly study: Study;
  readonly outline: StudyOutline;
}

/** Park and Miller's generator: the test's own, so that it shares nothing with the library. */
export function numbersFrom(seed: number): () => number {
  let state = (seed % 2147483646) + 1;
  return () => {
    state = (state * 48271) % 2147483647;
    return state / 2147483647;
  };
}

const optional = ["training-log.csv", "swing-trials.csv", "calibration.csv", "swing-grip.csv"];

/** Options of a study with 1 to 4 arms, 1 to 5 visits and 3 to 60 people who may leave. */
export function randomOptions(seed: number): SimulationOptions {
  const next = numbersFrom(seed);
  const whole = (from: number, to: number) => from + Math.floor(next() * (to - from + 1));
  const armCount = whole(1, 4);
  const people = whole(Math.max(3, armCount), 60);
  const hasControl = next() < 0.7;
  const arms = Array.from({ length: armCount }, (_, i) => ({
    id: `arm${i}`,
    title: `Arm ${i}`,
    ...(hasControl && armCount > 1 && i === armCount - 1 ? { control: true } : {}),
    people: Math.max(1, Math.floor((people + i) / armCount)),
    gripGainPercent: 3 * i,
    speedGainMph: i,
    // in every third study nobody of the control arm trains
    sessionsPerWeek: hasControl && i === armCount - 1 && seed % 3 === 0 ? 0 : 3,
    minutes: 15,
  }));
  const visits = whole(1, 5);
  // The simulator makes two visits or more; of a study with one the second is taken away again
  const weeks = [0, 3, 6, 10, 16].slice(0, Math.max(2, visits));
  const occasions = weeks.map((week) => ({ id: `w${week}`, week, title: `Week ${week}` }));
  const positions = winterBlock.positions.slice(0, whole(1, 3));
  const last = occasions[visits - 1]!.id;
  const withdrawals = arms.flatMap(({ id, people: own }) =>
    Array.from({ length: own }, (_, place) => place)
      .filter(() => occasions.length > 1 && next() < 0.12)
      .map((place) => ({
        arm: id,
        place,
        after: occasions[whole(0, occasions.length - 2)]!.id,
        reason: "moved away",
      })),
  );
  return {
    ...winterBlock,
    name: `random-${seed}`,
    seed,
    arms,
    occasions,
    positions,
    withdrawals,
    missedVisits: [],
    faults: [],
    otherUnits: [],
    setAside: undefined,
    changes: [],
    plan: {
      ...winterBlock.plan,
      primary: {
        ...(next() < 0.8
          ? { outcome: "grip", hand: "lead", position: positions[0]!.id, unit: "kgf" }
          : { outcome: "speed", unit: "mph" }),
        before: occasions[0]!.id,
        after: last,
        contrast: "arm against control",
      },
    },
  } as unknown as SimulationOptions;
}

/** A study of these options, of which some trials and some files are lost at random. */
export function randomStudy(seed: number, options = randomOptions(seed), lost = 0.08): RandomStudy {
  const next = numbersFrom(seed + 77);
  const made = inventStudy(options);
  const isSpeed = options.plan.primary?.outcome === "speed";
  const absent = new Set(
    optional.filter(
      (file) => lost > 0 && next() < 0.25 && !(isSpeed && file === "swing-trials.csv"),
    ),
  );
  const files: Record<string, string> = {};
  for (const [path, text] of Object.entries(made.files)) {
    if (absent.has(path)) continue;
    const [head, ...lines] = text.trimEnd().split("\n");
    const { before, after } = options.plan.primary!;
    const hasOneVisit = before === after;
    const there = lines.filter((line) => !hasOneVisit || !line.includes(",w3,"));
    const kept = /trials/.test(path) ? there.filter(() => next() >= lost) : lines;
    files[path] = path.endsWith(".csv") ? `${[head, ...kept].join("\n")}\n` : text;
  }
  const descriptor = JSON.parse(files["datapackage.json"]!);
  descriptor.resources = descriptor.resources.filter(
    ({ path }: { path: string }) => !absent.has(path),
  );
  const { primary } = descriptor.study.plan;
  if (primary.before === primary.after) descriptor.study.occasions.splice(1);
  files["datapackage.json"] = JSON.stringify(descriptor);
  return opened(options.name, files);
}

/** A study read from its files, as if they lay on the disk. */
export function opened(name: string, files: Readonly<Record<string, string>>): RandomStudy {
  const bytes = new Map(
    Object.entries(files).map(([path, text]) => [path, new TextEncoder().encode(text)]),
  );
  const { study, issues } = readStudy({ name, files: bytes, faults: [] });
  if (!study) throw new Error(issues.map(({ message }) => message).join("\n"));
  const { resources } = JSON.parse(files["datapackage.json"]!);
  const { title, design, plan } = study;
  const kinds = resources.map(({ name: kind }: { name: string }) => kind);
  return { files, study, outline: { name, title, design, plan, resources: kinds } };
}

/** What a notebook shows, by kind and id. */
export interface Shown {
  readonly kind: string;
  readonly id?: string;
  readonly planned?: boolean;
  readonly value?: number;
  readonly unanswered?: string;
  readonly arms?: { readonly first: string; readonly second?: string };
  readonly low?: number;
  readonly high?: number;
}

/** Runs the notebooks of a study in this process: the code of their cells, with their imports. */
export function runNotebooks({ study, outline }: RandomStudy): Record<string, Shown[]> {
  const known: Record<string, unknown> = { ...tautline, openStudy: () => withOutcomes(study) };
  return Object.fromEntries(
    studyNotebooks(outline).map(({ name, cells }) => {
      const code = cells.filter(({ type }) => type === "code").map(({ source }) => source);
      const body = code.join("\n").replace(/^import \{([^}]*)\} from "tautline";$/m, (_, names) => {
        for (const imported of names.split(","))
          if (imported.trim() && !(imported.trim() in known))
            throw new Error(`${name}: tautline has no ${imported.trim()}`);
        return "";
      });
      const shown: Shown[] = [];
      const stop = onDisplay((bundle) => {
        const [type] = Object.keys(bundle.data).filter((one) => one.includes("tautline"));
        if (type) shown.push(bundle.data[type] as Shown);
      });
      try {
        new Function(...Object.keys(known), `"use strict";\n${body}`)(...Object.values(known));
      } catch (error) {
        throw new Error(`${name} of ${outline.name}: ${(error as Error).message}`, {
          cause: error,
        });
      } finally {
        stop();
      }
      return [name, shown];
    }),
  );
}

/** Rows of a CSV text without quotes, by the names of its first line. */
function rowsOf(text: string): Record<string, string>[] {
  const [head = "", ...lines] = text.trim().split("\n");
  const names = head.split(",");
  return lines.map((line) => {
    const fields = line.split(",");
    return Object.fromEntries(names.map((name, i) => [name, fields[i] ?? ""]));
  });
}

/** Mean of the trials of each golfer at a visit, from the raw rows: nothing of the library. */
export function meansFromRows({ files, outline }: RandomStudy, visit: string): Map<string, number> {
  const { primary } = outline.plan;
  const people = new Map(rowsOf(files["participants.csv"]!).map((row) => [row.participant!, row]));
  const isSpeed = primary!.outcome === "speed";
  const rows = rowsOf(files[isSpeed ? "swing-trials.csv" : "grip-trials.csv"]!);
  const found = new Map<string, number[]>();
  for (const row of rows) {
    if (row.occasion !== visit || row.status !== "valid") continue;
    if (!isSpeed) {
      const leads = people.get(row.participant!)!.plays === "right" ? "left" : "right";
      const hand = row.hand === leads ? "lead" : row.hand === "lead" ? "lead" : "trail";
      if (hand !== primary!.hand || row.position !== primary!.position || Number(row.trial) > 3)
        continue;
    }
    const value = Number(isSpeed ? row.speed : row.force);
    found.set(row.participant!, [...(found.get(row.participant!) ?? []), value]);
  }
  return new Map(
    [...found].map(([who, values]) => [who, values.reduce((a, b) => a + b, 0) / values.length]),
  );
}

/** The planned differences between arms by normal equations, or the mean change of the only arm. */
export function directEstimates(random: RandomStudy): Map<string, number> {
  const { outline, files } = random;
  const { before, after } = outline.plan.primary!;
  const [first, last] = [meansFromRows(random, before), meansFromRows(random, after)];
  const rows = rowsOf(files["participants.csv"]!).flatMap(({ participant, arm }) => {
    const [x, y] = [first.get(participant!), last.get(participant!)];
    return x === undefined || y === undefined ? [] : [{ arm: arm!, x, y }];
  });
  const arms = outline.design.arms.map(({ id }) => id);
  if (arms.length === 1) {
    const mean = rows.reduce((sum, { x, y }) => sum + y - x, 0) / rows.length;
    return new Map([[arms[0]!, mean]]);
  }
  // y = mean of the arm + common slope × (x − mean of the arm): the pooled within-arm slope
  const groups = arms.map((id) => rows.filter(({ arm }) => arm === id));
  const meanOf = (own: typeof rows, of: "x" | "y") =>
    own.reduce((sum, row) => sum + row[of], 0) / own.length;
  let [sxy, sxx] = [0, 0];
  for (const own of groups) {
    const [mx, my] = [meanOf(own, "x"), meanOf(own, "y")];
    for (const { x, y } of own) {
      sxy += (x - mx) * (y - my);
      sxx += (x - mx) ** 2;
    }
  }
  const adjusted = groups.map((own) => meanOf(own, "y") - (sxy / sxx) * meanOf(own, "x"));
  return new Map(arms.map((id, i) => [id, adjusted[i]!]));
}

/** A planned estimate as the notebooks show it, and as the raw rows give it. */
export interface Compared {
  readonly quantity: string;
  readonly found: number;
  readonly direct: number;
}

/**
 * Runs all notebooks of a random study and checks what must hold for any: the account of rows
 * balances, ids are unique, and every finding of a change or comparison says whether it was planned.
 * @returns the planned estimates to compare, none where the study cannot answer
 */
export function checkRandomStudy(seed: number): Compared[] {
  const random = randomStudy(seed);
  const { study, outline } = random;
  for (const { file, rows, used } of study.account) {
    const lines = random.files[file]!.trim().split("\n").length - 1;
    const aside = new Set(study.setAside.filter((one) => one.file === file).map(({ row }) => row));
    if (rows !== lines || used + aside.size !== rows)
      throw new Error(
        `${file}: ${lines} lines, ${rows} read, ${used} used, ${aside.size} set aside`,
      );
  }
  const shown = runNotebooks(random);
  for (const [name, outputs] of Object.entries(shown)) {
    const ids = outputs.flatMap(({ kind, id }) => (id === undefined ? [] : `${kind} ${id}`));
    const twice = ids.filter((id, i) => ids.indexOf(id) !== i);
    if (twice.length > 0) throw new Error(`${name} shows ${twice.join(", ")} more than once`);
  }
  const primary = (shown["3-change"] ?? []).filter(
    ({ kind, id }) => kind === "finding" && (id === "primary" || id?.startsWith("primary-arm")),
  );
  const direct = directEstimates(random);
  const arms = outline.design.arms;
  const control = arms.find((arm) => arm.control);
  return primary.flatMap(({ id, value, arms: named }) => {
    if (value === undefined || !Number.isFinite(value)) return [];
    const first = arms.find(({ title }) => title === named?.first)!;
    const second = arms.find(({ title }) => title === named?.second);
    if (control && second && second !== control) throw new Error(`${id} is not against control`);
    const other = second ? direct.get(second.id)! : 0;
    return [
      { quantity: `${outline.name} ${id}`, found: value, direct: direct.get(first.id)! - other },
    ];
  });
}
