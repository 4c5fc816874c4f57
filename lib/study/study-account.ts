import { createHash } from "node:crypto";
import { join } from "node:path";
import { present } from "../entry.js";
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
  /** Name of the study's folder. */
  readonly name: string;
  /** Title of the study, as a reader sees it. */
  readonly title: string;
  /** The question that the study asks, as a sentence. */
  readonly question?: string | undefined;
  /** The data were made by a simulator. */
  readonly simulated: boolean;
  /** Licence of the data, as the descriptor states it. */
  readonly licence?: string | undefined;
  /** What was going to be measured, in whom and when. */
  readonly design: AccountDesign;
  /** What was going to be reported, decided before the data were seen. */
  readonly plan: AccountPlan;
  /** Sentences about safety and limits that are shown with the data. */
  readonly cautions: readonly string[];
  /** Changes to the plan, each with its day and reason. */
  readonly changes: readonly { readonly on: string; readonly what: string; readonly why: string }[];
  /** What the study's authors state for a reporting item, by its name: "consort 2", "cert 7a". */
  readonly statements: Readonly<Record<string, string>>;
  /** Participants from enrolment to analysis, by arm. */
  readonly flow: PeopleFlow;
  /** First and last day on which anything was measured. */
  readonly dates?: { readonly first: string; readonly last: string } | undefined;
  /** What the training log holds, arm by arm. */
  readonly training: readonly ArmTraining[];
  /** Who took part, as short lines: label and text. */
  readonly people: readonly { readonly label: string; readonly says: string }[];
  /** The files, with their rows and hashes. */
  readonly files: readonly AccountFile[];
  /** Everything that the check found. */
  readonly issues: readonly AccountIssue[];
  /** Rows that no analysis uses. */
  readonly setAside: readonly AccountSetAside[];
}

/** The design of the study: arms, visits and what is measured on each. */
export interface AccountDesign {
  /** The arms of the study. */
  readonly arms: readonly {
    readonly id: string;
    readonly title: string;
    readonly control?: boolean | undefined;
  }[];
  /** The visits, in order. */
  readonly occasions: readonly {
    readonly id: string;
    readonly week: number;
    readonly title: string;
  }[];
  /** Hands that are measured. */
  readonly hands: readonly string[];
  /** Positions in which grip is measured. */
  readonly positions: readonly {
    readonly id: string;
    readonly title: string;
    readonly how?: string | undefined;
  }[];
  /** Clubs that are swung. */
  readonly clubs: readonly string[];
  /** Trials planned per golfer, occasion, hand and position. */
  readonly gripTrials: number;
  /** Swings planned per golfer and occasion. */
  readonly swings: number;
  /** Least rest between two trials of one hand, in seconds. */
  readonly restSeconds?: number | undefined;
}

/** The analysis plan, with outcome and rules in words. */
export interface AccountPlan {
  /** Day on which the plan was decided, ISO. */
  readonly decidedOn?: string | undefined;
  /** The primary outcome in words. */
  readonly primary?: string | undefined;
  /** The primary comparison field by field, to set the one that was made beside it. */
  readonly comparison?: PlannedComparison | undefined;
  /** How grip trials become one value, in words. */
  readonly gripRule: string;
  /** How swings become one value, in words. */
  readonly speedRule: string;
  /** Confidence level of the intervals, as a fraction such as 0.95. */
  readonly level: number;
  /** Seed of the random numbers: the same seed gives the same result. */
  readonly seed: number;
  /** Smallest worthwhile change by outcome, in the unit of the outcome. */
  readonly smallestWorthwhile: Readonly<Record<string, number>>;
}

/** The primary comparison as the plan names it. */
export interface PlannedComparison {
  /** What is measured. */
  readonly outcome: "grip" | "speed";
  /** The hand, where the plan names one. */
  readonly hand?: "lead" | "trail" | undefined;
  /** Id of the position, where the plan names one. */
  readonly position?: string | undefined;
  /** How trials become one value, in words. */
  readonly rule: string;
  /** Week of the visit before training. */
  readonly before: number;
  /** Week of the visit after it. */
  readonly after: number;
}

/** One file of the study: its rows, hash and size. */
export interface AccountFile {
  /** Path inside the study folder. */
  readonly path: string;
  /** Rows of the file, the header not counted. */
  readonly rows: number;
  /** Rows that analyses use. */
  readonly used: number;
  /** Rows that no analysis uses, by reason. */
  readonly setAside: readonly { readonly reason: string; readonly rows: number }[];
  /** SHA-256 of the file, hexadecimal. */
  readonly sha256: string;
  /** Size of the file, bytes. */
  readonly bytes: number;
}

/** One thing found in a file. */
export interface AccountIssue {
  /** Whether it stops the check, sets the row aside, asks a person to decide, or only informs. */
  readonly severity: string;
  /** File inside the study folder. */
  readonly file: string;
  /** Row that a spreadsheet shows; 0 for the file as a whole. */
  readonly row: number;
  /** Name of the column; "" where the row or the file as a whole is meant. */
  readonly column: string;
  /** What is wrong and what to do, in a sentence. */
  readonly message: string;
  /** What stands there, shortened to one line. */
  readonly value: string;
  /** What should be there instead, in words. */
  readonly expected: string;
}

/** A row that no analysis uses, and why. */
export interface AccountSetAside {
  /** File inside the study folder. */
  readonly file: string;
  /** Row that a spreadsheet shows. */
  readonly row: number;
  /** Code of the golfer as the file has it. */
  readonly participant: string;
  /** Which trial it is, in words. */
  readonly what: string;
  /** Why no analysis uses the row, in a clause. */
  readonly reason: string;
}

/** The named studies below the root as the report shows them; unreadable ones are left out. */
export function studyAccounts(root: string, names: readonly string[]): StudyAccount[] {
  return [...new Set(names)]
    .filter((name) => name !== "" && isStudy(join(root, "data", name, descriptorName)))
    .flatMap((name) => {
      const files = readStudyFiles(join(root, "data", name));
      const { study } = readStudy(files);
      return study ? [studyAccount(study, files)] : [];
    });
}

/** One study, as it was read from these files, as the report shows it. */
export function studyAccount(study: Study, files: StudyFiles): StudyAccount {
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

function ruleText({ plan }: Study, outcome: "grip" | "speed"): string {
  const rule = plan.summaries[outcome];
  if (typeof rule === "string") return ruleTitle(outcome, rule);
  const names = Object.values(rule);
  if (new Set(names).size === 1) return ruleTitle(outcome, present(names[0]));
  return Object.entries(rule)
    .map(([occasion, name]) => `${ruleTitle(outcome, name)} in ${occasion}`)
    .join(", ");
}

function comparisonOf(study: Study): PlannedComparison | undefined {
  const { plan, design } = study;
  if (!plan.primary) return undefined;
  const { outcome, hand, position, before, after } = plan.primary;
  const week = (id: string) => design.occasions.find((occasion) => occasion.id === id)?.week;
  const weeks = [week(before), week(after)];
  if (weeks[0] === undefined || weeks[1] === undefined) return undefined;
  const rule = ruleText(study, outcome);
  return { outcome, hand, position, rule, before: weeks[0], after: weeks[1] };
}

function planOf(study: Study): AccountPlan {
  const { plan, design } = study;
  const { primary } = plan;
  const week = (id: string) => {
    const found = design.occasions.find((occasion) => occasion.id === id);
    return found ? `week ${found.week}` : id;
  };
  const positionTitle = (id: string) =>
    design.positions.find((position) => position.id === id)?.title ?? id;
  const parts = primary && [
    `${primary.outcome}${primary.hand ? ` of the ${primary.hand} hand` : ""}`,
    primary.position && `in position “${positionTitle(primary.position)}”`,
    `from ${week(primary.before)} to ${week(primary.after)}`,
  ];
  return {
    decidedOn: plan.decidedOn || undefined,
    primary: parts && `${parts.filter(Boolean).join(" ")}: ${primary.contrast}`,
    comparison: comparisonOf(study),
    gripRule: ruleText(study, "grip"),
    speedRule: ruleText(study, "speed"),
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
