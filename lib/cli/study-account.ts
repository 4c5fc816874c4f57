import { createHash } from "node:crypto";
import { existsSync } from "node:fs";
import { join } from "node:path";
import type { AccountFile, AccountPlan, StudyAccount } from "../report/study-account.js";
import { readStudyFiles, type StudyFiles } from "../study/files.js";
import { readStudy } from "../study/open.js";
import type { Study } from "../study/study.js";
import { measuredDays, peopleFlow, whoTookPart } from "../study/tables/flow.js";
import { ruleTitle } from "../study/tables/measures.js";
import { trainingByArm } from "../study/tables/training-by-arm.js";

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
    flow: peopleFlow(study),
    dates: measuredDays(study),
    training: trainingByArm(study),
    people: aboutPeople(study),
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
  if (typeof rule === "string") return ruleTitle(rule);
  return Object.entries(rule)
    .map(([occasion, name]) => `${ruleTitle(name)} in ${occasion}`)
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

function aboutPeople(study: Study): StudyAccount["people"] {
  const { ages, sex, plays } = whoTookPart(study);
  const shares = (label: string, says: string[]) =>
    says.length > 0 ? [{ label, says: says.join(", ") }] : [];
  return [
    ...shares("Age", ages ? [`${ages.least} to ${ages.most} years`] : []),
    ...shares(
      "Sex",
      sex.map(({ value, people }) => `${people} ${value}`),
    ),
    ...shares(
      "Plays",
      plays.map(({ value, people }) => `${people} ${value}-sided`),
    ),
  ];
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
