import { itemAt, present } from "../entry.js";
import { InputError } from "../errors.js";
import { contrast } from "../stats/contrast.js";
import { type Estimate, frozen } from "../stats/estimate.js";
import { fitVisits, type VisitsFit } from "../stats/mixed/visits.js";
import type { Arm, Occasion } from "../study/package/design.js";
import type { Outcome } from "./outcome.js";
import { percentOf } from "./percent-scale.js";
import { refusalSentence } from "./refusal.js";
import { type Answer, type AnswerFields, answer, visitName } from "./study-answer.js";

/** The mean of an arm at a visit. */
export interface ArmVisitMean {
  /** Title of the arm. */
  readonly arm: string;
  /** True for the control arm. */
  readonly control: boolean;
  /** Title of the visit. */
  readonly visit: string;
  /** Week of the visit. */
  readonly week: number;
  /** Golfers measured. */
  readonly n: number;
  /** Mean with its interval, in the unit of the outcome. */
  readonly mean: Estimate;
}

/** The arms at every visit, from everybody as allocated. */
export interface VisitsAnswer extends Answer {
  /** Means of the arms at the visits, golfers who left early included. */
  readonly means: readonly ArmVisitMean[];
  /** Whether the effect at the plan's last visit is still there at the later ones. */
  readonly lasting: Answer;
  /**
   * The answer at one visit: the planned comparison with everybody as allocated.
   * @param occasion id of a visit of the design, such as "w6"
   */
  at(occasion: string): Answer;
}

const allocated = "all golfers as allocated";

/**
 * The arms at every visit by one model of all measurements (unstructured covariance, REML, Kenward
 * and Roger's degrees of freedom): everybody as allocated, also golfers who missed visits, whose
 * values are taken to be missing at random. Where the study records a random allocation the arms
 * share their mean at baseline, so that a difference is adjusted for it; elsewhere the answers are
 * differences of the changes since baseline.
 *
 * With one arm it answers with the changes from baseline. Where the data do not suffice for the
 * covariance of every pair of visits, one correlation for all pairs is assumed and a warning says
 * so; where no model can be fitted the answer says why. The answers carry no range for golfers left
 * out, because each would be a new iterative fit; `compareArms` has it for the complete cases.
 * @param outcome from `study.outcome(…)` or `study.primary`
 * @returns one answer per visit after the first and per comparison of arms; `.at("w6")` for one visit
 * @see Liang & Zeger (2000) Sankhyā B 62:134–148; Kenward & Roger (1997) Biometrics 53:983–997
 * @example visitsOf(openStudy("winter-block").primary).at("w6").count.n // 26
 */
export function visitsOf(outcome: Outcome): VisitsAnswer {
  const { design } = outcome.study;
  const seen = design.occasions.filter(({ id }) => outcome.rows.some((row) => row.occasion === id));
  const model = modelOf(outcome, seen);
  const base = fields(outcome, seen);
  if ("unanswered" in model) {
    const whole = answer({ ...base, unanswered: model.unanswered });
    return withVisits(whole, [], whole, () => whole);
  }
  const parts = partsOf(outcome, model, base);
  const lasting = lastingOf(outcome, model, base);
  const whole = answer({ ...base, warnings: model.warnings, parts });
  const at = (occasion: string) => atVisit(parts, whole, design.occasions, occasion);
  return withVisits(whole, meansOf(outcome, model), lasting, at);
}

/** The function is no data: it does not show in JSON. */
function withVisits(
  whole: Answer,
  means: readonly ArmVisitMean[],
  lasting: Answer,
  at: (occasion: string) => Answer,
): VisitsAnswer {
  const made = { ...whole, means, lasting, at };
  Object.defineProperty(made, "at", { enumerable: false });
  return frozen(made);
}

interface VisitModel {
  readonly fit: VisitsFit;
  readonly baseline: Occasion;
  readonly later: readonly Occasion[];
  readonly reference: Arm;
  readonly others: readonly Arm[];
  readonly warnings: readonly string[];
}

function modelOf(
  outcome: Outcome,
  seen: readonly Occasion[],
): VisitModel | { readonly unanswered: string } {
  const { study, rows } = outcome;
  const golfers = new Set(rows.map(({ participant }) => participant));
  if (seen.length < 2 || golfers.size === rows.length) {
    return {
      unanswered: "The visits can be compared when golfers were measured on two visits or more.",
    };
  }
  const first = study.plan.primary?.before;
  const baseline = seen.find(({ id }) => id === first) ?? itemAt(seen, 0);
  const arms = study.design.arms.filter(({ id }) => rows.some(({ arm }) => arm === id));
  const reference = arms.find((arm) => arm.control) ?? itemAt(arms, 0);
  const columns = {
    subject: rows.map(({ participant }) => participant),
    visit: rows.map(({ occasion }) => occasion),
    y: rows.map(({ value }) => value),
    arm: rows.map(({ arm }) => arm),
  };
  const options = {
    baseline: baseline.id,
    reference: reference.id,
    constrainBaseline: study.design.allocation === "random" && arms.length > 1,
    df: "kenward-roger",
    level: study.plan.level,
  } as const;
  const later = seen.filter((visit) => visit !== baseline);
  const rest = { baseline, later, reference, others: arms.filter((arm) => arm !== reference) };
  try {
    const fit = fitVisits(columns, options);
    return { fit, ...rest, warnings: fit.warnings };
  } catch (error) {
    if (!(error instanceof InputError)) throw error;
  }
  try {
    const fit = fitVisits(columns, { ...options, covariance: "compound" });
    const warning =
      "There are too few measurements for a covariance of every pair of visits: one variance and one correlation are assumed.";
    return { fit, ...rest, warnings: [warning, ...fit.warnings] };
  } catch (error) {
    return { unanswered: refusalSentence(error) };
  }
}

function fields(outcome: Outcome, seen: readonly Occasion[]): AnswerFields {
  const people = [...new Set(outcome.rows.map(({ participant }) => participant))];
  const [first, last] = [seen.at(0), seen.at(-1)];
  const arms = new Set(outcome.rows.map(({ arm }) => arm));
  return {
    kind: "visitsOf",
    quantity: arms.size > 1 ? "difference" : "change",
    measure: outcome.measure,
    ...(first && last && { visits: { before: visitName(first), at: visitName(last) } }),
    aspect: allocated,
    unit: outcome.isLogged ? "%" : outcome.unit,
    randomised: outcome.study.design.allocation === "random",
    count: { n: people.length, of: "golfers" },
    rule: outcome.rule.title,
    method:
      "linear model of all visits, unstructured covariance, REML, Kenward–Roger degrees of freedom",
    source: outcome.source(
      people,
      seen.map(({ id }) => id),
    ),
  };
}

function methodOf(fit: VisitsFit): string {
  const structure =
    fit.structure === "compound" ? "one correlation for all visits" : "unstructured covariance";
  return `linear model of all visits, ${structure}, REML, Kenward–Roger degrees of freedom`;
}

function scaled(outcome: Outcome, estimate: Estimate): Estimate {
  return outcome.isLogged ? percentOf(estimate) : estimate;
}

function partsOf(outcome: Outcome, model: VisitModel, base: AnswerFields): Answer[] {
  const { fit, baseline, later, reference, others } = model;
  const { primary } = outcome.study.plan;
  const groups: readonly (Arm | undefined)[] = others.length > 0 ? others : [undefined];
  return later.flatMap((visit) =>
    groups.map((arm) => {
      const estimate = arm
        ? fit.constrainBaseline
          ? fit.differences[visit.id]?.[arm.id]
          : fit.fixed[`arm:${arm.id} × visit:${visit.id}`]
        : fit.changes[visit.id]?.[reference.id];
      const isPlannedVisit = primary?.before === baseline.id && primary.after === visit.id;
      return answer({
        ...base,
        visits: { before: visitName(baseline), at: visitName(visit) },
        arms: arm ? { first: arm.title, second: reference.title } : { first: reference.title },
        ...(fit.constrainBaseline && arm && { adjustedFor: ["baseline"] }),
        ...(arm && !fit.constrainBaseline && { aspect: `difference of the changes, ${allocated}` }),
        part: others.length > 1 && arm ? `${visit.id}-${arm.id}` : visit.id,
        estimate: scaled(outcome, present(estimate)),
        planned:
          outcome.planned && isPlannedVisit && (reference.control === true || others.length === 1),
        method: methodOf(fit),
        warnings: model.warnings,
      });
    }),
  );
}

function meansOf(outcome: Outcome, { fit, baseline, later, reference, others }: VisitModel) {
  const { occasions, arms } = outcome.study.design;
  const visits = occasions.filter((one) => one === baseline || later.includes(one));
  const inOrder = arms.filter((arm) => arm === reference || others.includes(arm));
  return inOrder.flatMap((arm) =>
    visits.map(
      ({ id, title, week }): ArmVisitMean => ({
        arm: arm.title,
        control: arm.control === true,
        visit: title,
        week,
        n: fit.seen[id]?.[arm.id] ?? 0,
        mean: present(fit.means[id]?.[arm.id]),
      }),
    ),
  );
}

/** The effect at each visit after the planned one − the effect at the planned one. */
function lastingOf(outcome: Outcome, model: VisitModel, base: AnswerFields): Answer {
  const { fit, later, reference, others } = model;
  const after = outcome.study.plan.primary?.after;
  const planned = later.find(({ id }) => id === after);
  const follow = planned ? later.filter(({ week }) => week > planned.week) : [];
  if (!planned || follow.length === 0) {
    const unanswered =
      "The study has no visit after the last one of the plan, so how long a change lasts is not known.";
    return answer({ ...base, unanswered });
  }
  const groups: readonly (Arm | undefined)[] = others.length > 0 ? others : [undefined];
  const parts = follow.flatMap((visit) =>
    groups.map((arm) => {
      const term = ({ id }: Occasion) => (arm ? `arm:${arm.id} × visit:${id}` : `visit:${id}`);
      const estimate = contrast(
        fit,
        { [term(visit)]: 1, [term(planned)]: -1 },
        { df: "kenward-roger" },
      );
      return answer({
        ...base,
        visits: { before: visitName(planned), at: visitName(visit) },
        arms: arm ? { first: arm.title, second: reference.title } : { first: reference.title },
        part: others.length > 1 && arm ? `${visit.id}-${arm.id}` : visit.id,
        aspect: `change since week ${planned.week}, ${allocated}`,
        estimate: scaled(outcome, estimate),
        method: methodOf(fit),
        warnings: model.warnings,
      });
    }),
  );
  const [only] = parts;
  return parts.length === 1 && only ? only : answer({ ...base, parts });
}

function atVisit(
  parts: readonly Answer[],
  whole: Answer,
  occasions: readonly Occasion[],
  id: string,
): Answer {
  const visit = occasions.find((one) => one.id === id);
  if (!visit) {
    const known = occasions.map((one) => one.id).join(", ");
    throw new InputError({
      expected: `a visit of the design (${known})`,
      got: JSON.stringify(id) ?? "none",
      where: "visitsOf, at",
    });
  }
  const there = parts.filter(({ visits }) => visits?.at.week === visit.week);
  const [only] = there;
  if (!only) {
    const unanswered = `${visit.title} is the first visit, or no golfer was measured then: no comparison is possible.`;
    return answer({ ...whole, parts: [], unanswered });
  }
  if (there.length === 1) return only;
  const shorter = there.map((one) => ({ ...one, part: one.part?.replace(`${id}-`, "") ?? "" }));
  return answer({ ...whole, parts: shorter });
}
