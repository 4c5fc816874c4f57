import type { RespondersAnswer } from "../analysis/responders-of.js";
import type { Answer } from "../analysis/study-answer.js";
import type { SubgroupsAnswer } from "../analysis/subgroups.js";
import type { ArmVisitMean, VisitsAnswer } from "../analysis/visits-of.js";
import { itemAt } from "../entry.js";
import { lowerFirst, upperFirst } from "../first-letter.js";
import type { Estimate } from "../stats/estimate.js";
import { singlesOf } from "./answer-finding.js";
import { answerRole, answerTitle } from "./answer-words.js";
import type { Drawing } from "./figure-record.js";
import { type ForestRow, forestPlot } from "./forest.js";
import type { Plain, Role } from "./look.js";
import { bars, dots, estimateText, roleMark, titled } from "./plot.js";
import { questionFigure } from "./question-figures.js";
import { refuse } from "./record.js";

/**
 * The drawing of an answer: that of its question where it has one, means with intervals over visits, the effect in each subgroup, or all
 * its single answers one below another.
 */
export function answerFigure(answer: Answer): Drawing {
  const special = questionFigure(answer);
  if (special) return special;
  if (isOfVisits(answer) && answer.means.length > 0) return meansByVisit(answer);
  if (isOfSubgroups(answer) && answer.effects.length > 0) return effectsByGroup(answer);
  if (isOfResponders(answer) && answer.golfers.rows.length > 0) return changesWithError(answer);
  return estimatesInRows(answer);
}

function isOfResponders(answer: Answer): answer is RespondersAnswer {
  return answer.kind === "respondersOf" && "golfers" in answer;
}

/** The change of every golfer with the interval that measurement error leaves, the largest first. */
function changesWithError(answer: RespondersAnswer): Drawing {
  const role = answerRole(answer) ?? "tick";
  const golfers = answer.golfers.rows.flatMap(({ participant, arm, change: value, low, high }) =>
    typeof value === "number" && typeof low === "number" && typeof high === "number"
      ? [{ label: `${participant}, ${lowerFirst(String(arm))}`, value, low, high }]
      : [],
  );
  const rows = [...golfers]
    .sort((a, b) => b.value - a.value)
    .map(({ label, value, low, high }) => ({
      label,
      estimate: { value, interval: { low, high, level: 0.95, method: "measurement error" } },
      role,
    }));
  const unit = answer.golfers.columns.find(({ name }) => name === "change")?.unit ?? "";
  return {
    ...forestPlot({ rows, ...scaleOf({ ...answer, unit }, ", change of each golfer") }),
    caption: `${answer.measure.name}: change of each golfer with the interval that measurement error leaves.`,
    alt: `One row per golfer, the largest change first: ${rows.map(({ label }) => label).join("; ")}.`,
  };
}

function isOfVisits(answer: Answer): answer is VisitsAnswer {
  return "means" in answer;
}

function isOfSubgroups(answer: Answer): answer is SubgroupsAnswer {
  return "effects" in answer;
}

/** The axis of an answer: what is measured, and its unit, in words where there is none. */
function scaleOf({ measure, unit }: Answer, what: string): { quantity: string; unit: string } {
  return { quantity: `${measure.name}${what}`, unit: unit === "" ? "no unit" : unit };
}

/** The mean of every arm at every visit with its interval, joined by lines. */
function meansByVisit(answer: VisitsAnswer): Drawing {
  const arms = [...new Set(answer.means.map(({ arm }) => arm))];
  const data = arms.map((arm, i) => {
    const means = answer.means.filter((one) => one.arm === arm);
    return meanTrace(
      means,
      means[0]?.control ? "control" : "trained",
      (i - (arms.length - 1) / 2) * 0.1,
    );
  });
  const weeks = [...new Set(answer.means.map(({ week }) => week))];
  return {
    data,
    layout: {
      xaxis: { title: { text: "Visit (week)" }, tickvals: weeks },
      yaxis: titled({
        quantity: answer.measure.name,
        unit: answer.unit === "%" ? "logarithm" : answer.unit,
      }),
      showlegend: arms.length > 1,
    },
    caption: `${answer.measure.name}: mean of each arm at each visit with its interval, all golfers as allocated.`,
    alt: `Means with intervals over weeks ${weeks.join(", ")}, one line per arm: ${arms.join("; ")}.`,
  };
}

function meanTrace(means: readonly ArmVisitMean[], role: Role, aside: number): Plain {
  const { colour, dash } = roleMark(role);
  const estimates = means.map(({ mean }) => mean);
  return {
    type: "scatter",
    mode: "lines+markers",
    name: means[0]?.arm ?? "",
    x: means.map(({ week }) => week + aside),
    y: estimates.map(({ value }) => value),
    ...bars("y", estimates, colour),
    text: means.map(({ mean, visit, n }) => `${estimateText(visit, mean, "")}, n = ${n}`),
    hovertemplate: "%{text}<extra></extra>",
    customdata: means.map(({ visit }) => visit),
    meta: { columns: { name: "arm", customdata: "occasion", y: "value" } },
    marker: dots(role),
    line: { color: colour, width: 1.5, dash },
  };
}

/** The effect in each subgroup with its interval. */
function effectsByGroup(answer: SubgroupsAnswer): Drawing {
  const role = answerRole(answer) ?? "tick";
  const rows = answer.effects.map(({ label, n, effect }) => ({
    label: `${label}, n = ${n}`,
    estimate: effect,
    role,
  }));
  return {
    ...forestPlot({ rows, ...scaleOf(answer, ", difference of the arms") }),
    caption: `${answer.measure.name}: the difference of the arms in groups of golfers; groups are not tested one by one.`,
    alt: `Rows with intervals against a line at zero, one per group: ${rows.map(({ label }) => label).join("; ")}.`,
  };
}

/** All single answers of the first one's unit that have a number, one below another. */
function estimatesInRows(answer: Answer): Drawing {
  const drawn = singlesOf(answer).filter(
    ({ estimate, quantity }) => estimate !== undefined && quantity !== "test",
  );
  if (drawn.length === 0) return nothingToDraw(answer);
  const first = itemAt(drawn, 0);
  const same = drawn.filter(({ unit }) => unit === first.unit);
  const rows = same.map((one) => rowOf(one, shared(same)));
  const references = first.references.map(({ name, value }) => ({ says: name, value }));
  return {
    ...forestPlot({ rows, references, ...scaleOfAll(same) }),
    caption: `${answerTitle(first)}${same.length > 1 ? `, and ${same.length - 1} further result${same.length > 2 ? "s" : ""}` : ""}, with intervals.`,
    alt: `Rows with intervals, one per result: ${rows.map(({ label }) => label).join("; ")}.`,
  };
}

/** The axis of several answers: their outcome where they share it, and what all of them are. */
function scaleOfAll(answers: readonly Answer[]): { quantity: string; unit: string } {
  const first = itemAt(answers, 0);
  const { aspect, quantity } = first;
  const isOne = <Field extends "aspect" | "quantity">(field: Field) =>
    answers.every((one) => one[field] === first[field]);
  const kinds: { readonly [kind in Answer["quantity"]]?: string } = {
    change: "change",
    difference: "difference between arms",
  };
  const kind = isOne("quantity") ? kinds[quantity] : undefined;
  const what = (isOne("aspect") ? aspect : undefined) ?? kind;
  if (shared(answers)) return scaleOf(first, what === undefined ? "" : `, ${what}`);
  return { ...scaleOf(first, ""), quantity: upperFirst(what ?? "estimate") };
}

function rowOf(answer: Answer, sameOutcome: boolean): ForestRow {
  const estimate: Estimate =
    answer.estimate ?? refuse("an answer with an estimate", "none", "figure");
  const arms = answer.arms
    ? [answer.arms.first, answer.arms.second]
        .filter((arm) => arm !== undefined)
        .map(lowerFirst)
        .join(" − ")
    : "";
  const label = sameOutcome
    ? [arms, answer.aspect].filter(Boolean).join(", ") || answerTitle(answer)
    : answer.measure.name;
  return { label, estimate, role: answerRole(answer) ?? "tick" };
}

/** Whether rows differ by their arms; otherwise they differ by their outcome. */
function shared(answers: readonly Answer[]): boolean {
  return new Set(answers.map(({ measure }) => measure.name)).size === 1;
}

/** An empty frame that says why nothing is drawn: a notebook without data still runs. */
function nothingToDraw(answer: Answer): Drawing {
  const why = singlesOf(answer).find(({ unanswered }) => unanswered)?.unanswered;
  const reason = why ?? "There is no number to draw.";
  return emptyDrawing(answer.measure.name, answer.unit, reason);
}

/** A frame without data, with the reason in it. */
export function emptyDrawing(quantity: string, unit: string, reason: string): Drawing {
  return {
    data: [{ type: "scatter", mode: "markers", x: [], y: [] }],
    layout: {
      xaxis: {
        ...titled({ quantity, unit: unit === "" ? "no unit" : unit }),
        range: [0, 1],
        showticklabels: false,
      },
      yaxis: { showticklabels: false, range: [0, 1] },
      annotations: [{ text: "no data yet", x: 0.5, y: 0.5, showarrow: false }],
      height: 160,
    },
    caption: `${quantity}: nothing to draw. ${reason}`,
    alt: `An empty frame. ${reason}`,
  };
}
