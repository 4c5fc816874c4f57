import { knownOptions } from "../options.js";
import { frozen } from "../stats/estimate.js";
import type { Outcome } from "./outcome.js";
import { type ReliabilityAnswer, reliabilityOf } from "./reliability-of.js";
import { column, limitColumns, limitsOf, type ResultTable, resultTable } from "./result-table.js";
import { type Answer, answer } from "./study-answer.js";
import type { StudyOutcomes } from "./study-outcomes.js";

/** The typical error in every hand and position, and with every club. */
export interface ReliabilityByPlace extends Answer {
  /** Typical error, minimal detectable change, CV and ICC by hand and position. */
  readonly table: ResultTable;
  /** Last trial − first trial by hand and position. */
  readonly shifts: ResultTable;
}

/**
 * How reliable grip is in every hand and position of the design, from the trials of one visit.
 * @param study from `openStudy`
 * @returns one typical error per hand and position
 * @throws InputError when the visit is not in the design
 */
export function reliabilityByPlace(
  study: StudyOutcomes,
  options: { readonly at?: string } = {},
): ReliabilityByPlace {
  knownOptions(options, ["at"], "reliabilityByPlace");
  const outcomes = placesOf(study);
  const found = outcomes.map((outcome) => reliabilityOf(outcome, options));
  const [first] = found;
  const base = answer({
    kind: "reliabilityByPlace",
    quantity: "size",
    aspect: "typical error of one trial",
    measure: { outcome: "grip", name: "Grip" },
    unit: "kgf",
    count: { n: first?.count.n ?? 0, of: "golfers" },
    rule: "single trials",
    method: first?.method ?? "two-way analysis of variance",
    source: first?.source ?? { files: [], rowsUsed: 0, setAside: [], participants: [] },
    parts: found.map((one, i) => ({ ...plain(one), part: partOf(outcomes[i]) })),
    ...(!first && { unanswered: "The design has no hand or position in which grip is tested." }),
  });
  return frozen({ ...base, table: errorTable(found), shifts: shiftTable(found) });
}

/** Grip in every hand and position; rules that join both hands give way to the mean of all trials. */
function placesOf(study: StudyOutcomes): Outcome[] {
  const { hands, positions } = study.design;
  const places = positions.length > 0 ? positions.map(({ id }) => id) : [undefined];
  return hands.flatMap((hand) =>
    places.map((position) =>
      study.outcome("grip", {
        hand,
        rule: "mean",
        ...(position !== undefined && { position }),
      }),
    ),
  );
}

function partOf(outcome: Outcome | undefined): string {
  const { hand, position } = outcome?.choice ?? {};
  return [hand, position].filter((part) => part !== undefined).join("-");
}

/** The answer without what belongs to its own question. */
function plain(one: ReliabilityAnswer): Answer {
  const { mdc: _m, cv: _c, icc: _i, shift: _s, iccForms: _f, moreTrials: _t, ...rest } = one;
  const { agreement: _a, repeated: _r, ...single } = rest;
  return single;
}

function errorTable(found: readonly ReliabilityAnswer[]): ResultTable {
  return resultTable(
    "Agreement of the trials of one visit, by hand and position.",
    [
      column("place", "Outcome"),
      column("n", "Golfers", "", 0),
      column("typicalError", "Typical error", "kgf", 2),
      ...limitColumns("kgf", 2),
      column("mdc", "Minimal detectable change", "kgf", 2),
      column("mdcLow", "MDC, lower limit", "kgf", 2),
      column("mdcHigh", "MDC, upper limit", "kgf", 2),
      column("cv", "CV", "%", 1),
      column("icc", "ICC(3,1)", "", 3),
    ],
    found.map(({ measure, count, estimate, mdc, cv, icc }) => ({
      place: measure.name,
      n: count.n,
      typicalError: estimate?.value ?? null,
      ...limitsOf(estimate?.interval),
      mdc: mdc.estimate?.value ?? null,
      mdcLow: mdc.estimate?.interval?.low ?? null,
      mdcHigh: mdc.estimate?.interval?.high ?? null,
      cv: cv.estimate?.value ?? null,
      icc: icc.estimate?.value ?? null,
    })),
  );
}

function shiftTable(found: readonly ReliabilityAnswer[]): ResultTable {
  return resultTable(
    "Last trial − first trial of one visit, by hand and position.",
    [
      column("place", "Outcome"),
      column("n", "Golfers", "", 0),
      column("shift", "Last − first", "kgf", 2),
      ...limitColumns("kgf", 2),
    ],
    found.map(({ measure, shift }) => ({
      place: measure.name,
      n: shift.count.n,
      shift: shift.estimate?.value ?? null,
      ...limitsOf(shift.estimate?.interval),
    })),
  );
}
