import type { SeveralRules } from "../analysis/specifications.js";
import { lowerFirst } from "../first-letter.js";
import type { PlannedComparison } from "../study/study-account.js";
import { listWords } from "./answer-words.js";
import { isAnswered, type RecordedFinding } from "./finding-record.js";
import { percentLevel } from "./wording.js";

const severalRules: SeveralRules = "several";

/** A rule by which trials became one value, and how many findings use it. */
export interface RuleUsed {
  /** Grip or club speed. */
  readonly outcome: "grip" | "speed";
  /** The rule in words, as the findings record it. */
  readonly rule: string;
  /** Changes and differences of this outcome by this rule. */
  readonly findings: number;
}

/** What the notebooks of a study did, read from the fields of their findings. */
export interface AnalysisDone {
  /** The findings of the primary comparison, one per pair of arms; empty where none is recorded. */
  readonly primary: readonly RecordedFinding[];
  /** Codes of the golfers behind them. */
  readonly participants: readonly string[];
  /** Where the primary comparison is not the planned one, one sentence each: planned and used. */
  readonly departures: readonly string[];
  /** The rules in use, the most used first. */
  readonly rules: readonly RuleUsed[];
  /** Findings that the plan named. */
  readonly planned: number;
  /** Findings that it did not name. */
  readonly notPlanned: number;
}

/** The plan as far as it can be set beside a finding. */
export interface PlanToCompare {
  /** The primary comparison; left out where the plan names none. */
  readonly comparison?: PlannedComparison | undefined;
  /** Confidence level of the intervals, as a fraction. */
  readonly level: number;
}

/** What was done, from the findings of a study in the order of its notebooks. */
export function analysisDone(
  plan: PlanToCompare,
  findings: readonly RecordedFinding[],
): AnalysisDone {
  const primary = primaryFindings(findings);
  const participants = primary.flatMap((one) =>
    isAnswered(one) ? (one.source?.participants ?? []) : [],
  );
  const [first] = primary;
  return {
    primary,
    participants: [...new Set(participants)],
    departures: plan.comparison && first ? departures(plan.comparison, plan.level, first) : [],
    rules: rulesUsed(findings),
    planned: findings.filter((one) => one.planned === true).length,
    notPlanned: findings.filter((one) => one.planned === false).length,
  };
}

/**
 * The findings "primary", or "primary-<arm>" of several arms. Those that make the same comparison in
 * another way ("primary-hc3") have another method and are no part of it.
 */
function primaryFindings(findings: readonly RecordedFinding[]): RecordedFinding[] {
  const first = findings.find(({ id }) => /^primary(?:-|$)/.test(id));
  if (!first) return [];
  const pair = ({ arms }: RecordedFinding) => `${arms?.first} − ${arms?.second}`;
  const alike = findings.filter(
    ({ id, method, rule }) =>
      /^primary(?:-|$)/.test(id) && method === first.method && rule === first.rule,
  );
  return alike.filter((one, i) => alike.findIndex((other) => pair(other) === pair(one)) === i);
}

/** Of changes and differences by one rule; a specification curve sets several side by side. */
function rulesUsed(findings: readonly RecordedFinding[]): RuleUsed[] {
  const used = new Map<string, RuleUsed>();
  for (const { measure, rule, visits, quantity } of findings) {
    if (!measure || !rule || rule === severalRules || !visits?.before) continue;
    if (quantity !== "change" && quantity !== "difference") continue;
    const key = `${measure.outcome} ${rule}`;
    const before = used.get(key)?.findings ?? 0;
    used.set(key, { outcome: measure.outcome, rule, findings: before + 1 });
  }
  return [...used.values()].sort((a, b) => b.findings - a.findings);
}

function departures(
  planned: PlannedComparison,
  plannedLevel: number,
  used: RecordedFinding,
): string[] {
  const { measure, rule, visits } = used;
  const pairs: [string, string, string | undefined][] = [
    ["Outcome", outcomeWords(planned), measure && outcomeWords(measure)],
    ["Rule", planned.rule, rule],
    ["Visits", spanWords(planned.before, planned.after), visits && visitsWords(visits)],
    ["Confidence level", percentLevel(plannedLevel), levelOf(used)],
  ];
  const differ = pairs.filter(([name, plan, use]) =>
    name === "Outcome" ? !isSameOutcome(planned, used) : use !== undefined && use !== plan,
  );
  return differ.map(
    ([name, plan, use]) => `${name}: planned ${plan}, used ${use ?? "no single outcome"}.`,
  );
}

function isSameOutcome(planned: PlannedComparison, { measure }: RecordedFinding): boolean {
  if (measure?.outcome !== planned.outcome) return false;
  const sameHand = planned.hand === undefined || planned.hand === measure.hand;
  return sameHand && (planned.position === undefined || planned.position === measure.position);
}

type Measured = Pick<PlannedComparison, "outcome" | "hand" | "position">;

function outcomeWords({ outcome, hand, position }: Measured): string {
  const what = outcome === "speed" ? "club-head speed" : `${hand ? `${hand}-hand ` : ""}grip`;
  return position === undefined ? what : `${what} in position ${position}`;
}

function spanWords(before: number, after: number): string {
  return `week ${before} to week ${after}`;
}

function visitsWords({ before, at }: NonNullable<RecordedFinding["visits"]>): string {
  return before ? spanWords(before.week, at.week) : `week ${at.week} alone`;
}

function levelOf(finding: RecordedFinding): string | undefined {
  if (!isAnswered(finding) || finding.level === undefined) return undefined;
  return percentLevel(finding.level);
}

/**
 * The primary comparison as it was made, in sentences: outcome, visits, arms, adjustment, rule and
 * method, and where it departs from the plan.
 */
export function primarySentences({ primary, departures }: AnalysisDone): string[] {
  const [first] = primary;
  if (!first) return ["No finding of the primary comparison is recorded."];
  const arms = primary.flatMap(({ arms }) => (arms ? [armWords(arms)] : []));
  const parts = [
    first.measure?.name ?? first.title,
    ...(first.visits ? [visitsWords(first.visits)] : []),
    ...(arms.length > 0 ? [listWords([...new Set(arms)])] : []),
    ...(first.adjustedFor ? [`adjusted for ${listWords(first.adjustedFor)}`] : []),
  ];
  return [
    `Primary comparison as made: ${parts.join(", ")}.`,
    ...(first.rule ? [`One value per golfer and visit: ${first.rule}.`] : []),
    isAnswered(first)
      ? `Method: ${first.method}.`
      : `The data do not answer it: ${lowerFirst(first.unanswered)}`,
    ...departures,
  ];
}

function armWords({ first, second }: NonNullable<RecordedFinding["arms"]>): string {
  return second === undefined ? lowerFirst(first) : `${lowerFirst(first)} − ${lowerFirst(second)}`;
}

/** The rules of changes and differences: "Rules used for grip: mean of all trials." */
export function ruleSentences({ rules }: AnalysisDone): string[] {
  return (["grip", "speed"] as const).flatMap((outcome) => {
    const ofOutcome = rules.filter((one) => one.outcome === outcome);
    if (ofOutcome.length === 0) return [];
    const names = ofOutcome.map(({ rule }) => rule).join("; ");
    return [`Rules used for ${outcome === "grip" ? "grip" : "club-head speed"}: ${names}.`];
  });
}
