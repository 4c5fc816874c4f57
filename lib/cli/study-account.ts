import { createHash } from "node:crypto";
import { existsSync } from "node:fs";
import { join } from "node:path";
import type { ColumnTable } from "arquero";
import type {
  AccountFile,
  AccountPlan,
  ArmFlow,
  ArmTraining,
  PeopleFlow,
  StudyAccount,
} from "../report/study-account.js";
import { readStudyFiles, type StudyFiles } from "../study/files.js";
import { readStudy } from "../study/open.js";
import { gripRules, speedRules } from "../study/rules.js";
import type { Study } from "../study/study.js";

interface Person {
  readonly participant: string;
  readonly arm: string;
  readonly sex: string | null;
  readonly age_years: number | null;
  readonly plays: string | null;
  readonly withdrew_on: unknown;
  readonly withdrew_reason: string | null;
}

/** The studies that the notebooks name, as the report tells them; unreadable ones are left out. */
export function studyAccounts(root: string, names: readonly string[]): StudyAccount[] {
  return [...new Set(names)]
    .filter((name) => name !== "" && existsSync(join(root, "data", name, "datapackage.json")))
    .flatMap((name) => {
      const files = readStudyFiles(join(root, "data", name));
      const { study } = readStudy(files);
      return study ? [accountOf(study, files)] : [];
    });
}

function accountOf(study: Study, files: StudyFiles): StudyAccount {
  const descriptor = descriptorIn(files);
  const people = study.participants.objects() as Person[];
  return {
    name: study.name,
    title: study.title,
    question: study.question || undefined,
    simulated: study.simulated,
    licence: licenceOf(descriptor),
    design: study.design,
    plan: planOf(study),
    cautions: study.cautions,
    changes: study.changes,
    statements: statementsOf(descriptor),
    flow: flowOf(study, people),
    dates: datesOf(study),
    training: trainingOf(study),
    people: aboutPeople(people),
    files: filesOf(study, files),
    issues: study.issues,
    setAside: study.setAside,
  };
}

type Json = Record<string, unknown>;

function descriptorIn({ files }: StudyFiles): Json {
  const bytes = files.get("datapackage.json");
  return bytes ? (JSON.parse(new TextDecoder().decode(bytes)) as Json) : {};
}

function licenceOf({ licenses }: Json): string | undefined {
  const names = Array.isArray(licenses) ? licenses.map((one) => (one as Json).name) : [];
  return names.filter((name) => typeof name === "string").join(", ") || undefined;
}

/** What the authors state for reporting items: `study.statements` of the descriptor. */
function statementsOf({ study }: Json): Record<string, string> {
  const given = (study as Json | undefined)?.statements;
  const entries = Object.entries((given ?? {}) as Json);
  return Object.fromEntries(
    entries.filter((entry): entry is [string, string] => typeof entry[1] === "string"),
  );
}

function ruleText(rule: string | Readonly<Record<string, string>>): string {
  const title = (id: string) =>
    [...gripRules, ...speedRules].find((one) => one.id === id)?.title ?? id;
  if (typeof rule === "string") return title(rule);
  return Object.entries(rule)
    .map(([occasion, name]) => `${title(name)} in ${occasion}`)
    .join(", ");
}

function planOf({ plan, design }: Study): AccountPlan {
  const { primary, summaries } = plan;
  const week = (id: string) => {
    const found = design.occasions.find((occasion) => occasion.id === id);
    return found ? `week ${found.week}` : id;
  };
  const parts = primary && [
    `${primary.outcome}${primary.hand ? ` of the ${primary.hand} hand` : ""}`,
    primary.position && `in position ${primary.position}`,
    `from ${week(primary.before)} to ${week(primary.after)}`,
  ];
  return {
    decidedOn: plan.decidedOn || undefined,
    primary: parts && `${parts.filter(Boolean).join(" ")}: ${primary.contrast}`,
    gripRule: ruleText(summaries.grip),
    speedRule: ruleText(summaries.speed),
    level: plan.level,
    seed: plan.seed,
    smallestWorthwhile: plan.smallestWorthwhile ?? {},
  };
}

/** Who has at least one trial in use, occasion by occasion. */
function seenBy({ gripTrials, swingTrials }: Study): Map<string, Set<string>> {
  const seen = new Map<string, Set<string>>();
  for (const table of [gripTrials, swingTrials]) {
    for (const { participant, occasion } of rowsOf(table)) {
      const people = seen.get(occasion) ?? new Set();
      seen.set(occasion, people.add(participant));
    }
  }
  return seen;
}

function rowsOf(table: ColumnTable): { participant: string; occasion: string }[] {
  const named = table.columnNames();
  if (!named.includes("participant") || !named.includes("occasion")) return [];
  return table.select("participant", "occasion").objects() as never;
}

function flowOf(study: Study, people: readonly Person[]): PeopleFlow {
  const seen = seenBy(study);
  const arms = study.design.arms.map(({ id, title }) =>
    armFlow(
      study,
      title,
      people.filter(({ arm }) => arm === id),
      seen,
    ),
  );
  return { enrolled: people.length, arms };
}

function armFlow(
  { design }: Study,
  title: string,
  people: readonly Person[],
  seen: ReadonlyMap<string, ReadonlySet<string>>,
): ArmFlow {
  const occasions = [...design.occasions].sort((a, b) => a.week - b.week);
  const at = (occasion: string) =>
    people.filter(({ participant }) => seen.get(occasion)?.has(participant));
  const last = new Set(at(occasions.at(-1)!.id));
  const left = people.filter(({ withdrew_on, withdrew_reason }) => withdrew_on || withdrew_reason);
  return {
    title,
    enrolled: people.length,
    seen: occasions.map(({ id, title }) => ({ occasion: title, people: at(id).length })),
    withdrew: counted(left.map(({ withdrew_reason }) => withdrew_reason || "no reason given")).map(
      ([reason, count]) => ({ reason, people: count }),
    ),
    analysed: at(occasions[0]!.id).filter((person) => last.has(person)).length,
  };
}

function counted(values: readonly string[]): [string, number][] {
  const counts = new Map<string, number>();
  for (const value of values) counts.set(value, (counts.get(value) ?? 0) + 1);
  return [...counts];
}

function shares(label: string, values: readonly (string | null)[]) {
  const known = values.filter((value): value is string => !!value);
  const says = counted(known).map(([value, count]) => `${count} ${value}`);
  return known.length ? [{ label, says: says.join(", ") }] : [];
}

function aboutPeople(people: readonly Person[]): StudyAccount["people"] {
  const ages = people.map(({ age_years }) => age_years).filter((age) => typeof age === "number");
  const span = ages.length
    ? [{ label: "Age", says: `${Math.min(...ages)} to ${Math.max(...ages)} years` }]
    : [];
  const sexes = people.map(({ sex }) => sex);
  const sides = people.map(({ plays }) => plays && `${plays}-sided`);
  return [...span, ...shares("Sex", sexes), ...shares("Plays", sides)];
}

function datesOf({ gripTrials, swingTrials }: Study): StudyAccount["dates"] {
  const days = [gripTrials, swingTrials].flatMap((table) =>
    table.columnNames().includes("date") ? (table.array("date") as (string | null)[]) : [],
  );
  const known = days.filter((day) => typeof day === "string").sort();
  return known.length ? { first: known[0]!, last: known.at(-1)! } : undefined;
}

interface Bout {
  readonly participant: string;
  readonly arm: string;
  readonly minutes: number | null;
  readonly completed: string | null;
  readonly discomfort: string | null;
}

function trainingOf({ trainingLog, design }: Study): ArmTraining[] {
  if (trainingLog.totalRows() === 0 || !trainingLog.columnNames().includes("completed")) return [];
  const bouts = trainingLog.objects() as Bout[];
  return design.arms.flatMap(({ id, title }) => {
    const own = bouts.filter(({ arm }) => arm === id);
    return own.length ? [armTraining(title, own)] : [];
  });
}

function armTraining(title: string, own: readonly Bout[]): ArmTraining {
  const done = own.filter(({ completed }) => completed === "yes");
  const minutes = done
    .map((bout) => bout.minutes)
    .filter((value) => typeof value === "number")
    .sort((a, b) => a - b);
  return {
    title,
    people: new Set(own.map(({ participant }) => participant)).size,
    logged: own.length,
    completed: done.length,
    discomfort: own.filter(({ discomfort }) => discomfort && discomfort !== "none").length,
    minutes: minutes[Math.floor((minutes.length - 1) / 2)],
  };
}

function filesOf({ account }: Study, { files }: StudyFiles): AccountFile[] {
  return [...files].map(([path, bytes]) => {
    const line = account.find(({ file }) => file === path);
    return {
      path,
      rows: line?.rows ?? 0,
      used: line?.used ?? 0,
      setAside: line?.setAside ?? [],
      sha256: createHash("sha256").update(bytes).digest("hex"),
      bytes: bytes.length,
    };
  });
}
