import type { Change, Outcome } from "../analysis/outcome.js";
import type { Answer } from "../analysis/study-answer.js";
import { lowerFirst } from "../first-letter.js";
import { emptyDrawing } from "./answer-figure.js";
import { singlesOf } from "./answer-finding.js";
import { answerRole, listWords } from "./answer-words.js";
import { changeStrip } from "./change-strip.js";
import type { Drawing } from "./figure-record.js";
import type { Role } from "./look.js";
import { refuse } from "./record.js";
import { visitPanels } from "./visit-panels.js";

/**
 * The drawing of every golfer before any summary: an outcome at every visit, one line per golfer in a panel for each arm, or
 * a change, one dot per golfer in rows by arm.
 * @param of an outcome, or a change
 * @param means for a change: `changeWithin(change)`, whose means are drawn under the dots
 * @returns a drawing for `figure(id, …)`
 * @throws InputError when neither an outcome nor a change is given
 * @example everyPerson(openStudy("winter-block").primary.change()).caption // "Lead-hand grip at address: change of every golfer, before the block to after the block."
 */
export function everyPerson(of: Outcome | Change, means?: Answer): Drawing {
  if (of?.kind === "outcome") return everyVisit(of);
  if (of?.kind === "change") return everyChange(of, means);
  return refuse("an outcome or a change of a study", of, "everyPerson");
}

/** Arms have marks of their own where there are several; one group alone is drawn in its outcome's. */
function roleIn({ study, measure }: Outcome, isControl: boolean): Role {
  if (study.design.arms.length < 2) return answerRole({ measure }) ?? "dot";
  return isControl ? "control" : "trained";
}

function everyVisit(outcome: Outcome): Drawing {
  const { study, measure, unit } = outcome;
  const scale = { quantity: measure.name, unit: outcome.isLogged ? "logarithm" : unit };
  const seen = study.design.occasions.filter(({ id }) =>
    outcome.rows.some(({ occasion }) => occasion === id),
  );
  if (seen.length === 0) {
    return emptyDrawing(scale.quantity, scale.unit, "No golfer was measured yet.");
  }
  const words = {
    caption: `${measure.name} of every golfer at every visit: ${listWords(seen.map(({ title, week }) => `${title.toLowerCase()} (week ${week})`))}.`,
    alt: `One line per golfer over ${seen.map(({ title }) => title.toLowerCase()).join(", ")}; arms: ${study.design.arms.map(({ title }) => title).join("; ")}.`,
  };
  const order = new Map(seen.map(({ id }, i) => [id, i]));
  const arms = study.design.arms
    .map((arm) => ({ arm, rows: outcome.rows.filter((row) => row.arm === arm.id) }))
    .filter(({ rows }) => rows.length > 0);
  const plot = visitPanels({
    panels: arms.map(({ arm, rows }) => ({
      name: arm.title,
      role: roleIn(outcome, arm.control === true),
      values: rows.map(({ participant, occasion, value }) => ({
        participant,
        visit: order.get(occasion) ?? 0,
        value,
      })),
    })),
    visits: seen,
    ...scale,
  });
  return { ...plot, ...words };
}

/** Values that the means are compared with, each once. */
function referencesIn(means: Answer | undefined): { says: string; value: number }[] {
  const [first] = means ? singlesOf(means) : [];
  return (first?.references ?? []).map(({ name, value }) => ({ says: name, value }));
}

function everyChange(change: Change, means: Answer | undefined): Drawing {
  const { outcome, before, after } = change;
  const { measure, study } = outcome;
  const unit = outcome.isLogged ? "logarithm" : outcome.unit;
  const arms = study.design.arms
    .map((arm) => ({ arm, rows: change.of(arm.id) }))
    .filter(({ rows }) => rows.length > 0);
  if (arms.length === 0) {
    const reason = "No golfer was measured on both visits.";
    return emptyDrawing(`Change of ${measure.name}`, unit, reason);
  }
  const meanOf = (title: string) =>
    means && !outcome.isLogged
      ? singlesOf(means).find(({ arms: own }) => own?.first === title)?.estimate
      : undefined;
  const drawn = arms.map(({ arm }) => meanOf(arm.title));
  const references = drawn.some((mean) => mean !== undefined) ? referencesIn(means) : [];
  const plot = changeStrip({
    references,
    groups: arms.map(({ arm, rows }, i) => ({
      name: arm.title,
      changes: rows.map((row) => row.change),
      participant: rows.map(({ participant }) => participant),
      estimate: drawn[i],
      role: roleIn(outcome, arm.control === true),
    })),
    quantity: `Change of ${lowerFirst(measure.name)}`,
    unit,
  });
  const span = `${before.title.toLowerCase()} to ${after.title.toLowerCase()}`;
  return {
    ...plot,
    caption: `${measure.name}: change of every golfer, ${span}${drawn.some(Boolean) ? "; below each row the mean with its interval" : ""}.`,
    alt: `One row of dots per arm on a scale of change with a line at zero: ${arms.map(({ arm, rows }) => `${arm.title}, ${rows.length} golfers`).join("; ")}.`,
  };
}
