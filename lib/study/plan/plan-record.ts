import { itemAt } from "../../entry.js";
import { InputError } from "../../errors.js";
import { knownOptions } from "../../options.js";
import { frozen } from "../../stats/estimate.js";
import { shown } from "../../stats/input.js";
import type { PlanChange, PrimaryPlan, StudyDesign, StudyPlan } from "../package/design.js";
import { isRecord, type Json } from "../package/json.js";
import { readPackage } from "../package/package.js";
import { planFaults } from "../package/plan-references.js";
import { gripRules, ruleOf, speedRules } from "../tables/rules.js";

/** When a plan was decided, and how many trials had been recorded by then. */
export interface Decision {
  /** Day of the decision, ISO date. */
  readonly decidedOn: string;
  /** Grip trials and swings already in the study's files; a plan is made before there are any. */
  readonly trialsRecorded: number;
}

/** A plan, with anything else worth keeping beside it, such as how the sample size was reached. */
export type PlanInput = Partial<Omit<StudyPlan, "decidedOn">> & Readonly<Record<string, unknown>>;

/**
 * Writes a plan into a study's descriptor, before data are seen: primary outcome and contrast,
 * summary rules, confidence level, seed, smallest worthwhile change, and whatever else is given.
 * @param descriptor datapackage.json, parsed
 * @param plan parts of the plan; those left out stay as they were
 * @param decision the day, and how many trials are recorded already
 * @returns a new descriptor; the one given stays as it was
 * @throws InputError when trials are recorded already, a plan was decided before, or the plan does
 *   not fit the design: then a change with its reason is the honest record (`recordPlanChange`)
 * @see Hopewell S et al. (2025) CONSORT 2025, PLoS Med 22:e1004587: items 3 (plan) and 10 (changes)
 * @example recordPlan(JSON.parse(emptyStudy({ name: "x" }).get("datapackage.json")), { level: 0.9 }, { decidedOn: "2025-02-24", trialsRecorded: 0 }).study.plan.level // 0.9
 */
export function recordPlan(descriptor: unknown, plan: PlanInput, decision: Decision): Json {
  const where = "recordPlan";
  knownOptions(decision, ["decidedOn", "trialsRecorded"], where);
  const study = studyOf(descriptor, where);
  const before = isRecord(study.plan) ? study.plan : {};
  refuseLatePlan(before, decision, where);
  const decidedOn = isoDay(decision.decidedOn, `${where}, decidedOn`);
  const { kind, ...parts } = plan as Json; // a record shown by a notebook carries its kind
  const written = withStudy(descriptor as Json, {
    ...study,
    plan: { ...before, ...parts, decidedOn },
  });
  checkPlan(written, where);
  return frozen(written);
}

/**
 * Adds a change of plan, with its day and reason, to a study's descriptor. Earlier changes stay.
 * @param descriptor datapackage.json, parsed
 * @param change on: ISO date; what was changed; why. `plan`: parts of the plan that it replaces
 * @returns a new descriptor; the one given stays as it was
 * @throws InputError when a part is missing, the day lies before an earlier change, or the changed
 *   plan does not fit the design
 * @see Hopewell S et al. (2025) CONSORT 2025, PLoS Med 22:e1004587, item 10
 * @example recordPlanChange(JSON.parse(emptyStudy({ name: "x" }).get("datapackage.json")), { on: "2025-03-10", what: "Six swings", why: "Hail" }).study.changes.length // 1
 */
export function recordPlanChange(
  descriptor: unknown,
  change: PlanChange & { plan?: PlanInput },
): Json {
  const where = "recordPlanChange";
  knownOptions(change, ["on", "what", "why", "plan"], where);
  const { plan = {} } = change;
  const study = studyOf(descriptor, where);
  const earlier = Array.isArray(study.changes) ? (study.changes as PlanChange[]) : [];
  const on = isoDay(change.on, `${where}, on`);
  const what = words(change.what, `${where}, what`);
  const why = words(change.why, `${where}, why`);
  const last = earlier.at(-1)?.on ?? "";
  if (on < last) throw refused(`a day from ${last}, the last change`, on, `${where}, on`);
  const before = isRecord(study.plan) ? study.plan : {};
  const { decidedOn, ...parts } = plan as Json; // the day of the plan itself does not change
  const written = withStudy(descriptor as Json, {
    ...study,
    plan: { ...before, ...parts },
    changes: [...earlier, { on, what, why }],
  });
  checkPlan(written, where);
  return frozen(written);
}

function studyOf(descriptor: unknown, where: string): Json {
  const study = isRecord(descriptor) ? descriptor.study : undefined;
  if (isRecord(study)) return study;
  throw refused("a descriptor with a study property", descriptor, where);
}

function withStudy(descriptor: Json, study: Json): Json {
  return structuredClone({ ...descriptor, study });
}

function refuseLatePlan(before: Json, { trialsRecorded }: Decision, where: string): void {
  const advice = "; record a change with its reason instead";
  if (typeof before.decidedOn === "string" && before.decidedOn !== "")
    throw refused(`a study without a plan${advice}`, `a plan of ${before.decidedOn}`, where);
  if (trialsRecorded !== 0)
    throw new InputError({
      expected: `a plan before any trial is recorded${advice}`,
      got: rowsOfTrials(trialsRecorded),
      where,
    });
}

function rowsOfTrials(count: number): string {
  return count === 1 ? "1 row of trials" : `${count} rows of trials`;
}

/** The day, if the calendar has it. */
function isoDay(text: unknown, where: string): string {
  if (typeof text === "string" && /^\d{4}-\d{2}-\d{2}$/.test(text)) {
    const day = new Date(`${text}T00:00:00Z`);
    if (!Number.isNaN(day.getTime()) && day.toISOString().startsWith(text)) return text;
  }
  throw refused("a day such as 2025-03-01", text, where);
}

function words(text: unknown, where: string): string {
  if (typeof text === "string" && text.trim() !== "") return text;
  throw refused("a sentence", text, where);
}

/** The plan must read back, and speak only of what the design has. */
function checkPlan(descriptor: Json, where: string): void {
  const { package: read, faults } = readPackage(descriptor);
  if (!read) {
    const { where: place, value, expected } = itemAt(faults, 0);
    throw new InputError({ expected, got: value, where: `${where}, ${place}` });
  }
  const { design, plan } = read.study;
  ruleOf(plan.summaries.grip, gripRules, `${where}, plan.summaries.grip`);
  ruleOf(plan.summaries.speed, speedRules, `${where}, plan.summaries.speed`);
  if (!Number.isSafeInteger(plan.seed))
    throw refused("a whole number", plan.seed, `${where}, seed`);
  if (plan.primary) checkPrimary(plan.primary, design, `${where}, plan.primary`);
  const [stray] = planFaults(read.study);
  if (stray) throw refused(stray.expected, stray.value, `${where}, ${stray.where}`);
}

function checkPrimary(primary: PrimaryPlan, design: StudyDesign, where: string): void {
  const occasions = design.occasions.map(({ id }) => id);
  oneOf(primary.before, occasions, `${where}.before`);
  oneOf(primary.after, occasions, `${where}.after`);
  if (occasions.indexOf(primary.before) >= occasions.indexOf(primary.after))
    throw refused(`an occasion after ${primary.before}`, primary.after, `${where}.after`);
  if (primary.hand) oneOf(primary.hand, design.hands, `${where}.hand`);
  const positions = design.positions.map(({ id }) => id);
  if (primary.position) oneOf(primary.position, positions, `${where}.position`);
}

function oneOf(value: string, known: readonly string[], where: string): void {
  if (!known.includes(value)) throw refused(`one of ${known.join(", ")}`, value, where);
}

function refused(expected: string, got: unknown, where: string): InputError {
  return new InputError({ expected, got: shown(got), where });
}
