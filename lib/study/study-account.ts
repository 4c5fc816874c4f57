import { createHash } from "node:crypto";
import { join } from "node:path";
import { descriptorName, isStudy, readStudyFiles, type StudyFiles } from "./files.js";
import { readStudy } from "./open.js";
import { isRecord, type Json } from "./package/json.js";
import { readDescriptor } from "./package/read-descriptor.js";
import type { Study } from "./study.js";
import { measuredDays, type PeopleFlow, peopleFlow, whoTookPart } from "./tables/flow.js";
import { ruleTitle } from "./tables/measures.js";
import { type ArmTraining, trainingByArm } from "./tables/training-by-arm.js";

/** A study as the report shows it: plain JSON made from the opened study. */
export interface StudyAccount {
  readonly name: string;
  readonly title: string;
  readonly question?: string | undefined;
  /** The data were made by a simulator. */
  readonly simulated: boolean;
  readonly licence?: string | undefined;
  readonly design: AccountDesign;
  readonly plan: AccountPlan;
  readonly cautions: readonly string[];
  readonly changes: readonly { readonly on: string; readonly what: string; readonly why: string }[];
  /** What the study's authors state for a reporting item, by its name: "consort 2", "cert 7a". */
  readonly statements: Readonly<Record<string, string>>;
  readonly flow: PeopleFlow;
  /** First and last day on which anything was measured. */
  readonly dates?: { readonly first: string; readonly last: string } | undefined;
  /** What the training log holds, arm by arm. */
  readonly training: readonly ArmTraining[];
  readonly people: readonly { readonly label: string; readonly says: string }[];
  readonly files: readonly AccountFile[];
  readonly issues: readonly AccountIssue[];
  readonly setAside: readonly AccountSetAside[];
}

export interface AccountDesign {
  readonly arms: readonly {
    readonly id: string;
    readonly title: string;
    readonly control?: boolean | undefined;
  }[];
  readonly occasions: readonly {
    readonly id: string;
    readonly week: number;
    readonly title: string;
  }[];
  readonly hands: readonly string[];
  readonly positions: readonly {
    readonly id: string;
    readonly title: string;
    readonly how?: string | undefined;
  }[];
  readonly clubs: readonly string[];
  readonly gripTrials: number;
  readonly swings: number;
  readonly restSeconds?: number | undefined;
}

export interface AccountPlan {
  readonly decidedOn?: string | undefined;
  readonly primary?: string | undefined;
  readonly gripRule: string;
  readonly speedRule: string;
  readonly level: number;
  readonly seed: number;
  readonly smallestWorthwhile: Readonly<Record<string, number>>;
}

export interface AccountFile {
  readonly path: string;
  readonly rows: number;
  readonly used: number;
  readonly setAside: readonly { readonly reason: string; readonly rows: number }[];
  readonly sha256: string;
  readonly bytes: number;
}

export interface AccountIssue {
  readonly severity: string;
  readonly file: string;
  readonly row: number;
  readonly column: string;
  readonly message: string;
  readonly value: string;
  readonly expected: string;
}

export interface AccountSetAside {
  readonly file: string;
  readonly row: number;
  readonly participant: string;
  readonly what: string;
  readonly reason: string;
}

/** The named studies below the root as the report shows them; unreadable ones are left out. */
export function studyAccounts(root: string, names: readonly string[]): StudyAccount[] {
  return [...new Set(names)]
    .filter((name) => name !== "" && isStudy(join(root, "data", name, descriptorName)))
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

function descriptorIn({ files }: StudyFiles): Json {
  const bytes = files.get(descriptorName);
  const descriptor = bytes && readDescriptor(bytes);
  return isRecord(descriptor) ? descriptor : {};
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
