import { InputError } from "../errors.js";
import { knownOptions } from "../options.js";
import { adjustForBaseline } from "../stats/baseline.js";
import type { Estimate } from "../stats/estimate.js";
import { poolPeople } from "../stats/pool/pool-people.js";
import { compareArms } from "./compare-arms.js";
import { joinedSource } from "./joined-source.js";
import { leaveOneOutOf } from "./leave-one-out.js";
import { refusalSentence } from "./refusal.js";
import { type Answer, type AnswerFields, answer } from "./study-answer.js";
import type { StudyOutcomes } from "./study-outcomes.js";

/** A golfer of one of the studies. */
interface PooledGolfer {
  readonly study: string;
  readonly group: "trained" | "control";
  readonly before: number;
  readonly after: number;
}

/**
 * Pools the golfers of several studies in one stage: one mixed model of all golfers with an intercept
 * and a baseline slope per study and a difference that varies between studies. Only studies with a
 * control arm show the difference; of studies with several trained arms all of them count as trained.
 *
 * @param studies from `openStudy`
 * @returns trained − control in the unit of the primary outcome; why there is none in `unanswered`
 * @throws InputError when no study is given or an option is not known
 * @see Riley et al. (2020) Stat Med 39:2115–2137
 */
export function poolGolfers(
  studies: readonly StudyOutcomes[],
  options: { readonly outcome?: "primary" | "speed" } = {},
): Answer {
  knownOptions(options, ["outcome"], "poolGolfers");
  const [first] = studies;
  if (!first) throw new InputError({ expected: "studies", got: "none", where: "poolGolfers" });
  const changes = studies.map((study) => {
    const outcome = options.outcome === "speed" ? study.outcome("speed") : study.primary;
    return { study, change: outcome.change() };
  });
  const usable = changes.filter(({ change }) => compareArms(change).unanswered === undefined);
  const model = (usable[0] ?? changes[0])?.change;
  if (!model) throw new InputError({ expected: "studies", got: "none", where: "poolGolfers" });
  const golfers = usable.flatMap(({ study, change }) => {
    const control = study.design.arms.find((arm) => arm.control)?.id;
    return change.rows.map(
      ({ arm, before, after }): PooledGolfer => ({
        study: study.title,
        group: arm === control ? "control" : "trained",
        before,
        after,
      }),
    );
  });
  const sources = usable.map(({ study, change }) => {
    const source = change.source();
    const codes = source.participants.map((golfer) => `${study.title}: ${golfer}`);
    return { ...source, participants: codes };
  });
  const fields: AnswerFields = {
    kind: "poolGolfers",
    quantity: "difference",
    aspect: "golfers of all studies in one model",
    measure: model.outcome.measure,
    arms: { first: "Trained", second: "Control" },
    adjustedFor: ["baseline"],
    unit: model.outcome.unit,
    count: { n: golfers.length, of: "golfers" },
    rule: model.outcome.rule.title,
    method: "one-stage mixed model",
    source: joinedSource(...sources),
  };
  if (usable.length < 2) {
    const have = usable.length === 1 ? `only ${usable[0]?.study.title} has` : "none has";
    const unanswered = `A pool in one stage needs at least two studies with a control arm; ${have}.`;
    return answer({ ...fields, unanswered });
  }
  return inOneModel(fields, golfers, first.plan.level);
}

/** The difference in the one study that is left. */
function alone(rows: readonly PooledGolfer[], level: number): Estimate | null {
  const fit = adjustForBaseline(
    {
      before: rows.map(({ before }) => before),
      after: rows.map(({ after }) => after),
      group: rows.map(({ group }) => group),
      reference: "control",
    },
    { level },
  );
  return fit.difference ?? null;
}

function inOneModel(fields: AnswerFields, golfers: readonly PooledGolfer[], level: number): Answer {
  const fit = (rows: readonly PooledGolfer[]) =>
    poolPeople(
      {
        study: rows.map(({ study }) => study),
        before: rows.map(({ before }) => before),
        after: rows.map(({ after }) => after),
        group: rows.map(({ group }) => group),
        reference: "control",
      },
      { level },
    );
  try {
    const whole = fit(golfers);
    const labels = [...new Set(golfers.map(({ study }) => study))];
    const without = labels.map((label) => {
      const rest = golfers.filter(({ study }) => study !== label);
      const several = new Set(rest.map(({ study }) => study)).size > 1;
      return several ? fit(rest).difference : alone(rest, level);
    });
    return answer({
      ...fields,
      method: whole.method,
      estimate: whole.difference,
      leaveOneOut: leaveOneOutOf(whole.difference, labels, without, "study"),
      warnings: whole.warnings,
    });
  } catch (error) {
    const unanswered = refusalSentence(error, "These golfers do not allow one model");
    return answer({ ...fields, unanswered });
  }
}
