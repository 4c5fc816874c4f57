import { present } from "../entry.js";
import { upperFirst } from "../first-letter.js";
import { type AnalysisDone, primarySentences } from "../show/analysis-done.js";
import type { StudyAccount } from "../study/study-account.js";
import type { ArmTraining } from "../study/tables/training-by-arm.js";
import { inComparison, placeWords } from "./flow-words.js";

/** A study with what its notebooks did, which items are filled from. */
export interface ReportedStudy extends StudyAccount {
  /** The analysis as it was made. */
  readonly done: AnalysisDone;
}

/** The parts that are there as one text; undefined where none is. */
export function sentence(parts: readonly (string | undefined)[]): string | undefined {
  const filled = parts.filter(Boolean);
  return filled.length ? filled.join(" ") : undefined;
}

/** The arms, the control named as such. */
export function armList({ design }: StudyAccount): string {
  return design.arms
    .map(({ title, control }) => (control ? `${title} (control)` : title))
    .join("; ");
}

function occasions({ design }: StudyAccount): string {
  return design.occasions.map(({ week }) => `week ${week}`).join(", ");
}

/** The planned outcome, and the primary comparison as it was made. */
export function outcomes(study: ReportedStudy): string | undefined {
  const { plan, done } = study;
  return sentence([
    plan.primary && `Planned: ${plan.primary}.`,
    ...primarySentences(done),
    `Measured in ${occasions(study)}.`,
  ]);
}

/** Who withdrew between which visits, and who was not measured. */
export function losses({ flow }: StudyAccount): string {
  const left = flow.arms.flatMap(({ title, withdrew }) =>
    withdrew.map((loss) => `${title}: ${loss.people} ${placeWords(loss)} (${loss.reason})`),
  );
  const missed = flow.arms.flatMap(({ title, seen }) =>
    seen.flatMap(({ occasion, missed }) =>
      missed > 0 ? [`${title}, ${occasion}: ${missed}`] : [],
    ),
  );
  return present(
    sentence([
      left.length ? `Withdrew: ${left.join("; ")}.` : "Nobody withdrew.",
      missed.length ? `Not measured, without having withdrawn: ${missed.join("; ")}.` : undefined,
    ]),
  );
}

/** The golfers of each arm behind the primary comparison. */
export function analysed({ flow, done }: ReportedStudy): string {
  const counts = inComparison(flow, done);
  const arms = flow.arms.map(
    ({ title, enrolled }, i) => `${title}: ${counts.people[i]} of ${enrolled}`,
  );
  return `${upperFirst(counts.words)}: ${arms.join("; ")}.`;
}

function stopped(study: StudyAccount): string {
  const pain = study.setAside.filter(({ reason }) => /pain|discomfort/i.test(reason)).length;
  return `${pain} trial${pain === 1 ? "" : "s"} stopped for pain or discomfort, as recorded in the trial files.`;
}

function arms(
  study: StudyAccount,
  words: (arm: ArmTraining) => string | undefined,
): string | undefined {
  const statements = study.training.flatMap((arm) => {
    const text = words(arm);
    return text ? [`${arm.title}: ${text}`] : [];
  });
  return statements.length ? `${statements.join("; ")}.` : undefined;
}

/** Completed bouts of the training log, arm by arm. */
export function delivered(study: StudyAccount): string | undefined {
  return arms(
    study,
    ({ completed, logged }) => `${completed} of the ${logged} bouts in the log completed`,
  );
}

/** Bouts per person and their length, arm by arm. */
export function dose(study: StudyAccount): string | undefined {
  return arms(study, ({ people, logged, minutes }) =>
    minutes === undefined
      ? undefined
      : `about ${Math.round(logged / people)} bouts a person, ${minutes} min each (median)`,
  );
}

/** Trials stopped for pain, and discomfort in the training log. */
export function harms(study: StudyAccount): string {
  const log = arms(
    study,
    ({ discomfort, logged }) => `discomfort noted in ${discomfort} of ${logged} bouts`,
  );
  return present(sentence([stopped(study), log]));
}

/** Recorded changes to the plan, departures from it, and findings that were not planned. */
export function changes({ changes, done }: ReportedStudy): string {
  const recorded = changes.map(({ on, what, why }) => `${on}: ${what} (${why})`).join("; ");
  return present(
    sentence([
      recorded ? `${recorded.replace(/\.$/, "")}.` : "No change to the plan is recorded.",
      ...done.departures,
      done.notPlanned > 0
        ? `Findings that were not planned: ${done.notPlanned} of ${done.planned + done.notPlanned}.`
        : undefined,
    ]),
  );
}
